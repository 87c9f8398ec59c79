package cli

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"

	"filmfault/internal/physics/sunheat"
	"filmfault/internal/quantity"
	"filmfault/internal/source"
	"filmfault/internal/uncertain"
)

// date is a day of any year.
type date struct {
	day     int    // of a common year, 1 to 365
	words   string // "July 4"
	assumed bool   // only the month was stated
}

// commonYear is a year without February 29, in which days are counted: the sun
// knows no leap years, and the difference is less than the formulas know.
const commonYear = 2023

// usualDay is the day of the month for which the sky's constants are published.
const usualDay = 21

var (
	isoForm     = regexp.MustCompile(`^(?:[0-9]{4}-)?([0-9]{1,2})-([0-9]{1,2})$`)
	monthFirst  = regexp.MustCompile(`^([a-z]+)\.?(?: ([0-9]{1,2})(?:st|nd|rd|th)?)?(?:,? [0-9]{4})?$`)
	dayFirst    = regexp.MustCompile(`^([0-9]{1,2})(?:st|nd|rd|th)?\.?(?: of)? ([a-z]+)\.?(?:,? [0-9]{4})?$`)
	slashedForm = regexp.MustCompile(`^[0-9]+[/.][0-9]+`)
)

// readDate reads "July 4", "4 July", "2026-07-04" or a month alone.
func readDate(s string) (date, error) {
	const write = "write a date such as July 4, or a month such as July"
	text := strings.ToLower(strings.Join(strings.Fields(s), " "))
	if m := isoForm.FindStringSubmatch(text); m != nil {
		month, _ := strconv.Atoi(m[1]) // two digits at most
		if month < 1 || month > 12 {
			return date{}, errors.New("there is no such month; " + write)
		}
		return dateOf(time.Month(month), m[2])
	}
	word, day := text, ""
	if m := monthFirst.FindStringSubmatch(text); m != nil {
		word, day = m[1], m[2]
	} else if m := dayFirst.FindStringSubmatch(text); m != nil {
		word, day = m[2], m[1]
	} else if slashedForm.MatchString(text) {
		return date{}, errors.New("it can be read two ways; " + write)
	}
	month, near := monthNamed(word)
	switch {
	case month != 0:
		return dateOf(month, day)
	case near != "":
		return date{}, fmt.Errorf("did you mean %s?", strings.TrimSpace(near+" "+day))
	}
	return date{}, errors.New("it is no date; " + write)
}

// monthNamed finds a month by its name or a part of it of three letters or
// more, or else the one whose name is near.
func monthNamed(word string) (time.Month, string) {
	var names []string
	for m := time.January; m <= time.December; m++ {
		if len(word) >= 3 && strings.HasPrefix(strings.ToLower(m.String()), word) || word == "sept" && m == time.September {
			return m, ""
		}
		names = append(names, m.String())
	}
	near, _ := source.Nearest(word, names)
	return 0, near
}

// dateOf is a day of a month; without a day, the one the sky's constants are of.
func dateOf(month time.Month, day string) (date, error) {
	n, err := strconv.Atoi(day)
	if day == "" {
		n, err = usualDay, nil
	}
	last := time.Date(2024, month+1, 0, 0, 0, 0, 0, time.UTC).Day() // a leap year has all days there are
	if err != nil || n < 1 || n > last {
		return date{}, fmt.Errorf("%s has days 1 to %d; write for example %s %d", month, last, month, min(usualDay, last))
	}
	words := fmt.Sprintf("%s %d", month, n)
	return date{time.Date(commonYear, month, n, 0, 0, 0, 0, time.UTC).YearDay(), words, day == ""}, nil
}

// input is the day as an input.
func (d date) input() input {
	in := uncertain.Exact("day", float64(d.day), "(day of the year)", "stated")
	if d.assumed {
		in.Assumed, in.Source = true, d.words+": the day of the month for which the sky's constants are published"
	}
	return input{in, quantity.Number}
}

var hourForm = regexp.MustCompile(`^([0-9]{1,2})(?::([0-9]{2}))? ?(am|pm|a\.m\.|p\.m\.)?$`)

// readHour reads a time of day in hours from midnight. "4" alone could be
// morning or afternoon, and the sun is elsewhere then.
func readHour(s string) (float64, error) {
	const write = "write a time such as 4 pm, 9:30 am or 16:00"
	text := strings.ToLower(strings.TrimSpace(s))
	switch text {
	case "noon":
		return 12, nil
	case "midnight":
		return 0, nil
	}
	m := hourForm.FindStringSubmatch(text)
	if m == nil {
		return 0, errors.New("it is no time of day; " + write)
	}
	hour, _ := strconv.Atoi(m[1]) // two digits at most
	minute, _ := strconv.Atoi("0" + m[2])
	half := strings.ReplaceAll(m[3], ".", "")
	switch {
	case minute > 59 || hour > 24 || hour == 24 && minute > 0 || half != "" && (hour < 1 || hour > 12):
		return 0, errors.New("there is no such time; " + write)
	case half == "" && hour >= 1 && hour < 12 && !strings.HasPrefix(m[1], "0"):
		return 0, fmt.Errorf("morning or afternoon? Write %s am or %s pm", text, text)
	case half != "":
		hour %= 12
	}
	if half == "pm" {
		hour += 12
	}
	return float64(hour) + float64(minute)/60, nil
}

// clock writes hours from midnight as a time of day.
func clock(hours float64) string {
	minutes := int(math.Round(hours*60)) % (24 * 60)
	switch minutes {
	case 0:
		return "midnight"
	case 12 * 60:
		return "noon"
	}
	half := "am"
	if minutes >= 12*60 {
		half = "pm"
	}
	return fmt.Sprintf("%d:%02d %s", (minutes/60+11)%12+1, minutes%60, half)
}

// zones gives the hours ahead of universal time of the letters a clock goes by.
func zones() map[string]float64 {
	return map[string]float64{
		"UTC": 0, "GMT": 0, "NST": -3.5, "NDT": -2.5, "AST": -4, "ADT": -3, "EST": -5, "EDT": -4, "CST": -6, "CDT": -5,
		"MST": -7, "MDT": -6, "PST": -8, "PDT": -7, "AKST": -9, "AKDT": -8, "HST": -10,
		"WET": 0, "WEST": 1, "BST": 1, "CET": 1, "CEST": 2, "EET": 2, "EEST": 3,
		"AWST": 8, "ACST": 9.5, "ACDT": 10.5, "AEST": 10, "AEDT": 11, "NZST": 12, "NZDT": 13,
	}
}

var zoneForm = regexp.MustCompile(`^(?:UTC|GMT)? ?([+-][0-9]{1,2})(?::([0-9]{2}))?$`)

// readZone reads the zone of a clock in hours ahead of universal time.
func readZone(s string) (float64, error) {
	const write = "write its letters such as EDT, or the hours from universal time such as UTC-4"
	text := strings.ToUpper(strings.ReplaceAll(strings.TrimSpace(s), "\u2212", "-"))
	if ahead, ok := zones()[text]; ok {
		return ahead, nil
	}
	m := zoneForm.FindStringSubmatch(text)
	if m == nil {
		return 0, errors.New("it is no zone known here; " + write)
	}
	hours, _ := strconv.Atoi(m[1]) // two digits at most
	minutes, _ := strconv.Atoi("0" + m[2])
	ahead := float64(hours) + math.Copysign(float64(minutes)/60, float64(hours))
	if strings.HasPrefix(m[1], "-") && hours == 0 {
		ahead = -float64(minutes) / 60
	}
	if ahead < -12 || ahead > 14 || minutes > 59 {
		return 0, errors.New("zones run from UTC-12 to UTC+14; " + write)
	}
	return ahead, nil
}

// place is where a clock goes.
type place struct {
	known     bool
	longitude float64 // degrees, east positive
	zone      float64 // hours ahead of universal time
}

// farthest is how many hours a zone may be off the sun of its longitude: more
// is a wrong sign. The farthest in use is some three and a half.
const farthest = 4

// place gives where the clock goes, and puts it on the page. A zone that is not
// stated is that of the longitude, with summer time outside the tropics of the
// north from mid March to the end of October.
func (o *sunOptions) place(p *sunPage) (place, error) {
	if !o.longitude.given {
		switch {
		case o.hour.given:
			return place{}, usagef("the hour on the clock says where the sun stands only with the place: add --longitude, for example --longitude \"75 W\"; or give the time by the sun with --solar-hour")
		case o.zone.given:
			return place{}, usagef("--zone is of use with --longitude only; add it, for example --longitude \"75 W\"")
		}
		return place{}, nil
	}
	at := place{known: true, longitude: o.longitude.value, zone: o.zone.value}
	zone := uncertain.Exact("zone", at.zone, "h ahead of universal time", "stated")
	if !o.zone.given {
		at.zone = math.Round(at.longitude / 15)
		if o.latitude.value > 23.5 && o.day.value.day >= 73 && o.day.value.day <= 304 {
			at.zone++
		}
		zone = uncertain.Input{ID: "zone", Low: at.zone, High: at.zone, Unit: zone.Unit, Assumed: true,
			Source: "the zone of the longitude, with summer time in the north from mid March to October; say --zone if yours differs"}
	}
	if off := math.Remainder(at.zone-at.longitude/15, 24); math.Abs(off) > farthest {
		return place{}, usagef("--longitude %s and --zone %s are %.0f h apart; is the longitude east or west?", o.longitude.typed, o.zone.typed, math.Abs(off))
	}
	p.inputs = append(p.inputs, input{uncertain.Exact("longitude", at.longitude, "degrees east", "stated"), quantity.Number}, input{zone, quantity.Number})
	return at, nil
}

// solar gives the hour by the sun of an hour on the clock.
func (at place) solar(day int, hour float64) (float64, error) {
	t := time.Date(commonYear, 1, day, 0, 0, 0, 0, time.UTC).Add(time.Duration((hour - at.zone) * float64(time.Hour)))
	return sunheat.SolarHour(t, at.longitude*sunheat.Degree)
}

// clock gives the hour on the clock of an hour by the sun.
func (at place) clock(day int, solar float64) (float64, error) {
	midday, err := at.solar(day, 12)
	return math.Mod(12+solar-midday+48, 24), err
}

// when is the time for which a face is computed.
type when struct {
	sunheat.Moment
	place
	// peak is the hour by the sun at which the face gets most sun, most how much
	// in W/m2.
	peak, most float64
}

// when gives the time, and puts what it rests on on the page.
func (o *sunOptions) when(p *sunPage, face sunheat.Facing) (w when, err error) {
	switch {
	case !o.day.given:
		return w, usagef("--day is missing; for example --day \"July 4\", or a month such as --day July")
	case !o.latitude.given:
		return w, usagef("--latitude is missing; for example --latitude \"40 N\"")
	case o.hour.given && o.solarHour.given:
		return w, usagef("state the hour once: --hour on the clock, or --solar-hour by the sun")
	}
	w.Latitude, w.Day = o.latitude.value*sunheat.Degree, o.day.value.day
	p.inputs = append(p.inputs, o.day.value.input(), input{uncertain.Exact("latitude", o.latitude.value, "degrees north", "stated"), quantity.Number})
	if w.place, err = o.place(p); err != nil {
		return w, err
	}
	if w.peak, w.most, err = sunheat.Peak(w.Latitude, w.Day, face); err != nil {
		return w, err
	}
	w.Hour = w.peak
	hour := uncertain.Input{ID: "solar-hour", Unit: "h by the sun", Assumed: true, Source: "the hour at which this face gets most sun"}
	switch {
	case o.solarHour.given:
		w.Hour, hour.Assumed, hour.Source = o.solarHour.value, false, "stated"
	case o.hour.given:
		if w.Hour, err = w.solar(w.Day, o.hour.value); err != nil {
			return w, err
		}
		hour.Assumed, hour.Source = false, "the hour on the clock"
	}
	hour.Low, hour.High = w.Hour, w.Hour
	p.inputs = append(p.inputs, input{hour, quantity.Number})
	return w, nil
}
