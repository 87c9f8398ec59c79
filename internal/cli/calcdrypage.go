package cli

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"filmfault/internal/console"
	"filmfault/internal/quantity"
	"filmfault/internal/report"
	"filmfault/internal/report/render"
	"filmfault/internal/uncertain"
)

// dryPage gathers what the calculators of water in a film print. A time that is
// infinite is one that never comes in this air.
type dryPage struct {
	title           string
	results         []report.Calculation
	notes, cautions []string
	inputs          []input
	sys             quantity.System
	// horizon is how long a film was followed, in s: a time of that length is that
	// or longer.
	horizon float64
}

// drySource is where the formulas come from.
const drySource = "drying of a latex film by Kiil 2006, Progress in Organic Coatings 57, 236-250; the wet face by its balance of heat, Incropera, chapters 6, 7 and 9; water in the dried film by Fick"

// tell puts a figure on the page.
func (p *dryPage) tell(name string, value uncertain.Range, kind quantity.Kind) *report.Calculation {
	r := uncertain.Result{Name: name, Value: value, Unit: kind.Base(), Assumed: assumedOf(p.inputs), Source: drySource}
	c := report.Told(r, kind, p.sys)
	if kind == quantity.Duration {
		c.Text = p.times(value)
	}
	p.results = append(p.results, c)
	return &p.results[len(p.results)-1]
}

// chance puts a probability on the page.
func (p *dryPage) chance(name string, probability float64) {
	p.tell(name, exactly(probability), quantity.Share).Text = report.Percent(report.Number(probability))
}

// times writes a range of times.
func (p *dryPage) times(r uncertain.Range) string {
	mid, low, high := p.time(r.Mid), p.time(r.Low), p.time(r.High)
	switch {
	case low == high:
		return mid
	case r.High < p.horizon && r.Low > 0:
		return mid + " (" + quantity.FormatRange(quantity.Duration, r.Low, r.High, p.sys) + ")"
	}
	return mid + " (" + low + " to " + high + ")"
}

// time writes one time.
func (p *dryPage) time(s float64) string {
	switch {
	case s <= 0:
		return "no wait"
	case math.IsInf(s, 1):
		return "never in this air"
	case p.horizon > 0 && s >= p.horizon:
		return "over " + quantity.Format(quantity.Duration, p.horizon, p.sys)
	}
	return quantity.Format(quantity.Duration, s, p.sys)
}

// note adds a sentence.
func (p *dryPage) note(format string, args ...any) {
	p.notes = append(p.notes, fmt.Sprintf(format, args...))
}

// caution adds a sentence to stand before everything else.
func (p *dryPage) caution(format string, args ...any) {
	p.cautions = append(p.cautions, fmt.Sprintf(format, args...))
}

// list adds inputs.
func (p *dryPage) list(in ...input) { p.inputs = append(p.inputs, in...) }

// words writes a value of a kind.
func (p *dryPage) words(k quantity.Kind, si float64) string { return quantity.Format(k, si, p.sys) }

// given is an input for printing. A figure as small as a diffusivity is written
// with its power of ten.
func (p *dryPage) given(x input) report.Given {
	g := report.Stated(x.in, x.kind, p.sys)
	if x.kind == quantity.Number && x.in.High > 0 && x.in.High < 1e-3 {
		number := func(v float64) string { return strconv.FormatFloat(v, 'g', 3, 64) }
		g.Text = number(x.in.Low) + " to " + number(x.in.High) + " " + x.in.Unit
		if x.in.IsExact() {
			g.Text = number(x.in.Low) + " " + x.in.Unit
		}
	}
	return g
}

// print writes the page. In JSON the cautions are the first notes.
func (p *dryPage) print(a *app, format *choice) error {
	c := report.Calculated{Schema: report.Schema, Title: p.title, Results: p.results, Notes: p.notes}
	for _, x := range p.inputs {
		c.Inputs = append(c.Inputs, p.given(x))
	}
	if format.value == "json" {
		for _, text := range slices.Backward(p.cautions) {
			c.Notes = slices.Insert(c.Notes, 0, "Caution first: "+text)
		}
		c.Notes = append(c.Notes, p.inJSON()...)
		return render.JSON(a.console.Out(), c)
	}
	width := min(a.console.Width(), 100)
	for _, text := range p.cautions {
		if _, err := fmt.Fprintf(a.console.Out(), "%s\n\n", console.Wrap("Caution first: "+text, width, "!  ", "   ")); err != nil {
			return fmt.Errorf("the result was not written: %w", err)
		}
	}
	return render.Calculated(a.console.Out(), c, width)
}

// inJSON says what a number cannot.
func (p *dryPage) inJSON() []string {
	var out []string
	values := func(c report.Calculation) []report.Figure { return []report.Figure{c.Value, c.Low, c.High} }
	has := func(is func(float64) bool) bool {
		return slices.ContainsFunc(p.results, func(c report.Calculation) bool {
			return c.Unit == "s" && slices.ContainsFunc(values(c), func(f report.Figure) bool { return is(float64(f)) })
		})
	}
	if has(func(v float64) bool { return math.IsInf(v, 1) }) {
		out = append(out, "null stands for never in this air.")
	}
	if has(func(v float64) bool { return v == p.horizon }) {
		out = append(out, fmt.Sprintf("%.0f s stands for that or longer: a film is followed no further.", p.horizon))
	}
	return out
}
