package shop

import (
	"errors"
	"math"
	"regexp"
	"strconv"
	"strings"

	"filmfault/internal/quantity"
)

// side says whether a text gives one end of a figure only.
type side int

const (
	closed side = iota
	under
	over
)

// measure reads a text by package quantity, which fills in the open side of
// "under 4 h" with the widest there is: the side says where it did. The example
// takes the place of that of the kind in what to write instead.
func measure(k quantity.Kind, text, example string) (quantity.Quantity, side, *refusal) {
	q, err := quantity.Parse(k, text, "")
	if err != nil {
		var bad *quantity.ParseError
		if !errors.As(err, &bad) {
			return q, closed, &refusal{err.Error(), example}
		}
		return q, closed, &refusal{bad.Problem, strings.Replace(bad.Remedy, k.Example(), example, 1)}
	}
	return q, sideOf(k, text, q), nil
}

// sideOf finds out which side of a quantity was left open. The words for it are
// those of package quantity, of which the last one decides: a text that has one
// reads the same with "under" and with "over" before it.
func sideOf(k quantity.Kind, text string, q quantity.Quantity) side {
	a, errA := quantity.Parse(k, "under "+text, "")
	b, errB := quantity.Parse(k, "over "+text, "")
	least, most := k.Plausible()
	switch {
	case errA != nil || errB != nil || a.Low != b.Low || a.High != b.High:
		return closed
	case q.Low <= least && q.High >= most: // all there is, from end to end
		return closed
	case q.High >= most:
		return over
	}
	return under
}

// exponents is one number or two, as in "5e-13 to 2e-12", which package quantity
// does not read.
var exponents = regexp.MustCompile(`^([0-9]+(?:\.[0-9]+)?(?:e[+-]?[0-9]+)?)(?: ?(?:-|to) ?([0-9]+(?:\.[0-9]+)?(?:e[+-]?[0-9]+)?))?$`)

// number reads a text in one of the scales of the figure.
func (g figure) number(text string) (low, high float64, wrong *refusal) {
	body, unit, ok := g.scaled(plain(text))
	if !ok {
		return 0, 0, &refusal{"it has no unit that is known here", "a figure such as " + g.example()}
	}
	low, high, wrong = g.ends(body)
	if wrong != nil {
		return 0, 0, wrong
	}
	if g.unit == "J/mol" && unit.name == "" && high > 0 && high < 1000 {
		return 0, 0, &refusal{"it may be J/mol or kJ/mol", body + " kJ/mol or " + body + " J/mol"}
	}
	low, high = low*unit.factor, high*unit.factor
	if math.IsInf(high, 0) {
		return 0, 0, &refusal{"the number is too large", "a figure such as " + g.example()}
	}
	return low, high, nil
}

// ends reads what is before the unit.
func (g figure) ends(body string) (low, high float64, wrong *refusal) {
	m := exponents.FindStringSubmatch(body)
	if m == nil {
		q, side, wrong := measure(quantity.Number, body, quantity.Number.Example())
		switch {
		case wrong != nil:
			wrong = &refusal{strings.Replace(wrong.problem, "number is asked for", g.name+" is asked for", 1), "a figure such as " + g.example()}
		case side != closed:
			wrong = g.oneEnd()
		}
		return q.Low, q.High, wrong
	}
	low, errLow := strconv.ParseFloat(m[1], 64)
	high, errHigh := low, errLow
	if m[2] != "" {
		high, errHigh = strconv.ParseFloat(m[2], 64)
	}
	switch {
	case errLow != nil || errHigh != nil:
		wrong = &refusal{"the number is too large", "a figure such as " + g.example()}
	case low > high:
		wrong = &refusal{"the second number is smaller than the first", "the smaller number first"}
	}
	return low, high, wrong
}

// scaled takes the unit off the end of a text.
func (g figure) scaled(text string) (string, scale, bool) {
	for _, s := range g.scales {
		if body, ok := strings.CutSuffix(text, s.name); ok {
			return strings.TrimSpace(body), s, true
		}
	}
	return text, scale{}, false
}

// plain writes a text in small letters, with one kind of each sign and single
// blanks.
func plain(text string) string {
	text = strings.NewReplacer("\u00b2", "2", "^", "", "\u2212", "-", "\u2013", "-", "\u2014", "-", "\u00b7", " ", "*", " ").Replace(strings.ToLower(text))
	return strings.Join(strings.Fields(text), " ")
}
