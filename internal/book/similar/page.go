package similar

import (
	"fmt"
	"io"
	"math"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/console"
)

// How much a page tells of one case; the JSON has all. leastShown is the share of
// the weight of the case asked about below which an answer is not worth a line.
const (
	answersShown = 4
	leastShown   = 0.005
)

// Text writes a document as plain words wrapped to width columns.
func Text(w io.Writer, d *Document, width int) error {
	p := page{width: width}
	p.line("", "  ", "%s: past cases like it, the nearest first", d.Case)
	p.line("", "  ", "%s", d.summary())
	for i, n := range d.Near {
		p.b.WriteByte('\n')
		p.line(fmt.Sprintf("%d. ", i+1), "   ", "%s: %s (%s)", n.Case, n.Title, n.alike())
		for _, l := range n.lines() {
			p.line("   ", "     ", "%s", l)
		}
	}
	p.b.WriteByte('\n')
	for _, l := range d.foot() {
		p.line("", "", "%s", l)
	}
	_, err := io.WriteString(w, p.b.String())
	return err
}

type page struct {
	b     strings.Builder
	width int
}

func (p *page) line(indent, hanging, format string, args ...any) {
	p.b.WriteString(console.Wrap(console.Printable(fmt.Sprintf(format, args...)), p.width, indent, hanging))
	p.b.WriteByte('\n')
}

// Markdown writes a document for a wiki, a mail or an issue.
func Markdown(w io.Writer, d *Document) error {
	var b strings.Builder
	fmt.Fprintf(&b, "# Past cases like %s\n\n%s\n", escape(d.Case), escape(d.summary()))
	for i, n := range d.Near {
		fmt.Fprintf(&b, "\n## %d. %s: %s (%s)\n\n", i+1, escape(n.Case), escape(n.Title), n.alike())
		for _, l := range n.lines() {
			fmt.Fprintf(&b, "- %s\n", escape(l))
		}
	}
	b.WriteByte('\n')
	for _, l := range d.foot() {
		fmt.Fprintf(&b, "%s\n", escape(l))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// escape keeps what a user typed from starting markup.
func escape(s string) string {
	s = strings.ReplaceAll(console.Printable(s), "\n", " ")
	return strings.NewReplacer(`\`, `\\`, "*", `\*`, "_", `\_`, "`", "\\`", "<", "&lt;", "|", `\|`, "[", `\[`).Replace(s)
}

func (d *Document) summary() string {
	s := fmt.Sprintf("Looked at %s; %s in common with it.", counted(d.LookedAt, "past case"), have(d.InCommon))
	switch {
	case d.PassedOver == 1:
		s += " 1 case with none of these failures was passed over unread."
	case d.PassedOver > 1:
		s += fmt.Sprintf(" %d cases with none of these failures were passed over unread.", d.PassedOver)
	}
	if d.Unreadable > 0 {
		s += fmt.Sprintf(" %s could not be read.", counted(d.Unreadable, "more file"))
	}
	return s
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func have(n int) string {
	switch n {
	case 0:
		return "none has a failure"
	case 1:
		return "1 has a failure"
	}
	return fmt.Sprintf("%d have a failure", n)
}

func (d *Document) foot() []string {
	weighs := "The figures are shares of the weight of this case's answers: how far each tells the causes of its failures apart by the rules."
	if d.Weight < negligible {
		weighs = "Nothing known of this case tells the causes of its failures apart yet, so that only the failures count."
	}
	return []string{weighs, fmt.Sprintf("%s Rules %s (%s).", d.Caution, d.Rules.Digest, strings.Join(d.Rules.Layers, " + "))}
}

// alike says how near a case is.
func (n Near) alike() string {
	if n.Nearness < 0 {
		return "differs more than it agrees"
	}
	return percent(float64(n.Nearness)) + " alike"
}

func percent(x float64) string { return fmt.Sprintf("%.0f %%", math.Round(100*x)) }

// lines tells why a case is near and what it was.
func (n Near) lines() []string {
	out := []string{"Seen in both: " + titles(n.Common) + "."}
	for _, l := range []struct {
		title string
		list  []Named
	}{{"Seen here only: ", n.OnlyHere}, {"Seen there only: ", n.OnlyThere}} {
		if len(l.list) > 0 {
			out = append(out, l.title+titles(l.list)+".")
		}
	}
	for _, l := range []struct {
		title string
		list  []Weighed
	}{{"Found in both: ", n.Findings}, {"Same conditions: ", n.Conditions}, {"Different: ", n.Different}} {
		if text := tell(l.list); text != "" {
			out = append(out, l.title+text+".")
		}
	}
	return append(out, n.Verdict.lines()...)
}

func titles(list []Named) string {
	out := make([]string, len(list))
	for i, x := range list {
		out[i] = x.Title
	}
	return strings.Join(out, "; ")
}

// tell writes the answers that weigh most.
func tell(list []Weighed) string {
	var parts []string
	small := 0
	for _, w := range list {
		if w.Share < leastShown || len(parts) == answersShown {
			small++
			continue
		}
		parts = append(parts, fmt.Sprintf("%s (%s)", w.said(), percent(w.Share)))
	}
	if small > 0 && len(parts) > 0 {
		parts = append(parts, fmt.Sprintf("and %d that weigh less", small))
	}
	return strings.Join(parts, "; ")
}

func (w Weighed) said() string {
	here, there := w.HereWords, w.ThereSaid
	if !w.Fact {
		here, there = lower(here), lower(there)
	}
	if w.Here != w.There {
		here += " here, " + there + " there"
	}
	if w.Fact {
		return w.Asked + " " + here
	}
	return w.Asked + ": " + here
}

// lower begins a sentence's words inside another one.
func lower(s string) string {
	if len(s) > 1 && s[0] >= 'A' && s[0] <= 'Z' && s[1] >= 'a' && s[1] <= 'z' {
		return string(s[0]+'a'-'A') + s[1:]
	}
	return s
}

// lines says what a case was then, and by which measurement.
func (v *Verdict) lines() []string {
	if v == nil {
		return []string{"It is open: nothing was settled."}
	}
	var out []string
	switch {
	case v.NoFault:
		out = append(out, "It was then: no fault.")
	case v.Unlisted:
		out = append(out, "It was then: something the rules do not list.")
	}
	for _, s := range []struct{ state, title string }{{casefile.Confirmed, "It was then: "}, {casefile.RuledOut, "Ruled out then: "}} {
		var parts []string
		for _, j := range v.Causes {
			if j.State == s.state {
				parts = append(parts, j.Title+j.by())
			}
		}
		if len(parts) > 0 {
			out = append(out, s.title+strings.Join(parts, "; ")+".")
		}
	}
	if len(out) == 0 {
		out = append(out, "It was settled without a cause.")
	}
	return out
}

func (j Judged) by() string {
	switch {
	case j.By == "":
		return ", by no measurement"
	case j.Reading == "":
		return ", by " + j.Measured
	}
	return fmt.Sprintf(", by %s (%s)", j.Measured, lower(j.Reading))
}

// words is an id in words.
func words(id string) string { return strings.ReplaceAll(id, "-", " ") }
