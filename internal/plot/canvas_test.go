package plot

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func rowsOf(c *canvas) []string {
	var out []string
	for row := range c.rows {
		out = append(out, c.text(row))
	}
	return out
}

func always(int) bool { return true }

func TestADiagonalHitsTheDiagonalCells(t *testing.T) {
	c := newCanvas(5, 5, false)
	p := pen{canvas: c, owner: owner(0), inked: always}
	p.to(c.column(0), c.row(0))
	p.to(c.column(1), c.row(1))
	require.Equal(t, []string{"    *", "   * ", "  *  ", " *   ", "*    "}, rowsOf(c))
}

// TestBrailleDots draws a level line across the middle row: of each cell the
// second row of dots, which is dots 2 and 5, U+2812.
func TestBrailleDots(t *testing.T) {
	c := newCanvas(3, 3, true)
	p := pen{canvas: c, owner: owner(0), inked: always}
	p.to(0, 1)
	p.to(2.5, 1)
	require.Equal(t, "\u2812\u2812\u2812", c.text(1))
	require.Equal(t, []string{"   ", "   "}, []string{c.text(0), c.text(2)})
}

func TestEachDotHasItsBit(t *testing.T) {
	seen := uint8(0)
	for x := range 2 {
		for y := range 4 {
			bit := brailleDot(x, y)
			require.Zero(t, seen&bit)
			seen |= bit
		}
	}
	require.Equal(t, uint8(0xff), seen)
	require.Equal(t, uint8(0x01), brailleDot(0, 0))
	require.Equal(t, uint8(0x20), brailleDot(1, 2))
	require.Equal(t, uint8(0x80), brailleDot(1, 3))
}

func TestLinesOnEachOtherTakeTurns(t *testing.T) {
	c := newCanvas(6, 1, false)
	for line := range 2 {
		p := pen{canvas: c, owner: owner(line), inked: always}
		p.to(0, 0)
		p.to(5, 0)
	}
	require.Equal(t, []string{"*o*o*o"}, rowsOf(c))
}

func TestALineHidesTheGround(t *testing.T) {
	c := newCanvas(3, 1, false)
	for i := range c.ground {
		c.ground[i] = '.'
	}
	p := pen{canvas: c, owner: owner(1), inked: always}
	p.to(1, 0)
	require.Equal(t, []string{".o."}, rowsOf(c))
}

// TestTheWayHasNoHoles wants each dot of a way to touch the one before and to
// lie near the straight line, and the last to be that of the end.
func TestTheWayHasNoHoles(t *testing.T) {
	at := rapid.Float64Range(0, 60)
	rapid.Check(t, func(t *rapid.T) {
		a := place{at.Draw(t, "ax"), at.Draw(t, "ay")}
		b := place{at.Draw(t, "bx"), at.Draw(t, "by")}
		x, y := a.dot()
		walk(a, b, func(nextX, nextY int) {
			require.LessOrEqual(t, max(abs(nextX-x), abs(nextY-y)), 1)
			require.NotEqual(t, [2]int{x, y}, [2]int{nextX, nextY})
			x, y = nextX, nextY
			require.LessOrEqual(t, distance(a, b, place{float64(x) + 0.5, float64(y) + 0.5}), 1.0)
		})
		bx, by := b.dot()
		require.Equal(t, [2]int{bx, by}, [2]int{x, y})
	})
}

func abs(n int) int { return max(n, -n) }

// distance is that of p from the line through a and b.
func distance(a, b, p place) float64 {
	length := math.Hypot(b.x-a.x, b.y-a.y)
	if length < 1e-3 {
		return math.Hypot(p.x-a.x, p.y-a.y)
	}
	return math.Abs((b.x-a.x)*(p.y-a.y)-(b.y-a.y)*(p.x-a.x)) / length
}

func TestEveryLineGetsItsLetter(t *testing.T) {
	c := newCanvas(30, 5, true)
	for line := range 3 {
		p := pen{canvas: c, owner: owner(line), inked: dashes(line)}
		p.to(0, float64(line))
		p.to(29, float64(line)/2)
	}
	c.nameLines(3)
	count := map[rune]int{}
	for _, r := range c.letters {
		count[r]++
	}
	for _, letter := range "abc" {
		require.Positive(t, count[letter], string(letter))
	}
}

func TestLinesOnTopOfEachOtherAreBothNamed(t *testing.T) {
	c := newCanvas(30, 3, true)
	for line := range 2 {
		p := pen{canvas: c, owner: owner(line), inked: dashes(line)}
		p.to(0, 1)
		p.to(29, 1)
	}
	c.nameLines(2)
	require.Contains(t, c.text(1), "a")
	require.Contains(t, c.text(1), "b")
}
