// Package quantity reads and prints the quantities of a sign shop: coat
// thicknesses, temperatures, drying times, board densities and the like.
//
// A quantity is kept as it was typed and as an interval in SI units, because
// "overnight" and "about 70 F" are what people know. The package refuses to
// guess: a number without a unit is only read where the caller names a default
// unit, a thousands comma is asked about, and a number that nature does not
// allow is refused. It never turns one kind of quantity into another; a
// difference of temperatures is not a temperature. It sits at the bottom and
// knows nothing of files, rules or causes.
package quantity

import (
	"fmt"
	"math"
)

// Kind is what a quantity measures.
type Kind int

// The kinds, with the SI unit in which Low and High of a Quantity are given.
const (
	// Film is the thickness of a coat, wet or dry, in m.
	Film Kind = iota
	// Length is any other length, in m.
	Length
	// Temperature is a temperature on a scale, in K.
	Temperature
	// TemperatureDifference is how far two temperatures are apart, in K.
	TemperatureDifference
	// Humidity is relative humidity, as a fraction from 0 to 1.
	Humidity
	// Duration is a time span, in s.
	Duration
	// AirSpeed is the speed of air, in m/s.
	AirSpeed
	// Density is mass per volume, in kg/m3.
	Density
	// Share is a part of a whole, as a fraction from 0 to 1.
	Share
	// Pressure is a pressure or a pull-off strength, in Pa.
	Pressure
	// Peel is a force per width of a strip, in N/m.
	Peel
	// Mass is a mass, in kg.
	Mass
	// Number is a bare count or factor, without a unit.
	Number
)

// System is the set of units that numbers are printed in.
type System int

// The systems. US is the zero value.
const (
	US System = iota
	SI
)

// Quantity is a quantity as it was typed and as it was understood.
type Quantity struct {
	// Typed is the text as it was typed, without blanks around it.
	Typed string
	// Kind is what it measures.
	Kind Kind
	// Low and High are the interval in the SI unit of the kind; they are
	// finite, Low is not over High, and both lie in Kind.Possible.
	Low, High float64
	// Unit is the unit that was typed, or the default, in the spelling of
	// Kind.Units; "" for a Number.
	Unit string
	// About is set when the text says "about", "~", "ish" or the like; the
	// interval has been widened for it.
	About bool
}

// Mid gives the middle of the interval, in the SI unit of the kind.
func (q Quantity) Mid() float64 { return q.Low + (q.High-q.Low)/2 }

// IsExact reports whether the interval is a single value.
func (q Quantity) IsExact() bool { return q.Low == q.High }

// String gives the quantity as it was typed.
func (q Quantity) String() string { return q.Typed }

// Doubt says in a sentence why a quantity is hard to believe, such as a coat
// of half an inch; "" when it is plausible. A doubtful quantity is possible
// and may be used.
func (q Quantity) Doubt() string {
	low, high := q.Kind.Plausible()
	name := q.Kind.String()
	switch {
	case q.High < low:
		return fmt.Sprintf("%q is very little for %s; at least %s is usual", q.Typed, name, Format(q.Kind, low, US))
	case q.Low > high:
		return fmt.Sprintf("%q is very much for %s; at most %s is usual", q.Typed, name, Format(q.Kind, high, US))
	}
	return ""
}

// ParseError says why a text is not a quantity of the kind asked for.
type ParseError struct {
	// Text is what was typed.
	Text string
	// Kind is the kind asked for.
	Kind Kind
	// Problem says what is wrong with the text, as a clause.
	Problem string
	// Remedy says what to write instead.
	Remedy string
}

// Error gives the problem and the remedy in one line.
func (e *ParseError) Error() string {
	return fmt.Sprintf("%q cannot be read as %s: %s; write %s", e.Text, e.Kind, e.Problem, e.Remedy)
}

// Convert turns a value in a unit of a kind into the SI unit of that kind. The
// unit may be spelled in any way Parse understands. The error says which units
// would do; numbers that are not finite are refused too.
func Convert(k Kind, value float64, unit string) (float64, error) {
	u, err := unitNamed(k, unit)
	if err != nil {
		return 0, err
	}
	si := u.toSI(value)
	if math.IsNaN(si) || math.IsInf(si, 0) {
		return 0, fmt.Errorf("%v %s is not a number that can be used", value, u.name)
	}
	return si, nil
}

// FromSI turns a value in the SI unit of a kind into another unit of that
// kind. It fails as Convert does.
func FromSI(k Kind, si float64, unit string) (float64, error) {
	u, err := unitNamed(k, unit)
	if err != nil {
		return 0, err
	}
	value := u.fromSI(si)
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return 0, fmt.Errorf("%v is not a number that can be used", si)
	}
	return value, nil
}

// unitNamed finds a unit of a kind, "" standing for the unit of a Number.
func unitNamed(k Kind, name string) (unit, error) {
	folded := fold(name)
	for _, u := range k.spec().units {
		if u.name == name || u.spelled(folded) {
			return u, nil
		}
	}
	if len(k.spec().units) == 0 {
		if folded == "" {
			return unit{factor: 1}, nil
		}
		return unit{}, fmt.Errorf("a %s has no unit, and %q was given", k, name)
	}
	return unit{}, fmt.Errorf("%q is not a unit of %s; use %s", name, k, orList(k.Units()))
}
