// Package uncertain carries what is not known exactly through a calculation:
// inputs that are intervals, draws of them, and results that are ranges.
//
// The physics packages are pure functions of plain numbers; this package calls
// them once per draw and says what came out, with the inputs that were only
// assumed named beside it. It holds no physics and no units of its own beyond
// naming the unit of a value, refuses inputs that are not numbers, and keeps
// no state: the same inputs, seed and number of draws give the same ranges
// everywhere.
//
// It sits above quantity, which it uses only to word a refusal, and below
// every package of internal/physics.
package uncertain

import (
	"fmt"
	"math"
)

// Share is the Unit of an input that is a fraction of a whole, 0 to 1. Draws
// of such an input never pass 1.
const Share = "1"

// Spread says how the values of an input lie between its ends.
type Spread int

const (
	// Even spreads the values evenly, the choice when only the ends of a range
	// are known.
	Even Spread = iota
	// EvenInLog spreads the logarithms evenly, for a figure of which only the
	// order of magnitude is known, such as a diffusion coefficient.
	EvenInLog
)

// Input is one figure a calculation rests on. Low and High are its 5th and
// 95th percentiles, in Unit; Low equal to High means the figure is exact.
type Input struct {
	// ID names the input, and with it the dimension its draws come from: the
	// same id gives the same draws in every calculation of a case, so that one
	// draw serves every step and every replay.
	ID        string
	Low, High float64
	// Unit is the SI unit, Share for a fraction.
	Unit string
	// Spread is Even unless stated.
	Spread Spread
	// Assumed says that nobody measured or stated the figure for this case.
	Assumed bool
	// Source says where the figure comes from.
	Source string
}

// Exact gives an input without uncertainty.
func Exact(id string, value float64, unit, source string) Input {
	return Input{ID: id, Low: value, High: value, Unit: unit, Source: source}
}

// IsExact says that the input has one value.
func (in Input) IsExact() bool { return in.Low == in.High }

// Mid is the median: halfway between the ends, on the scale of the spread.
func (in Input) Mid() float64 { return in.At(0.5) }

// Check refuses an input that cannot be drawn from: without an id, with an end
// that is no finite number, with its ends the wrong way round, or spread over
// orders of magnitude without being positive.
func (in Input) Check() error {
	switch {
	case in.ID == "":
		return fmt.Errorf("an input of %g to %g %s has no name", in.Low, in.High, in.Unit)
	case !finite(in.Low) || !finite(in.High):
		return fmt.Errorf("%s is %g to %g, and must be a number", in.ID, in.Low, in.High)
	case in.Low > in.High:
		return fmt.Errorf("%s runs from %g to %g: the smaller number goes first", in.ID, in.Low, in.High)
	case in.Spread == EvenInLog && in.Low <= 0:
		return fmt.Errorf("%s runs from %g to %g over orders of magnitude, and must be above 0", in.ID, in.Low, in.High)
	}
	return nil
}

// finite says that a value is a number that can be computed with.
func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// At gives the value below which a share u of the draws lies; u is held to
// 0-1. Low is met at .05 and High at .95. The tenth of the draws outside them
// continues the same slope, but is pressed together where it would cross 0
// (nothing that is positive becomes negative) or pass 1 for a Share; the
// percentiles stay where they are stated.
func (in Input) At(u float64) float64 {
	if in.IsExact() {
		return in.Low
	}
	u = min(max(u, 0), 1)
	floor, ceiling := in.bounds()
	if in.Spread == EvenInLog {
		return math.Exp(stretch(u, math.Log(in.Low), math.Log(in.High), math.Log(floor), math.Log(ceiling)))
	}
	return stretch(u, in.Low, in.High, floor, ceiling)
}

// bounds are the values that no draw passes.
func (in Input) bounds() (floor, ceiling float64) {
	floor, ceiling = math.Inf(-1), math.Inf(1)
	if in.Low >= 0 {
		floor = 0
	}
	if in.High <= 0 {
		ceiling = 0
	}
	if in.Unit == Share && in.High <= 1 {
		ceiling = min(ceiling, 1)
	}
	return floor, ceiling
}

// tail is the share of the draws beyond each end of an input.
const tail = 0.05

// stretch is the quantile function of At on a plain scale.
func stretch(u, low, high, floor, ceiling float64) float64 {
	slope := (high - low) / (1 - 2*tail)
	switch {
	case u < tail:
		return low - min(slope*tail, low-floor)*(tail-u)/tail
	case u > 1-tail:
		return high + min(slope*tail, ceiling-high)*(u-(1-tail))/tail
	}
	return low + slope*(u-tail)
}

// Below gives the share of the draws that lie below a value: the inverse of At,
// straight between its percentiles.
func (in Input) Below(v float64) float64 {
	switch {
	case in.IsExact() && v < in.Low:
		return 0
	case in.IsExact():
		return 1
	}
	low, high := 0.0, 1.0
	if v <= in.At(0) {
		return 0
	}
	if v >= in.At(1) {
		return 1
	}
	for range 60 {
		if mid := (low + high) / 2; in.At(mid) < v {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
