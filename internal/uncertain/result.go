package uncertain

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Range is what came out of many draws: the median and the 5th and 95th
// percentiles. Infinite values are possible ("never dries").
type Range struct{ Mid, Low, High float64 }

// Known says that the range holds numbers. It is false for a range of no
// values and of values of which one is not a number.
func (r Range) Known() bool {
	return !math.IsNaN(r.Mid) && !math.IsNaN(r.Low) && !math.IsNaN(r.High)
}

// Summarise gives the range of values, by linear interpolation between order
// statistics (definition 7 of Hyndman and Fan 1996, "Sample quantiles in
// statistical packages"). The values are not changed. No value at all, or one
// that is not a number, gives a range of NaN, for which Known is false.
func Summarise(values []float64) Range {
	if len(values) == 0 || slices.ContainsFunc(values, math.IsNaN) {
		return Range{math.NaN(), math.NaN(), math.NaN()}
	}
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	return Range{Mid: quantile(sorted, 0.5), Low: quantile(sorted, tail), High: quantile(sorted, 1-tail)}
}

// quantile interpolates in sorted values. Two equal neighbours, which may both
// be infinite, are not interpolated.
func quantile(sorted []float64, q float64) float64 {
	place := q * float64(len(sorted)-1)
	i := int(place)
	low := sorted[i]
	part := place - float64(i)
	if part == 0 || i+1 == len(sorted) || low == sorted[i+1] {
		return low
	}
	return low + part*(sorted[i+1]-low)
}

// Result is a computed figure.
type Result struct {
	Name  string
	Value Range
	// Unit is the SI unit of the value.
	Unit string
	// Assumed lists the ids of the inputs that nobody measured or stated, in
	// the order of their names.
	Assumed []string
	// Source is where the formula comes from.
	Source string
}

// Assumed gives the ids of the inputs that are assumed, sorted, each once.
func Assumed(inputs ...Input) []string {
	var ids []string
	for _, in := range inputs {
		if in.Assumed {
			ids = append(ids, in.ID)
		}
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}

// Formula is a calculation of one figure from the values of its inputs.
type Formula struct {
	Name, Unit, Source string
	// Of takes one value per input, in the order of the inputs.
	Of func(values []float64) (float64, error)
}

// errNoNumber is a formula's own fault: it let a case through that it cannot
// compute.
var errNoNumber = errors.New("the formula gives no number for these inputs")

// Run computes a formula once per draw and sums up. Errors are those of Values.
func (d Draws) Run(f Formula, inputs ...Input) (Result, error) {
	values, err := d.Values(f, inputs...)
	if err != nil {
		return Result{}, err
	}
	return Result{Name: f.Name, Value: Summarise(values), Unit: f.Unit, Assumed: Assumed(inputs...), Source: f.Source}, nil
}

// Share gives the share of the draws, 0 to 1, in which the result of a formula
// passes a test: the probability of "too wet". Errors are those of Values.
func (d Draws) Share(f Formula, passes func(float64) bool, inputs ...Input) (float64, error) {
	values, err := d.Values(f, inputs...)
	if err != nil {
		return 0, err
	}
	count := 0
	for _, v := range values {
		if passes(v) {
			count++
		}
	}
	return float64(count) / float64(len(values)), nil
}

// Values computes a formula once per draw. It fails on an input that Check
// refuses, on the first draw that the formula refuses, and on a formula that
// gives no number.
func (d Draws) Values(f Formula, inputs ...Input) ([]float64, error) {
	for _, in := range inputs {
		if err := in.Check(); err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
	}
	out := make([]float64, d.Len())
	values := make([]float64, len(inputs))
	for draw := range out {
		for i, in := range inputs {
			values[i] = d.Value(in, draw)
		}
		v, err := f.Of(values)
		if err == nil && math.IsNaN(v) {
			err = errNoNumber
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		out[draw] = v
	}
	return out, nil
}
