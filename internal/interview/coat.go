package interview

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/quantity"
)

// column is one column of the log.
type column struct {
	id, name, title, example string
	figure                   bool
	kind                     quantity.Kind
	unit                     string
	in                       func(*casefile.Coat) *string
	check                    func(text string) error  // nil: by the kind of figure
	doubt                    func(text string) string // nil: by the kind of figure
}

func columns() []column {
	return []column{
		{id: "face", name: "face", title: "Which face did it go on?", example: "front, back, edges or both", doubt: doubtFace,
			in: func(c *casefile.Coat) *string { return &c.Face }},
		{id: "material", name: "material", title: "What was put on?", example: "high-build primer",
			in: func(c *casefile.Coat) *string { return &c.Material }},
		{id: "start", name: "start", title: "When was it started?", example: "2026-04-03 8:00, or 4/3 8am", check: checkStart,
			in: func(c *casefile.Coat) *string { return &c.Start }},
		{id: "wet-film", name: "wet film", title: "How thick was it wet?", example: "10 mil", figure: true,
			kind: quantity.Film, unit: "mil", in: func(c *casefile.Coat) *string { return &c.WetFilm }},
		{id: "thinning", name: "thinning", title: "How much was it thinned?", example: "5 %", figure: true,
			kind: quantity.Share, unit: "%", in: func(c *casefile.Coat) *string { return &c.Thinning }},
		{id: "tool", name: "tool", title: "With which tool was it put on?", example: "brush, roller or spray",
			in: func(c *casefile.Coat) *string { return &c.Tool }},
		{id: "air", name: "air temperature", title: "How warm was the air?", example: "70 F", figure: true,
			kind: quantity.Temperature, unit: "F", in: func(c *casefile.Coat) *string { return &c.Air }},
		{id: "humidity", name: "humidity", title: "How humid was the air?", example: "55 %", figure: true,
			kind: quantity.Humidity, unit: "%", in: func(c *casefile.Coat) *string { return &c.Humidity }},
		{id: "fan", name: "fan", title: "How fast did the fan blow over it?", example: "300 fpm, or on, or off", check: checkFan, figure: true,
			kind: quantity.AirSpeed, unit: "fpm", in: func(c *casefile.Coat) *string { return &c.Fan }},
		{id: "to-next", name: "hours to the next step", title: "How long until the next coat, mask or step?", example: "4 h, or overnight", figure: true,
			kind: quantity.Duration, unit: "h", in: func(c *casefile.Coat) *string { return &c.ToNext }},
	}
}

// leftOut reports whether a text says that there is nothing to say.
func leftOut(text string) bool {
	switch strings.ToLower(text) {
	case "", "-", "skip", "not checked", "not known", "unknown":
		return true
	}
	return false
}

// accepts returns an error when a text is nothing for the column.
func (c column) accepts(text string) error {
	switch {
	case leftOut(text):
		return nil
	case c.check != nil:
		return c.check(text)
	case c.figure:
		return figure(c.kind, text, c.unit)
	}
	return nil
}

func figure(k quantity.Kind, text, unit string) error {
	_, err := quantity.Parse(k, text, unit)
	var bad *quantity.ParseError
	if errors.As(err, &bad) {
		return fmt.Errorf("%s; write %s", bad.Problem, bad.Remedy)
	}
	return err
}

// doubts says why a text is hard to believe, "" when it is not.
func (c column) doubts(text string) string {
	switch {
	case leftOut(text):
	case c.doubt != nil:
		return c.doubt(text)
	case c.figure:
		if x, err := quantity.Parse(c.kind, text, c.unit); err == nil {
			return x.Doubt()
		}
	}
	return ""
}

func doubtFace(text string) string {
	known := []string{"front", "back", "edges", "edge", "both"}
	for w := range strings.FieldsSeq(strings.ToLower(text)) {
		if slices.Contains(known, strings.Trim(w, ",.")) {
			return ""
		}
	}
	return fmt.Sprintf("%q is none of front, back, edges and both", text)
}

// fanOn is the note of a coat whose fan blew at a speed nobody measured.
const fanOn = "fan on, speed not measured"

func isOn(text string) bool { return strings.EqualFold(text, "on") || strings.EqualFold(text, "yes") }
func isOff(text string) bool {
	return slices.Contains([]string{"off", "no", "none"}, strings.ToLower(text))
}

func checkFan(text string) error {
	if isOn(text) || isOff(text) {
		return nil
	}
	if err := figure(quantity.AirSpeed, text, "fpm"); err != nil {
		return fmt.Errorf("%w; or on, or off", err)
	}
	return nil
}

// put enters a text. A fan that was only "on" has no speed, so the words go
// into the note.
func (c column) put(coat *casefile.Coat, text string) {
	switch {
	case c.id != "fan":
	case isOff(text):
		text = "0 fpm"
	case isOn(text):
		text = ""
		if !strings.Contains(coat.Note, fanOn) {
			coat.Note = strings.TrimPrefix(coat.Note+"; "+fanOn, "; ")
		}
	}
	*c.in(coat) = text
}

// value is what a coat holds in the column, in words; "" when it is empty.
func (c column) value(coat *casefile.Coat) string {
	text := *c.in(coat)
	if text == "" && c.id == "fan" && strings.Contains(coat.Note, fanOn) {
		return "on"
	}
	return text
}

// inOneLine is a coat as it stands.
func inOneLine(coat *casefile.Coat) string {
	var parts []string
	for _, c := range columns() {
		if text := c.value(coat); text != "" {
			parts = append(parts, c.name+" "+text)
		}
	}
	return strings.Join(parts, "; ")
}
