package quantity

import (
	"math"
	"strconv"
	"strings"
)

// step says how values are printed up to a bound: the unit and the number of
// decimals, the bound being in that unit.
type step struct {
	unit     string
	below    float64
	decimals int
}

// Format prints a value in SI as a sign maker would write it, in the digits
// that mean something in a shop: whole mils from 20 on, whole degrees, whole
// percents, times as "45 min", "4 h" or "3 days". Parse reads the text back,
// to within half a unit of the last digit. A value that is not finite gives
// "unknown".
func Format(k Kind, si float64, sys System) string {
	number, unit := formatted(k, si, sys)
	return join(number, unit)
}

// FormatRange prints an interval in SI: "10-14 h", "-5 to 10 F" when a number
// is negative, "90 min to 4 h" when the ends are printed in different units,
// and a single value when both ends print the same.
func FormatRange(k Kind, low, high float64, sys System) string {
	a, unitA := formatted(k, low, sys)
	b, unitB := formatted(k, high, sys)
	switch {
	case a == b && unitA == unitB:
		return join(a, unitA)
	case unitA != unitB:
		return join(a, unitA) + " to " + join(b, unitB)
	case strings.HasPrefix(a, "-") || strings.HasPrefix(b, "-"):
		return a + " to " + join(b, unitB)
	default:
		return a + "-" + join(b, unitB)
	}
}

// DefaultUnit gives the unit that a bare number of a kind most likely is in,
// for Parse; "" for a Number.
func DefaultUnit(k Kind, sys System) string {
	switch {
	case k == Duration:
		return "h"
	case k == Length && sys == SI:
		return "mm"
	case k == Mass && sys == SI:
		return "g"
	}
	return k.steps(sys)[0].unit
}

// join puts a unit behind a number.
func join(number, unit string) string {
	if unit == "" {
		return number
	}
	return number + " " + unit
}

// formatted gives the number and the unit of a value.
func formatted(k Kind, si float64, sys System) (number, name string) {
	if math.IsNaN(si) || math.IsInf(si, 0) {
		return "unknown", ""
	}
	for _, s := range k.steps(sys) {
		u, _ := unitNamed(k, s.unit) // the tables name units of their kind
		if v := u.fromSI(si); math.Abs(v) < s.below {
			return digits(v, s.decimals), s.unit
		}
	}
	return "unknown", ""
}

// digits prints a number with at most some decimals, without zeros at the end
// and without a minus before zero.
func digits(v float64, decimals int) string {
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		return "0"
	}
	return text
}

// steps lists how the values of a kind are printed, the smallest first; the
// last one has no bound.
func (k Kind) steps(sys System) []step {
	if sys == SI {
		return k.stepsSI()
	}
	inf := math.Inf(1)
	switch k {
	case Film:
		return []step{{"mil", 19.95, 1}, {"mil", inf, 0}}
	case Length:
		return []step{{"in", 1, 3}, {"in", 36, 2}, {"ft", 100, 2}, {"ft", inf, 0}}
	case Temperature, TemperatureDifference:
		return []step{{"F", inf, 0}}
	case AirSpeed:
		return []step{{"fpm", 999.5, 0}, {"mph", inf, 1}}
	case Density:
		return []step{{"lb/ft3", inf, 1}}
	case Pressure:
		return []step{{"psi", 9.95, 1}, {"psi", inf, 0}}
	case Peel:
		return []step{{"oz/in", inf, 1}}
	case Mass:
		return []step{{"oz", 16, 2}, {"lb", inf, 1}}
	}
	return k.stepsBoth()
}

// stepsSI is steps for metric units.
func (k Kind) stepsSI() []step {
	inf := math.Inf(1)
	switch k {
	case Film:
		return []step{{"um", 9.95, 1}, {"um", 9999.5, 0}, {"mm", inf, 1}}
	case Length:
		return []step{{"mm", 10, 2}, {"mm", 1000, 0}, {"m", inf, 2}}
	case Temperature, TemperatureDifference:
		return []step{{"C", inf, 0}}
	case AirSpeed:
		return []step{{"m/s", 9.95, 2}, {"m/s", inf, 0}}
	case Density:
		return []step{{"kg/m3", inf, 0}}
	case Pressure:
		return []step{{"kPa", 9.95, 2}, {"kPa", 999.5, 0}, {"MPa", inf, 2}}
	case Peel:
		return []step{{"N/m", 9.95, 2}, {"N/m", inf, 0}}
	case Mass:
		return []step{{"g", 9.95, 2}, {"g", 999.5, 0}, {"kg", inf, 2}}
	}
	return k.stepsBoth()
}

// stepsBoth is steps for the kinds that are printed the same everywhere.
func (k Kind) stepsBoth() []step {
	inf := math.Inf(1)
	switch k {
	case Humidity:
		return []step{{"%", inf, 0}}
	case Share:
		return []step{{"%", 9.95, 1}, {"%", inf, 0}}
	case Duration:
		return []step{{"s", 90, 0}, {"min", 119.5, 0}, {"h", 47.95, 1}, {"days", 59.95, 1}, {"months", 23.95, 1}, {"years", inf, 1}}
	}
	return []step{{"", 10, 4}, {"", inf, 2}}
}
