package plot

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// part is an element of a document with its attributes.
type part struct {
	name       string
	attributes map[string]string
	text       string
}

// parts parses a document and lists its elements.
func parts(t require.TestingT, c Chart) []part {
	var b bytes.Buffer
	require.NoError(t, SVG(&b, c))
	var out []part
	d := xml.NewDecoder(&b)
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		require.NoError(t, err)
		switch token := token.(type) {
		case xml.StartElement:
			p := part{name: token.Name.Local, attributes: map[string]string{}}
			for _, a := range token.Attr {
				p.attributes[a.Name.Local] = a.Value
			}
			out = append(out, p)
		case xml.CharData:
			if len(out) > 0 {
				out[len(out)-1].text += string(token)
			}
		}
	}
}

func named(all []part, name string) []part {
	var out []part
	for _, p := range all {
		if p.name == name {
			out = append(out, p)
		}
	}
	return out
}

// TestAStraightLineInThePicture: the axis is 0 to 40 over 150 units of height
// and 704 of width, so the line goes from corner to corner of the frame.
func TestAStraightLineInThePicture(t *testing.T) {
	all := parts(t, ramp())
	frames := framesOf(all)
	require.Len(t, frames, 1)
	var line string
	for _, p := range named(all, "path") {
		if p.attributes["stroke"] == strokeOf(0).colour {
			line = p.attributes["d"]
		}
	}
	top := frames[0]
	require.Equal(t, "M76 "+num(top+150)+"L780 "+num(top), line)
}

func TestAValueGoesToItsHeight(t *testing.T) {
	f := frame{top: 100, scale: scaleOf(0, 38, 4, 0)}
	require.InDelta(t, 250, f.y(0), 1e-9)
	require.InDelta(t, 100, f.y(40), 1e-9)
	require.InDelta(t, 212.5, f.y(10), 1e-9)
}

// framesOf lists the tops of the drawing areas.
func framesOf(all []part) []float64 {
	var out []float64
	for _, p := range named(all, "rect") {
		if p.attributes["height"] == num(svgPanel) && p.attributes["fill"] == "none" {
			y, _ := strconv.ParseFloat(p.attributes["y"], 64)
			out = append(out, y)
		}
	}
	return out
}

func TestThePictureIsSelfContained(t *testing.T) {
	all := parts(t, demonstration())
	require.Equal(t, "svg", all[0].name)
	require.Equal(t, "1.1", all[0].attributes["version"])
	require.Equal(t, "0 0 800 "+all[0].attributes["height"], all[0].attributes["viewBox"])
	require.Equal(t, "title", all[1].name)
	require.Contains(t, all[1].text, "Invented job")
	require.Equal(t, "desc", all[2].name)
	require.Contains(t, all[2].text, "Mark 6, Sat 13:30: second coat.")
	known := []string{"svg", "title", "desc", "defs", "pattern", "path", "rect", "line", "text", "polygon", "circle"}
	for _, p := range all {
		require.Contains(t, known, p.name)
		for name, value := range p.attributes {
			require.NotContains(t, name, "href")
			require.False(t, name != "xmlns" && strings.Contains(value, "http"), value)
		}
	}
}

func TestLinesDifferInBlackAndWhite(t *testing.T) {
	seen := map[string]bool{}
	for line := range 6 {
		s := strokeOf(line)
		require.False(t, seen[s.width+s.dashes])
		seen[s.width+s.dashes] = true
	}
	require.False(t, seen["1.3"+limitStroke()[5]])
}

func TestTextIsEscaped(t *testing.T) {
	c := ramp()
	c.Title = `<script>"&'` + "\x00\x1b"
	c.Marks = []Mark{{hour, "<b>coat</b>"}}
	all := parts(t, c)
	require.Empty(t, named(all, "script"))
	require.Empty(t, named(all, "b"))
	require.Contains(t, all[1].text, `<script>"&'`)
}

func TestALonePointIsADot(t *testing.T) {
	c := ramp()
	c.Panels[0].Lines[0].Points = []Point{{0, 0}, {hour, math.NaN()}, {5 * hour, 40}, {6 * hour, math.NaN()}, {7 * hour, 0}, {8 * hour, 0}}
	dots := named(parts(t, c), "circle")
	require.Len(t, dots, 2)
	require.Equal(t, "428", dots[1].attributes["cx"])
}

// TestThinningKeepsThePeaks: of 10,000 readings with one spike the spike is
// still drawn, and the line does not grow with the readings.
func TestThinningKeepsThePeaks(t *testing.T) {
	c := ramp()
	c.Panels[0].Lines[0].Points = nil
	for i := range 10000 {
		v := 10 + float64(i%3)
		if i == 7777 {
			v = 40
		}
		c.Panels[0].Lines[0].Points = append(c.Panels[0].Lines[0].Points, Point{float64(i) * 3.6, v})
	}
	all := parts(t, c)
	line := named(all, "path")[1].attributes["d"]
	require.Less(t, strings.Count(line, "L"), 4*int(svgWidth))
	require.True(t, strings.Contains(line, " "+num(framesOf(all)[0])+"L"), "the axis ends at the spike, so that it touches the frame")
}

// box is what a text covers, by the same measure as the layout.
type box struct {
	left, right, top, bottom float64
	text                     string
}

func boxesOf(all []part) []box {
	var out []box
	for _, p := range named(all, "text") {
		size := bodySize
		if s, ok := p.attributes["font-size"]; ok {
			size = numbersIn(s)[0]
		}
		words := strings.TrimSpace(p.text)
		x, y, width := numbersIn(p.attributes["x"])[0], numbersIn(p.attributes["y"])[0], face(size).width(words)
		switch p.attributes["text-anchor"] {
		case "middle":
			x -= width / 2
		case "end":
			x -= width
		}
		out = append(out, box{x, x + width, y - 0.75*size, y + 0.2*size, words})
	}
	return out
}

func TestNoWritingCoversOther(t *testing.T) {
	for _, c := range []Chart{demonstration(), crowded(), ramp()} {
		boxes := boxesOf(parts(t, c))
		for i, a := range boxes {
			require.GreaterOrEqual(t, a.left, 0.0, a.text)
			require.LessOrEqual(t, a.right, svgWidth, a.text)
			for _, b := range boxes[i+1:] {
				apart := a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top
				require.True(t, apart, "%q at %.0f %.0f covers %q at %.0f %.0f", a.text, a.left, a.top, b.text, b.left, b.top)
			}
		}
	}
}

func numbersIn(s string) []float64 {
	var out []float64
	for _, n := range regexp.MustCompile(`-?[0-9.]+`).FindAllString(s, -1) {
		v, _ := strconv.ParseFloat(n, 64)
		out = append(out, v)
	}
	return out
}

// TestEverythingDrawnLiesInsideItsFrame parses pictures of any chart and wants
// every corner of a line or band in a drawing area, and every number of a
// coordinate to have at most two decimals.
func TestEverythingDrawnLiesInsideItsFrame(t *testing.T) {
	long := regexp.MustCompile(`\.[0-9]{3}|NaN|Inf|e[+-]`)
	rapid.Check(t, func(t *rapid.T) {
		all := parts(t, drawnChart().Draw(t, "chart"))
		frames := framesOf(all)
		height, _ := strconv.ParseFloat(all[0].attributes["height"], 64)
		for _, p := range all[3:] {
			if p.name == "path" && p.attributes["stroke-linejoin"] != "" || p.name == "polygon" {
				at := numbersIn(p.attributes["d"] + p.attributes["points"])
				for i := 0; i+1 < len(at); i += 2 {
					requireInside(t, frames, at[i], at[i+1])
				}
			}
			for name, value := range p.attributes {
				require.False(t, long.MatchString(value), "%s=%q", name, value)
			}
			if y, ok := p.attributes["y"]; ok {
				require.LessOrEqual(t, numbersIn(y)[0], height)
			}
		}
	})
}

func requireInside(t require.TestingT, frames []float64, x, y float64) {
	inside := false
	for _, top := range frames {
		if y >= top-0.01 && y <= top+svgPanel+0.01 {
			inside = true
		}
	}
	require.True(t, inside && x >= svgLeft-0.01 && x <= svgRight+0.01, "%v %v", x, y)
}
