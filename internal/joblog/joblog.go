// Package joblog reads the job log of a case, in a shop's words, into steps on
// one clock with everything in SI: which coat went on which face and when, when
// the fan ran, what closed the film, and what the air was meanwhile.
//
// What cannot be read is a diagnostic with its place and what to write instead;
// with an error among them nothing is computed from the log, and the diagnosis
// goes on without it. Where the log is silent an ordinary range stands in, named
// as assumed. The package computes nothing of drying: package replay does.
//
// It sits on casefile, airlog and the figures of physics/material.
package joblog

import (
	"time"

	"filmfault/internal/physics/material"
	"filmfault/internal/source"
	"filmfault/internal/uncertain"
)

// Kind is what a step does, in the words of a case file.
type Kind string

// The kinds of step.
const (
	Coat     Kind = "coat"
	FanOn    Kind = "fan-on"
	FanOff   Kind = "fan-off"
	Sand     Kind = "sand"
	Stand    Kind = "stand"
	MaskOn   Kind = "mask-on"
	MaskOff  Kind = "mask-off"
	Blast    Kind = "blast"
	Rout     Kind = "rout"
	Wrap     Kind = "wrap"
	Graphics Kind = "graphics"
	Sun      Kind = "sun"
	Hang     Kind = "hang"
	Wet      Kind = "wet"
	Next     Kind = "next"   // whatever came after the last coat logged
	Failed   Kind = "failed" // first seen
)

// Kinds lists the words for a step that is no coat.
func Kinds() []string {
	return []string{"fan-on", "fan-off", "sand", "stand", "mask-on", "mask-off", "blast", "rout", "wrap", "graphics", "sun", "hang", "wet", "failed"}
}

// Words says what a step is, for a page.
func (k Kind) Words() string {
	words := map[Kind]string{
		Coat: "coat", FanOn: "fan on", FanOff: "fan off", Sand: "sanded", Stand: "stood", MaskOn: "mask on", MaskOff: "mask off",
		Blast: "blasted", Rout: "routed", Wrap: "wrapped", Graphics: "graphics on", Sun: "put in sun", Hang: "hung", Wet: "wetted",
		Next: "closed over", Failed: "failure seen",
	}
	return words[k]
}

// Face is a side of the panel.
type Face int

// The faces.
const (
	Front Face = iota
	Back
)

// String gives "front" or "back".
func (f Face) String() string {
	if f == Back {
		return "back"
	}
	return "front"
}

// When is the time of a step in s after the log's Origin: a clock time, and
// stretches known as intervals only, such as "overnight".
type When struct {
	Clock float64
	Waits []uncertain.Input
}

// At is the time in one draw.
func (w When) At(d uncertain.Draws, draw int) float64 {
	t := w.Clock
	for _, in := range w.Waits {
		t += d.Value(in, draw)
	}
	return t
}

// Mid is the middle of the time.
func (w When) Mid() float64 {
	t := w.Clock
	for _, in := range w.Waits {
		t += in.Mid()
	}
	return t
}

// after is the time a stretch later; an exact stretch moves the clock.
func (w When) after(in uncertain.Input) When {
	out := When{Clock: w.Clock, Waits: append([]uncertain.Input(nil), w.Waits...)}
	if in.IsExact() {
		out.Clock += in.Low
	} else {
		out.Waits = append(out.Waits, in)
	}
	return out
}

// Step is one thing done, in order of time.
type Step struct {
	Kind  Kind
	Faces []Face
	When  When
	// Material is the id of the coat's, mask's or wrap's material.
	Material string
	// WetFilm of a coat in m, as the gauge reads; Thinner as a share of the paint,
	// or of the mix when OfMix.
	WetFilm, Thinner uncertain.Input
	OfMix            bool
	// Speed of a fan in m/s.
	Speed uncertain.Input
	// Depth is what sanding takes off, dry, in m.
	Depth uncertain.Input
	Note  string
	Span  source.Span

	line int // of the coats of the case, from 1
}

// On says whether a step concerns a face.
func (s Step) On(f Face) bool {
	for _, x := range s.Faces {
		if x == f {
			return true
		}
	}
	return false
}

// Reading is the air at one time in s: temperature in K, humidity a fraction.
type Reading struct{ Time, Temperature, Humidity float64 }

// Panel is the piece while it dried; lengths in m.
type Panel struct {
	Along, Across uncertain.Input
	FaceUp        bool
}

// Log is a job log that can be computed with.
type Log struct {
	// Origin is the instant that the times count from, in the log's zone.
	Origin time.Time
	Steps  []Step
	// Air in order of time; held before the first and after the last reading.
	Air   []Reading
	Panel Panel
	// Materials by id: those of the shop and the generic ones.
	Materials map[string]material.Material
	// Notes say what was taken for granted, in sentences.
	Notes []string
	// Bare lists faces of which the log says that they got no coat.
	Bare []Face

	like map[string]string // materials of the shop -> the generic one they are like
}

// Clock is a time of the log as an instant.
func (l *Log) Clock(t float64) time.Time {
	return l.Origin.Add(time.Duration(t * float64(time.Second)))
}

// Coats lists the coats of a face in order of time.
func (l *Log) Coats(f Face) []Step {
	var out []Step
	for _, s := range l.Steps {
		if s.Kind == Coat && s.On(f) {
			out = append(out, s)
		}
	}
	return out
}
