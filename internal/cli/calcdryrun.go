package cli

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"runtime/debug"
	"sync"

	"filmfault/internal/physics/coating"
	"filmfault/internal/physics/drying"
	"filmfault/internal/physics/drying/exchange"
	"filmfault/internal/uncertain"
)

// shopAir is the air of a shop: steady, or of a log.
type shopAir struct {
	temperature, humidity uncertain.Input
	log                   *loggedAir
	fan                   fan
}

// of is the air of one draw over the face, on the clock of the first coat.
func (a shopAir) of(d uncertain.Draws, draw int) (drying.Air, error) {
	var air drying.Air
	if a.log != nil {
		air = a.log.air
	} else {
		var err error
		air, err = drying.Steady(exchange.Air{Temperature: d.Value(a.temperature, draw), RH: max(d.Value(a.humidity, draw), 0), Speed: 1})
		if err != nil {
			return air, err
		}
	}
	return asRead(air, d, draw).Faster(d.Value(a.fan.speed(), draw)), nil
}

// asShown is the air as it was read, over a stretch on the clock of the first
// coat.
func (a shopAir) asShown(from, to float64) exchange.Air {
	if a.log != nil {
		return a.log.air.Mean(from, to)
	}
	return exchange.Air{Temperature: a.temperature.Mid(), RH: a.humidity.Mid()}
}

// dryJob is what dries, in which air.
type dryJob struct {
	paint   wetPaint
	between uncertain.Input // from one coat to the next, s
	air     shopAir
	panel   panel
	limit   uncertain.Input
	// horizon is how long after the last coat it is followed, in s.
	horizon float64
	// after is how long after the last coat it is looked at, in s; without an ID it
	// is not.
	after uncertain.Input
}

// dried is what became of the coats in one draw. Times are in s after the last
// coat; infinite means never in this air, the horizon means that long or longer.
type dried struct {
	trace drying.Trace
	// applied are the times of the coats on the clock of the first.
	applied            []float64
	tackFree, sandable float64
	// rest is the water at rest in air of 50 %, kg for each kg of dry film.
	rest float64
	// after is where the film was looked at.
	after float64
	// coldest is the lowest temperature of the film while wet, in K.
	coldest float64
	// early says that a coat went on before the one below was tack free, again that
	// the film came over the limit again after it had been sandable.
	early, again bool
}

// last is when the last coat went on, on the clock of the first.
func (x dried) last() float64 { return x.applied[len(x.applied)-1] }

// over is the water over rest so many seconds after the last coat, kg for each kg
// of dry film.
func (x dried) over(seconds float64) float64 {
	return x.trace.At(x.last()+seconds).Fraction() - x.rest
}

// The stretch that is followed after the last coat, and the longest step in it.
// Steady air needs no more steps than the film asks for.
const (
	followed      = 7 * 86400
	steadyStep    = 12 * 3600
	loggedStep    = 1800
	coarse        = 0.02 // tolerance of a step; times come within two percent of those by steps of 10 min
	restingAir    = 0.5  // relative humidity that a film is dry in
	longestJob    = 60 * 86400
	leastHumidity = 1e-9 // short of saturated
)

// one follows the coats in one draw.
func (j dryJob) one(d uncertain.Draws, draw int) (dried, error) {
	var x dried
	paint, err := j.paint.drawn(d, draw)
	if err != nil {
		return x, err
	}
	if x.rest, err = paint.Resting(restingAir); err != nil {
		return x, err
	}
	events, err := x.coats(j, paint, d, draw)
	if err != nil {
		return x, err
	}
	air, err := j.air.of(d, draw)
	if err != nil {
		return x, err
	}
	if j.after.ID != "" {
		x.after = max(d.Value(j.after, draw), 0)
	}
	step := float64(steadyStep)
	if j.air.log != nil {
		step = loggedStep
	}
	x.trace, err = drying.Simulate(drying.Stack{Face: j.panel.face(d, draw)}, air, events,
		drying.Options{To: x.last() + j.horizon, MaxStep: step, Tolerance: coarse})
	if err != nil {
		return x, err
	}
	atRest, err := paint.Resting(air.Mean(x.last()+j.horizon, x.last()+j.horizon).RH)
	if err != nil {
		return x, err
	}
	x.read(d.Value(j.limit, draw), atRest, j.horizon)
	if j.air.log != nil {
		x.again = x.comesAgain(d.Value(j.limit, draw), j.air.log.known)
	}
	return x, nil
}

// coats lays the coats of one draw, one after the other.
func (x *dried) coats(j dryJob, paint coating.Paint, d uncertain.Draws, draw int) ([]drying.Event, error) {
	var events []drying.Event
	at := 0.0
	for n := 1; n <= j.paint.count; n++ {
		l, err := j.paint.layer(paint, d, draw, n)
		if err != nil {
			return nil, err
		}
		events, x.applied = append(events, drying.CoatOn(at, l)), append(x.applied, at)
		wait := j.between
		wait.ID = fmt.Sprintf("coat-%d-to-next", n)
		at += max(d.Value(wait, draw), 0)
	}
	return events, nil
}

// comesAgain says that damp air puts the film over the limit again after it was
// sandable and before a time.
func (x dried) comesAgain(limit, until float64) bool {
	for _, p := range x.trace.Points {
		if p.Time > x.last()+x.sandable && p.Time <= until && p.Fraction() > x.rest+limit+leastTaken {
			return true
		}
	}
	return false
}

// read takes the times out of the trace. atRest is the water that the air at the
// end leaves in the film for good.
func (x *dried) read(limit, atRest, horizon float64) {
	x.coldest = math.Inf(1)
	for _, p := range x.trace.Points {
		if p.Liquid > 0 {
			x.coldest = min(x.coldest, p.Surface)
		}
	}
	x.sandable = horizon
	if t, ok := x.trace.TimeTo(x.rest+limit, x.last()); ok {
		x.sandable = t - x.last()
	} else if atRest > x.rest+limit {
		x.sandable = math.Inf(1)
	}
	coats := x.trace.Coats
	x.tackFree = coats[len(coats)-1].TackFree - x.last()
	if end := x.trace.Points[len(x.trace.Points)-1]; math.IsNaN(x.tackFree) {
		x.tackFree = horizon
		if end.Air.RH > 1-leastHumidity {
			x.tackFree = math.Inf(1) // nothing leaves a wet film in such air
		}
	}
	for i := range coats[:len(coats)-1] {
		x.early = x.early || !(coats[i].TackFree <= x.applied[i+1])
	}
}

// inDraws calls a function for each draw, on all processors. The error is one of
// a draw, the same every time, or that of the context.
func inDraws(ctx context.Context, n int, one func(draw int) error) error {
	// A run makes much short-lived garbage; collecting it as it grows costs more
	// than the memory is worth.
	defer debug.SetGCPercent(debug.SetGCPercent(400))
	workers := max(min(runtime.NumCPU(), n), 1)
	errs := make([]error, workers)
	var group sync.WaitGroup
	for w := range workers {
		group.Go(func() {
			for draw := w; draw < n && errs[w] == nil; draw += workers {
				if errs[w] = context.Cause(ctx); errs[w] == nil {
					errs[w] = one(draw)
				}
			}
		})
	}
	group.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// run follows the coats in all draws.
func (j dryJob) run(ctx context.Context, d uncertain.Draws) ([]dried, error) {
	out := make([]dried, d.Len())
	err := inDraws(ctx, d.Len(), func(draw int) error {
		var err error
		out[draw], err = j.one(d, draw)
		return err
	})
	return out, err
}

// ofAll gathers one figure of all draws.
func ofAll[T any](list []T, figure func(T) float64) []float64 {
	out := make([]float64, len(list))
	for i, x := range list {
		out[i] = figure(x)
	}
	return out
}

// shareOf is the share of the draws of which something holds.
func shareOf[T any](list []T, holds func(T) bool) float64 {
	n := 0
	for _, x := range list {
		if holds(x) {
			n++
		}
	}
	return float64(n) / float64(max(len(list), 1))
}

// tooWet is how likely a film is too wet by a limit with a spread of its own.
func tooWet(over []float64, limit uncertain.Input) float64 {
	sum := 0.0
	for _, x := range over {
		sum += limit.Below(x)
	}
	return sum / float64(max(len(over), 1))
}
