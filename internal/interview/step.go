package interview

import (
	"fmt"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/joblog"
	"filmfault/internal/prompt"
	"filmfault/internal/quantity"
)

type stepColumn = column[casefile.Step]

// deed is one thing that can be done to a piece besides coating it.
type deed struct {
	kind       joblog.Kind
	text, when string
	byFace     bool // it may be done to one face alone
}

func deeds() []deed {
	return []deed{
		{joblog.FanOn, "Fan on", "When was the fan turned on?", false},
		{joblog.FanOff, "Fan off", "When was the fan turned off?", false},
		{joblog.Sand, "Sanded", "When was it sanded?", true},
		{joblog.MaskOn, "Mask on", "When did the mask go on?", true},
		{joblog.MaskOff, "Mask off", "When did the mask come off?", true},
		{joblog.Blast, "Blasted", "When was it blasted?", true},
		{joblog.Rout, "Routed", "When was it routed?", true},
		{joblog.Wrap, "Wrapped", "When was it wrapped?", false},
		{joblog.Graphics, "Graphics on", "When did the graphics go on?", true},
		{joblog.Sun, "Put in sun", "When was it put in the sun?", true},
		{joblog.Hang, "Hung", "When was it hung?", false},
		{joblog.Wet, "Wetted", "When was it wetted?", false},
		{joblog.Failed, "Failure first seen", "When was the failure first seen?", false},
	}
}

// deedOf is what a step did. A step of a file may do what is not asked here.
func deedOf(s *casefile.Step) deed {
	for _, d := range deeds() {
		if string(d.kind) == s.Do {
			return d
		}
	}
	return deed{joblog.Kind(s.Do), s.Do, "When was that?", true}
}

// stepColumns lists the columns of a step that make sense for what was done.
func (v *visit) stepColumns(at int, s *casefile.Step) []stepColumn {
	out := []stepColumn{v.deedColumn(at, s)}
	if s.Do == "" {
		return out
	}
	d := deedOf(s)
	if d.byFace {
		out = append(out, stepColumn{id: "face", name: "face", title: "On which face, if not on both?", example: "front, or back", doubt: doubtFace,
			mayLack: true, backIsWord: true, in: func(s *casefile.Step) *string { return &s.Face }})
	}
	out = append(out, v.timeColumn(at, d))
	switch d.kind {
	case joblog.FanOn:
		out = append(out, stepColumn{id: "speed", name: "fan speed", title: "How fast did the air move over the piece?", example: "300 fpm", how: "Leave it out if nobody measured it.",
			figure: fanSpeed(), in: func(s *casefile.Step) *string { return &s.Speed }})
	case joblog.Sand:
		out = append(out, stepColumn{id: "takes-off", name: "what it took off", title: "How much film did it take off?", example: "1 mil",
			figure: &figure{quantity.Film, "mil"}, say: func(text string) string { return "took off " + text },
			in: func(s *casefile.Step) *string { return &s.TakesOff }})
	case joblog.MaskOn:
		out = append(out, stepColumn{id: "mask", name: "mask", title: "Which mask was it?", example: "paint mask, or blast mask",
			in: func(s *casefile.Step) *string { return &s.Material }})
	}
	return out
}

// deedColumn is what was done, picked from a list.
func (v *visit) deedColumn(at int, s *casefile.Step) stepColumn {
	c := stepColumn{
		id: "do", name: "what was done", title: "What was done next?", say: func(text string) string { return text },
		in:      func(s *casefile.Step) *string { return &s.Do },
		value:   func(s *casefile.Step) string { return strings.ToLower(deedOf(s).text) },
		choices: []prompt.Choice{{ID: nothingMore, Text: "Nothing more"}},
	}
	switch {
	case s.Do != "":
		c.title = "What was done?"
		c.choices = []prompt.Choice{{ID: takeOut, Text: "Take this line out, it is a mistake"}}
	case at == 0:
		c.title = "What else happened to the piece, in order?"
		c.how = "One thing at a time, the earliest first. The coats are in the log already."
	default:
		c.how = "The line before: " + v.stepLines().form(at-1).inOneLine() + "."
	}
	for _, d := range deeds() {
		if d.kind != joblog.FanOn || s.Do == string(d.kind) || v.fanMayGoOn() {
			c.choices = append(c.choices, prompt.Choice{ID: string(d.kind), Text: d.text})
		}
	}
	return c
}

// fanMayGoOn reports whether a fan put on is worth a line: not where every coat
// says that it had one, unless it was turned off in between.
func (v *visit) fanMayGoOn() bool {
	if !v.eachCoat(func(c casefile.Coat) bool { return hadFan(fanOf(&c)) }) {
		return true
	}
	for _, s := range v.file.Log.Steps {
		if s.Do == string(joblog.FanOff) {
			return true
		}
	}
	return false
}

// timeColumn is when a step was: a date, or how long after the line before.
func (v *visit) timeColumn(at int, d deed) stepColumn {
	from := v.countsFrom(at)
	c := stepColumn{
		id: "when", name: "time", title: d.when, example: "4/3 2:30 pm", say: func(text string) string { return text },
		in:    func(s *casefile.Step) *string { return &s.At },
		check: func(text string) error { return checkTime(text, from != "") },
		doubt: func(text string) string { return v.doubtTime(at, text) },
		put:   putTime, value: timeOf,
	}
	if from != "" {
		c.example = "4/3 2:30 pm, or 3 h later"
		c.how = "\"3 h later\" counts from " + from + "."
	}
	return c
}

// countsFrom is what "later" counts from at a step; "" when there is nothing.
func (v *visit) countsFrom(at int) string {
	if at > 0 {
		return "the line before"
	}
	for i := len(v.file.Coats) - 1; i >= 0; i-- {
		if !joblog.IsBare(v.file.Coats[i].Material) {
			return fmt.Sprintf("the start of coat %d", i+1)
		}
	}
	return ""
}

// doubtTime says why the time of a step is of little use or hard to believe.
func (v *visit) doubtTime(at int, text string) string {
	if at > 0 {
		if before := v.file.Log.Steps[at-1].At; earlier(text, before) {
			return fmt.Sprintf("the line before is at %s, which is later, and the lines are to be in order of time", before)
		}
	}
	return doubtMoment(text)
}

// putTime enters a stretch of time as one, without the word "later".
func putTime(s *casefile.Step, text string) {
	if checkMoment(text) == nil {
		s.At, s.After = text, ""
		return
	}
	s.At, s.After = "", text
	if stretch, ok := later(text); ok {
		s.After = stretch
	}
}

func timeOf(s *casefile.Step) string {
	switch {
	case s.At != "":
		return s.At
	case s.After == "", s.After == "overnight":
		return s.After
	}
	return s.After + " later"
}
