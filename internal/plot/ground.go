package plot

import "math"

// leastShade is how much of a cell's height a band has to cover for the cell
// to be shaded.
const leastShade = 0.25

// drawGround draws what lines may hide: bands, then limits, then marks.
func (s *sheet) drawGround(c *canvas, strip strip, scale scale) {
	shade, limit, mark := '\u2591', '\u2508', '\u250a'
	if !s.Unicode {
		shade, limit, mark = '.', '-', ':'
	}
	for _, curve := range strip.curves {
		for _, run := range curve.band {
			s.shadeRun(c, scale, run, shade)
		}
	}
	for _, l := range strip.limits {
		for _, v := range []float64{l.Low, l.High} {
			row := nearest(c.row(scale.share(v)), c.rows)
			for column := range c.columns {
				c.ground[c.cell(column, row)] = limit
			}
		}
	}
	for _, m := range s.marks {
		for row := 0; row < s.markRows(); row += 2 {
			c.ground[c.cell(s.markColumn(m.at), row)] = mark
		}
	}
}

// markRows is how far down a panel marks are drawn, in every other row: to its
// foot, or where they stand so close that they would bury the lines, in its
// first row.
func (s *sheet) markRows() int {
	columns := map[int]bool{}
	for _, m := range s.marks {
		columns[s.markColumn(m.at)] = true
	}
	if len(columns)*4 > s.columns {
		return 1
	}
	return s.Height
}

// shadeRun shades a band column by column, at the middle of each.
func (s *sheet) shadeRun(c *canvas, scale scale, run []knot, shade rune) {
	at := func(k knot) float64 { return c.column(s.window.share(k.at)) }
	column := func(n int, k knot) {
		top, bottom := c.row(scale.share(k.high)), c.row(scale.share(k.low))
		for row := range c.rows {
			cover := math.Min(bottom, float64(row)+0.5) - math.Max(top, float64(row)-0.5)
			if cover >= leastShade {
				c.ground[c.cell(n, row)] = shade
			}
		}
	}
	for i, k := range run {
		if len(run) == 1 {
			column(nearest(at(k), c.columns), k)
			continue
		}
		if i == 0 {
			continue
		}
		a, b := run[i-1], k
		if at(a) > at(b) {
			a, b = b, a
		}
		for n := int(math.Ceil(at(a))); n <= int(math.Floor(at(b))); n++ {
			column(n, between(a, b, s.window.at(float64(n)/float64(c.columns-1))))
		}
	}
}
