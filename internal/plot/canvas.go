package plot

import (
	"iter"
	"math"
)

// canvas is the drawing area of one panel in a terminal. Lines are drawn in
// dots, of which a cell has one (ASCII) or two by four (braille).
type canvas struct {
	columns, rows int
	wide, high    int      // dots in a cell
	bits          []uint8  // the dots of braille set in each cell
	owners        []uint64 // which lines pass each cell, one bit each
	ground        []rune   // what lines hide: shade, limits, marks
	letters       []rune   // what hides lines
}

func newCanvas(columns, rows int, unicode bool) *canvas {
	n := columns * rows
	c := &canvas{columns: columns, rows: rows, wide: 1, high: 1,
		bits: make([]uint8, n), owners: make([]uint64, n), ground: make([]rune, n), letters: make([]rune, n)}
	if unicode {
		c.wide, c.high = 2, 4
	}
	return c
}

func (c *canvas) cell(column, row int) int { return row*c.columns + column }

// column and row place shares of the canvas on cells, in fractions of a cell
// from the middle of the first; row 0 is at the top.
func (c *canvas) column(share float64) float64 { return share * float64(c.columns-1) }
func (c *canvas) row(share float64) float64    { return (1 - share) * float64(c.rows-1) }

// nearest is the cell at a fractional column or row, which is rounded before
// the half is added, whatever the processor could do at once.
func nearest(at float64, cells int) int {
	return max(0, min(int(math.Floor(float64(at)+0.5)), cells-1))
}

// inDots counts a fractional column or row in dots, of which a cell has
// perCell: the whole part is the nearest dot. In a cell with an even number the
// dot before the middle is taken.
func inDots(at float64, perCell, cells int) float64 {
	middle := math.Max(0.5, float64(perCell-1)/2)
	last := float64(cells*perCell) - 0.5
	return math.Max(0, math.Min(float64(at*float64(perCell))+middle, last))
}

// place is a point of a canvas in dots; the middle of dot n is at n + 0.5.
type place struct{ x, y float64 }

func (p place) dot() (x, y int) { return int(p.x), int(p.y) }

// walk visits the dots on the straight way from a to b, without that of a: one
// for each column on a flat way, one for each row on a steep one.
func walk(a, b place, visit func(x, y int)) {
	if a == b {
		return
	}
	ax, ay := a.dot()
	bx, by := b.dot()
	last := place{float64(ax), float64(ay)}
	step := func(at place) {
		if at != last {
			visit(at.dot())
		}
		last = at
	}
	if math.Abs(b.x-a.x) >= math.Abs(b.y-a.y) {
		for n := range stretch(ax, bx) {
			step(place{float64(n), math.Floor(halfWay(a.x, b.x, a.y, b.y, n))})
		}
	} else {
		for n := range stretch(ay, by) {
			step(place{math.Floor(halfWay(a.y, b.y, a.x, b.x, n)), float64(n)})
		}
	}
	step(place{float64(bx), float64(by)})
}

// stretch is the whole numbers from one to another, up or down, with both.
func stretch(from, to int) iter.Seq[int] {
	return func(yield func(int) bool) {
		by := 1
		if to < from {
			by = -1
		}
		for n := from; yield(n) && n != to; n += by {
		}
	}
}

// halfWay is where the way from (a, c) to (b, d) passes the middle of dot n
// along its first direction, no further than its ends.
func halfWay(a, b, c, d float64, n int) float64 {
	share := (float64(n) + 0.5 - a) / (b - a)
	return blend(c, d, math.Max(0, math.Min(share, 1)))
}

// pen draws one line dot by dot.
type pen struct {
	canvas *canvas
	owner  uint64
	// inked says whether the n-th dot along the line is drawn, for dashes.
	inked func(n int) bool
	drawn int
	down  bool
	at    place
}

// lift makes the next move start a new stretch.
func (p *pen) lift() { p.down = false }

// to moves the pen to fractional cells, drawing if it is down.
func (p *pen) to(column, row float64) {
	c := p.canvas
	next := place{inDots(column, c.wide, c.columns), inDots(row, c.high, c.rows)}
	if p.down {
		walk(p.at, next, p.set)
	} else {
		p.set(next.dot())
	}
	p.down, p.at = true, next
}

func (p *pen) set(x, y int) {
	c := p.canvas
	at := c.cell(x/c.wide, y/c.high)
	c.owners[at] |= p.owner
	if c.wide == 1 || p.inked(p.drawn) {
		c.bits[at] |= brailleDot(x%2, y%4)
	}
	p.drawn++
}

// brailleDot is the bit of a dot in the braille patterns of Unicode, whose
// numbering goes down the first three rows before the fourth.
func brailleDot(x, y int) uint8 {
	if y == 3 {
		return 0x40 << x
	}
	return 1 << (y + 3*x)
}

// dashes is the pattern of a line: solid, dashed, dotted, then mixtures.
func dashes(line int) func(n int) bool {
	switch line % 4 {
	case 1:
		return func(n int) bool { return n%8 < 5 }
	case 2:
		return func(n int) bool { return n%4 == 0 }
	case 3:
		return func(n int) bool { return n%10 < 5 || n%10 == 7 }
	}
	return func(int) bool { return true }
}

// owner is the bit of a line. Lines beyond 64 share one.
func owner(line int) uint64 { return 1 << (min(line, 63)) }

// glyph is what a cell shows.
func (c *canvas) glyph(column, row int) rune {
	at := c.cell(column, row)
	switch {
	case c.letters[at] != 0:
		return c.letters[at]
	case c.wide == 1 && c.owners[at] != 0:
		return sharedSign(c.owners[at], column)
	case c.wide == 2 && c.bits[at] != 0:
		return '\u2800' + rune(c.bits[at])
	case c.ground[at] != 0:
		return c.ground[at]
	}
	return ' '
}

// sharedSign gives lines that lie on each other turns from column to column,
// so that both are seen.
func sharedSign(owners uint64, column int) rune {
	var signs []rune
	for line := range 64 {
		if owners&owner(line) != 0 {
			signs = append(signs, sign(line))
		}
	}
	return signs[column%len(signs)]
}

// sign is what a line is drawn with in ASCII.
func sign(line int) rune {
	const signs = "*o+x#@%&"
	return rune(signs[line%len(signs)])
}

// letter is what names a line in a picture of dots.
func letter(line int) rune { return 'a' + rune(line%26) }

func (c *canvas) text(row int) string {
	out := make([]rune, c.columns)
	for column := range out {
		out[column] = c.glyph(column, row)
	}
	return string(out)
}
