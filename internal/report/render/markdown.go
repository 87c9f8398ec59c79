package render

import (
	"fmt"
	"io"
	"strings"

	"filmfault/internal/console"
	"filmfault/internal/report"
)

// Markdown writes a document for a wiki, a mail or an issue.
func Markdown(w io.Writer, d *report.Document) error {
	var m sheet
	title := d.Case
	if d.Title != "" {
		title += ": " + d.Title
	}
	m.put("# %s", title)
	m.put("")
	for _, f := range d.Failures {
		m.put("- %s: %s", f.Title, map[string]string{"seen": "seen", "absent": "looked for and not there"}[f.State])
	}
	m.ranking(d)
	m.log(d.Log)
	m.stories(d)
	m.confirm(d)
	m.now(d)
	m.put("")
	m.put("Rules %s (%s). A ranking is no proof: the measurement decides. %s.", d.Rules.Digest, strings.Join(d.Rules.Layers, " + "), report.Bounds)
	_, err := io.WriteString(w, m.b.String())
	return err
}

type sheet struct{ b strings.Builder }

// put writes a line; what a user typed cannot start markup.
func (m *sheet) put(format string, args ...any) {
	for i, a := range args {
		if s, ok := a.(string); ok {
			args[i] = escape(s)
		}
	}
	fmt.Fprintf(&m.b, format+"\n", args...)
}

func escape(s string) string {
	s = strings.ReplaceAll(console.Printable(s), "\n", " ")
	return strings.NewReplacer(`\`, `\\`, "*", `\*`, "_", `\_`, "`", "\\`", "<", "&lt;", "|", `\|`, "[", `\[`).Replace(s)
}

func (m *sheet) ranking(d *report.Document) {
	m.put("\n## Likeliest causes\n")
	m.put("| | cause | how likely | for | against |")
	m.put("|---|---|---|---|---|")
	for i, c := range d.Ranking {
		if i >= causesShown || i > 0 && c.Contributed < 0.02 {
			break
		}
		m.put("| %d | %s | %s, %s | %s | %s |", i+1, c.Title, report.Word(c.Contributed), report.Percent(c.Contributed)+ranged(c), pulls(c.Weights, true), pulls(c.Weights, false))
	}
	for _, c := range d.Common {
		m.put("| | Common to %s: %s | %s, %s | | |", places(c.Places), lower(c.Title), report.Word(c.Contributed), report.Percent(c.Contributed))
	}
	for _, u := range d.Unlisted {
		if u.Contributed >= 0.02 {
			m.put("| - | Something not listed (%s) | %s, %s | | |", u.Title, report.Word(u.Contributed), report.Percent(u.Contributed))
		}
	}
}

// log tells what the job log implies.
func (m *sheet) log(l *report.FromLog) {
	if l == nil {
		return
	}
	m.put("\n## What the job log implies\n")
	for _, line := range logLines(l) {
		m.put("- %s", line)
	}
}

func pulls(weights []report.Weight, towards bool) string {
	var parts []string
	for _, w := range weights {
		f := float64(w.Factor)
		if len(parts) < reasonsShown && (towards && f >= tellingFactor || !towards && f <= 1/tellingFactor) {
			parts = append(parts, fmt.Sprintf("%s (%s)", w.Text, report.Factor(f)))
		}
	}
	return strings.Join(parts, "; ")
}

func (m *sheet) stories(d *report.Document) {
	if len(d.Stories) == 0 {
		return
	}
	m.put("\n## What acted together\n")
	for _, s := range d.Stories[:min(storiesShown, len(d.Stories))] {
		m.put("- %s: %s", s.Text, report.Percent(s.Probability))
	}
}

func (m *sheet) confirm(d *report.Document) {
	if len(d.Cautions) > 0 {
		m.put("\n## Cautions, before any of what follows\n")
		for _, c := range d.Cautions {
			m.put("- **Caution:** %s", c)
		}
	}
	if list := d.Proposed(); len(list) > 0 {
		m.put("\n## What would confirm it\n")
		for _, x := range list {
			m.put("- %s %s (%s, damage: %s). Decides: %s. Cause %d then stands at %s if met, at %s if not.", x.Title, x.Method,
				minutes(x.Minutes), x.Damage, strings.TrimRight(x.Decides, "."), x.For, report.Percent(*x.IfMet), report.Percent(*x.IfNot))
		}
	}
	if len(d.Asked()) > 0 {
		m.put("\n## Next to find out, by what it tells for the time\n")
		for _, q := range d.Asked() {
			m.put("- %s (%s)", q.Text, minutes(q.Minutes))
		}
	}
}

func (m *sheet) now(d *report.Document) {
	m.put("\n## What to do now\n")
	for _, a := range d.Advice {
		m.put("- %s. Make safe: %s For now: %s Do not: %s", a.Failure, a.MakeSafe, a.Temporary, a.Never)
	}
	if len(d.Ranking) > 0 {
		m.put("- If the first cause is confirmed: %s", d.Ranking[0].Repair)
		m.put("- In the shop: %s", d.Ranking[0].Prevent)
	}
}
