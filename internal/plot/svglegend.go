package plot

import "strconv"

// drawHeading writes the title of a panel and what its signs mean, in as many
// lines as that takes.
func (g *page) drawHeading(s strip) {
	g.y += svgLine
	x := svgMargin
	if heading := s.heading(); heading != "" {
		lines := face(bodySize*1.1).wrap(heading, svgWidth-2*svgMargin)
		for i, line := range lines {
			if i > 0 {
				g.y += svgLine
			}
			g.text(svgMargin, g.y, line, "font-weight", "bold")
			x = svgMargin + face(bodySize*1.1).width(line) + 14
		}
	}
	for _, k := range g.keys(s) {
		text := face(smallSize).cut(k.text, svgWidth-svgLeft-60)
		width := 40 + face(smallSize).width(text)
		if x+width > svgWidth-4 && x > svgLeft {
			g.y += svgLine
			x = svgLeft
		}
		k.draw(x, g.y-4.5)
		g.text(x+36, g.y, text, "font-size", num(smallSize))
		x += width + 12
	}
	g.y += 9
}

// key is a sign with what it means. draw puts the sign, 30 wide, with its left
// end and middle at a place.
type key struct {
	text string
	draw func(x, y float64)
}

func (g *page) keys(s strip) []key {
	var out []key
	for i, c := range s.curves {
		out = append(out, key{c.name, func(x, y float64) {
			g.line(x, y, x+30, y, strokeOf(i).attributes()...)
		}})
	}
	for _, c := range s.curves {
		if len(c.band) > 0 {
			out = append(out, key{c.bandName, func(x, y float64) { g.rect(x, y-5, 30, 10, "fill", bandFill) }})
		}
	}
	for _, l := range s.limits {
		out = append(out, key{limitText(l, s.unit), func(x, y float64) { g.limitSample(l, x, y) }})
	}
	return out
}

func (g *page) limitSample(l Limit, x, y float64) {
	if l.Low == l.High {
		g.line(x, y, x+30, y, limitStroke()...)
		return
	}
	g.rect(x, y-5, 30, 10, "fill", "url(#hatch)")
	g.line(x, y-5, x+30, y-5, limitStroke()...)
	g.line(x, y+5, x+30, y+5, limitStroke()...)
}

// tagWidth is how wide the plate of a mark's number is.
func tagWidth(text string) float64 { return max(18, float64(len(text))*7.5+7) }

// drawMarks draws each mark through all panels, and its number above them.
func (g *page) drawMarks(top float64, frames []frame) {
	levels := float64(levelsOf(g.tags))
	for _, t := range g.tags {
		y := top + (levels-1-float64(t.level))*svgTagStep
		for _, m := range g.marks[t.first : t.last+1] {
			g.drawMark(m, t, y+9, top+levels*svgTagStep)
		}
	}
	for _, m := range g.marks {
		for _, f := range frames {
			g.line(g.x(m.at), f.top, g.x(m.at), f.top+svgPanel, markStroke()...)
		}
	}
	for _, t := range g.tags {
		y := top + (levels-1-float64(t.level))*svgTagStep
		g.plate(t.text, t.left+t.width/2, y+9)
	}
}

func markStroke() []string {
	return []string{"stroke", "#555555", "stroke-width", "0.9", "stroke-dasharray", "4 3"}
}

// drawMark leads from the number of a mark down to where its line begins.
func (g *page) drawMark(m numbered, t tag, from, to float64) {
	x := g.x(m.at)
	middle := t.left + t.width/2
	if x < t.left || x > t.left+t.width {
		g.line(middle, from, x, to, markStroke()...)
		return
	}
	g.line(x, from, x, to, markStroke()...)
}

// plate is a number on a white plate with its middle at a place.
func (g *page) plate(text string, x, y float64) {
	width := tagWidth(text)
	g.rect(x-width/2, y-9, width, 18, "rx", "9", "fill", "#ffffff", "stroke", "#333333", "stroke-width", "1")
	g.text(x, y+4.2, text, "text-anchor", "middle", "font-size", num(smallSize))
}

// drawMarkList says what the numbers mean, in as many columns as there is room
// for, read downwards.
func (g *page) drawMarkList() {
	const gap = 24.0
	lead := tagWidth(strconv.Itoa(len(g.marks))) + 8
	moments, texts := 0.0, 0.0
	for _, m := range g.marks {
		moments = max(moments, face(bodySize).width(m.moment)+10)
		texts = max(texts, face(bodySize).width(m.text))
	}
	room := svgWidth - 2*svgMargin
	texts = min(texts, room-lead-moments)
	columns := max(1, int((room+gap)/(lead+moments+texts+gap)))
	rows := (len(g.marks) + columns - 1) / columns
	if rows > 0 {
		g.y += 14
	}
	top, bottom := g.y, g.y
	for i, m := range g.marks {
		if rows > 0 && i%rows == 0 {
			g.y = top
		}
		x := svgMargin + float64(float64(i/max(rows, 1))*(lead+moments+texts+gap))
		g.listMark(m, x, lead, moments, texts)
		bottom = max(bottom, g.y)
	}
	g.y = bottom
	for _, text := range g.absent {
		for _, line := range face(bodySize).wrap("Not in the picture: "+text, room) {
			g.y += svgLine
			g.text(svgMargin, g.y, line)
		}
	}
}

func (g *page) listMark(m numbered, x, lead, moments, texts float64) {
	g.y += svgLine + 4
	g.plate(strconv.Itoa(m.number), x+lead/2-4, g.y-4.5)
	g.text(x+lead, g.y, m.moment)
	for i, line := range face(bodySize).wrap(m.text, texts) {
		if i > 0 {
			g.y += svgLine
		}
		g.text(x+lead+moments, g.y, line)
	}
}
