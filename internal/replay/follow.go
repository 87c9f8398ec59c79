package replay

import (
	"math"
	"slices"

	"filmfault/internal/joblog"
	"filmfault/internal/physics/coating"
	"filmfault/internal/physics/drying"
	"filmfault/internal/physics/film"
	"filmfault/internal/physics/material"
	"filmfault/internal/uncertain"
)

// timed is a step at its time in one draw.
type timed struct {
	joblog.Step
	at  float64
	was int // index of the step in the log
}

// followed is one face in one draw.
type followed struct {
	trace drying.Trace
	coats []laid
	steps []timed
}

// laid is a coat on the face: what it holds dry at times, sanding taken off.
type laid struct {
	primer bool
	rest   float64 // water at rest in air of 50 %, kg for each kg
	mass   []massFrom
}

type massFrom struct{ at, mass float64 }

// massAt is the dry film in kg/m2 just before a time.
func (l laid) massAt(t float64) float64 {
	m := 0.0
	for _, x := range l.mass {
		if x.at < t {
			m = x.mass
		}
	}
	return m
}

// longestStep of a replay in s: half that of package drying's own, which moves
// the water at a check by less than .02 % of the dry film.
const longestStep = 1800

// follow simulates one face in one draw, as far as some checks go, and to a time
// at least.
func (j *Job) follow(d uncertain.Draws, draw int, face joblog.Face, undo Undo, checks []Check, until float64) (*followed, error) {
	every := everyJob()
	f := &followed{}
	var fresh []stretch
	f.steps, fresh = j.resolve(d, draw, face, undo)
	events, err := f.events(j, d, draw, face, undo, d.Value(every.spot, draw))
	if err != nil || len(events) == 0 {
		return f, err
	}
	end := math.Max(events[0].Time+60, until)
	for _, c := range checks {
		if at := f.at(c.step); c.Face == face && at >= 0 {
			end = math.Max(end, f.steps[at].at+60)
		}
	}
	events = slices.DeleteFunc(events, func(e drying.Event) bool { return e.Time > end })
	air, err := j.airOf(d, draw, f.steps, fresh, events[0].Time, end, undo)
	if err != nil {
		return nil, err
	}
	air = air.Warmer(d.Value(every.thermometer, draw)).Damper(d.Value(every.hygrometer, draw))
	stack := drying.Stack{Face: j.panel(d, draw)}
	f.trace, err = drying.Simulate(stack, air, events, drying.Options{From: events[0].Time, To: end, MaxStep: longestStep})
	return f, err
}

// resolve gives the steps their times in a draw, and the fresh hours under the fan
// that were added. A step whose stretch ran past the next clock time, or back
// before the last, keeps its place between them; clock times stay.
func (j *Job) resolve(d uncertain.Draws, draw int, face joblog.Face, undo Undo) ([]timed, []stretch) {
	out := make([]timed, len(j.Log.Steps))
	for i, s := range j.Log.Steps {
		out[i] = timed{Step: s, at: s.When.At(d, draw), was: i}
	}
	next, before := math.Inf(1), math.Inf(-1)
	for i := len(out) - 1; i >= 0; i-- {
		if len(out[i].When.Waits) == 0 {
			next = math.Min(next, out[i].at)
		}
		out[i].at = math.Min(out[i].at, next)
	}
	for i := range out {
		before = math.Max(before, out[i].at)
		out[i].at = before
	}
	return j.delayed(out, face, undo)
}

// events turns the steps on a face into what package drying follows. A mask that
// is painted over while on covers only part of the face, and the film is
// followed where it was open.
func (f *followed) events(j *Job, d uncertain.Draws, draw int, face joblog.Face, undo Undo, spot float64) ([]drying.Event, error) {
	var out []drying.Event
	masked := false
	for i, s := range f.steps {
		if !s.On(face) {
			continue
		}
		switch s.Kind {
		case joblog.Coat:
			l, err := j.coat(d, draw, s.Step, undo, spot)
			if err != nil {
				return nil, err
			}
			out = append(out, drying.CoatOn(s.at, l))
			rest, err := l.Material.Sorption.Content(0.5)
			if err != nil {
				return nil, err
			}
			f.coats = append(f.coats, laid{j.Log.Primes(s.Step), rest, []massFrom{{s.at, l.Dry * l.Material.Density}}})
		case joblog.Sand:
			if masked {
				continue // the mask is what was sanded over, not the film
			}
			if depth := f.sand(s.at, d.Value(s.Depth, draw), out); depth > 0 {
				out = append(out, drying.SandOff(s.at, depth))
			}
		case joblog.MaskOn, joblog.Wrap, joblog.Graphics:
			if !masked && len(f.coats) > 0 && !f.paintedOver(i, face) {
				p := d.Value(j.cover(s.Step).Permeance, draw)
				out, masked = append(out, drying.MaskOn(s.at, drying.Mask{Permeance: within(p, 1e-15, 1e-8)})), true
			}
		case joblog.MaskOff:
			if masked {
				out, masked = append(out, drying.MaskOff(s.at)), false
			}
		}
	}
	return out, nil
}

// cover is the material of what was laid over a film: a wrap is taken to be as
// tight as a blast mask, graphics as a paint mask.
func (j *Job) cover(s joblog.Step) material.Material {
	id := s.Material
	switch s.Kind {
	case joblog.Wrap:
		id = material.BlastMask
	case joblog.Graphics:
		id = material.PaintMask
	}
	if m, ok := j.Log.Materials[id]; ok {
		return m
	}
	m, _ := material.Generic(id)
	return m
}

// paintedOver reports whether a coat goes on before the mask of step i comes off.
func (f *followed) paintedOver(i int, face joblog.Face) bool {
	for _, s := range f.steps[i+1:] {
		if s.Kind == joblog.MaskOff && s.On(face) {
			return false
		}
		if s.Kind == joblog.Coat && s.On(face) {
			return true
		}
	}
	return false
}

// mostSanded is the share of the film that sanding can take off in a replay:
// what is left is still followed.
const mostSanded = 0.8

// sand takes a depth in m off the coats' books, from the top, and gives what it
// took.
func (f *followed) sand(at, depth float64, events []drying.Event) float64 {
	var layers []drying.Layer
	for _, e := range events {
		if e.Coat != nil {
			layers = append(layers, *e.Coat)
		}
	}
	whole := 0.0
	for i, l := range f.coats {
		whole += l.massAt(at) / layers[i].Material.Density
	}
	depth = math.Min(depth, mostSanded*whole)
	left := depth
	for i := len(f.coats) - 1; i >= 0 && left > 0; i-- {
		density := layers[i].Material.Density
		now := f.coats[i].massAt(at) / density
		off := math.Min(left, now)
		f.coats[i].mass = append(f.coats[i].mass, massFrom{at, (now - off) * density})
		left -= off
	}
	return depth
}

// coat is a coat of the log in one draw.
func (j *Job) coat(d uncertain.Draws, draw int, s joblog.Step, undo Undo, spot float64) (drying.Layer, error) {
	m := j.Log.Materials[s.Material]
	paint, err := coating.Draw(m, d, draw)
	if err != nil {
		return drying.Layer{}, err
	}
	wet := d.Value(s.WetFilm, draw)
	if undo[Film] {
		wet = math.Min(wet, j.mostFilm(s, m))
	}
	return paint.Coat(wet*spot, j.thinning(d.Value(s.Thinner, draw), s, undo))
}

// mostFilm is the wet film that the standard allows one coat, in m.
func (j *Job) mostFilm(s joblog.Step, m material.Material) float64 {
	if j.Log.Primes(s) {
		return math.Max(j.Standard.WetFilm, fillerLift(m))
	}
	return m.RecommendedWetFilm.High
}

// fillerLift is the film of a lift of filler, to which the standard for a coat of
// primer does not apply; 0 for other materials.
func fillerLift(m material.Material) float64 {
	if most := m.RecommendedWetFilm.High; most > 1e-3 {
		return most
	}
	return 0
}

// mostThinning is what the standard allows.
func (j *Job) mostThinning(s joblog.Step) float64 {
	if j.Log.Primes(s) {
		return j.Standard.Thinning
	}
	return j.Log.Materials[s.Material].MaximumThinning.High
}

func (j *Job) thinning(share float64, s joblog.Step, undo Undo) film.Thinning {
	share = within(share, 0, 0.66)
	var t film.Thinning = film.OfPaint(share)
	if s.OfMix {
		t = film.OfMix(share)
	}
	if paint, err := film.AsOfPaint(t); err == nil && undo[Thinning] && float64(paint) > j.mostThinning(s) {
		return film.OfPaint(j.mostThinning(s))
	}
	return t
}

// excess is the water of a check's film above rest, kg for each kg of dry film,
// just before what was done, and the least it had been since the last coat.
func (f *followed) excess(c Check) (now, driest float64) {
	at := f.at(c.step)
	if at < 0 || len(f.trace.Points) == 0 {
		return 0, 0
	}
	t := f.steps[at].at
	since := math.Inf(-1)
	for _, s := range f.steps[:at] {
		if s.Kind == joblog.Coat && s.On(c.Face) {
			since = s.at
		}
	}
	now = f.above(t, c.Layer)
	driest = now
	for _, p := range f.trace.Points {
		if p.Time > since+before && p.Time < t-before {
			driest = math.Min(driest, f.aboveIn(p, p.Time, c.Layer))
		}
	}
	return now, driest
}

// at is the place of a step of the log, -1 for none.
func (f *followed) at(step int) int {
	return slices.IndexFunc(f.steps, func(s timed) bool { return s.was == step })
}

// before is how long before a step its film is looked at, in s: a step's own
// event counts as done at its time.
const before = 1

// above is the water above rest in a film at a time, kg for each kg.
func (f *followed) above(t float64, l Layer) float64 {
	return f.aboveIn(f.trace.At(t-before), t, l)
}

// aboveIn is the same at a point of the trace.
func (f *followed) aboveIn(p drying.Point, t float64, l Layer) float64 {
	water, mass := 0.0, 0.0
	for i, c := range f.coats {
		if i >= len(p.Layers) || l == Primer && !c.primer || l == Colour && c.primer {
			continue
		}
		m := c.massAt(t)
		water += p.Layers[i] - c.rest*m
		mass += m
	}
	if mass == 0 {
		return 0
	}
	return water / mass
}
