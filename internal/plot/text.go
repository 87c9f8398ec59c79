package plot

import (
	"fmt"
	"io"
	"strings"
)

// TextOptions say how wide and how fine a chart is drawn in a terminal.
type TextOptions struct {
	// Width is the most columns a line may fill; 0 is 80. Less than 24 is taken
	// as 24, more than 400 as 400.
	Width int
	// Height is the rows of each panel; 0 is 9. It is kept within 3 and 60.
	Height int
	// Unicode draws in braille dots, with shade for ranges. Without it, all is
	// printable ASCII.
	Unicode bool
}

func (o TextOptions) kept() TextOptions {
	if o.Width == 0 {
		o.Width = 80
	}
	if o.Height == 0 {
		o.Height = 9
	}
	o.Width = max(24, min(o.Width, 400))
	o.Height = max(3, min(o.Height, 60))
	return o
}

// Text draws a chart in characters. It ends with a line end. The error is that
// of the writer.
func Text(w io.Writer, c Chart, o TextOptions) error {
	o = o.kept()
	words := clean
	if !o.Unicode {
		words = ascii
	}
	s := newSheet(ready(c, words), o)
	s.draw()
	var b strings.Builder
	for _, line := range s.lines {
		b.WriteString(strings.TrimRight(line, " "))
		b.WriteByte('\n')
	}
	if _, err := io.WriteString(w, b.String()); err != nil {
		return fmt.Errorf("writing the chart: %w", err)
	}
	return nil
}

// sheet is a chart being laid out as lines of text.
type sheet struct {
	picture
	TextOptions
	scales  []scale
	gutter  int // columns left of the axis
	columns int // columns of the drawing area
	ticks   []Tick
	lines   []string
}

func newSheet(p picture, o TextOptions) *sheet {
	s := &sheet{picture: p, TextOptions: o, gutter: 3}
	for _, strip := range p.panels {
		scale := scaleOf(strip.low, strip.high, max(2, (o.Height-1)/2), o.Height)
		s.scales = append(s.scales, scale)
		for _, v := range numbers(strip, scale) {
			s.gutter = max(s.gutter, textWidth(axisText(scale, v, strip.unit)))
		}
	}
	s.gutter = min(s.gutter, o.Width/3)
	s.columns = o.Width - s.gutter - 2
	s.ticks = Ticks(p.clock.start, p.window.from, p.window.to, max(1, s.columns/8))
	return s
}

// numbers are the values written along an axis; where nothing is known, none.
func numbers(strip strip, s scale) []float64 {
	if strip.bare {
		return nil
	}
	return s.values()
}

// axisText is a number of the axis, with the unit where that is short.
func axisText(s scale, v float64, unit string) string {
	if textWidth(unit) > 4 {
		return s.text(v)
	}
	return withUnit(s.text(v), unit)
}

func (s *sheet) add(lines ...string) { s.lines = append(s.lines, lines...) }

func (s *sheet) draw() {
	s.add(terminal().wrap(s.title, float64(s.Width))...)
	if len(s.panels) == 0 {
		s.add(terminal().wrap("There is nothing to draw.", float64(s.Width))...)
	} else {
		s.drawTags()
	}
	for i := range s.panels {
		s.drawPanel(i)
	}
	if len(s.panels) > 0 {
		s.drawTimes()
	}
	s.drawMarkList()
}

// area is where the drawing area begins, in columns.
func (s *sheet) area() int { return s.gutter + 2 }

// markColumn is the column of a time in the drawing area.
func (s *sheet) markColumn(t float64) int {
	return nearest(s.window.share(t)*float64(s.columns-1), s.columns)
}

func (s *sheet) drawPanel(i int) {
	strip, scale := s.panels[i], s.scales[i]
	s.drawHeading(strip)
	c := newCanvas(s.columns, s.Height, s.Unicode)
	s.drawGround(c, strip, scale)
	for n, curve := range strip.curves {
		p := pen{canvas: c, owner: owner(n), inked: dashes(n)}
		for _, run := range curve.line {
			p.lift()
			for _, k := range run {
				p.to(c.column(s.window.share(k.at)), c.row(scale.share(k.low)))
			}
		}
	}
	if s.Unicode && len(strip.curves) > 1 {
		c.nameLines(len(strip.curves))
	}
	if strip.empty {
		writeMiddle(c, "no readings")
	}
	s.drawRows(c, strip, scale)
}

func writeMiddle(c *canvas, text string) {
	first := max(0, (c.columns-len(text))/2)
	for i, r := range text {
		if first+i < c.columns {
			c.letters[c.cell(first+i, c.rows/2)] = r
		}
	}
}

// drawRows writes the canvas with its axis on the left.
func (s *sheet) drawRows(c *canvas, strip strip, scale scale) {
	labels := make([]string, c.rows)
	for _, v := range numbers(strip, scale) {
		labels[nearest(c.row(scale.share(v)), c.rows)] = axisText(scale, v, strip.unit)
	}
	for row := range c.rows {
		axis := s.either("\u2502", "|")
		if labels[row] != "" {
			axis = s.either("\u2524", "+")
		}
		s.add(right(terminal().cut(labels[row], float64(s.gutter)), s.gutter) + " " + axis + c.text(row))
	}
	s.add(strings.Repeat(" ", s.gutter+1) + s.baseline())
}

// right sets text at the right end of so many columns.
func right(text string, width int) string {
	return strings.Repeat(" ", max(0, width-textWidth(text))) + text
}

func (s *sheet) either(unicode, plain string) string {
	if s.Unicode {
		return unicode
	}
	return plain
}

// baseline is the lower edge of a panel with its ticks.
func (s *sheet) baseline() string {
	parts := make([]string, s.columns)
	for i := range parts {
		parts[i] = s.either("\u2500", "-")
	}
	for _, t := range s.ticks {
		parts[s.markColumn(t.At)] = s.either("\u252c", "+")
	}
	return s.either("\u2514", "+") + strings.Join(parts, "")
}
