package plot

import (
	"bytes"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func drawn(t require.TestingT, c Chart, o TextOptions) []string {
	var b bytes.Buffer
	require.NoError(t, Text(&b, c, o))
	require.True(t, utf8.Valid(b.Bytes()))
	require.True(t, strings.HasSuffix(b.String(), "\n"))
	return strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
}

// ramp rises from 0 to 40 in ten hours. In 24 columns and five rows, the
// drawing area is 19 columns wide, and the line climbs a row in 4.5 of them.
func ramp() Chart {
	return Chart{To: 10 * hour, Panels: []Panel{{Title: "Ramp", Lines: []Line{{Name: "up", Points: []Point{{0, 0}, {10 * hour, 40}}}}}}}
}

func TestAStraightLineInText(t *testing.T) {
	require.Equal(t, []string{
		"Ramp   ** up",
		" 40 +                ***",
		"    |            ****",
		" 20 +       *****",
		"    |   ****",
		"  0 +***",
		"    ++----------+-------",
		"    0 h        6 h",
	}, drawn(t, ramp(), TextOptions{Width: 24, Height: 5}))
}

// TestAStraightLineInDots: the ends of the line are in the second row of dots
// of the first and the last cell, which is the bit of value 2.
func TestAStraightLineInDots(t *testing.T) {
	lines := drawn(t, ramp(), TextOptions{Width: 24, Height: 5, Unicode: true})
	top, bottom := []rune(lines[1]), []rune(lines[5])
	require.Len(t, top, 24)
	require.NotZero(t, (top[23]-0x2800)&2)
	require.NotZero(t, (bottom[5]-0x2800)&2)
	require.Equal(t, '\u2524', bottom[4])
}

func TestAGapIsLeftOpen(t *testing.T) {
	c := ramp()
	c.Panels[0].Lines[0].Points = []Point{{0, 10}, {3 * hour, 10}, {4 * hour, math.NaN()}, {7 * hour, 10}, {10 * hour, 10}}
	c.Panels[0].FromZero = true
	text := strings.Join(drawn(t, c, TextOptions{Width: 24, Height: 5}), "\n")
	require.Contains(t, text, "+******       ******")
}

func TestBandLimitAndMarkAreSeen(t *testing.T) {
	c := ramp()
	c.Panels[0].Lines[0].Band = []Band{{0, 0, 20}, {10 * hour, 0, 20}}
	c.Panels[0].Limits = []Limit{{"too much", 30, 30}}
	c.Marks = []Mark{{5 * hour, "half way"}}
	lines := drawn(t, c, TextOptions{Width: 40, Height: 5})
	text := strings.Join(lines, "\n")
	require.Contains(t, text, "-- too much 30")
	require.Contains(t, text, ".. range")
	require.Contains(t, text, "1  5 h  half way")
	require.Equal(t, strings.Index(lines[0], "1"), strings.LastIndex(lines[2], ":"), "number and line of a mark stand in one column")
	require.Contains(t, text, "|-----")
	require.Contains(t, text, ".....")
}

func TestCloseMarksDoNotBuryTheLines(t *testing.T) {
	c := ramp()
	for i := range 40 {
		c.Marks = append(c.Marks, Mark{float64(i) * hour / 4, "again"})
	}
	rows := 0
	for _, line := range drawn(t, c, TextOptions{Width: 60, Height: 5})[3:] {
		if strings.Count(line, ":") > 5 {
			rows++
		}
	}
	require.LessOrEqual(t, rows, 1)
}

func TestMarksElsewhereAreTold(t *testing.T) {
	c := ramp()
	c.Start = fridayMorning()
	c.Marks = []Mark{{-hour, "washed"}, {math.NaN(), "sealed"}, {hour, "coat"}}
	text := strings.Join(drawn(t, c, TextOptions{}), "\n")
	require.Contains(t, text, "1  Fri 8:30  coat")
	require.Contains(t, text, "Not in the picture: Fri 6:30 washed")
	require.Contains(t, text, "Not in the picture: at an unknown time sealed")
}

func TestNothingToDraw(t *testing.T) {
	require.Equal(t, []string{"There is nothing to draw."}, drawn(t, Chart{}, TextOptions{}))
	bare := Chart{Panels: []Panel{{Title: "Air", Lines: []Line{{Name: "air", Points: []Point{{math.NaN(), 1}}}}}}}
	require.Contains(t, strings.Join(drawn(t, bare, TextOptions{}), "\n"), "no readings")
}

func TestOnePointIsADot(t *testing.T) {
	c := Chart{Panels: []Panel{{Lines: []Line{{Name: "air", Points: []Point{{50, 70}}}}}}}
	picture := strings.Join(drawn(t, c, TextOptions{})[1:], "\n")
	require.Equal(t, 1, strings.Count(picture, "*"))
}

func TestNoLineIsTooWide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := TextOptions{
			Width:   rapid.OneOf(rapid.IntRange(24, 120), rapid.SampledFrom([]int{50, 80, 1_000_000, -5, 1})).Draw(t, "width"),
			Height:  rapid.IntRange(-1, 12).Draw(t, "height"),
			Unicode: rapid.Bool().Draw(t, "unicode"),
		}
		for _, line := range drawn(t, drawnChart().Draw(t, "chart"), o) {
			require.LessOrEqual(t, display(line), max(24, min(o.Width, 400)), "%q", line)
			for _, r := range line {
				require.True(t, o.Unicode || r >= ' ' && r <= '~', "%q in %q", r, line)
			}
		}
	})
}

func TestSameChartSameBytes(t *testing.T) {
	var first, second bytes.Buffer
	for _, b := range []*bytes.Buffer{&first, &second} {
		require.NoError(t, Text(b, demonstration(), TextOptions{Unicode: true}))
		require.NoError(t, SVG(b, demonstration()))
		require.NoError(t, Table(b, demonstration(), time.Hour))
	}
	require.Equal(t, first.String(), second.String())
}

// refusing is a writer that fails.
type refusing struct{ err error }

func (r refusing) Write([]byte) (int, error) { return 0, r.err }

func TestTheWritersErrorComesBack(t *testing.T) {
	full := errors.New("the disk is full")
	for _, write := range []func(io.Writer) error{
		func(w io.Writer) error { return Text(w, ramp(), TextOptions{}) },
		func(w io.Writer) error { return SVG(w, ramp()) },
		func(w io.Writer) error { return Table(w, ramp(), 0) },
	} {
		require.ErrorIs(t, write(refusing{full}), full)
	}
}
