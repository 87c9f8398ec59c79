package plot

import (
	"math"
	"slices"
	"strings"
)

// stroke is how a line of a panel is drawn.
type stroke struct{ colour, width, dashes string }

// strokeOf gives lines dashes and widths that differ in black and white; the
// dark colours only help.
func strokeOf(line int) stroke {
	all := []stroke{
		{"#111111", "1.8", ""},
		{"#9a3412", "1.8", "8 4"},
		{"#1d4e89", "2", "2 3.5"},
		{"#3f6212", "1.8", "10 3 2 3"},
		{"#111111", "3", ""},
		{"#9a3412", "3", "4 4"},
	}
	return all[line%len(all)]
}

func (s stroke) attributes() []string {
	out := []string{"fill", "none", "stroke", s.colour, "stroke-width", s.width, "stroke-linejoin", "round"}
	if s.dashes != "" {
		out = append(out, "stroke-dasharray", s.dashes)
	}
	return out
}

// The dress of a limit line and of the edges of a limit zone.
func limitStroke() []string {
	return []string{"stroke", "#111111", "stroke-width", "1.3", "stroke-dasharray", "12 3 2 3 2 3"}
}

const bandFill = "#d9d9d9"

// drawGround draws what lies below the lines: band, grid, frame,
// limits.
func (g *page) drawGround(s strip, f frame) {
	for _, c := range s.curves {
		for _, run := range c.band {
			g.drawBand(run, f)
		}
	}
	for _, v := range numbers(s, f.scale) {
		g.line(svgLeft, f.y(v), svgRight, f.y(v), "stroke", "#c4c4c4", "stroke-width", "0.6")
	}
	for _, t := range g.ticks {
		g.line(g.x(t.At), f.top, g.x(t.At), f.top+svgPanel, "stroke", "#e2e2e2", "stroke-width", "0.6")
	}
	g.rect(svgLeft, f.top, svgRight-svgLeft, svgPanel, "fill", "none", "stroke", "#999999", "stroke-width", "0.8")
	for _, l := range s.limits {
		if l.Low < l.High {
			g.rect(svgLeft, f.y(l.High), svgRight-svgLeft, f.y(l.Low)-f.y(l.High), "fill", "url(#hatch)")
			g.line(svgLeft, f.y(l.High), svgRight, f.y(l.High), limitStroke()...)
		}
		g.line(svgLeft, f.y(l.Low), svgRight, f.y(l.Low), limitStroke()...)
	}
}

// drawBand draws the area between the two edges; one alone is a bar.
func (g *page) drawBand(run []knot, f frame) {
	if len(run) == 1 {
		k := run[0]
		g.line(g.x(k.at), f.y(k.low), g.x(k.at), f.y(k.high), "stroke", bandFill, "stroke-width", "4")
		return
	}
	run = thinned(run, g.x)
	var b strings.Builder
	for _, k := range run {
		b.WriteString(num(g.x(k.at)) + "," + num(f.y(k.high)) + " ")
	}
	for _, k := range slices.Backward(run) {
		b.WriteString(num(g.x(k.at)) + "," + num(f.y(k.low)) + " ")
	}
	g.element("polygon", "points", strings.TrimSpace(b.String()), "fill", bandFill)
}

func (g *page) drawCurves(s strip, f frame) {
	for i, c := range s.curves {
		var b strings.Builder
		for _, run := range c.line {
			if len(run) == 1 {
				g.element("circle", "cx", num(g.x(run[0].at)), "cy", num(f.y(run[0].low)), "r", "2.2", "fill", strokeOf(i).colour)
				continue
			}
			for n, k := range thinned(run, g.x) {
				verb := "L"
				if n == 0 {
					verb = "M"
				}
				b.WriteString(verb + num(g.x(k.at)) + " " + num(f.y(k.low)))
			}
		}
		if b.Len() > 0 {
			g.element("path", append([]string{"d", b.String()}, strokeOf(i).attributes()...)...)
		}
	}
	if s.empty {
		g.text((svgLeft+svgRight)/2, f.top+svgPanel/2, "no readings", "text-anchor", "middle", "fill", "#444444")
	}
}

// thinned leaves out what no eye can tell apart: of the knots that fall on one
// pixel across, it keeps the first, the last, and those with the lowest and the
// highest values.
func thinned(run []knot, x func(float64) float64) []knot {
	if len(run) <= 2*int(svgWidth) {
		return run
	}
	var out []knot
	for first := 0; first < len(run); {
		last := first
		for last+1 < len(run) && math.Floor(x(run[last+1].at)) == math.Floor(x(run[first].at)) {
			last++
		}
		out = append(out, telling(run[first:last+1])...)
		first = last + 1
	}
	return out
}

func telling(knots []knot) []knot {
	lowest, highest := 0, 0
	for i, k := range knots {
		if k.low < knots[lowest].low {
			lowest = i
		}
		if k.high > knots[highest].high {
			highest = i
		}
	}
	keep := []int{0, lowest, highest, len(knots) - 1}
	slices.Sort(keep)
	var out []knot
	for _, i := range slices.Compact(keep) {
		out = append(out, knots[i])
	}
	return out
}

// drawAxis draws the numbers of a panel and the ticks of both axes.
func (g *page) drawAxis(s strip, f frame) {
	for _, v := range numbers(s, f.scale) {
		g.line(svgLeft-5, f.y(v), svgLeft, f.y(v), "stroke", "#333333", "stroke-width", "1")
		text := face(smallSize).cut(axisText(f.scale, v, s.unit), svgLeft-10)
		g.text(svgLeft-8, f.y(v)+4, text, "text-anchor", "end", "font-size", num(smallSize))
	}
	for _, t := range g.ticks {
		g.line(g.x(t.At), f.top+svgPanel, g.x(t.At), f.top+svgPanel+4, "stroke", "#333333", "stroke-width", "1")
	}
}

// drawTimes writes the clock below the last panel, and below it the days.
func (g *page) drawTimes(bottom float64) {
	whole := shelf{left: 2, right: svgWidth - 2, gap: 6}
	clocks, days := whole, whole
	put := func(row *shelf, y, x float64, text string) bool {
		width := face(smallSize).width(text)
		left, ok := row.put(x, width)
		if ok {
			g.text(left+width/2, y, text, "text-anchor", "middle", "font-size", num(smallSize))
		}
		return ok
	}
	g.y = bottom + 4 + svgLine
	for i, t := range g.ticks {
		put(&clocks, g.y-2, g.x(t.At), t.Text)
		if i > 0 && t.Day != "" {
			put(&days, g.y+14, g.x(t.At), t.Day)
		}
	}
	if len(g.ticks) > 0 {
		for _, text := range shorterDays(g.ticks[0].Day) {
			if put(&days, g.y+14, g.x(g.ticks[0].At), text) {
				break
			}
		}
	}
	g.y += svgLine
}
