package page

import (
	"fmt"
	"io"
	"math"
	"strings"

	"filmfault/internal/book/review"
	"filmfault/internal/console"
)

// Text writes a review as plain words and bars of plain characters, wrapped to
// width columns; it reads at 50.
func Text(w io.Writer, d *review.Document, width int) error {
	s := sheet{width: max(width, 40)}
	s.line("", "  ", title(d))
	if h := held(d.Filter); h != "" {
		s.line("", "  ", h)
	}
	for _, x := range outline(d) {
		s.section(x)
	}
	s.b.WriteByte('\n')
	s.line("", "  ", fmt.Sprintf("Rules %s (%s). A review counts what was written; it judges no case anew.", d.Rules.Digest, strings.Join(d.Rules.Layers, " + ")))
	_, err := io.WriteString(w, s.b.String())
	return err
}

type sheet struct {
	b     strings.Builder
	width int
}

func (s *sheet) line(indent, hanging, text string) {
	s.b.WriteString(console.Wrap(console.Printable(text), s.width, indent, hanging))
	s.b.WriteByte('\n')
}

func (s *sheet) section(x section) {
	s.b.WriteByte('\n')
	s.line("", "", strings.ToUpper(x.title))
	for _, says := range x.says {
		s.line("", "", says)
	}
	for _, p := range x.points {
		s.line("-  ", "   ", p.text)
		for _, m := range p.more {
			s.line("   ", "     ", m)
		}
	}
	for _, g := range x.grids {
		s.grid(g)
	}
	for _, says := range x.after {
		s.line("", "", says)
	}
}

// shape is how a grid is laid out in columns.
type shape struct {
	label   int // width of labels; 0 when they stand on lines of their own
	cells   []int
	bar     int // 0 for none
	indent  string
	stacked bool
	told    bool // as words: not even the figures have room beside each other
}

// The widths of bars.
const (
	leastBar = 6
	mostBar  = 30
)

func (s *sheet) grid(g grid) {
	if g.title != "" {
		s.line("", "", g.title)
	}
	shown, rest := g.shown(g.most)
	f := s.shape(g, shown)
	if !f.told {
		s.raw(f.indent + strings.Repeat(" ", f.label) + f.figures(g.heads))
	}
	for _, r := range shown {
		if f.told {
			s.tell(g.heads, r)
			continue
		}
		s.row(f, r)
	}
	if rest != "" {
		s.line("  ", "    ", rest)
	}
}

// raw writes a line that is laid out already.
func (s *sheet) raw(line string) {
	s.b.WriteString(strings.TrimRight(console.Printable(line), " "))
	s.b.WriteByte('\n')
}

// shape finds a layout: labels beside their figures where there is room for
// them, else above.
func (s *sheet) shape(g grid, rows []row) shape {
	f := shape{indent: "  ", cells: make([]int, len(g.heads))}
	used, label := len(f.indent), 0
	for i, h := range g.heads {
		f.cells[i] = console.DisplayWidth(h)
		for _, r := range rows {
			f.cells[i] = max(f.cells[i], console.DisplayWidth(r.cells[i]))
		}
		used += f.cells[i] + 2
	}
	for _, r := range rows {
		label = max(label, console.DisplayWidth(r.label))
	}
	if used+label <= s.width {
		f.label = label
		used += label
	} else {
		f.stacked, f.told = true, used > s.width
	}
	if room := s.width - used - 2; room >= leastBar {
		f.bar = min(room, mostBar)
	}
	return f
}

// figures writes cells, each at the right end of its column.
func (f shape) figures(cells []string) string {
	var b strings.Builder
	for i, c := range cells {
		b.WriteString(strings.Repeat(" ", 2+max(0, f.cells[i]-console.DisplayWidth(c))) + c)
	}
	return b.String()
}

func (s *sheet) row(f shape, r row) {
	figures := f.figures(r.cells)
	if f.bar > 0 {
		figures += "  " + drawn(r, f.bar)
	}
	if f.stacked {
		s.line(f.indent, f.indent+"  ", r.label)
		s.raw(f.indent + figures)
		return
	}
	pad := f.label - console.DisplayWidth(r.label)
	s.raw(f.indent + r.label + strings.Repeat(" ", max(0, pad)) + figures)
}

// tell writes a row in words.
func (s *sheet) tell(heads []string, r row) {
	parts := make([]string, len(heads))
	for i, h := range heads {
		parts[i] = h + " " + r.cells[i]
	}
	s.line("  ", "    ", r.label+": "+strings.Join(parts, ", "))
}

// drawn is the bar or the strip of a row.
func drawn(r row, width int) string {
	if r.strip == nil {
		n := int(math.Round(r.bar * float64(width)))
		if n == 0 && r.bar > 0 {
			n = 1
		}
		return strings.Repeat("#", min(n, width))
	}
	if r.strip.bare {
		return ""
	}
	at := func(x float64) int { return min(width-1, max(0, int(math.Round(x*float64(width-1))))) }
	out := []byte(strings.Repeat(" ", width))
	for i := at(r.strip.low); i <= at(r.strip.high); i++ {
		out[i] = '-'
	}
	out[at(r.strip.at)] = 'o'
	return string(out)
}
