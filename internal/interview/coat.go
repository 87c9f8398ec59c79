package interview

import (
	"fmt"
	"slices"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/joblog"
	"filmfault/internal/prompt"
	"filmfault/internal/quantity"
)

type coatColumn = column[casefile.Coat]

// coatColumns lists the columns of a coat that make sense with what it holds: a
// face without a coat has none but its name.
func coatColumns(c *casefile.Coat) []coatColumn {
	out := []coatColumn{
		{id: "face", name: "face", title: "Which face did it go on?", example: "front, back, edges or both", doubt: doubtFace,
			backIsWord: true, in: func(c *casefile.Coat) *string { return &c.Face }},
		{id: "material", name: "material", title: "What was put on?", example: "high-build primer, or none where that face got no coat",
			say: tellMaterial, in: func(c *casefile.Coat) *string { return &c.Material }},
	}
	if joblog.IsBare(c.Material) {
		return out
	}
	out = append(out, coatColumn{id: "start", name: "start", title: "When was it started?", example: "2026-04-03 8:00, or 4/3 8am",
		check: checkMoment, doubt: doubtMoment, in: func(c *casefile.Coat) *string { return &c.Start }})
	return append(append(out, paintColumns(c)...), airColumns()...)
}

// paintColumns are the columns on what was put on and how.
func paintColumns(c *casefile.Coat) []coatColumn {
	out := []coatColumn{
		{id: "wet-film", name: "wet film", title: "How thick was it wet?", example: "10 mil",
			figure: &figure{quantity.Film, "mil"}, in: func(c *casefile.Coat) *string { return &c.WetFilm }},
		{id: "thinning", name: "thinning", title: "How much was it thinned?", example: "5 %",
			figure: thinned(), in: func(c *casefile.Coat) *string { return &c.Thinning }},
	}
	if muchThinned(c.Thinning) {
		out = append(out, coatColumn{id: "thinning-of", name: "what the thinning is a share of", title: "Is that a share of the paint, or of the mix?",
			how:     "5 parts of water to 100 of paint is 5 % of the paint.",
			choices: []prompt.Choice{{ID: "paint", Text: "Of the paint"}, {ID: "mix", Text: "Of the mix, with the thinner in it"}},
			say:     func(text string) string { return "of the " + text }, in: func(c *casefile.Coat) *string { return &c.ThinningOf }})
	}
	return append(out, coatColumn{id: "tool", name: "tool", title: "With which tool was it put on?", example: "brush, roller or spray",
		in: func(c *casefile.Coat) *string { return &c.Tool }})
}

// airColumns are the columns on what the coat dried in.
func airColumns() []coatColumn {
	return []coatColumn{
		{id: "air", name: "air temperature", title: "How warm was the air?", example: "70 F",
			figure: &figure{quantity.Temperature, "F"}, in: func(c *casefile.Coat) *string { return &c.Air }},
		{id: "humidity", name: "humidity", title: "How humid was the air?", example: "55 %",
			figure: &figure{quantity.Humidity, "%"}, in: func(c *casefile.Coat) *string { return &c.Humidity }},
		{id: "fan", name: "fan", title: "How fast did the fan blow over it?", example: "300 fpm, or on, or off",
			check: checkFan, figure: fanSpeed(), put: putFan, value: fanOf, in: func(c *casefile.Coat) *string { return &c.Fan }},
		{id: "to-next", name: "hours to the next step", title: "How long until the next coat, mask or step?", example: "4 h, or overnight",
			figure: &figure{quantity.Duration, "h"}, in: func(c *casefile.Coat) *string { return &c.ToNext }},
	}
}

func tellMaterial(text string) string {
	if joblog.IsBare(text) {
		return "no coat"
	}
	return "material " + text
}

func thinned() *figure { return &figure{quantity.Share, "%"} }

// muchThinned reports whether so much thinner went in that it matters what its
// share was taken of: below, the two differ by less than a measuring cup.
func muchThinned(text string) bool {
	const matters = 0.03
	x, err := quantity.Parse(thinned().kind, text, thinned().unit)
	return err == nil && x.High > matters
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

// hadFan reports whether what a coat says of its fan is that there was one.
func hadFan(text string) bool {
	q, err := quantity.Parse(quantity.AirSpeed, text, "fpm")
	return isOn(text) || err == nil && q.High > 0
}

// fanOn is the note of a coat whose fan blew at a speed nobody measured.
const fanOn = "fan on, speed not measured"

func fanSpeed() *figure { return &figure{quantity.AirSpeed, "fpm"} }

func isOn(text string) bool { return strings.EqualFold(text, "on") || strings.EqualFold(text, "yes") }
func isOff(text string) bool {
	return slices.Contains([]string{"off", "no", "none"}, strings.ToLower(text))
}

func checkFan(text string) error {
	if isOn(text) || isOff(text) {
		return nil
	}
	if err := fanSpeed().check(text); err != nil {
		return fmt.Errorf("%w; or on, or off", err)
	}
	return nil
}

// putFan enters the fan of a coat. One that was only "on" has no speed, so the
// words go into the note.
func putFan(coat *casefile.Coat, text string) {
	switch {
	case isOff(text):
		text = "0 fpm"
	case isOn(text):
		text = ""
		if !strings.Contains(coat.Note, fanOn) {
			coat.Note = strings.TrimPrefix(coat.Note+"; "+fanOn, "; ")
		}
	}
	coat.Fan = text
}

func fanOf(coat *casefile.Coat) string {
	if coat.Fan == "" && strings.Contains(coat.Note, fanOn) {
		return "on"
	}
	return coat.Fan
}
