package review

import (
	"fmt"
	"strings"
	"time"
)

// Day is a day of the calendar, counted from 1 January of the year 1, which is
// day 1. The zero Day is no day.
type Day int

// unixDay is the Day of 1 January 1970.
const unixDay = 719163

const secondsADay = 86400

// ParseDay reads "2026-04-17". What stands after it behind a blank or a T, a time
// of the day, is not read.
func ParseDay(text string) (Day, error) {
	text = strings.TrimSpace(text)
	date, rest := text, ""
	if len(text) > len(time.DateOnly) {
		date, rest = text[:len(time.DateOnly)], text[len(time.DateOnly):]
	}
	t, err := time.Parse(time.DateOnly, date)
	if err != nil || rest != "" && rest[0] != ' ' && rest[0] != 'T' {
		return 0, fmt.Errorf("%q is no day", text)
	}
	if t.Year() < 1900 || t.Year() > 2199 {
		return 0, fmt.Errorf("%q is not of our time", text)
	}
	return dayOf(t), nil
}

// DayOf is the day of the calendar that a time lies in, where its clock is.
func DayOf(t time.Time) Day {
	return dayOf(time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC))
}

func dayOf(t time.Time) Day { return Day(t.Unix()/secondsADay + unixDay) }

func (d Day) time() time.Time { return time.Unix((int64(d)-unixDay)*secondsADay, 0).UTC() }

// String gives "2026-04-17", nothing for no day.
func (d Day) String() string {
	if d == 0 {
		return ""
	}
	return d.time().Format(time.DateOnly)
}

// Month is the month the day lies in.
func (d Day) Month() Month {
	if d == 0 {
		return 0
	}
	t := d.time()
	return monthOf(t.Year(), t.Month())
}

// Week gives the week of ISO 8601 that the day lies in, "2026-W16".
func (d Day) Week() string {
	if d == 0 {
		return ""
	}
	y, w := d.time().ISOWeek()
	return fmt.Sprintf("%d-W%02d", y, w)
}

// Month is a month of the calendar: twelve times its year and its place in it.
// The zero Month is none.
type Month int

func monthOf(year int, m time.Month) Month { return Month(12*year + int(m) - 1) }

// ParseMonth reads "2026-04".
func ParseMonth(text string) (Month, error) {
	t, err := time.Parse("2006-01", strings.TrimSpace(text))
	if err != nil || t.Year() < 1900 || t.Year() > 2199 {
		return 0, fmt.Errorf("%q is no month", text)
	}
	return monthOf(t.Year(), t.Month()), nil
}

// String gives "2026-04", nothing for none.
func (m Month) String() string {
	if m == 0 {
		return ""
	}
	return fmt.Sprintf("%04d-%02d", m/12, m%12+1)
}

// First and last day of the month.
func (m Month) first() Day {
	return dayOf(time.Date(int(m)/12, time.Month(m%12+1), 1, 0, 0, 0, 0, time.UTC))
}
func (m Month) last() Day { return (m + 1).first() - 1 }

// season is the season a month lies in, as the rules name it, by whole months:
// December to February is winter north of the equator.
func (m Month) season(south bool) string {
	quarter := (int(m%12) + 1) % 12 / 3
	if south {
		quarter = (quarter + 2) % 4
	}
	return seasons()[quarter]
}

func seasons() []string { return []string{"winter", "spring", "summer", "autumn"} }
