package moistair

import (
	"errors"
	"math"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// ErrTooDry says that air holds so little moisture that nothing would form on
// any surface colder than the range of the formulas.
var ErrTooDry = errors.New("the air is too dry to have a dew point: no dew or frost forms on anything in it")

// DewPoint gives the temperature in K at which vapour at pv in Pa saturates:
// the inverse of Saturation. With IceBelowFreezing it is the frost point below
// 0.01 C. Range: pv from that of -60 C over water (1.9 Pa) or -100 C over ice
// (.0014 Pa), below which it is ErrTooDry, to StandardPressure (100 C).
func DewPoint(pv float64, c Convention) (float64, error) {
	if err := checkVapour(pv); err != nil {
		return 0, err
	}
	if pv < saturation(c.coldest(), c) {
		return 0, ErrTooDry
	}
	if c == IceBelowFreezing && pv > saturation(TriplePoint, c) {
		c = OverWater
	}
	return dewPoint(math.Log(pv), c), nil
}

// dewPoint solves ln p(t) = target by Newton's method in 1/t, in which ln p is
// nearly straight: three or four steps reach round-off from anywhere in range.
func dewPoint(target float64, c Convention) float64 {
	t := TriplePoint
	for range 20 {
		miss := math.Log(saturation(t, c)) - target
		step := miss / (logSlope(t, c) * t * t) // of 1/t
		t = min(max(1/(1/t+step), c.coldest()), hottest)
		if c == IceBelowFreezing {
			t = min(t, TriplePoint) // beyond it the curve is another
		}
		if math.Abs(miss) < 1e-13 {
			break
		}
	}
	return t
}

// DewPointOf gives the dew point in K of air at t in K and relative humidity rh
// as a fraction, both by the same convention. Range and errors: those of
// VapourPressure and DewPoint.
func DewPointOf(t, rh float64, c Convention) (float64, error) {
	pv, err := VapourPressure(t, rh, c)
	if err != nil {
		return 0, err
	}
	return DewPoint(pv, c)
}

// Margin gives how far a surface at a temperature in K lies above the dew point
// of air at t in K and rh as a fraction, in K; negative where dew forms. Range
// of the surface: 213.15 to 473.15 K; of the air: that of DewPointOf.
func Margin(surface, t, rh float64, c Convention) (float64, error) {
	if err := uncertain.Within("surface temperature", quantity.Temperature, surface, coldestWater, hottest); err != nil {
		return 0, err
	}
	dew, err := DewPointOf(t, rh, c)
	if err != nil {
		return 0, err
	}
	return surface - dew, nil
}

// DewRule is a rule of practice for how far above the dew point a surface must
// be before it is coated.
type DewRule struct {
	// Name is the rule as people quote it.
	Name string
	// Least is the smallest margin that passes, in K.
	Least  float64
	Source string
}

// DewRules gives the two rules in use. They differ: a margin of 2.9 K passes
// the second and fails the first.
func DewRules() []DewRule {
	return []DewRule{
		{Name: "3 C above the dew point", Least: 3,
			Source: "guidance attributed to ISO 8502-4 by secondary texts; the standard itself says that there is no simple rule"},
		{Name: "5 F above the dew point", Least: 25.0 / 9, Source: "MIL-HDBK-1110 section 9.6.6 (UFC 3-190-06)"},
	}
}

// Met says whether a margin in K passes the rule. A margin short of it by no
// more than the rounding of a conversion from F passes.
func (r DewRule) Met(margin float64) bool { return margin >= r.Least-1e-9 }
