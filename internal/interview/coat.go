package interview

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/prompt"
	"filmfault/internal/quantity"
)

// column is one column of the log.
type column struct {
	id, name, title, example string
	figure                   bool
	kind                     quantity.Kind
	unit                     string
	in                       func(*casefile.Coat) *string
}

func columns() []column {
	return []column{
		{id: "face", name: "face", title: "Which face did it go on?", example: "front, back or edges",
			in: func(c *casefile.Coat) *string { return &c.Face }},
		{id: "material", name: "material", title: "What was put on?", example: "high-build primer",
			in: func(c *casefile.Coat) *string { return &c.Material }},
		{id: "start", name: "start", title: "When was it started?", example: "2025-04-03 14:30",
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
		{id: "fan", name: "fan", title: "How fast did the fan blow over it?", example: "300 fpm, or 0 for none", figure: true,
			kind: quantity.AirSpeed, unit: "fpm", in: func(c *casefile.Coat) *string { return &c.Fan }},
		{id: "to-next", name: "hours to the next step", title: "How long until the next coat, mask or step?", example: "4 h, or overnight", figure: true,
			kind: quantity.Duration, unit: "h", in: func(c *casefile.Coat) *string { return &c.ToNext }},
	}
}

// askCoat asks the empty columns of a coat of the log, each of which may be left
// out, and says whether the coat has anything in it then.
func (v *visit) askCoat(ctx context.Context, at int) (entered bool, err error) {
	for _, col := range columns() {
		if at < len(v.file.Coats) && *col.in(&v.file.Coats[at]) != "" {
			continue
		}
		text, err := v.prompter.Line(ctx, prompt.LineAsk{
			ID: "coat-" + col.id, Title: fmt.Sprintf("Coat %d: %s", at+1, col.title), Example: col.example,
			Optional: true, Check: col.check,
		})
		if err != nil {
			return false, err
		}
		if !leftOut(text) {
			v.setCoat(at, col, text)
		}
	}
	return at < len(v.file.Coats), nil
}

func (v *visit) setCoat(at int, col column, text string) {
	if at == len(v.file.Coats) {
		v.file.Coats = append(v.file.Coats, casefile.Coat{})
	}
	*col.in(&v.file.Coats[at]) = text
	v.ev = nil
	v.keep()
}

// leftOut reports whether a text says that there is nothing to say.
func leftOut(text string) bool {
	switch strings.ToLower(text) {
	case "", "-", "?", "n", "not checked", "not known", "unknown":
		return true
	}
	return false
}

func (c column) check(text string) error {
	if !c.figure || leftOut(text) {
		return nil
	}
	_, err := quantity.Parse(c.kind, text, c.unit)
	var bad *quantity.ParseError
	if errors.As(err, &bad) {
		return fmt.Errorf("%s; write %s", bad.Problem, bad.Remedy)
	}
	return err
}

// fillGaps offers to fill what is missing in the last coat, where an earlier
// visit may have been broken off.
func (v *visit) fillGaps(ctx context.Context) error {
	last := len(v.file.Coats) - 1
	if last < 0 {
		return nil
	}
	var missing []string
	for _, col := range columns() {
		if *col.in(&v.file.Coats[last]) == "" {
			missing = append(missing, col.name)
		}
	}
	if len(missing) == 0 {
		return nil
	}
	yes, err := v.prompter.Confirm(ctx, fmt.Sprintf("Coat %d of the log lacks: %s. Fill that in?", last+1, strings.Join(missing, ", ")))
	if err == nil && yes {
		_, err = v.askCoat(ctx, last)
	}
	return err
}
