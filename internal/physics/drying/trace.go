package drying

import (
	"math"
	"sort"

	"filmfault/internal/physics/drying/exchange"
	"filmfault/internal/physics/moistair"
)

// Trace is what became of a stack.
type Trace struct {
	// Points in order of time; two at one time are before and after an event.
	Points []Point
	// Coats in the order they were applied, those of the stack first.
	Coats []CoatTimes
	// Balance accounts for all water.
	Balance Balance

	layers []float64 // backs Points[i].Layers
}

// Point is the face at one time.
type Point struct {
	Time float64
	// Water is all that is in the coats, Liquid the part not dissolved, in kg/m2.
	Water, Liquid float64
	// Layers is the water in each coat in kg/m2, in the order they were applied.
	// Coats applied later than this point are missing.
	Layers []float64
	// Dry is the dry film in kg/m2.
	Dry float64
	// Surface is the temperature of the film in K.
	Surface float64
	// Rate is what leaves the face in kg/(m2 s), negative where it takes up.
	Rate float64
	// Air is the mean air of the step that ends here.
	Air exchange.Air
}

// Fraction is the water for each kg of dry film; 0 for a bare board.
func (p Point) Fraction() float64 {
	if p.Dry == 0 {
		return 0
	}
	return p.Water / p.Dry
}

// DewPoint is that of the air in K, over liquid water.
func (p Point) DewPoint() (float64, error) {
	return moistair.DewPointOf(p.Air.Temperature, p.Air.RH, moistair.OverWater)
}

// CoatTimes are the times at which something became of a coat, in s; NaN for
// what never did.
type CoatTimes struct {
	Applied float64
	// TackFree is when the skin held. A coat that was covered earlier reaches it
	// when it would have, under its cover.
	TackFree float64
	// Emptied is when its liquid water was gone.
	Emptied float64
}

// Balance accounts for all water in kg/m2.
type Balance struct {
	// Start was in the stack, Applied came with coats, Evaporated left through
	// the face (less what came back), Sanded went with the dust, Left is there.
	Start, Applied, Evaporated, Sanded, Left float64
}

// Error is what the account does not explain, in kg/m2.
func (b Balance) Error() float64 { return b.Start + b.Applied - b.Evaporated - b.Sanded - b.Left }

// reserve makes room for about n points of so many coats.
func (t *Trace) reserve(n, coats int) {
	n = min(n, 1<<16)
	t.Points = make([]Point, 0, n)
	t.layers = make([]float64, 0, n*coats)
}

// record adds the present state to the trace.
func (r *run) record() {
	p := Point{Time: r.now, Surface: r.surface, Rate: r.rate, Air: r.ambient.Air}
	t := &r.trace
	from := len(t.layers)
	for j := range r.coats {
		water := r.coatWater(j)
		p.Water += water
		p.Liquid += r.coats[j].liquid
		p.Dry += r.coats[j].dryMass()
		t.layers = append(t.layers, water)
	}
	p.Layers = t.layers[from:len(t.layers):len(t.layers)]
	t.Points = append(t.Points, p)
}

// finished closes the account.
func (r *run) finished() Trace {
	for j := range r.coats {
		r.trace.Balance.Left += r.coatWater(j)
	}
	return r.trace
}

// At gives the face at a time, straight between points; at an event, after it.
// Before the first point and after the last it is that point.
func (t Trace) At(time float64) Point {
	i := sort.Search(len(t.Points), func(i int) bool { return t.Points[i].Time > time })
	switch {
	case len(t.Points) == 0:
		return Point{Time: time}
	case i == 0:
		return t.Points[0]
	case i == len(t.Points) || t.Points[i-1].Time == time:
		return t.Points[i-1]
	}
	return between(t.Points[i-1], t.Points[i], time)
}

// between interpolates.
func between(a, b Point, time float64) Point {
	share := (time - a.Time) / (b.Time - a.Time)
	mix := func(x, y float64) float64 { return x + share*(y-x) }
	p := Point{Time: time, Water: mix(a.Water, b.Water), Liquid: mix(a.Liquid, b.Liquid), Dry: a.Dry,
		Surface: mix(a.Surface, b.Surface), Rate: mix(a.Rate, b.Rate), Air: b.Air, Layers: make([]float64, len(a.Layers))}
	for i := range p.Layers {
		p.Layers[i] = mix(a.Layers[i], b.Layers[i])
	}
	return p
}

// TimeTo gives the first time, from a time on, at which the water is no more
// than a fraction of the dry film (kg/kg), and whether there is one.
func (t Trace) TimeTo(fraction, from float64) (float64, bool) {
	i := sort.Search(len(t.Points), func(i int) bool { return t.Points[i].Time > from })
	last := t.At(from)
	if last.Fraction() <= fraction {
		return last.Time, len(t.Points) > 0
	}
	for _, p := range t.Points[i:] {
		a, b := last.Fraction(), p.Fraction()
		if b <= fraction {
			share := 1.0
			if a > b {
				share = (a - fraction) / (a - b)
			}
			return last.Time + share*(p.Time-last.Time), true
		}
		last = p
	}
	return math.NaN(), false
}

// TackFreeTime gives how long one coat alone needs in given air until it is tack
// free, in s from its application at from; infinite when it is not within limit
// seconds. Errors: those of Simulate.
func TackFreeTime(face exchange.Face, coat Layer, air Air, from, limit float64) (float64, error) {
	trace, err := Simulate(Stack{Face: face, Layers: []Layer{coat}}, air, nil, Options{From: from, To: from + limit})
	if err != nil {
		return 0, err
	}
	if t := trace.Coats[0].TackFree; !math.IsNaN(t) {
		return t - from, nil
	}
	return math.Inf(1), nil
}

// TimeToFraction gives how long a stack needs in given air, from a time on,
// until its water is no more than a fraction of its dry film (kg/kg), in s;
// infinite when it is not within limit seconds. Errors: those of Simulate.
func TimeToFraction(s Stack, air Air, fraction, from, limit float64) (float64, error) {
	trace, err := Simulate(s, air, nil, Options{From: from, To: from + limit})
	if err != nil {
		return 0, err
	}
	if t, ok := trace.TimeTo(fraction, from); ok {
		return t - from, nil
	}
	return math.Inf(1), nil
}
