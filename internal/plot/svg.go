package plot

import (
	"fmt"
	"io"
	"strings"
)

// The sheet of the picture, in its own units, which are pixels on a screen.
const (
	svgWidth   = 800.0
	svgLeft    = 76.0  // of the drawing areas
	svgRight   = 780.0 // of the drawing areas
	svgMargin  = 20.0
	svgPanel   = 150.0 // height of a drawing area
	svgLine    = 18.0  // from one line of writing to the next
	svgTagStep = 22.0  // from one level of mark numbers to the next
)

// SVG draws a chart as a document of SVG 1.1 that needs nothing beside it: 800
// wide, as high as it has to be, to be read on a screen or printed in black and
// white. Numbers have at most two decimals. The error is that of the writer.
func SVG(w io.Writer, c Chart) error {
	p := newPage(ready(c, clean))
	p.draw()
	if _, err := io.WriteString(w, p.document()); err != nil {
		return fmt.Errorf("writing the chart: %w", err)
	}
	return nil
}

// page is a chart being laid out as a picture.
type page struct {
	picture
	markup
	scales []scale
	ticks  []Tick
	tags   []tag
	y      float64 // how far down the page is filled
}

func newPage(p picture) *page {
	g := &page{picture: p, ticks: Ticks(p.clock.start, p.window.from, p.window.to, 14)}
	for _, s := range p.panels {
		g.scales = append(g.scales, scaleOf(s.low, s.high, 5, 0))
	}
	at := make([]float64, len(p.marks))
	for i, m := range p.marks {
		at[i] = g.x(m.at)
	}
	rule := tagRule{
		shelf:  shelf{left: svgLeft - svgMargin, right: svgWidth - 2, gap: 3},
		levels: maxLevels,
		width:  tagWidth,
	}
	g.tags = rule.tags(at)
	return g
}

// x places a time across the page.
func (g *page) x(t float64) float64 { return blend(svgLeft, svgRight, g.window.share(t)) }

// frame is the drawing area of a panel: where it stands and how values go.
type frame struct {
	top   float64
	scale scale
}

// y places a value down the page.
func (f frame) y(v float64) float64 { return blend(f.top+svgPanel, f.top, f.scale.share(v)) }

func (g *page) draw() {
	g.y = svgMargin
	for _, line := range face(titleSize*1.1).wrap(g.title, svgWidth-2*svgMargin) {
		g.y += titleSize
		g.text(svgMargin, g.y, line, "font-size", num(titleSize), "font-weight", "bold")
		g.y += 8
	}
	if len(g.panels) == 0 {
		g.y += svgLine
		g.text(svgMargin, g.y, "There is nothing to draw.")
	}
	g.drawPanels()
	g.drawMarkList()
	g.y += svgMargin
}

// drawPanels draws the panels with the marks between their grounds and their
// lines, so that no mark hides a line.
func (g *page) drawPanels() {
	if len(g.panels) == 0 {
		return
	}
	tagsTop := g.y + 4
	g.y = tagsTop + float64(levelsOf(g.tags))*svgTagStep
	frames := make([]frame, len(g.panels))
	for i, s := range g.panels {
		g.drawHeading(s)
		frames[i] = frame{g.y, g.scales[i]}
		g.drawGround(s, frames[i])
		g.y += svgPanel + svgLine
	}
	bottom := g.y - svgLine
	g.drawMarks(tagsTop, frames)
	for i, s := range g.panels {
		g.drawCurves(s, frames[i])
		g.drawAxis(s, frames[i])
	}
	g.drawTimes(bottom)
}

// document is the whole file.
func (g *page) document() string {
	var b strings.Builder
	fmt.Fprintf(&b, `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="%[1]s" height="%[2]s" viewBox="0 0 %[1]s %[2]s" font-family="sans-serif" font-size="%[3]s">
`, num(svgWidth), num(g.y), num(bodySize))
	fmt.Fprintf(&b, "<title>%s</title>\n<desc>%s</desc>\n", escaped(g.name()), escaped(g.describe()))
	b.WriteString(`<defs><pattern id="hatch" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V7" stroke="#999999" stroke-width="1"/></pattern></defs>
`)
	b.WriteString(`<rect x="0" y="0" width="` + num(svgWidth) + `" height="` + num(g.y) + `" fill="#ffffff"/>` + "\n")
	b.WriteString(g.body.String())
	b.WriteString("</svg>\n")
	return b.String()
}

func (g *page) name() string {
	if g.title != "" {
		return g.title
	}
	return "Chart over time"
}

// describe tells in words what is drawn, for those who do not see it.
func (g *page) describe() string {
	if len(g.panels) == 0 {
		return "There is nothing to draw."
	}
	out := []string{"From " + g.clock.moment(g.window.from) + " to " + g.clock.moment(g.window.to) + "."}
	for _, s := range g.panels {
		var parts []string
		for _, c := range s.curves {
			parts = append(parts, g.describeCurve(c, s))
		}
		for _, l := range s.limits {
			parts = append(parts, limitText(l, s.unit))
		}
		out = append(out, s.heading()+": "+strings.Join(parts, "; ")+".")
	}
	for _, m := range g.marks {
		out = append(out, fmt.Sprintf("Mark %d, %s: %s.", m.number, m.moment, m.text))
	}
	return strings.Join(out, " ")
}

func (g *page) describeCurve(c curve, s strip) string {
	first, last, ok := ends(c.line)
	if !ok {
		return c.name + ", no readings"
	}
	decimals := decimalsFor(s.high - s.low)
	value := func(k knot) string { return withUnit(fixed(k.low, decimals), s.unit) }
	out := fmt.Sprintf("%s from %s to %s", c.name, value(first), value(last))
	if len(c.band) > 0 {
		out += ", with " + c.bandName
	}
	return out
}

// ends are the first and the last knot of a line.
func ends(line [][]knot) (first, last knot, ok bool) {
	if len(line) == 0 {
		return knot{}, knot{}, false
	}
	end := line[len(line)-1]
	return line[0][0], end[len(end)-1], true
}
