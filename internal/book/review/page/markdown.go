package page

import (
	"fmt"
	"io"
	"strings"

	"filmfault/internal/book/review"
	"filmfault/internal/console"
)

// Markdown writes a review for a wiki or a mail, with all rows of its tables.
func Markdown(w io.Writer, d *review.Document) error {
	var m mark
	m.put("# " + escape(title(d)))
	if h := held(d.Filter); h != "" {
		m.put("\n" + escape(h))
	}
	for _, x := range outline(d) {
		m.section(x)
	}
	m.put("\n" + escape(fmt.Sprintf("Rules %s (%s). A review counts what was written; it judges no case anew.", d.Rules.Digest, strings.Join(d.Rules.Layers, " + "))))
	_, err := io.WriteString(w, m.b.String())
	return err
}

type mark struct{ b strings.Builder }

func (m *mark) put(line string) { m.b.WriteString(line + "\n") }

// escape keeps what was typed from starting markup.
func escape(s string) string {
	s = strings.ReplaceAll(console.Printable(s), "\n", " ")
	return strings.NewReplacer(`\`, `\\`, "*", `\*`, "_", `\_`, "`", "\\`", "<", "&lt;", "|", `\|`, "[", `\[`, "#", `\#`).Replace(s)
}

func (m *mark) section(x section) {
	m.put("\n## " + escape(x.title))
	for _, says := range x.says {
		m.put("\n" + escape(says))
	}
	if len(x.points) > 0 {
		m.put("")
	}
	for _, p := range x.points {
		m.put("- " + escape(p.text))
		for _, more := range p.more {
			m.put("  - " + escape(more))
		}
	}
	for _, g := range x.grids {
		m.grid(g)
	}
	for _, says := range x.after {
		m.put("\n" + escape(says))
	}
}

func (m *mark) grid(g grid) {
	if g.title != "" {
		m.put("\n### " + escape(g.title))
	}
	m.put("\n| |" + cells(g.heads))
	m.put("|---|" + strings.Repeat("---:|", len(g.heads)))
	shown, rest := g.shown(max(g.most, wideMost))
	for _, r := range shown {
		m.put("| " + escape(r.label) + " |" + cells(r.cells))
	}
	if rest != "" {
		m.put("\n" + escape(rest))
	}
}

func cells(list []string) string {
	var b strings.Builder
	for _, c := range list {
		b.WriteString(" " + escape(c) + " |")
	}
	return b.String()
}
