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
	add(Fan, j.still(w))
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
			if wait, _ := j.waited(steps, i, face); wait < least {
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
			wait, _ := j.waited(steps, i, face)
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

// still says when less air moved after a coat than the standard has.
func (j *Job) still(w words) string {
	if !j.fanSaid() {
		return "no fan is logged; the standard is " + w.of(quantity.AirSpeed, j.Standard.Fan)
	}
	speed, on, last := 0.0, false, 0.0
	for _, c := range j.checks() {
		last = math.Max(last, c.Time)
	}
	for _, s := range j.Log.Steps {
		switch s.Kind {
		case joblog.FanOn:
			speed, on = s.Speed.Mid(), true
		case joblog.FanOff:
			on = false
		}
		if s.Kind != joblog.Coat || s.When.Mid() >= last {
			continue // nothing was laid over it
		}
		if !on && !j.fanSoon(s) {
			return "the fan was off after a coat; the standard is " + w.of(quantity.AirSpeed, j.Standard.Fan)
		}
		if on && speed < 0.8*j.Standard.Fan {
			return fmt.Sprintf("%s over the face; the standard is %s", w.of(quantity.AirSpeed, speed), w.of(quantity.AirSpeed, j.Standard.Fan))
		}
	}
	return ""
}

// fanSoon reports whether a fan was put on within half an hour of a coat.
func (j *Job) fanSoon(coat joblog.Step) bool {
	return slices.ContainsFunc(j.Log.Steps, func(s joblog.Step) bool {
		after := s.When.Mid() - coat.When.Mid()
		return s.Kind == joblog.FanOn && after >= 0 && after <= 1800
	})
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
		if !isDrying(steps, at) {
			continue
		}
		r := j.reading(at, wind{}, func(float64) bool { return false })
		t, h, n = t+r.Temperature, h+r.RH, n+1
		coldest, dampest = math.Min(coldest, r.Temperature), math.Max(dampest, r.RH)
	}
	var out []string
	if t/n < j.Standard.Temperature-0.5 {
		out = append(out, fmt.Sprintf("%s on average, down to %s; the standard is at least %s", w.of(quantity.Temperature, t/n), w.of(quantity.Temperature, coldest), w.of(quantity.Temperature, j.Standard.Temperature)))
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
		if most := j.mostFilm(s, j.Log.Materials[s.Material]); s.WetFilm.Mid() > 1.1*most {
			return fmt.Sprintf("%s at %s wet; the standard is at most %s", j.Log.Materials[s.Material].Name, w.of(quantity.Film, s.WetFilm.Mid()), w.of(quantity.Film, most))
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
