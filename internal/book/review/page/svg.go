package page

import (
	"encoding/xml"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// The sheet of a picture, in its own units, which are pixels on a screen.
const (
	pictureWidth = 720.0
	letter       = 6.6 // mean width of a letter of 12
	lineStep     = 15.0
)

// drawing gathers the elements of a picture.
type drawing struct{ body strings.Builder }

// document closes a picture: name and desc tell it to those who do not see it.
func (d *drawing) document(height float64, name, desc string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" role="img" width="` + num(pictureWidth) + `" height="` + num(height) + `" viewBox="0 0 ` + num(pictureWidth) + " " + num(height) +
		`" font-family="sans-serif" font-size="12"><title>` + escaped(name) + "</title><desc>" + escaped(desc) + "</desc>\n" + d.body.String() + "</svg>"
}

func (d *drawing) element(name string, attributes ...string) {
	d.body.WriteString("<" + name + attributed(attributes) + "/>\n")
}

func attributed(attributes []string) string {
	var b strings.Builder
	for i := 0; i+1 < len(attributes); i += 2 {
		b.WriteString(" " + attributes[i] + `="` + escaped(attributes[i+1]) + `"`)
	}
	return b.String()
}

func (d *drawing) text(x, y float64, words string, attributes ...string) {
	d.body.WriteString("<text" + attributed(append([]string{"x", num(x), "y", num(y)}, attributes...)) + ">" + escaped(words) + "</text>\n")
}

func (d *drawing) line(x1, y1, x2, y2 float64, attributes ...string) {
	d.element("line", append([]string{"x1", num(x1), "y1", num(y1), "x2", num(x2), "y2", num(y2)}, attributes...)...)
}

func (d *drawing) rect(x, y, width, height float64, attributes ...string) {
	d.element("rect", append([]string{"x", num(x), "y", num(y), "width", num(width), "height", num(height)}, attributes...)...)
}

func (d *drawing) dot(x, y float64, attributes ...string) {
	d.element("circle", append([]string{"cx", num(x), "cy", num(y), "r", "4"}, attributes...)...)
}

// whisker is a range with a point in it, lying.
func (d *drawing) whisker(x1, x2, at, y float64) {
	d.line(x1, y, x2, y, "stroke", "#333", "stroke-width", "2")
	d.line(x1, y-4, x1, y+4, "stroke", "#333")
	d.line(x2, y-4, x2, y+4, "stroke", "#333")
	d.dot(at, y, "fill", "#1f5fa8")
}

// num writes a coordinate to a tenth.
func num(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10+0, 'f', -1, 64) }

func escaped(s string) string {
	var b strings.Builder
	// A strings.Builder takes everything.
	_ = xml.EscapeText(&b, []byte(s))
	return b.String()
}

// wrapped breaks words into lines of about a width; a longer text ends in dots.
func wrapped(words string, width float64, most int) []string {
	room := int(width / letter)
	var out []string
	line := ""
	for _, w := range strings.Fields(words) {
		switch {
		case line == "":
			line = w
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(w) <= room:
			line += " " + w
		default:
			out, line = append(out, line), w
		}
	}
	out = append(out, line)
	if len(out) > most {
		out = out[:most]
		out[most-1] += " ..."
	}
	return out
}

// step is a round distance between the ticks of an axis up to top: about five of
// them.
func step(top float64) float64 {
	if top <= 0 {
		return 1
	}
	raw := top / 5
	unit := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range []float64{1, 2, 5} {
		if raw <= m*unit {
			return m * unit
		}
	}
	return 10 * unit
}
