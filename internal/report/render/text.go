// Package render lays report documents out: text for a terminal or a printed
// page, Markdown, and JSON. It decides nothing: what is told is in the document.
package render

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"filmfault/internal/console"
	"filmfault/internal/report"
)

// tellingFactor is how far an answer must pull to be told as a reason.
const tellingFactor = 1.5

// How much the page tells; the JSON has all.
const (
	causesShown    = 5
	reasonedCauses = 2
	reasonsShown   = 2
	storiesShown   = 2
	overturnShown  = 1
)

// Text writes a document as plain words, wrapped to width columns, without
// colour or drawing: it reads aloud and prints on one page.
func Text(w io.Writer, d *report.Document, width int) error {
	p := page{width: width}
	p.head(d)
	p.causes(d)
	p.log(d.Log)
	p.together(d)
	p.next(d)
	p.doubts(d)
	p.now(d)
	p.foot(d)
	_, err := io.WriteString(w, p.b.String())
	return err
}

type page struct {
	b     strings.Builder
	width int
}

// line writes wrapped text with an indent for the first and the further lines.
func (p *page) line(indent, hanging, format string, args ...any) {
	p.b.WriteString(console.Wrap(console.Printable(fmt.Sprintf(format, args...)), p.width, indent, hanging))
	p.b.WriteByte('\n')
}

func (p *page) heading(text string) {
	p.b.WriteByte('\n')
	p.line("", "", "%s", strings.ToUpper(text))
}

func (p *page) head(d *report.Document) {
	title := d.Case
	if d.Title != "" {
		title += ": " + d.Title
	}
	if d.Invented && !strings.Contains(strings.ToLower(title), "invented") {
		title += " (invented)"
	}
	p.line("", "  ", "%s", title)
	for _, state := range []struct{ id, words string }{{"seen", "Seen"}, {"absent", "Looked for and not there"}} {
		if titles := titlesOf(d.Failures, state.id); len(titles) > 0 {
			p.line("", "  ", "%s: %s.", state.words, fewer(titles))
		}
	}
	if len(d.Known) > 0 {
		p.line("", "  ", "Known: %s.", strings.Join(d.Known, ", "))
	}
}

// fewer writes a list, a long one in short.
func fewer(titles []string) string {
	const most = 5
	if len(titles) <= most+1 {
		return strings.Join(titles, "; ")
	}
	return fmt.Sprintf("%s; and %d others", strings.Join(titles[:most], "; "), len(titles)-most)
}

func titlesOf(failures []report.FailureState, state string) []string {
	var out []string
	for _, f := range failures {
		if f.State == state {
			out = append(out, f.Title)
		}
	}
	return out
}

func (p *page) causes(d *report.Document) {
	p.heading("Likeliest causes")
	for i, c := range d.Ranking {
		if i >= causesShown || i > 0 && c.Contributed < 0.02 {
			break
		}
		if i == 0 {
			p.unlisted(d, c.Contributed, 1)
		}
		p.line(fmt.Sprintf("%d. ", i+1), "   ", "%s - %s, %s%s%s", c.Title, report.Word(c.Contributed), report.Percent(c.Contributed), ranged(c), beside(c))
		if i < reasonedCauses {
			p.reasons("   For: ", c.Weights, true)
			p.reasons("   Against: ", c.Weights, false)
		}
	}
	for _, c := range d.Common {
		p.line("-> ", "   ", "Common to %s: %s - %s, %s", places(c.Places), lower(c.Title), report.Word(c.Contributed), report.Percent(c.Contributed))
	}
	least := report.Number(0.02)
	if len(d.Ranking) > 0 {
		p.unlisted(d, least, d.Ranking[0].Contributed)
	}
	p.line("", "", "(%s. Causes can act together, so the figures need not add up to 100 %%.)", report.Bounds)
}

// unlisted tells of what the rules do not list where it is at least as likely as
// one figure and less than, or as likely as, another.
func (p *page) unlisted(d *report.Document, from, to report.Number) {
	for _, u := range d.Unlisted {
		if u.Contributed >= from && (u.Contributed < to || to == 1) {
			p.line("-  ", "   ", "Something not listed here (%s) - %s, %s", u.Title, report.Word(u.Contributed), report.Percent(u.Contributed))
		}
	}
}

// places writes places as "1, 2 and 4".
func places(list []int) string {
	words := make([]string, len(list))
	for i, n := range list {
		words[i] = strconv.Itoa(n)
	}
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// lower begins a title in the middle of a sentence.
func lower(s string) string {
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToLower(s[:n]) + s[n:]
}

// wide is how far the ends of a cause's range must lie apart to be told.
const wide = 0.05

// ranged is the range that the uncertainty of the calculations gives a cause, the
// model behind them trusted wholly.
func ranged(c report.Cause) string {
	if c.Low == nil || c.High == nil || *c.High-*c.Low < wide {
		return ""
	}
	return fmt.Sprintf(" (%s to %s if the log is believed wholly)", report.Percent(*c.Low), report.Percent(*c.High))
}

// beside says what else there is to say of a cause's place.
func beside(c report.Cause) string {
	switch {
	case c.Role == report.RoleBystander:
		return fmt.Sprintf("; present all the same with %s, but it did little here", report.Percent(c.Present))
	case c.Role == report.RoleTogether:
		return "; together with the first"
	}
	return ""
}

// reasons tells the strongest pulls one way.
func (p *page) reasons(label string, weights []report.Weight, towards bool) {
	var parts []string
	for _, w := range weights {
		if len(parts) == reasonsShown {
			break
		}
		f := float64(w.Factor)
		if towards && f >= tellingFactor || !towards && f <= 1/tellingFactor {
			parts = append(parts, fmt.Sprintf("%s (%s)", w.Text, report.Factor(f)))
		}
	}
	if len(parts) > 0 {
		p.line(label, "      ", "%s", strings.Join(parts, "; "))
	}
}

func (p *page) together(d *report.Document) {
	if len(d.Stories) == 0 {
		return
	}
	p.heading("What acted together")
	for _, s := range d.Stories[:min(storiesShown, len(d.Stories))] {
		p.line("-  ", "   ", "%s: %s", s.Text, report.Percent(s.Probability))
	}
}

func (p *page) next(d *report.Document) {
	if len(d.Warnings) > 0 {
		p.heading("Cautions first")
		p.line("!  ", "   ", "%s", strings.Join(d.Warnings, " "))
	}
	if list := d.Proposed(); len(list) > 0 {
		p.heading("What would confirm it")
		for _, m := range list {
			p.confirmation(m)
		}
	}
	if len(d.Asked()) == 0 {
		return
	}
	p.heading("Next to find out, by what it tells for the time")
	for _, q := range d.Asked() {
		p.line("-  ", "   ", "%s (%s)", q.Text, minutes(q.Minutes))
	}
}

func (p *page) confirmation(m report.Confirmation) {
	p.line("-  ", "   ", "%s %s %s, damage: %s.", m.Title, report.Sentence(m.Method), capital(minutes(m.Minutes)), m.Damage)
	p.line("   ", "   ", "Decides: %s Cause %d then stands at %s if met, at %s if not.",
		report.Sentence(m.Decides), m.For, report.Percent(*m.IfMet), report.Percent(*m.IfNot))
}

func capital(s string) string {
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToUpper(s[:n]) + s[n:]
}

func minutes(n report.Number) string {
	if n == 1 {
		return "1 minute"
	}
	return fmt.Sprintf("%g minutes", float64(n))
}

func (p *page) doubts(d *report.Document) {
	if len(d.Conflicts) == 0 && len(d.Overturns) == 0 {
		return
	}
	p.heading("What speaks against, and what would change this")
	for _, c := range d.Conflicts {
		p.line("-  ", "   ", "%s speaks against the first cause (%s).", c.Text, report.Factor(float64(c.Factor)))
	}
	for _, o := range d.Overturns[:min(overturnShown, len(d.Overturns))] {
		p.line("-  ", "   ", "%s.", o)
	}
}

func (p *page) now(d *report.Document) {
	p.heading("What to do now")
	for _, a := range d.Advice {
		p.line("-  ", "   ", "%s. Make safe: %s", a.Failure, a.MakeSafe)
		p.line("   ", "   ", "For now: %s", a.Temporary)
		p.line("   ", "   ", "Do not: %s", a.Never)
	}
}

func (p *page) foot(d *report.Document) {
	if len(d.Ranking) > 0 && report.Word(d.Ranking[0].Contributed) == report.Likely {
		p.line("-  ", "   ", "If the first cause is confirmed: %s", d.Ranking[0].Repair)
		p.line("-  ", "   ", "In the shop: %s", d.Ranking[0].Prevent)
	}
	p.b.WriteByte('\n')
	if d.Why != "" {
		p.line("", "", "%s", d.Why)
	}
	if len(d.Skipped) > 0 {
		p.line("", "  ", "Answered but no evidence here: %s.", strings.Join(d.Skipped, ", "))
	}
	p.line("", "  ", "Rules %s (%s). A ranking is no proof: the measurement decides.", d.Rules.Digest, strings.Join(d.Rules.Layers, " + "))
	if d.SavedAt != "" {
		p.line("", "  ", "Saved in %s", d.SavedAt)
	}
}
