package quantity

import (
	"fmt"
	"regexp"
	"strings"
)

// longest is the number of bytes past which a text is no quantity.
const longest = 200

// side says whether a text bounds a quantity from one side only.
type side int

const (
	closed side = iota
	under
	over
)

// Parse reads a quantity as a sign maker types it: "12 mil wet", "8-12 mil",
// "1 1/2\"", "3 ft 6 in", "about 70 F", "half an hour", "under 4 h".
// defaultUnit is the unit of a bare number, in any spelling; with "" a unit
// must be typed, except for a Number.
//
// "about", "~" and "ish" widen the interval by 5 % to each side, by 3 F for a
// temperature. "overnight" is 10 to 14 h. "under" and "over" bound one side
// and leave the other at the plausible bound of the kind. A month is a twelfth
// of 365.25 days. "1:30" is hours and minutes.
//
// The error is a *ParseError. Refused are texts that are no quantity, units of
// another kind, missing units, a comma that may part thousands, and values
// outside Kind.Possible.
func Parse(k Kind, text string, defaultUnit string) (Quantity, error) {
	p := parser{kind: k, units: spellings(k), def: defaultUnit, text: strings.TrimSpace(text)}
	q, err := p.quantity()
	if err != nil {
		return Quantity{}, err
	}
	return q, nil
}

// parser reads one text; rest is what is still to be read, folded.
type parser struct {
	kind  Kind
	units []spelling
	def   string
	text  string
	rest  string

	about   bool
	side    side
	between bool
}

// value is a number with its unit, or several as in "3 ft 6 in".
type value []part

// part is one number of a value; unit is nil where none was typed.
type part struct {
	number float64
	unit   *unit
}

// fail makes the error for the text at hand.
func (p *parser) fail(problem, remedy string, args ...any) *ParseError {
	return &ParseError{Text: p.text, Kind: p.kind, Problem: problem, Remedy: fmt.Sprintf(remedy, args...)}
}

// quantity reads the whole text.
func (p *parser) quantity() (Quantity, *ParseError) {
	if p.text == "" {
		return Quantity{}, p.fail("nothing was typed", "a quantity such as %s", p.kind.Example())
	}
	if len(p.text) > longest {
		return Quantity{}, p.fail("it is too long", "the quantity alone, such as %s", p.kind.Example())
	}
	p.rest = fold(p.text)
	p.hedges()
	low, high, err := p.interval()
	if err != nil {
		return Quantity{}, err
	}
	if err := p.end(); err != nil {
		return Quantity{}, err
	}
	return p.finish(low, high)
}

// hedges takes off the words that say how sure or on which side a quantity is.
func (p *parser) hedges() {
	if without := ishForm.ReplaceAllString(p.rest, "$1 "); without != p.rest {
		p.about, p.rest = true, strings.TrimSpace(without)
	}
	for p.prefix() || p.suffix() {
		p.rest = strings.TrimSpace(p.rest)
	}
}

// ishForm finds "70ish", "70 ish" and "70 f-ish", and leaves words such as
// "finish" alone.
var ishForm = regexp.MustCompile(`(?:[ -]|([0-9]))ish\b`)

// prefix takes one leading word off, and reports whether there was one.
func (p *parser) prefix() bool {
	switch {
	case p.take("about ", "around ", "approximately ", "approx. ", "approx ", "roughly ", "circa ", "ca. ", "ca ", "~"):
		p.about = true
	case p.take("under ", "less than ", "below ", "at most ", "up to ", "no more than ", "within ", "<=", "<"):
		p.side = under
	case p.take("over ", "more than ", "longer than ", "above ", "at least ", "no less than ", ">=", ">"):
		p.side = over
	case p.take("between "):
		p.between = true
	case p.take("from "):
	default:
		return false
	}
	return true
}

// suffix takes one trailing word off, and reports whether there was one.
func (p *parser) suffix() bool {
	for _, s := range []struct {
		words string
		set   func()
	}{
		{" or so", func() { p.about = true }},
		{" or more", func() { p.side = over }},
		{" or less", func() { p.side = under }},
		{"+", func() { p.side = over }},
	} {
		if before, found := strings.CutSuffix(p.rest, s.words); found {
			p.rest = before
			s.set()
			return true
		}
	}
	return false
}

// take removes the first of some words that the rest begins with.
func (p *parser) take(words ...string) bool {
	for _, w := range words {
		if after, found := strings.CutPrefix(p.rest, w); found {
			p.rest = strings.TrimLeft(after, " ")
			return true
		}
	}
	return false
}

// interval reads one value, or two with a dash, "to" or "and" between them.
func (p *parser) interval() (low, high value, err *ParseError) {
	if p.kind == Duration && p.rest == "overnight" {
		p.rest = ""
		h := p.unitOf("h")
		return value{{10, h}}, value{{14, h}}, nil
	}
	if low, err = p.value(); err != nil {
		return nil, nil, err
	}
	p.rest = strings.TrimLeft(p.rest, " ")
	if !p.take("-", "to ") && (!p.between || !p.take("and ")) {
		return low, low, nil
	}
	high, err = p.value()
	return low, high, err
}

// value reads a number with its unit, and further ones in smaller units.
func (p *parser) value() (value, *ParseError) {
	if v, found, err := p.clock(); found || err != nil {
		return v, err
	}
	number, err := p.number()
	if err != nil {
		return nil, err
	}
	u, err := p.unit()
	if err != nil {
		return nil, err
	}
	v := value{{number, u}}
	for u != nil && p.minorFollows(u) {
		if number, u, err = p.minor(u); err != nil {
			return nil, err
		}
		v = append(v, part{number, u})
	}
	if u != nil && p.take("and a half") {
		v = append(v, part{0.5, u})
	}
	return v, nil
}

// minorFollows reports whether a number in the next smaller unit follows. In
// "between 3 ft and 4 ft" the "and" belongs to the range.
func (p *parser) minorFollows(u *unit) bool {
	if p.between && strings.HasPrefix(p.rest, "and ") {
		return false
	}
	return u.minor != "" && minorForm.MatchString(p.rest)
}

// minor reads the "6 in" of "3 ft 6 in"; the unit may be left out.
func (p *parser) minor(major *unit) (float64, *unit, *ParseError) {
	p.take("and ")
	number, err := p.number()
	if err != nil {
		return 0, nil, err
	}
	typed, err := p.unit()
	if err != nil {
		return 0, nil, err
	}
	if typed != nil && typed.name != major.minor {
		return 0, nil, p.fail(fmt.Sprintf("%s cannot follow %s", typed.name, major.name), "the whole in one unit")
	}
	return number, p.unitOf(major.minor), nil
}

// minorForm is the start of the second part of "3 ft 6 in".
var minorForm = regexp.MustCompile(`^(?:and )?[0-9.]`)

// end refuses what is left of the text after the quantity.
func (p *parser) end() *ParseError {
	p.rest = strings.TrimLeft(p.rest, " ")
	for _, word := range p.kind.spec().trailing {
		if p.rest == word {
			return nil
		}
	}
	p.rest = strings.TrimSuffix(p.rest, ".")
	if p.rest == "" {
		return nil
	}
	problem := fmt.Sprintf("%q is not understood", p.rest)
	if len(p.units) == 0 {
		return p.fail(problem, "the bare number, such as %s", p.kind.Example())
	}
	return p.fail(problem, "the number and one of the units %s, such as %s", orList(p.kind.Units()), p.kind.Example())
}
