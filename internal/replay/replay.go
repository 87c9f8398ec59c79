// Package replay follows the water in the coats of a logged job, once per draw
// of everything that is not known exactly, and says how much was left each time
// something was laid over a film: a mask, paint, a wrap, sun. It can replay the
// job with departures from the shop's standard undone, and predict how far
// unequal coats bow the panel.
//
// The same draw of an input serves every step, both faces and every replay, so
// that two replays differ by what was undone and by nothing else. The package
// says how likely a film was too wet by a limit it is given; it knows no causes
// and prints nothing. It sits on joblog, shop and the physics packages.
package replay

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"filmfault/internal/joblog"
	"filmfault/internal/physics/drying/exchange"
	"filmfault/internal/shop"
	"filmfault/internal/uncertain"
)

// Job is a log with the standard it is held against.
type Job struct {
	Log      *joblog.Log
	Standard shop.Standard

	air []joblog.Reading // thinned to what a step can tell
}

// New makes a job ready for replaying.
func New(log *joblog.Log, standard shop.Standard) *Job {
	return &Job{Log: log, Standard: standard, air: thinned(log.Air)}
}

// Layer says which film a check is about.
type Layer int

// The films.
const (
	Primer Layer = iota // all primer on the face
	Colour              // all colour coats on the face
	Whole               // everything
)

// String names the film.
func (l Layer) String() string { return [...]string{"primer", "colour coat", "finish"}[l] }

// Check is a time at which a film should have been dry enough for what was done.
type Check struct {
	Kind   joblog.Kind
	Face   joblog.Face
	Layer  Layer
	Closes bool // something was laid over it
	// Time is the middle of when it was, in s of the log.
	Time float64
	step int
}

// Outcome is what a replay found.
type Outcome struct {
	Checks []Check
	// Excess is, per check and draw, the water above what the film holds at rest
	// in air of 50 %, in kg for each kg of dry film.
	Excess [][]float64
	// Driest is the least it had been since the last coat: what was never dry
	// cannot have taken water up again.
	Driest [][]float64
	Draws  uncertain.Draws
}

// The air's inputs. Common practice, no source: hand instruments and loggers of
// a shop.
const (
	thermometerError = 1.0 // K
	hygrometerError  = 0.03
	stillLow         = 0.05 // m/s
	stillHigh        = 0.2
	thickestSpot     = 1.2 // film at the failed place over what the gauge read
)

// inputs are the inputs of every replay besides those of the log and of the
// materials.
type inputs struct{ thermometer, hygrometer, still, spot, unknownFan, jet uncertain.Input }

func everyJob() inputs {
	in := func(id string, low, high float64, unit string) uncertain.Input {
		return uncertain.Input{ID: id, Low: low, High: high, Unit: unit, Assumed: true, Source: "common practice, no source"}
	}
	return inputs{
		thermometer: in("thermometer-error", -thermometerError, thermometerError, "K"),
		hygrometer:  in("hygrometer-error", -hygrometerError, hygrometerError, ""),
		still:       in("still-air-speed", stillLow, stillHigh, "m/s"),
		spot:        in("film-at-the-failure", 1, thickestSpot, ""),
		unknownFan:  in("air-speed-not-logged", 0.1, 1, "m/s"),
		// A plate in an even wind is smooth to a length of metres; the jet of a shop
		// fan is turbulent as it comes. Nobody knows which a job had.
		jet: in("fan-jet-turbulent", 0, 1, ""),
	}
}

// EveryJob lists the inputs that replays draw besides those of a log and of its
// materials; one that is not called for is not drawn.
func EveryJob() []uncertain.Input {
	e := everyJob()
	return []uncertain.Input{e.thermometer, e.hygrometer, e.still, e.spot, e.unknownFan, e.jet}
}

// Assumes lists the inputs that a replay draws besides those of its log and its
// materials.
func (j *Job) Assumes() []uncertain.Input {
	e := everyJob()
	if j.fanSaid() {
		return []uncertain.Input{e.thermometer, e.hygrometer, e.still, e.spot, e.jet}
	}
	return []uncertain.Input{e.thermometer, e.hygrometer, e.unknownFan, e.spot, e.jet}
}

// Run replays the job once per draw with some departures undone, on all
// processors, as far as the checks of some films go, or all when none is named.
// Errors: that of a draw that cannot be computed, or of the context.
func (j *Job) Run(ctx context.Context, d uncertain.Draws, undo Undo, only ...Layer) (*Outcome, error) {
	out := &Outcome{Checks: j.checks(only...), Draws: d}
	for range out.Checks {
		out.Excess, out.Driest = append(out.Excess, make([]float64, d.Len())), append(out.Driest, make([]float64, d.Len()))
	}
	faces := j.faces()
	tasks := d.Len() * len(faces) // a draw of a face each
	workers := min(runtime.NumCPU(), tasks)
	errs := make([]error, workers)
	var group sync.WaitGroup
	for w := range workers {
		group.Go(func() {
			for task := w; task < tasks && errs[w] == nil; task += workers {
				if errs[w] = context.Cause(ctx); errs[w] == nil {
					errs[w] = j.one(out, d, task/len(faces), faces[task%len(faces)], undo)
				}
			}
		})
	}
	group.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// one replays one draw of one face.
func (j *Job) one(out *Outcome, d uncertain.Draws, draw int, face joblog.Face, undo Undo) error {
	f, err := j.follow(d, draw, face, undo, out.Checks, 0)
	if err != nil {
		return fmt.Errorf("draw %d, %s: %w", draw+1, face, err)
	}
	for i, c := range out.Checks {
		if c.Face == face {
			out.Excess[i][draw], out.Driest[i][draw] = f.excess(c)
		}
	}
	return nil
}

// faces lists the faces to follow; two that were treated alike are one.
func (j *Job) faces() []joblog.Face {
	var out []joblog.Face
	for _, f := range []joblog.Face{joblog.Front, joblog.Back} {
		if len(j.Log.Coats(f)) > 0 {
			out = append(out, f)
		}
	}
	if len(out) == 2 && j.alike() {
		return out[:1]
	}
	return out
}

// alike reports whether all that was done was done to both faces.
func (j *Job) alike() bool {
	return !slices.ContainsFunc(j.Log.Steps, func(s joblog.Step) bool { return s.On(joblog.Front) != s.On(joblog.Back) })
}

// drySince is how long after its last coat a finish needs no following any more,
// in s.
const drySince = 10 * 86400

// checks lists the checks of all faces followed, in order of time: those of some
// films, or all.
func (j *Job) checks(only ...Layer) []Check {
	var out []Check
	for _, face := range j.faces() {
		primed, coloured, colourOnTop, last := false, false, false, 0.0
		for i, s := range j.Log.Steps {
			if !s.On(face) {
				continue
			}
			c := Check{Kind: s.Kind, Face: face, Time: s.When.Mid(), step: i}
			if s.Kind == joblog.Coat {
				last = c.Time
			}
			switch {
			case s.Kind == joblog.Coat && j.Log.Primes(s):
				over := colourOnTop
				primed, colourOnTop = true, false
				if !over {
					continue
				}
				c.Layer, c.Closes = Colour, true
			case s.Kind == joblog.Coat && !primed && !coloured:
				coloured, colourOnTop = true, true
				continue
			case s.Kind == joblog.Coat && colourOnTop:
				c.Layer, c.Closes = Colour, true
			case s.Kind == joblog.Coat:
				c.Layer, c.Closes, coloured, colourOnTop = Primer, true, true, true
			case s.Closes() && colourOnTop:
				c.Layer, c.Closes = Colour, true
			case s.Closes() && primed:
				c.Layer, c.Closes = Primer, true
			case s.Kind == joblog.Sand && primed && !coloured:
				c.Layer = Primer
			case (s.Kind == joblog.Sun || s.Kind == joblog.Hang) && c.Time-last < drySince && j.airKnown(c.Time) && (primed || coloured):
				c.Layer = Whole
			default:
				continue
			}
			if c.Layer == Colour && !j.waterborne(face, i) {
				continue // a coat that dries by solvent is not followed
			}
			out = append(out, c)
		}
	}
	if len(only) > 0 {
		out = slices.DeleteFunc(out, func(c Check) bool { return !slices.Contains(only, c.Layer) })
	}
	slices.SortStableFunc(out, func(a, b Check) int { return cmp.Compare(a.Time, b.Time) })
	return out
}

// airKnown reports whether the air is logged, or nearly, at a time.
func (j *Job) airKnown(t float64) bool {
	return len(j.air) == 1 || t-j.air[len(j.air)-1].Time < unlogged
}

// unlogged is how long past the last reading of the air a film in it is still
// followed, in s.
const unlogged = 12 * 3600

// waterborne reports whether a colour coat on a face before a step holds water.
func (j *Job) waterborne(face joblog.Face, step int) bool {
	return slices.ContainsFunc(j.Log.Steps[:step], func(s joblog.Step) bool {
		return s.Kind == joblog.Coat && s.On(face) && !j.Log.Primes(s) && j.Log.Materials[s.Material].WaterShare.High > 0
	})
}

// TooWet is, per draw, the probability that a film of a kind was too wet when it
// was closed over, or the whole finish when it was put in sun: at the worst of those times, by a limit whose own spread is
// taken in. It is nil when nothing closed such a film.
func (o *Outcome) TooWet(l Layer, limit uncertain.Input) []float64 {
	return o.worst(l, limit, o.Excess)
}

// NeverDry is, per draw, the probability that the film had at no time since its
// last coat been dry enough to be closed over.
func (o *Outcome) NeverDry(l Layer, limit uncertain.Input) []float64 {
	return o.worst(l, limit, o.Driest)
}

// worst is the probability that a figure is over the limit at the worst check.
func (o *Outcome) worst(l Layer, limit uncertain.Input, figure [][]float64) []float64 {
	var out []float64
	for i, c := range o.Checks {
		if c.Layer != l || !c.Closes && l != Whole {
			continue
		}
		if out == nil {
			out = make([]float64, o.Draws.Len())
		}
		for s, x := range figure[i] {
			out[s] = max(out[s], limit.Below(x))
		}
	}
	return out
}

// Chance is the probability that the film was too wet at one check.
func (o *Outcome) Chance(check int, limit uncertain.Input) float64 {
	sum := 0.0
	for _, x := range o.Excess[check] {
		sum += limit.Below(x)
	}
	return sum / float64(len(o.Excess[check]))
}

// panel is the face that dries, in one draw.
func (j *Job) panel(d uncertain.Draws, draw int) exchange.Face {
	p := j.Log.Panel
	f := exchange.Face{Along: within(d.Value(p.Along, draw), 0.02, 10), Across: within(d.Value(p.Across, draw), 0.02, 10), Emissivity: 0.9}
	if p.FaceUp {
		f.Attitude = exchange.FaceUp
	}
	if d.Unit(everyJob().jet.ID, draw) < 0.5 {
		f.Flow = exchange.Tripped
	}
	return f
}

func within(x, low, high float64) float64 { return math.Min(math.Max(x, low), high) }
