package quantity

import (
	"fmt"
	"math"
)

// finish turns what was read into a quantity in SI.
func (p *parser) finish(low, high value) (Quantity, *ParseError) {
	u, err := p.fill(low, high)
	if err != nil {
		return Quantity{}, err
	}
	q := Quantity{Typed: p.text, Kind: p.kind, Low: low.si(), High: high.si(), Unit: u.name, About: p.about}
	if q.Low > q.High {
		return Quantity{}, p.fail("the second number is smaller than the first", "the smaller number first")
	}
	if err := p.check(&q); err != nil {
		return Quantity{}, err
	}
	if p.about {
		q.Low, q.High = p.kind.clamp(p.kind.widen(q.Low, q.High))
	}
	least, most := p.kind.Plausible()
	switch p.side {
	case under:
		q.Low = min(least, q.High)
	case over:
		q.High = max(most, q.Low)
	}
	return q, nil
}

// fill gives a number without a unit the unit of the other end of the range
// or the default unit, and returns the unit the quantity is in.
func (p *parser) fill(low, high value) (*unit, *ParseError) {
	u := high[0].unit
	if low[0].unit != nil {
		u = low[0].unit
	}
	if u == nil {
		named, err := p.defaultUnit()
		if err != nil {
			return nil, err
		}
		u = named
	}
	if high[0].unit == nil {
		high[0].unit = u
	}
	if low[0].unit == nil {
		low[0].unit = high[0].unit
	}
	return u, nil
}

// defaultUnit is the unit of a bare number.
func (p *parser) defaultUnit() (*unit, *ParseError) {
	if len(p.units) == 0 {
		return &unit{factor: 1}, nil
	}
	if p.def == "" {
		return nil, p.fail("it has no unit", "the unit as well, such as %s (%s)", p.kind.Example(), orList(p.kind.Units()))
	}
	u, err := unitNamed(p.kind, p.def)
	if err != nil {
		return nil, p.fail("it has no unit, and "+err.Error(), "the unit as well, such as %s", p.kind.Example())
	}
	return &u, nil
}

// si is a value in SI. Only the first part has an offset, that of a
// temperature scale.
func (v value) si() float64 {
	sum := v[0].unit.toSI(v[0].number)
	for _, p := range v[1:] {
		sum += p.unit.factor * p.number
	}
	return sum
}

// check refuses a quantity outside the possible range. A value that is over a
// bound by no more than the rounding of its conversion is put on the bound, so
// that absolute zero can be typed.
func (p *parser) check(q *Quantity) *ParseError {
	least, most := p.kind.Possible()
	slack := 1e-12 * max(math.Abs(least), math.Abs(most))
	switch {
	case math.IsNaN(q.Low) || math.IsNaN(q.High):
		return p.fail("the number cannot be used", "a quantity such as %s", p.kind.Example())
	case q.Low < least-slack:
		return p.fail(p.tooLow(least), "a quantity such as %s", p.kind.Example())
	case q.High > most+slack:
		return p.fail(p.tooHigh(most), "a quantity such as %s", p.kind.Example())
	}
	q.Low, q.High = p.kind.clamp(q.Low, q.High)
	return nil
}

// tooLow says why a quantity is below what is possible.
func (p *parser) tooLow(least float64) string {
	switch {
	case p.kind == Temperature:
		return "it is below absolute zero, which is -459.67 F or -273.15 C"
	case least == 0:
		return fmt.Sprintf("%s cannot be less than 0", p.kind)
	}
	return "the number is too small"
}

// tooHigh says why a quantity is above what is possible.
func (p *parser) tooHigh(most float64) string {
	if p.kind == Humidity || p.kind == Share {
		return fmt.Sprintf("%s cannot be more than 100 %%", p.kind)
	}
	return fmt.Sprintf("it is more than %s, which no shop has", Format(p.kind, most, US))
}
