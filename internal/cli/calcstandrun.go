package cli

import (
	"context"
	"math"

	"filmfault/internal/physics/coating"
	"filmfault/internal/physics/drying"
	"filmfault/internal/physics/drying/exchange"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// steadyAir is air that does not change while a film is in it.
type steadyAir struct{ temperature, humidity, speed uncertain.Input }

// drawn is the air of one draw at a time.
func (a steadyAir) drawn(d uncertain.Draws, draw int, at float64) drying.Reading {
	return drying.Reading{Time: at, Air: exchange.Air{
		Temperature: d.Value(a.temperature, draw), RH: max(d.Value(a.humidity, draw), 0), Speed: d.Value(a.speed, draw),
	}}
}

// middle is the air as a chart shows it.
func (a steadyAir) middle() exchange.Air {
	return exchange.Air{Temperature: a.temperature.Mid(), RH: a.humidity.Mid()}
}

// standJob is a dried film that stands in damp air, and is then under a fan.
type standJob struct {
	paint wetPaint
	// dry is the dry film in m; without an ID it is that of the paint as laid.
	dry, stood      uncertain.Input
	standing, blown steadyAir
	fan             fan
	// same says that the fan blows the air that the film stood in.
	same  bool
	panel panel
	limit uncertain.Input
}

// most is the share of the water taken up that has to be gone for most of it to
// be.
const most = 0.75

// leastTaken is the water in kg for each kg of dry film below which a film has
// taken up nothing to speak of: a tenth of what a coupon can tell.
const leastTaken = 0.0005

// stoodFilm is what became of the film in one draw. Times are in s under the fan;
// infinite means never in that air, followed means that long or longer.
type stoodFilm struct {
	trace drying.Trace
	// stood is when the fan was put on, rest the water at rest in air of 50 %, taken
	// what came on top of it, kept what the fan's air leaves of that for good.
	stood, rest, taken, kept float64
	// mostGone and closable are when most of it is gone, and when it is under the
	// limit.
	mostGone, closable float64
}

// over is the water over rest so long under the fan.
func (x stoodFilm) over(seconds float64) float64 {
	return x.trace.At(x.stood+seconds).Fraction() - x.rest
}

// gone is the share of the water taken up that is gone so long under the fan.
func (x stoodFilm) gone(seconds float64) float64 {
	if x.taken < leastTaken {
		return 1
	}
	return 1 - x.over(seconds)/x.taken
}

// run follows the film in all draws.
func (j standJob) run(ctx context.Context, d uncertain.Draws) ([]stoodFilm, error) {
	out := make([]stoodFilm, d.Len())
	err := inDraws(ctx, d.Len(), func(draw int) error {
		var err error
		out[draw], err = j.one(d, draw)
		return err
	})
	return out, err
}

// one follows the film in one draw.
func (j standJob) one(d uncertain.Draws, draw int) (stoodFilm, error) {
	x := stoodFilm{stood: max(d.Value(j.stood, draw), 1)}
	paint, err := j.paint.drawn(d, draw)
	if err != nil {
		return x, err
	}
	if x.rest, err = paint.Resting(restingAir); err != nil {
		return x, err
	}
	film, err := j.film(paint, d, draw)
	if err != nil {
		return x, err
	}
	end := x.stood + followed
	air, err := drying.NewAir([]drying.Reading{
		j.standing.drawn(d, draw, 0), j.standing.drawn(d, draw, x.stood), j.blown.drawn(d, draw, x.stood), j.blown.drawn(d, draw, end),
	})
	if err != nil {
		return x, err
	}
	air = asRead(air, d, draw)
	stack := drying.Stack{Face: j.panel.face(d, draw), Layers: []drying.Layer{film}}
	x.trace, err = drying.Simulate(stack, air, nil, drying.Options{To: end, MaxStep: steadyStep, Tolerance: coarse})
	if err != nil {
		return x, err
	}
	atRest, err := paint.Resting(air.Mean(end, end).RH)
	x.read(d.Value(j.limit, draw), atRest)
	return x, err
}

// film is the dried film in one draw, at rest in air of 50 %.
func (j standJob) film(paint coating.Paint, d uncertain.Draws, draw int) (drying.Layer, error) {
	if j.dry.ID != "" {
		return drying.DryFilm(paint.Material, max(d.Value(j.dry, draw), thinnestDry), restingAir)
	}
	dry := 0.0
	for n := 1; n <= j.paint.count; n++ {
		l, err := j.paint.layer(paint, d, draw, n)
		if err != nil {
			return l, err
		}
		dry += l.Dry
	}
	if dry > thickestDry {
		return drying.Layer{}, usagef("the coats leave %s dry, which is more than is followed; state the film at the place as --dry",
			quantity.Format(quantity.Film, dry, quantity.US))
	}
	return drying.DryFilm(paint.Material, dry, restingAir)
}

// read takes the figures out of the trace. atRest is the water that the fan's air
// leaves in the film for good.
func (x *stoodFilm) read(limit, atRest float64) {
	x.taken, x.kept = x.over(0), atRest-x.rest
	until := func(over float64) float64 {
		if t, ok := x.trace.TimeTo(x.rest+over, x.stood); ok {
			return t - x.stood
		}
		if x.kept > over {
			return math.Inf(1)
		}
		return followed
	}
	x.closable = until(limit)
	if x.taken >= leastTaken {
		x.mostGone = until((1 - most) * x.taken)
	}
}
