package render

import (
	"fmt"
	"io"
	"strings"

	"filmfault/internal/report"
)

// ButFor writes what would have kept a finish sound.
func ButFor(w io.Writer, b report.ButFor, format string, width int) error {
	if format == "markdown" {
		return butForMarkdown(w, b)
	}
	p := page{width: width}
	p.line("", "  ", "%s: what alone would have kept the finish sound, the rest as logged", b.Case)
	if list := b.Departures; len(list) > 0 {
		p.heading("Departures from the shop's standard")
		for _, d := range list {
			p.line("-  ", "   ", "%s: %s.", capital(report.DepartureName(d.Departure)), d.Logged)
		}
	}
	for _, e := range b.Events {
		p.heading(e.Title)
		p.line("", "  ", "As logged: %s%s.", report.Percent(e.Chance), between(e))
		for _, d := range e.Departures {
			p.line("-  ", "   ", "%s", departed(d))
		}
		p.line("", "  ", "%s", smallest(e))
	}
	p.b.WriteByte('\n')
	p.line("", "  ", "Each line undoes one departure from the shop's standard and replays the job in %d draws. This splits what the log implies; it is no further finding and proves nothing: a weighed coupon does.", b.Draws)
	p.rules(b.Rules)
	_, err := io.WriteString(w, p.b.String())
	return err
}

// between is the range of a chance, where it is one.
func between(e report.ButForEvent) string {
	low, high := report.Percent(e.Low), report.Percent(e.High)
	if low == high {
		return ""
	}
	return " (" + low + " to " + high + ")"
}

// sound is the chance below which an event is taken not to have happened.
const sound = 0.1

// departed tells one departure undone.
func departed(d report.Departure) string {
	text := fmt.Sprintf("%s: %s", undone(d.Departure), report.Percent(d.Without))
	if d.Sound {
		text += ", sound"
	}
	if d.Blame != nil {
		text += fmt.Sprintf("; its part in the failure %s", report.Percent(*d.Blame))
	}
	return text + "."
}

// undone is a departure undone, in words.
func undone(departure string) string {
	words := map[string]string{
		"time": "With the standard time to dry", "fresh-fan": "With a fresh hour under the fan", "standing": "With dry air while it stood", "fan": "With the standard fan",
		"air": "With the standard air", "film": "With the standard film", "thinning": "Thinned to the standard",
		"shade": "Kept from sun as the standard has it", "back": "With both faces coated", "coats": "With equal coats",
		"kinds": "With like coatings", "films": "With equal film",
	}
	if w, ok := words[departure]; ok {
		return w
	}
	return "With the standard " + departure
}

// smallest says which sets would have been enough.
func smallest(e report.ButForEvent) string {
	switch {
	case e.Chance < sound:
		return "By this alone the film was most likely sound as logged."
	case len(e.Departures) == 0:
		return "The log departs from the standard in nothing, so it was the standard that was not enough, or a figure of the log is wrong."
	case len(e.Smallest) == 0:
		return "No one of these, and no two of them, brings it under 10 %."
	}
	var sets []string
	for _, s := range e.Smallest {
		var words []string
		for _, d := range s {
			words = append(words, lower(undone(d)))
		}
		sets = append(sets, strings.Join(words, " and "))
	}
	return "Enough to bring it under 10 %: " + strings.Join(sets, ", or ") + "."
}

func butForMarkdown(w io.Writer, b report.ButFor) error {
	var m sheet
	m.put("# %s: what would have kept the finish sound", b.Case)
	for _, d := range b.Departures {
		m.put("- %s: %s", capital(report.DepartureName(d.Departure)), d.Logged)
	}
	for _, e := range b.Events {
		m.put("\n## %s\n", e.Title)
		m.put("As logged: %s. %s\n", report.Percent(e.Chance)+between(e), smallest(e))
		if len(e.Departures) == 0 {
			continue
		}
		m.put("| undone | then too wet or bent | its part in the failure |")
		m.put("|---|---|---|")
		for _, d := range e.Departures {
			blame := ""
			if d.Blame != nil {
				blame = report.Percent(*d.Blame)
			}
			m.put("| %s | %s | %s |", undone(d.Departure), report.Percent(d.Without), blame)
		}
	}
	m.put("\nRules %s (%s).", b.Rules.Digest, strings.Join(b.Rules.Layers, " + "))
	_, err := io.WriteString(w, m.b.String())
	return err
}
