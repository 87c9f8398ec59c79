package plot

import "math"

// Values and times beyond these sizes are no readings of anything. A value is
// drawn as if it were that large, a time is not drawn.
const (
	largestValue = 1e15
	largestTime  = 1e12 // s
)

// window is the stretch of time that is drawn, in s; to is above from.
type window struct{ from, to float64 }

// share is 0 at the left end of the window and 1 at the right.
func (w window) share(t float64) float64 { return (t - w.from) / (w.to - w.from) }

// at is the time at a share of the window.
func (w window) at(share float64) float64 { return w.from + float64(share*(w.to-w.from)) }

func (w window) holds(t float64) bool { return w.from <= t && t <= w.to }

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// usableTime also refuses what is not a number, for no comparison with that is true.
func usableTime(t float64) bool { return math.Abs(t) <= largestTime }

// windowOf is the chart's own range, or that of what is in the chart.
func windowOf(c Chart) window {
	if usableTime(c.From) && usableTime(c.To) && c.To-c.From >= 1 {
		return window{c.From, c.To}
	}
	low, high := math.Inf(1), math.Inf(-1)
	take := func(t float64) {
		if usableTime(t) {
			low, high = math.Min(low, t), math.Max(high, t)
		}
	}
	for _, p := range c.Panels {
		for _, l := range p.Lines {
			for _, k := range append(pointKnots(l.Points), bandKnots(l.Band)...) {
				if k.drawable() {
					take(k.at)
				}
			}
		}
	}
	for _, m := range c.Marks {
		take(m.At)
	}
	return atLeastAnHour(low, high)
}

func atLeastAnHour(low, high float64) window {
	switch {
	case low > high:
		return window{0, 3600}
	case high-low < 1:
		return window{low - 1800, low + 1800}
	}
	return window{low, high}
}

// knot is a corner of a line (low is high) or of a band.
type knot struct{ at, low, high float64 }

func (k knot) drawable() bool { return usableTime(k.at) && finite(k.low) && finite(k.high) }

func pointKnots(points []Point) []knot {
	out := make([]knot, 0, len(points))
	for _, p := range points {
		v := bounded(p.Value)
		out = append(out, knot{p.At, v, v})
	}
	return out
}

func bandKnots(band []Band) []knot {
	out := make([]knot, 0, len(band))
	for _, b := range band {
		low, high := bounded(b.Low), bounded(b.High)
		out = append(out, knot{b.At, math.Min(low, high), math.Max(low, high)})
	}
	return out
}

// bounded keeps differences of values finite; what is not finite stays so.
func bounded(v float64) float64 {
	if !finite(v) {
		return v
	}
	return math.Max(-largestValue, math.Min(v, largestValue))
}

// runs cuts knots at gaps and at the ends of the window. Where a line leaves
// the window it gets a knot at the edge.
func runs(knots []knot, w window) [][]knot {
	var out [][]knot
	var run []knot
	end := func() {
		if len(run) > 0 {
			out = append(out, run)
		}
		run = nil
	}
	for i, k := range knots {
		if !k.drawable() {
			end()
			continue
		}
		if i > 0 && knots[i-1].drawable() && !(w.holds(k.at) && w.holds(knots[i-1].at)) {
			run = append(run, crossings(knots[i-1], k, w)...)
		}
		if w.holds(k.at) {
			run = append(run, k)
		} else {
			end()
		}
	}
	end()
	return out
}

// crossings are the knots where the way from a to b crosses an edge of the
// window, in the order they are met.
func crossings(a, b knot, w window) []knot {
	edges := [2]float64{w.from, w.to}
	if a.at > b.at {
		edges = [2]float64{w.to, w.from}
	}
	var out []knot
	for _, t := range edges {
		if (a.at < t && t < b.at) || (b.at < t && t < a.at) {
			out = append(out, between(a, b, t))
		}
	}
	return out
}

// between is the knot at time t on the straight way from a to b.
func between(a, b knot, t float64) knot {
	if a.at == b.at {
		return b
	}
	s := (t - a.at) / (b.at - a.at)
	return knot{t, blend(a.low, b.low, s), blend(a.high, b.high, s)}
}

// blend rounds each product, so that no processor fuses it with the sum and
// gets another last digit.
func blend(a, b, s float64) float64 {
	return float64(a*(1-s)) + float64(b*s)
}

// knotAt is what a line or band is at a time, if it is known there.
func knotAt(knots []knot, t float64) (knot, bool) {
	for i, k := range knots {
		if !k.drawable() {
			continue
		}
		if k.at == t {
			return k, true
		}
		if i > 0 && knots[i-1].drawable() && knots[i-1].at < t && t < k.at {
			return between(knots[i-1], k, t), true
		}
	}
	return knot{}, false
}
