package quantity

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

var (
	clockForm     = regexp.MustCompile(`^([0-9]+):([0-9]+)`)
	digitsForm    = regexp.MustCompile(`^[+-]?(?:[0-9][0-9.,]*|[.,][0-9]+)`)
	fractionForm  = regexp.MustCompile(`^([0-9]+)/([0-9]+)`)
	mixedForm     = regexp.MustCompile(`^[ -]([0-9]+)/([0-9]+)`)
	thousandsForm = regexp.MustCompile(`^[1-9][0-9]{0,2},[0-9]{3}$`)
	wholeForm     = regexp.MustCompile(`^[0-9]+$`)
)

// clock reads "1:30" as hours and minutes.
func (p *parser) clock() (value, bool, *ParseError) {
	m := clockForm.FindStringSubmatch(p.rest)
	if m == nil {
		return nil, false, nil
	}
	if p.kind != Duration {
		return nil, false, p.fail("a colon is only read in times", "a quantity such as %s", p.kind.Example())
	}
	hours, _ := strconv.ParseFloat(m[1], 64)
	minutes, _ := strconv.ParseFloat(m[2], 64)
	if len(m[2]) != 2 || minutes >= 60 {
		return nil, false, p.fail("after the colon must come two digits below 60", "the time as 1:30, or as 90 min")
	}
	p.rest = p.rest[len(m[0]):]
	u, err := p.unit()
	if err != nil {
		return nil, false, err
	}
	if u != nil && u.name != "h" || strings.HasPrefix(p.rest, ":") {
		return nil, false, p.fail("a colon stands between hours and minutes only", "the time as 1:30, or as 90 min")
	}
	return value{{hours, p.unitOf("h")}, {minutes, p.unitOf("min")}}, true, nil
}

// number reads a number in words, digits or fractions.
func (p *parser) number() (float64, *ParseError) {
	if n, found := p.numberWord(); found {
		return n, nil
	}
	if m := fractionForm.FindStringSubmatch(p.rest); m != nil {
		p.rest = p.rest[len(m[0]):]
		return p.fraction(m)
	}
	digits := digitsForm.FindString(p.rest)
	if digits == "" {
		return 0, p.fail("it does not begin with a number", "a quantity such as %s", p.kind.Example())
	}
	p.rest = p.rest[len(digits):]
	n, err := p.decimal(strings.TrimRight(digits, ".,"))
	if err != nil {
		return 0, err
	}
	m := mixedForm.FindStringSubmatch(p.rest)
	if m == nil || !wholeForm.MatchString(digits) {
		return n, nil
	}
	part, err := p.fraction(m)
	if err != nil || part >= 1 {
		return n, err
	}
	p.rest = p.rest[len(m[0]):]
	return n + part, nil
}

// numberWord reads a number in words, such as "half an" or "two".
func (p *parser) numberWord() (float64, bool) {
	for _, half := range []string{"half an ", "half a ", "a half ", "half "} {
		if p.take(half) {
			return 0.5, true
		}
	}
	if p.take("a couple of ", "couple of ", "a couple ") {
		p.about = true
		return 2, true
	}
	if p.take("a ", "an ") {
		return 1, true
	}
	for i, word := range []string{"one ", "two ", "three ", "four ", "five ", "six ", "seven ", "eight ", "nine ", "ten ", "eleven ", "twelve "} {
		if p.take(word) {
			return float64(i + 1), true
		}
	}
	return 0, false
}

// fraction divides the two numbers of a match.
func (p *parser) fraction(m []string) (float64, *ParseError) {
	above, _ := strconv.ParseFloat(m[1], 64)
	below, _ := strconv.ParseFloat(m[2], 64)
	if below == 0 {
		return 0, p.fail("nothing can be divided by 0", "a quantity such as %s", p.kind.Example())
	}
	return above / below, nil
}

// decimal reads digits with a decimal point or comma. A comma before exactly
// three digits parts thousands in one country and decimals in another.
func (p *parser) decimal(digits string) (float64, *ParseError) {
	bare := strings.TrimLeft(digits, "+-")
	points, commas := strings.Count(bare, "."), strings.Count(bare, ",")
	switch {
	case thousandsForm.MatchString(bare):
		return 0, p.fail("the comma may part thousands or decimals", "%s or %s",
			strings.Replace(digits, ",", "", 1), strings.TrimRight(strings.TrimRight(strings.Replace(digits, ",", ".", 1), "0"), "."))
	case points+commas > 1:
		return 0, p.fail("it has more than one comma or point in a number",
			"the number without commas between thousands")
	}
	n, err := strconv.ParseFloat(strings.Replace(digits, ",", ".", 1), 64)
	if err != nil {
		return 0, p.fail("the number is too large", "a quantity such as %s", p.kind.Example())
	}
	return n, nil
}

// spelling is one way to write a unit.
type spelling struct {
	text string
	unit unit
}

// spellings lists all ways to write the units of a kind.
func spellings(k Kind) []spelling {
	var all []spelling
	for _, u := range k.spec().units {
		all = append(all, spelling{fold(u.name), u})
		for _, also := range u.also {
			all = append(all, spelling{also, u})
		}
	}
	return all
}

// longestUnit finds the longest spelling that text begins with and that is not
// the beginning of a longer word.
func longestUnit(all []spelling, text string) (best spelling, found bool) {
	for _, s := range all {
		after, ok := strings.CutPrefix(text, s.text)
		if ok && len(s.text) > len(best.text) && endsWord(s.text, after) {
			best, found = s, true
		}
	}
	return best, found
}

// endsWord reports whether a unit ends where it was cut off from the text.
func endsWord(unit, after string) bool {
	last, _ := utf8.DecodeLastRuneInString(unit)
	next, _ := utf8.DecodeRuneInString(after)
	return after == "" || !unicode.IsLetter(last) || !unicode.IsLetter(next) && !strings.ContainsRune("/^%", next)
}

// unit reads the unit at hand; nil when there is none. A unit that belongs to
// another kind is refused.
func (p *parser) unit() (*unit, *ParseError) {
	p.rest = strings.TrimLeft(p.rest, " ")
	if s, found := longestUnit(p.units, p.rest); found {
		p.rest = strings.TrimLeft(p.rest[len(s.text):], " ")
		return &s.unit, nil
	}
	if after, found := strings.CutPrefix(p.rest, "degrees"); found && p.thermal() {
		p.rest = strings.TrimLeft(after, " ")
		return nil, nil
	}
	for _, k := range Kinds() {
		if s, found := longestUnit(spellings(k), p.rest); found && !p.trailing() {
			return nil, p.wrongUnit(s.unit.name, k)
		}
	}
	return nil, nil
}

// thermal reports whether a bare "degrees" makes sense.
func (p *parser) thermal() bool { return p.kind == Temperature || p.kind == TemperatureDifference }

// trailing reports whether a word follows that is no unit but allowed.
func (p *parser) trailing() bool {
	for _, word := range p.kind.spec().trailing {
		if p.rest == word {
			return true
		}
	}
	return false
}

// wrongUnit is the error for a unit of another kind.
func (p *parser) wrongUnit(unit string, other Kind) *ParseError {
	problem := fmt.Sprintf("%s is a unit of %s, and %s is asked for", unit, other, p.kind)
	if len(p.units) == 0 {
		return p.fail(problem, "a bare number such as %s", p.kind.Example())
	}
	return p.fail(problem, "it in one of the units %s, such as %s", orList(p.kind.Units()), p.kind.Example())
}

// unitOf finds a unit of the kind at hand by its name; only for names from the
// tables of this package.
func (p *parser) unitOf(name string) *unit {
	for _, s := range p.units {
		if s.unit.name == name {
			return &s.unit
		}
	}
	return &unit{name: name, factor: 1}
}
