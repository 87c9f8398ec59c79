package replay

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"filmfault/internal/joblog"
	"filmfault/internal/physics/film"
	"filmfault/internal/quantity"
)

// Shade is putting the finish in sun sooner than the standard has it cured.
const Shade Departure = "shade"

// The departures that bend a panel; the worst of them names the whole.
const (
	BareBack Departure = "back"  // no coat on one face
	Coats    Departure = "coats" // more coats on one face
	Kinds    Departure = "kinds" // other kinds of coating on one face
	Films    Departure = "films" // the same coats, other film
)

// Departed is a departure of the job from the standard, in words.
type Departed struct {
	Departure Departure
	// Text says what was logged and what the standard is.
	Text string
}

// Departures lists how the job departed from the standard, drying first, in the
// order of the kinds.
func (j *Job) Departures(sys quantity.System) []Departed {
	w := words{sys}
	var out []Departed
	add := func(d Departure, text string) {
		if text != "" {
			out = append(out, Departed{d, text})
		}
	}
	steps := make([]timed, len(j.Log.Steps))
	for i, s := range j.Log.Steps {
		steps[i] = timed{Step: s, at: s.When.Mid(), was: i}
	}
	add(Time, j.short(steps, w))
	add(FreshFan, j.notFresh(steps, w))
	add(Standing, j.dampStand(steps, w))
	add(Fan, j.still(steps, w))
	add(Air, j.poorAir(steps, w))
	add(Film, j.thick(w))
	add(Thinning, j.thinnedMore(w))
	add(Shade, j.early(w))
	kind, text := j.unequal(w)
	add(kind, text)
	return out
}

// words prints quantities.
type words struct{ sys quantity.System }

func (w words) of(k quantity.Kind, si float64) string { return quantity.Format(k, si, w.sys) }

// short says when a film was closed over sooner than the standard has it.
func (j *Job) short(steps []timed, w words) string {
	least, what := math.Inf(1), ""
	for i, s := range steps {
		for _, face := range s.Faces {
			if wait := j.waited(steps, i, face); wait < least {
				least, what = wait, s.Kind.Words()
				if s.Kind == joblog.Coat {
					what = "next coat"
				}
			}
		}
	}
	if least >= j.Standard.DryBeforeClosing {
		return ""
	}
	return fmt.Sprintf("%s %s after the coat below; the standard is %s", what, w.of(quantity.Duration, least), w.of(quantity.Duration, j.Standard.DryBeforeClosing))
}

func (j *Job) notFresh(steps []timed, w words) string {
	for i, s := range steps {
		for _, face := range s.Faces {
			wait := j.waited(steps, i, face)
			if fan := j.fanBefore(steps, i); wait > stood && fan < j.Standard.FreshFan {
				had := "no fresh fan"
				if fan > 0 {
					had = w.of(quantity.Duration, fan) + " of fresh fan"
				}
				return fmt.Sprintf("stood %s, then closed over with %s; the standard is %s", w.of(quantity.Duration, wait), had, w.of(quantity.Duration, j.Standard.FreshFan))
			}
		}
	}
	return ""
}

// dampStand says when primer or paint stood in air damper than the standard after
// it could have been dry, and was then closed over.
func (j *Job) dampStand(steps []timed, w words) string {
	for i, s := range steps {
		for _, face := range s.Faces {
			wait := j.waited(steps, i, face)
			if math.IsNaN(wait) || wait <= stood {
				continue
			}
			sum, most, n := 0.0, 0.0, 0.0
			for k := range 97 {
				rh := j.reading(s.at-(wait-stood)*float64(k)/96, wind{}).RH
				sum, most, n = sum+rh, math.Max(most, rh), n+1
			}
			if sum/n > j.Standard.Humidity+0.02 {
				return fmt.Sprintf("stood %s after its last coat, in the end at %s humidity on average, up to %s; the standard is at most %s", w.of(quantity.Duration, wait),
					w.of(quantity.Humidity, sum/n), w.of(quantity.Humidity, most), w.of(quantity.Humidity, j.Standard.Humidity))
			}
		}
	}
	return ""
}

// still says when less air moved over a coat than the standard has, on average
// over the hours the standard has it dry, or until something was laid over it.
func (j *Job) still(steps []timed, w words) string {
	last := 0.0
	for _, c := range j.checks() {
		last = math.Max(last, c.Time)
	}
	if !j.fanSaid() {
		return "no fan is logged; the standard is " + w.of(quantity.AirSpeed, j.Standard.Fan)
	}
	least := math.Inf(1)
	for i, s := range steps {
		if s.Kind == joblog.Coat && s.at < last {
			least = math.Min(least, j.meanSpeed(steps, s.at, j.covered(steps, i)))
		}
	}
	switch {
	case least >= 0.8*j.Standard.Fan:
		return ""
	case least == 0:
		return "no fan over a coat in its first hours; the standard is " + w.of(quantity.AirSpeed, j.Standard.Fan)
	}
	return fmt.Sprintf("%s over a coat on average in its first hours; the standard is %s", w.of(quantity.AirSpeed, least), w.of(quantity.AirSpeed, j.Standard.Fan))
}

// covered is when the standard has a coat dry, or when the next thing went over it.
func (j *Job) covered(steps []timed, i int) float64 {
	end := steps[i].at + j.Standard.DryBeforeClosing
	for _, s := range steps[i+1:] {
		over := (s.Kind == joblog.Coat || s.Closes()) && slices.ContainsFunc(s.Faces, steps[i].On)
		if over && s.at > steps[i].at {
			return math.Min(end, s.at)
		}
	}
	return end
}

// meanSpeed is the speed of the air over a face by its logged fans, m/s, averaged.
func (j *Job) meanSpeed(steps []timed, from, to float64) float64 {
	speed, at, sum := 0.0, from, 0.0
	for _, s := range steps {
		if s.Kind != joblog.FanOn && s.Kind != joblog.FanOff || s.at >= to {
			continue
		}
		if s.at > at {
			sum += speed * (s.at - at)
			at = s.at
		}
		speed = 0
		if s.Kind == joblog.FanOn {
			speed = s.Speed.Mid()
		}
	}
	if to <= from {
		return speed
	}
	return (sum + speed*(to-at)) / (to - from)
}

// poorAir says when the air, averaged over the hours after each coat up to the
// last closing, was colder or damper than the standard.
func (j *Job) poorAir(steps []timed, w words) string {
	end := 0.0
	for _, c := range j.checks() {
		if c.Closes {
			end = math.Max(end, c.Time)
		}
	}
	var t, h, n float64
	coldest, dampest := math.Inf(1), 0.0
	for k := range 193 {
		at := end * float64(k) / 192
		drying := func(f stretch) bool { return f.from <= at && at < f.to }
		if !slices.ContainsFunc(dryingTimes(steps), drying) {
			continue
		}
		r := j.reading(at, wind{})
		t, h, n = t+r.Temperature, h+r.RH, n+1
		coldest, dampest = math.Min(coldest, r.Temperature), math.Max(dampest, r.RH)
	}
	var out []string
	if t/n < j.Standard.Temperature-0.5 {
		out = append(out, fmt.Sprintf("%s on average over the %s after a coat, down to %s; the standard is at least %s", w.of(quantity.Temperature, t/n), w.of(quantity.Duration, stood), w.of(quantity.Temperature, coldest), w.of(quantity.Temperature, j.Standard.Temperature)))
	}
	if h/n > j.Standard.Humidity+0.02 {
		out = append(out, fmt.Sprintf("%s humidity on average, up to %s; the standard is at most %s", w.of(quantity.Humidity, h/n), w.of(quantity.Humidity, dampest), w.of(quantity.Humidity, j.Standard.Humidity)))
	}
	return strings.Join(out, "; ")
}

// thick says when a coat whose film was gauged was thicker than the standard.
func (j *Job) thick(w words) string {
	for _, s := range j.Log.Steps {
		if s.Kind != joblog.Coat || s.WetFilm.Assumed {
			continue
		}
		if most := j.mostFilm(s, j.Log.Materials[s.Material]); s.WetFilm.Low > 1.1*most {
			return fmt.Sprintf("%s at %s wet; the standard is at most %s", j.Log.Materials[s.Material].Name, w.of(quantity.Film, s.WetFilm.Low), w.of(quantity.Film, most))
		}
	}
	return ""
}

func (j *Job) thinnedMore(w words) string {
	for _, s := range j.Log.Steps {
		if s.Kind != joblog.Coat || s.Thinner.Assumed {
			continue
		}
		var t film.Thinning = film.OfPaint(s.Thinner.Mid())
		if s.OfMix {
			t = film.OfMix(s.Thinner.Mid())
		}
		paint, err := film.AsOfPaint(t)
		if most := j.mostThinning(s); err == nil && float64(paint) > most+0.005 {
			return fmt.Sprintf("%s thinned %s of the paint; the standard is at most %s", j.Log.Materials[s.Material].Name, w.of(quantity.Share, float64(paint)), w.of(quantity.Share, most))
		}
	}
	return ""
}

// early says when the finish was put in sun before the standard has it cured.
func (j *Job) early(w words) string {
	last := math.Inf(-1)
	for _, s := range j.Log.Steps {
		switch {
		case s.Kind == joblog.Coat:
			last = s.When.Mid()
		case (s.Kind == joblog.Sun || s.Kind == joblog.Hang) && s.When.Mid()-last < j.Standard.CureBeforeSun:
			return fmt.Sprintf("%s %s after the last coat; the standard is %s", s.Kind.Words(), w.of(quantity.Duration, s.When.Mid()-last), w.of(quantity.Duration, j.Standard.CureBeforeSun))
		}
	}
	return ""
}
