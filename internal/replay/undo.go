package replay

import (
	"math"

	"filmfault/internal/joblog"
	"filmfault/internal/physics/drying"
	"filmfault/internal/physics/drying/exchange"
	"filmfault/internal/uncertain"
)

// Departure is a kind of departure from the shop's standard.
type Departure string

// The departures that a replay can undo.
const (
	Time     Departure = "time"      // closed over sooner than the standard has it
	FreshFan Departure = "fresh-fan" // stood, and closed over without a fresh hour under the fan
	Standing Departure = "standing"  // stood in damp air after it could have been dry
	Fan      Departure = "fan"       // less air moved over the face
	Air      Departure = "air"       // colder or damper air while it dried
	Film     Departure = "film"      // a thicker coat
	Thinning Departure = "thinning"  // more thinner
)

// Undo is the departures that are undone; nil is the job as logged.
type Undo map[Departure]bool

// Undoing makes an Undo.
func Undoing(list ...Departure) Undo {
	out := Undo{}
	for _, d := range list {
		out[d] = true
	}
	return out
}

// stood is how long primer has to stand after its last coat before it counts as
// having stood, in s: past that a night lies between.
const stood = 12 * 3600

// stretch is a time between two times, in s.
type stretch struct{ from, to float64 }

// delayed moves what closes a film to when the standard allows it, and all that
// follows with it; it gives the fresh hours under the fan that it added before a
// film that had stood.
func (j *Job) delayed(steps []timed, face joblog.Face, undo Undo) ([]timed, []stretch) {
	if undo[Shade] {
		j.cured(steps)
	}
	var fresh []stretch
	for i := range steps {
		wait := j.waited(steps, i, face)
		if math.IsNaN(wait) {
			continue
		}
		if short := j.Standard.DryBeforeClosing - wait; undo[Time] && short > 0 {
			delay(steps[i:], short)
		}
		if lacks := j.Standard.FreshFan - j.fanBefore(steps, i); undo[FreshFan] && wait > stood && lacks > 0 {
			fresh = append(fresh, stretch{steps[i].at, steps[i].at + lacks})
			delay(steps[i:], lacks)
		}
	}
	return steps, fresh
}

// cured moves putting in sun and hanging to when the standard has it cured.
func (j *Job) cured(steps []timed) {
	last := math.Inf(-1)
	for i, s := range steps {
		if s.Kind == joblog.Coat {
			last = s.at
		}
		if short := last + j.Standard.CureBeforeSun - s.at; (s.Kind == joblog.Sun || s.Kind == joblog.Hang) && short > 0 {
			delay(steps[i:], short)
		}
	}
}

func delay(steps []timed, by float64) {
	for i := range steps {
		steps[i].at += by
	}
}

// waited is how long the film that step i closes over had been left since its
// last coat; NaN when the step closes nothing.
func (j *Job) waited(steps []timed, i int, face joblog.Face) float64 {
	s := steps[i]
	if !s.On(face) || s.Kind != joblog.Coat && !s.Closes() {
		return math.NaN()
	}
	last := -1
	for k := range i {
		if steps[k].Kind == joblog.Coat && steps[k].On(face) {
			last = k
		}
	}
	overPrimer := s.Kind == joblog.Coat && j.Log.Primes(s.Step)
	if last < 0 || overPrimer {
		return math.NaN()
	}
	return s.at - steps[last].at
}

// fanBefore is how long a fan had blown without a break before step i, in s.
func (j *Job) fanBefore(steps []timed, i int) float64 {
	on := math.NaN()
	for _, s := range steps[:i] {
		switch {
		case s.Kind == joblog.FanOff:
			on = math.NaN()
		case s.Kind == joblog.FanOn && math.IsNaN(on):
			on = s.at
		}
	}
	if math.IsNaN(on) {
		return 0
	}
	return steps[i].at - on
}

// thinned averages readings closer than a step of the calculation can tell, five
// minutes.
func thinned(air []joblog.Reading) []joblog.Reading {
	const every = 300
	var out []joblog.Reading
	for i := 0; i < len(air); {
		sum, n := joblog.Reading{}, 0.0
		for k := i; k < len(air) && air[k].Time < air[i].Time+every; k++ {
			sum.Time += air[k].Time
			sum.Temperature += air[k].Temperature
			sum.Humidity += air[k].Humidity
			n++
		}
		out = append(out, joblog.Reading{Time: sum.Time / n, Temperature: sum.Temperature / n, Humidity: sum.Humidity / n})
		i += int(n)
	}
	return out
}

// airOf is the air over the face in one draw from a time to another: the
// readings, and the speed of fan or room, with a jump where it changes.
func (j *Job) airOf(d uncertain.Draws, draw int, steps []timed, fresh []stretch, from, to float64, undo Undo) (drying.Air, error) {
	winds := j.winds(d, draw, steps, fresh, from, to, undo)
	var out []drying.Reading
	k := 0
	for i, w := range winds {
		until := to
		if i+1 < len(winds) {
			until = winds[i+1].at
		}
		start := math.Max(w.at, from)
		out = append(out, j.reading(start, w))
		for k < len(j.air) && j.air[k].Time <= start {
			k++
		}
		for ; k < len(j.air) && j.air[k].Time < until; k++ {
			out = append(out, j.reading(j.air[k].Time, w))
		}
		out = append(out, j.reading(until, w))
	}
	return drying.NewAir(out)
}

// reading is the air at a time: between the readings on either side, held
// before the first and after the last.
func (j *Job) reading(t float64, w wind) drying.Reading {
	air := exchange.Air{Speed: w.speed}
	at := 0
	for step := len(j.air); step > 0; step /= 2 {
		for at+step < len(j.air) && j.air[at+step].Time <= t {
			at += step
		}
	}
	a := j.air[at]
	air.Temperature, air.RH = a.Temperature, a.Humidity
	if at+1 < len(j.air) && t > a.Time {
		b := j.air[at+1]
		share := (t - a.Time) / (b.Time - a.Time)
		air.Temperature += share * (b.Temperature - a.Temperature)
		air.RH += share * (b.Humidity - a.Humidity)
	}
	if w.better {
		air.Temperature = math.Max(air.Temperature, j.Standard.Temperature)
		air.RH = math.Min(air.RH, j.Standard.Humidity)
	}
	return drying.Reading{Time: t, Air: air}
}

// wind is the speed of the air from a time on; better says that the air is to be
// as good as the standard has it.
type wind struct {
	at, speed float64
	better    bool
}

// winds lists the speeds of the air from a time to another. The first begins at
// or before from; none has no length.
func (j *Job) winds(d uncertain.Draws, draw int, steps []timed, fresh []stretch, from, to float64, undo Undo) []wind {
	every := everyJob()
	still := d.Value(every.still, draw)
	now := wind{at: from, speed: still}
	if !j.fanSaid() {
		now.speed = d.Value(every.unknownFan, draw)
	}
	out := []wind{now}
	for _, s := range steps {
		switch s.Kind {
		case joblog.FanOn:
			out = changed(out, wind{at: s.at, speed: d.Value(s.Speed, draw)}, from)
		case joblog.FanOff:
			out = changed(out, wind{at: s.at, speed: still}, from)
		}
	}
	if undo[Fan] {
		out = j.standardFan(out, steps)
	}
	for _, f := range fresh {
		out = raised(out, f.from, f.to, j.Standard.Fan, true)
	}
	for _, f := range dryingTimes(steps) {
		if undo[Air] {
			out = raised(out, f.from, f.to, 0, true)
		}
	}
	if undo[Standing] {
		out = j.standing(out, steps, from, to)
	}
	for len(out) > 1 && out[len(out)-1].at >= to {
		out = out[:len(out)-1]
	}
	return out
}

func (j *Job) fanSaid() bool {
	for _, s := range j.Log.Steps {
		if s.Kind == joblog.FanOn || s.Kind == joblog.FanOff {
			return true
		}
	}
	return false
}

// changed adds a change; one at or before the start, or at the time of the last,
// takes that one's place.
func changed(list []wind, w wind, from float64) []wind {
	w.at = math.Max(w.at, from)
	if last := &list[len(list)-1]; w.at <= last.at {
		w.at = last.at
		*last = w
		return list
	}
	return append(list, w)
}

// standardFan raises the speed to the standard for as long after every coat as
// the standard has it dry.
func (j *Job) standardFan(list []wind, steps []timed) []wind {
	for _, s := range steps {
		if s.Kind == joblog.Coat {
			list = raised(list, s.at, s.at+j.Standard.DryBeforeClosing, j.Standard.Fan, false)
		}
	}
	return list
}

// dryingTimes are the hours after each coat in which what the air was is a matter
// of drying; later it is one of standing.
func dryingTimes(steps []timed) []stretch {
	var out []stretch
	for _, s := range steps {
		if s.Kind == joblog.Coat {
			out = append(out, stretch{s.at, s.at + stood})
		}
	}
	return out
}

// standing betters the air of all other times.
func (j *Job) standing(list []wind, steps []timed, from, to float64) []wind {
	at := from
	for _, f := range dryingTimes(steps) {
		if f.from > at {
			list = raised(list, at, f.from, 0, true)
		}
		at = math.Max(at, f.to)
	}
	if at < to {
		list = raised(list, at, to, 0, true)
	}
	return list
}

// raised sets a least speed between two times, and the standard's air if asked.
func raised(list []wind, from, to, least float64, better bool) []wind {
	var out []wind
	put := func(w wind) {
		if n := len(out); n > 0 && out[n-1].at == w.at {
			out[n-1] = w
		} else {
			out = append(out, w)
		}
	}
	for i, w := range list {
		end := math.Inf(1)
		if i+1 < len(list) {
			end = list[i+1].at
		}
		put(w)
		if a, b := math.Max(w.at, from), math.Min(end, to); a < b {
			put(wind{a, math.Max(w.speed, least), w.better || better})
			if b < end {
				put(wind{b, w.speed, w.better})
			}
		}
	}
	return out
}
