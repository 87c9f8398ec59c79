package render

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"filmfault/internal/report"
)

// Ranking writes the places alone, for a look in the middle of an interview.
func Ranking(w io.Writer, d *report.Document, width int) error {
	p := page{width: width}
	for i, c := range d.Ranking {
		if i >= causesShown || i > 0 && c.Contributed < 0.02 {
			break
		}
		p.line(fmt.Sprintf("%d. ", i+1), "   ", "%s - %s, %s", c.Title, report.Word(c.Contributed), report.Percent(c.Contributed))
	}
	for _, c := range d.Common {
		p.line("-> ", "   ", "Common to %s: %s - %s, %s", places(c.Places), lower(c.Title), report.Word(c.Contributed), report.Percent(c.Contributed))
	}
	_, err := io.WriteString(w, p.b.String())
	return err
}

// Explanation writes the weights behind a cause.
func Explanation(w io.Writer, x *report.Explanation, format string, width int) error {
	p := page{width: width}
	if format == "markdown" {
		p.line("# ", "", "%s: %s", x.Case, x.Title)
	} else {
		p.line("", "  ", "%s: %s", x.Case, x.Title)
	}
	p.line("", "  ", "%s", report.Sentence(x.Mechanism))
	p.b.WriteByte('\n')
	p.line("", "  ", "Before any answer, among jobs like this with %s: %s.", strings.ToLower(strings.Join(x.Seen, " and ")), report.Percent(x.Prior))
	for _, pull := range x.Weights {
		p.pull(pull)
	}
	p.line("", "  ", "With all answers: %s (%s). Each + or - stands for a third of the way to three times likelier or less likely%s.",
		report.Percent(x.Posterior), report.Word(x.Posterior), sampled(x.Weights))
	p.overturned(x)
	p.surprise(x.Surprise)
	p.rules(x.Rules)
	_, err := io.WriteString(w, p.b.String())
	return err
}

// sampled says that pulls are not exact, where they are not.
func sampled(pulls []report.Pull) string {
	for _, x := range pulls {
		if x.Error > 0 {
			return "; with so many answers the single pulls are right within a few percent"
		}
	}
	return ""
}

// rules names the rules a result rests on.
func (p *page) rules(r report.Rules) {
	p.line("", "  ", "Rules %s (%s).", r.Digest, strings.Join(r.Layers, " + "))
}

// barUnit is the pull, in natural log odds, that one mark of a bar stands for:
// a third of the way to three times likelier.
const barUnit = 0.3662 // ln(3)/3

func (p *page) pull(x report.Pull) {
	f := float64(x.Factor)
	marks := min(8, int(math.Round(math.Abs(float64(x.LogOdds))/barUnit)))
	sign := "+"
	if f < 1 {
		sign = "-"
	}
	p.line(fmt.Sprintf("%9s ", strings.Repeat(sign, marks)), "          ", "%s (%s)", x.Text, report.Factor(f))
}

func (p *page) overturned(x *report.Explanation) {
	p.b.WriteByte('\n')
	if len(x.Overturned) == 0 {
		p.line("", "  ", "No single answer, if wrong, would change which cause comes first.")
		return
	}
	p.line("", "  ", "Answers that hold up the first place; if one is wrong, another cause leads:")
	for _, o := range x.Overturned {
		p.line("-  ", "   ", "%s; then %s leads with %s", o.Text, lower(o.Title), report.Percent(o.Contributed))
	}
}

func (p *page) surprise(s report.Surprise) {
	if s.Surprising {
		p.line("", "  ", "These answers are surprising together: of %d simulated cases with such failures and the same questions, under 1 %% look as unlikely. An answer may be wrong, or the true cause may not be listed.", s.Cases)
		return
	}
	p.line("", "  ", "Taken together these answers are nothing unusual for such failures.")
}

// Compared writes two rankings side by side.
func Compared(w io.Writer, c report.Comparison, format string, width int) error {
	p := page{width: width}
	if format == "markdown" {
		var m sheet
		m.put("# %s: %s\n", c.Case, c.Change)
		m.put("| cause | before | after |")
		m.put("|---|---|---|")
		for _, x := range c.Moves {
			m.put("| %s | %s | %s |", x.Title, placed(x.PlaceBefore, x.Before), placed(x.PlaceAfter, x.After))
		}
		_, err := io.WriteString(w, m.b.String())
		return err
	}
	p.line("", "  ", "%s, as it stands and with %s", c.Case, c.Change)
	p.b.WriteByte('\n')
	fmt.Fprintf(&p.b, "%-16s%-16s%s\n", "before", "after", "cause")
	for _, x := range c.Moves {
		left := fmt.Sprintf("%-16s%-16s", placed(x.PlaceBefore, x.Before), placed(x.PlaceAfter, x.After))
		p.line(left, strings.Repeat(" ", 32), "%s", x.Title)
	}
	p.b.WriteByte('\n')
	p.line("", "  ", "%s", moved(c))
	p.rules(c.Rules)
	_, err := io.WriteString(w, p.b.String())
	return err
}

func placed(place int, v report.Number) string {
	if place == 0 {
		return "not ranked"
	}
	return fmt.Sprintf("%d. %s", place, report.Percent(v))
}

// moved says what changed in a sentence.
func moved(c report.Comparison) string {
	var first, before string
	for _, x := range c.Moves {
		if x.PlaceAfter == 1 {
			first = x.Title
		}
		if x.PlaceBefore == 1 {
			before = x.Title
		}
	}
	if first == before {
		return "The first place stays: " + first + "."
	}
	return fmt.Sprintf("The first place goes from %q to %q.", before, first)
}

// measurementsShown is how many measurements a page tells.
const measurementsShown = 6

// Measurements writes the open measurements by worth.
func Measurements(w io.Writer, m report.Measuring, width int) error {
	p := page{width: width}
	if len(m.Measurements) == 0 {
		p.line("", "", "%s: no measurement that is still open would tell the leading causes apart.", m.Case)
	} else {
		p.line("", "  ", "%s: measurements still open, the most telling for its time first", m.Case)
	}
	shown := m.Measurements[:min(measurementsShown, len(m.Measurements))]
	for i, x := range shown {
		p.b.WriteByte('\n')
		p.measurement(i+1, x)
	}
	p.inFull(shown)
	p.b.WriteByte('\n')
	p.rules(m.Rules)
	_, err := io.WriteString(w, p.b.String())
	return err
}

// inFull gives the cautions of all the measurements shown, each once, in full.
func (p *page) inFull(shown []report.Measurement) {
	var told []string
	for _, x := range shown {
		for _, c := range x.Cautions {
			if slices.Contains(told, c) {
				continue
			}
			if len(told) == 0 {
				p.heading("The cautions in full")
			}
			told = append(told, c)
			p.line("!  ", "   ", "%s", c)
		}
	}
}

func (p *page) measurement(place int, x report.Measurement) {
	if len(x.Warnings) > 0 {
		p.line("!  ", "   ", "Caution first: %s", strings.Join(x.Warnings, " "))
	}
	p.line(fmt.Sprintf("%d. ", place), "   ", "%s: %s", x.Measurement, x.Title)
	p.line("   ", "   ", "%s", report.Sentence(x.Method))
	tools := ""
	if len(x.Tools) > 0 {
		tools = "; take: " + strings.Join(x.Tools, ", ")
	}
	p.line("   ", "   ", "%s; damage: %s%s.", minutes(x.Minutes), x.Damage, tools)
	p.line("   ", "   ", "Decides: %s", report.Sentence(x.Decides))
	for _, a := range x.Answers {
		var parts []string
		for _, c := range a.Ranking {
			parts = append(parts, fmt.Sprintf("%s %s", lower(c.Title), report.Percent(c.Contributed)))
		}
		p.line("   - ", "     ", "%s=%s (%s, chance %s): %s", x.Measurement, a.Answer, a.Text, report.Percent(a.Probability), strings.Join(parts, "; "))
	}
}
