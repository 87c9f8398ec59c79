package interview

import (
	"context"
	"fmt"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/prompt"
	"filmfault/internal/quantity"
)

// besideCase says how the name of a file is meant that the case names.
const besideCase = "A name alone is looked for in the folder of the case."

// one is the form of what the log holds once.
func one[T any](v *visit, id, why string, in *T, columns func(*T) []column[T]) form[T] {
	return form[T]{v: v, id: id, why: why, columns: columns, line: func() *T { return in }, opening: true}
}

// askOnce asks what the log holds once, unless it is there; again asks all of it
// in any case.
func (f form[T]) askOnce(ctx context.Context, again bool) (ending, error) {
	if !again && len(f.missing()) == 0 {
		return passedBy, nil
	}
	return f.ask(ctx, again)
}

// askLogger asks for the file of a data logger, unless somebody read the air by
// hand.
func (v *visit) askLogger(ctx context.Context, again bool) (ending, error) {
	if !again && len(v.file.Log.Air) > 0 {
		return passedBy, nil
	}
	return one(v, "logger", whyAir, &v.file.Log.Logger, loggerColumns).askOnce(ctx, again)
}

const whyAir = "Warm dry air dries a coat in hours, cold damp air may take days. It shows how wet each coat still was."

func loggerColumns(*casefile.Logger) []column[casefile.Logger] {
	return []column[casefile.Logger]{
		{id: "file", name: "file", title: "Is there a file of a data logger? What is it called?", example: "shop-air.csv", how: besideCase,
			check: checkFile, doubt: doubtFile, noIsNone: true, put: func(l *casefile.Logger, text string) { l.File = unquoted(text) },
			in: func(l *casefile.Logger) *string { return &l.File }},
		{id: "unit", name: "unit", title: "Are its temperatures Fahrenheit or Celsius?", how: "Skip this where the file says it.", mayLack: true,
			choices: []prompt.Choice{{ID: "F", Text: "Fahrenheit"}, {ID: "C", Text: "Celsius"}},
			in:      func(l *casefile.Logger) *string { return &l.Temperature }},
		{id: "zone", name: "zone", title: "Which time zone was the logger's clock set to?", example: "America/Chicago", mayLack: true, noIsNone: true,
			how: "Leave it out if that is the zone of the shop.", check: checkZone, doubt: doubtZone,
			in: func(l *casefile.Logger) *string { return &l.Zone }},
	}
}

// checkFile returns an error when a text is an answer to another question.
func checkFile(text string) error {
	if strings.EqualFold(text, "yes") || strings.EqualFold(text, "y") {
		return fmt.Errorf("that is no name; write the name of the file, or leave it empty")
	}
	return nil
}

func doubtFile(text string) string {
	if !strings.Contains(text, ".") {
		return fmt.Sprintf("%q has no ending such as .csv, as names of files have", text)
	}
	return ""
}

// unquoted takes off the quotation marks that a name gets when its file is
// dragged into a terminal.
func unquoted(text string) string {
	for _, mark := range []string{`"`, "'"} {
		if len(text) > 2 && strings.HasPrefix(text, mark) && strings.HasSuffix(text, mark) {
			return text[1 : len(text)-1]
		}
	}
	return text
}

// askReadings asks for the air as it was read by hand, unless a logger or every
// coat says it.
func (v *visit) askReadings(ctx context.Context, _ bool) (ending, error) {
	if v.file.Log.Logger.File != "" || v.eachCoat(func(c casefile.Coat) bool { return c.Air != "" && c.Humidity != "" }) {
		return passedBy, nil
	}
	l := lines[casefile.AirReading]{
		v: v, id: "air", name: "Reading", why: whyAir, in: &v.file.Log.Air, opening: true,
		columns: func(at int, _ *casefile.AirReading) []column[casefile.AirReading] { return readingColumns(at) },
	}
	if err := l.fillGaps(ctx); err != nil {
		return through, err
	}
	return l.askOn(ctx)
}

func readingColumns(at int) []column[casefile.AirReading] {
	title, how := "When was the air read?", "A few readings by hand do: morning, noon and night, up to the last step."
	if at > 0 {
		title, how = "When was it read again?", ""
	}
	return []column[casefile.AirReading]{
		{id: "at", name: "time", title: title, how: how, example: "4/3 8am", check: checkMoment, doubt: doubtMoment, noIsNone: true,
			say: func(text string) string { return text }, in: func(r *casefile.AirReading) *string { return &r.At }},
		{id: "temperature", name: "temperature", title: "How warm was the air?", example: "70 F",
			figure: &figure{quantity.Temperature, "F"}, in: func(r *casefile.AirReading) *string { return &r.Temperature }},
		{id: "humidity", name: "humidity", title: "How humid was the air?", example: "55 %",
			figure: &figure{quantity.Humidity, "%"}, in: func(r *casefile.AirReading) *string { return &r.Humidity }},
	}
}
