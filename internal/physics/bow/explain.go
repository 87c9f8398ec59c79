package bow

import (
	"fmt"
	"math"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Reading is a bow as measured.
type Reading struct {
	// Deflection in m, positive for hollow seen from the front.
	Deflection float64
	// Over is the length of the straightedge or of the panel, in m.
	Over float64
	// Error is the standard error of the deflection, in m.
	Error float64
}

// Explanation sets a computed bow against a measured one.
type Explanation struct {
	// Measured is the reading's deflection in m over Over in m; the ranges are
	// over the same length.
	Measured, Over float64
	// Coats is what all coats together explain, All what everything does.
	Coats, All uncertain.Range
	// Share is the coats' part of the measured bow: 1 when they explain all of
	// it, negative when they pull the other way.
	Share uncertain.Range
	// SameWay is the share of draws in which the coats pull the way the panel
	// bows.
	SameWay float64
}

// Explain says how much of a measured bow the prediction accounts for, both
// over the length of the reading. Errors: a reading that Deflection refuses; one
// of 0, of which nothing can be explained.
func (p Prediction) Explain(r Reading) (Explanation, error) {
	if _, err := CurvatureOf(r.Deflection, r.Over); err != nil {
		return Explanation{}, err
	}
	if r.Deflection == 0 {
		return Explanation{}, fmt.Errorf("the panel was measured flat: there is no bow to explain")
	}
	e := Explanation{Measured: r.Deflection, Over: r.Over}
	scale := r.Over * r.Over / (p.Length * p.Length)
	_, coats := p.Coats()
	all, shares := make([]float64, len(coats)), make([]float64, len(coats))
	for i := range coats {
		coats[i] *= scale
		all[i] = p.Values[i] * scale
		shares[i] = coats[i] / r.Deflection
		if shares[i] > 0 {
			e.SameWay += 1 / float64(len(coats))
		}
	}
	e.Coats, e.All, e.Share = uncertain.Summarise(coats), uncertain.Summarise(all), uncertain.Summarise(shares)
	return e, nil
}

// none is the deflection in m below which a bow is the round-off of a balance.
const none = 1e-7

// Sentence says it in words: "coats explain 0.1 in of the 0.6 in (0.02-0.3 in)".
func (e Explanation) Sentence(sys quantity.System) string {
	measured := length(math.Abs(e.Measured), sys)
	low, high := e.Coats.Low, e.Coats.High
	if e.Measured < 0 {
		low, high = -high, -low
	}
	mid := e.Share.Mid * math.Abs(e.Measured)
	span := quantity.FormatRange(quantity.Length, twoDigits(low, sys), twoDigits(high, sys), sys)
	switch {
	case math.Abs(e.Coats.Low) < none && math.Abs(e.Coats.High) < none:
		return fmt.Sprintf("coats explain none of the %s: both faces pull alike", measured)
	case mid < 0:
		return fmt.Sprintf("coats pull the other way: %s against the %s measured (%s)", length(-mid, sys), measured, span)
	case e.Share.Mid > 1.05:
		return fmt.Sprintf("coats would explain %s, more than the %s measured (%s)", length(mid, sys), measured, span)
	}
	return fmt.Sprintf("coats explain %s of the %s (%s)", length(mid, sys), measured, span)
}

// length prints a deflection in two digits.
func length(v float64, sys quantity.System) string {
	return quantity.Format(quantity.Length, twoDigits(v, sys), sys)
}

// twoDigits rounds to two digits that count, in inches or mm.
func twoDigits(v float64, sys quantity.System) float64 {
	unit := 0.0254
	if sys == quantity.SI {
		unit = 0.001
	}
	if v == 0 {
		return 0
	}
	digit := math.Pow(10, math.Floor(math.Log10(math.Abs(v)/unit))-1) * unit
	return math.Round(v/digit) * digit
}

// Densities gives the density in 1/m of a reading under each draw, the reading
// being normal about the computed bow with its standard error: what the bow says
// as a likelihood, to be set against the densities under its rivals. Errors: a
// reading that Deflection refuses, or an error that is not from 1 um to 1 m.
func (p Prediction) Densities(r Reading) ([]float64, error) {
	if _, err := CurvatureOf(r.Deflection, r.Over); err != nil {
		return nil, err
	}
	if err := uncertain.Within("error of the measured bow", quantity.Length, r.Error, 1e-6, 1); err != nil {
		return nil, err
	}
	scale := r.Over * r.Over / (p.Length * p.Length)
	out := make([]float64, len(p.Values))
	for i, v := range p.Values {
		z := (r.Deflection - v*scale) / r.Error
		out[i] = math.Exp(-z*z/2) / (r.Error * math.Sqrt(2*math.Pi))
	}
	return out, nil
}
