package render

import (
	"io"
	"strings"

	"filmfault/internal/report"
)

// Calculated writes the outcome of a calculator: each figure with its range and
// formula, then the inputs, those nobody stated marked as assumed.
func Calculated(w io.Writer, c report.Calculated, width int) error {
	p := page{width: width}
	p.line("", "  ", "%s", c.Title)
	p.b.WriteByte('\n')
	for _, r := range c.Results {
		p.line("  ", "    ", "%s: %s", r.Name, r.Text)
	}
	p.heading("From")
	for _, in := range c.Inputs {
		assumed := ""
		if in.Assumed {
			assumed = ", assumed (" + in.Source + ")"
		}
		p.line("  ", "    ", "%s: %s%s", in.Input, in.Text, assumed)
	}
	p.b.WriteByte('\n')
	for _, n := range c.Notes {
		p.line("", "  ", "%s", n)
	}
	p.line("", "  ", "Ranges are 5 to 95 %% of what the inputs allow. Formulas: %s.", strings.Join(sources(c.Results), "; "))
	_, err := io.WriteString(w, p.b.String())
	return err
}

func sources(list []report.Calculation) []string {
	var out []string
	seen := map[string]bool{}
	for _, r := range list {
		if r.Source != "" && !seen[r.Source] {
			seen[r.Source] = true
			out = append(out, r.Source)
		}
	}
	return out
}
