package plot

import (
	"encoding/xml"
	"math"
	"strings"
)

// Sizes of writing in the picture.
const (
	titleSize = 18.0
	bodySize  = 13.0
	smallSize = 12.0
)

// markup gathers elements.
type markup struct{ body strings.Builder }

// element writes one element without content; attributes come in pairs.
func (m *markup) element(name string, attributes ...string) {
	m.open(name, attributes)
	m.body.WriteString("/>\n")
}

func (m *markup) open(name string, attributes []string) {
	m.body.WriteString("<" + name)
	for i := 0; i+1 < len(attributes); i += 2 {
		m.body.WriteString(" " + attributes[i] + `="` + escaped(attributes[i+1]) + `"`)
	}
}

// text writes words with the left end of their base line at a place.
func (m *markup) text(x, y float64, words string, attributes ...string) {
	m.open("text", append([]string{"x", num(x), "y", num(y)}, attributes...))
	m.body.WriteString(">" + escaped(words) + "</text>\n")
}

func (m *markup) line(x1, y1, x2, y2 float64, attributes ...string) {
	m.element("line", append([]string{"x1", num(x1), "y1", num(y1), "x2", num(x2), "y2", num(y2)}, attributes...)...)
}

func (m *markup) rect(x, y, width, height float64, attributes ...string) {
	m.element("rect", append([]string{"x", num(x), "y", num(y), "width", num(width), "height", num(height)}, attributes...)...)
}

// num writes a coordinate to a hundredth.
func num(v float64) string { return short(math.Round(v*100) / 100) }

func escaped(s string) string {
	var b strings.Builder
	// A strings.Builder takes everything.
	_ = xml.EscapeText(&b, []byte(s))
	return b.String()
}
