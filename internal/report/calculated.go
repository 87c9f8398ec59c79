package report

import (
	"math"
	"strconv"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Calculated is the outcome of one calculator: figures with their ranges, the
// inputs they rest on, and what is worth knowing beside them.
type Calculated struct {
	Schema  int           `json:"schema"`
	Title   string        `json:"title"`
	Results []Calculation `json:"calculations"`
	Inputs  []Given       `json:"inputs"`
	Notes   []string      `json:"notes"`
}

// Given is an input of a calculation as it was understood.
type Given struct {
	Input   string `json:"input"`
	Low     Figure `json:"low"`
	High    Figure `json:"high"`
	Unit    string `json:"unit"`
	Assumed bool   `json:"assumed"`
	Source  string `json:"source"`

	Text string `json:"-"`
}

// Told is a result for printing: SI in the numbers, the shop's units in the
// text.
func Told(r uncertain.Result, k quantity.Kind, sys quantity.System) Calculation {
	assumed := r.Assumed
	if assumed == nil {
		assumed = []string{}
	}
	c := Calculation{Name: r.Name, Value: Figure(r.Value.Mid), Unit: r.Unit, Low: Figure(r.Value.Low), High: Figure(r.Value.High), Assumed: assumed, Source: r.Source}
	c.Text = words(k, r.Unit, sys, r.Value.Mid, r.Value.Mid)
	if r.Value.Low != r.Value.High {
		c.Text += " (" + words(k, r.Unit, sys, r.Value.Low, r.Value.High) + ")"
	}
	return c
}

// Stated is an input for printing.
func Stated(in uncertain.Input, k quantity.Kind, sys quantity.System) Given {
	return Given{in.ID, Figure(in.Low), Figure(in.High), in.Unit, in.Assumed, in.Source, words(k, in.Unit, sys, in.Low, in.High)}
}

// words writes a range in the units of a kind, or plainly with its own unit.
func words(k quantity.Kind, unit string, sys quantity.System, low, high float64) string {
	if k != quantity.Number {
		return quantity.FormatRange(k, low, high, sys)
	}
	if unit == uncertain.Share {
		unit = ""
	}
	text := digits(low)
	if digits(high) != text {
		text += " to " + digits(high)
	}
	if unit != "" {
		text += " " + unit
	}
	return text
}

// digits writes three significant digits: more would be noise. What would be a
// row of zeros is written as a power of ten.
func digits(x float64) string {
	size := math.Abs(x)
	switch {
	case x == 0 || math.IsInf(x, 0) || math.IsNaN(x):
		return strconv.FormatFloat(x, 'g', -1, 64)
	case size < 1e-4 || size >= 1e7:
		return strconv.FormatFloat(x, 'g', 3, 64)
	}
	scale := math.Pow(10, 2-math.Floor(math.Log10(size)))
	return strconv.FormatFloat(math.Round(x*scale)/scale, 'f', -1, 64)
}
