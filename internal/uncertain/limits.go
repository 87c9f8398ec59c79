package uncertain

import (
	"fmt"
	"math"
	"strings"

	"filmfault/internal/quantity"
)

// OutOfRange says that a value lies outside what a formula was made for.
type OutOfRange struct {
	// Name is the quantity in a sign maker's words: "air temperature".
	Name string
	// Kind is quantity.Number for what no kind covers; Unit is then its unit.
	Kind quantity.Kind
	Unit string
	// Value and the limits are in SI.
	Value, Low, High float64
}

// Error words the refusal in US shop units.
func (e *OutOfRange) Error() string { return e.In(quantity.US) }

// In words the refusal in the units of a system: "air temperature is 300 F,
// and this can be computed from -40 to 140 F only".
func (e *OutOfRange) In(sys quantity.System) string {
	if math.IsNaN(e.Value) {
		return fmt.Sprintf("%s is not known, and must be %s", e.Name, e.limits(sys))
	}
	return fmt.Sprintf("%s is %s, and this can be computed from %s only", e.Name, e.value(sys), e.limits(sys))
}

// value prints the value. One that prints like the limit it is beyond is
// printed in full, or the message would contradict itself.
func (e *OutOfRange) value(sys quantity.System) string {
	limit := e.High
	if e.Value < e.Low {
		limit = e.Low
	}
	text := e.print(e.Value, sys)
	if text != e.print(limit, sys) {
		return text
	}
	return text + " (" + strings.TrimSpace(fmt.Sprintf("%g %s", e.Value, e.unit())) + ")"
}

// unit is the SI unit, empty for a fraction.
func (e *OutOfRange) unit() string {
	unit := e.Unit
	if e.Kind != quantity.Number {
		unit = e.Kind.Base()
	}
	if unit == Share {
		return ""
	}
	return unit
}

// print prints one value.
func (e *OutOfRange) print(v float64, sys quantity.System) string {
	switch {
	case math.IsInf(v, 0):
		return "without limit"
	case e.Kind == quantity.Number:
		return strings.TrimSpace(fmt.Sprintf("%.4g %s", v, e.unit()))
	}
	return quantity.Format(e.Kind, v, sys)
}

// limits prints the limits.
func (e *OutOfRange) limits(sys quantity.System) string {
	if e.Kind == quantity.Number {
		return fmt.Sprintf("%.4g to %s", e.Low, e.print(e.High, sys))
	}
	return e.print(e.Low, sys) + " to " + e.print(e.High, sys)
}

// Within gives an *OutOfRange for a value that is not between two limits, both
// included, or that is not a number; everything is in SI.
func Within(name string, kind quantity.Kind, value, low, high float64) error {
	if value >= low && value <= high {
		return nil
	}
	return &OutOfRange{Name: name, Kind: kind, Value: value, Low: low, High: high}
}

// WithinUnit is Within for a value that no kind of quantity covers, in a unit
// it names, such as "kg/(s m2 Pa)".
func WithinUnit(name, unit string, value, low, high float64) error {
	if value >= low && value <= high {
		return nil
	}
	return &OutOfRange{Name: name, Kind: quantity.Number, Unit: unit, Value: value, Low: low, High: high}
}
