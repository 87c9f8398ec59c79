package shop

import (
	"errors"
	"math"
	"regexp"
	"strconv"
	"strings"

	"filmfault/internal/physics/material"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// refusal says why a text is not the figure asked for, and what to write instead.
type refusal struct{ problem, remedy string }

// figure is one figure of a material that a shop may state.
type figure struct {
	name, unit string
	kind       quantity.Kind
	// shown is the unit that examples are given in.
	shown scale
	// scales are the units of a figure that package quantity has no kind or not
	// all values for.
	scales []scale
	// generic is the figure that the shop's replaces, of the material m.
	generic uncertain.Input
	m       material.Material
}

// scale is a unit: its name and what it is in the SI unit of the figure.
type scale struct {
	name   string
	factor float64
}

// figures lists the figures of a material.
func figures(m material.Material) []figure {
	names, units := material.Properties()
	inputs := m.Inputs()
	out := make([]figure, len(names))
	for i := range names {
		out[i] = figure{name: names[i], unit: units[i], generic: inputs[i], m: m}
		out[i].measured()
	}
	return out
}

// measured settles by its unit how a figure is read. The ratio of two strains is
// the one fraction that nobody writes in percent.
func (g *figure) measured() {
	const ( // NIST SP 811, appendix B.8
		pound  = 0.45359237
		inch   = 0.0254
		psi    = pound * 9.80665 / (inch * inch)
		gallon = 231 * inch * inch * inch
	)
	switch {
	case g.name == "poisson-ratio":
		g.kind, g.shown, g.scales = quantity.Number, scale{"", 1}, []scale{{"", 1}}
	case g.unit == uncertain.Share:
		g.kind, g.shown = quantity.Share, scale{"%", 0.01}
	case g.unit == "kg/m3":
		g.kind, g.shown = quantity.Density, scale{"lb/gal", pound / gallon}
	case g.unit == "m":
		g.kind, g.shown = quantity.Film, scale{"mil", mil}
	case g.unit == "s":
		g.kind, g.shown = quantity.Duration, scale{"h", hour}
	case g.unit == "Pa":
		g.kind, g.shown = quantity.Pressure, scale{"MPa", 1e6}
		g.scales = []scale{{"gpa", 1e9}, {"mpa", 1e6}, {"ksi", 1000 * psi}, {"psi", psi}}
	case g.unit == "J/mol":
		g.kind, g.shown, g.scales = quantity.Number, scale{"kJ/mol", 1000}, []scale{{"kj/mol", 1000}, {"j/mol", 1}, {"", 1}}
	case g.unit == "m2/s":
		g.kind, g.shown, g.scales = quantity.Number, scale{"m2/s", 1}, []scale{{"cm2/s", 1e-4}, {"mm2/s", 1e-6}, {"m2/s", 1}, {"", 1}}
	case g.unit == "kg/(s m2 Pa)":
		g.kind, g.shown, g.scales = quantity.Number, scale{"perm", material.Perm}, permeances()
	default:
		g.kind, g.shown, g.scales = quantity.Number, scale{g.unit, 1}, []scale{{"", 1}}
	}
}

// permeances are the units of permeance; the longer name goes first where one
// ends like another.
func permeances() []scale {
	out := []scale{
		{"metric perms", material.MetricPerm}, {"metric perm", material.MetricPerm},
		{"us perms", material.Perm}, {"us perm", material.Perm}, {"perms", material.Perm}, {"perm", material.Perm},
	}
	for _, below := range []string{"(s m2 pa)", "(m2 s pa)", "(pa s m2)", "(pa m2 s)"} {
		out = append(out, scale{"ng/" + below, 1e-12}, scale{"kg/" + below, 1})
	}
	return append(out, scale{"", 1})
}

// read reads a text as the figure, without its source. A figure of which only
// the order of magnitude is known for the generic material is spread over it
// here too, unless it is exact or begins at 0.
func (g figure) read(text string) (uncertain.Input, *refusal) {
	low, high, wrong := g.interval(text)
	if wrong != nil {
		return uncertain.Input{}, wrong
	}
	in := uncertain.Input{Low: low, High: high, Unit: g.unit}
	if low != high && low > 0 {
		in.Spread = g.generic.Spread
	}
	if _, err := g.m.With(map[string]uncertain.Input{g.name: in}); err != nil {
		return uncertain.Input{}, g.impossible(err)
	}
	return in, nil
}

// impossible words the refusal of a value that no material has.
func (g figure) impossible(err error) *refusal {
	var out *uncertain.OutOfRange
	if !errors.As(err, &out) {
		return &refusal{err.Error(), g.example()}
	}
	low, high := g.inside(out.Low, out.High)
	return &refusal{"no material has such a figure", "within " + g.words(low, high) + ", such as " + g.example()}
}

// poundsAlone finds a density in pounds that does not say of what.
var poundsAlone = regexp.MustCompile(`(?i)^(.*[0-9])\s*(?:lbs?|pounds?)\.?$`)

// interval reads a text in SI.
func (g figure) interval(text string) (low, high float64, wrong *refusal) {
	text = strings.TrimSpace(text)
	if g.kind == quantity.Number {
		return g.number(text)
	}
	if m := poundsAlone.FindStringSubmatch(text); g.kind == quantity.Density && m != nil {
		return 0, 0, &refusal{"it may be pounds per gallon or per cubic foot", m[1] + " lb/gal or " + m[1] + " lb/ft3"}
	}
	q, side, wrong := measure(g.kind, text, g.example())
	if wrong != nil && len(g.scales) > 0 {
		// Package quantity reads pressures up to 1 GPa, and films are stiffer.
		if low, high, again := g.number(text); again == nil || *again == *g.oneEnd() {
			return low, high, again
		}
	}
	if wrong == nil && side != closed {
		wrong = g.oneEnd()
	}
	return q.Low, q.High, wrong
}

func (g figure) oneEnd() *refusal {
	return &refusal{"it gives one end only", "both ends, such as " + g.example() + ", or the figure itself"}
}

// example is the generic figure as a shop would write it.
func (g figure) example() string { return g.words(g.generic.Low, g.generic.High) }

// words writes an interval as it can be read back.
func (g figure) words(low, high float64) string {
	a, b := g.digits(low/g.shown.factor), g.digits(high/g.shown.factor)
	switch {
	case a == b:
	case strings.Contains(a+b, "e"):
		a += " to " + b
	default:
		a += "-" + b
	}
	return strings.TrimSpace(a + " " + g.shown.name)
}

// digits writes a number in three digits that count, a small one with an exponent
// where that can be read back.
func (g figure) digits(v float64) string {
	short := strconv.FormatFloat(v, 'g', significant, 64)
	rounded, _ := strconv.ParseFloat(short, 64) // it was a number
	if a := math.Abs(rounded); g.kind == quantity.Number && a != 0 && a < 1e-3 {
		return strings.Replace(short, "e-0", "e-", 1)
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

// significant is the number of digits that words gives.
const significant = 3

// inside brings two limits in SI so far together that what words makes of them
// does not lie beyond.
func (g figure) inside(low, high float64) (float64, float64) {
	round := func(v float64, to func(float64) float64, slack float64) float64 {
		if v == 0 {
			return 0
		}
		v /= g.shown.factor
		step := math.Pow(10, math.Floor(math.Log10(v))+1-significant)
		return to(v/step+slack) * step * g.shown.factor
	}
	const rounding = 1e-6
	return round(low, math.Ceil, -rounding), round(high, math.Floor, rounding)
}
