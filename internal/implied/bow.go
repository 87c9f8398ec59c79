package implied

import (
	"fmt"
	"math"

	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/joblog"
	"filmfault/internal/quantity"
	"filmfault/internal/replay"
	"filmfault/internal/rulebase"
	"filmfault/internal/uncertain"
)

// bothFacesKnown reports whether the log says of each face what was on it, and a
// bow is what the case is about: a shop that logged the front alone did not say
// that the back was bare.
func (l *Log) bothFacesKnown() bool {
	seen := casefile.Find(l.c.Failures, "bow")
	if seen == nil || seen.Answer != rulebase.StateSeen {
		return false
	}
	coated := 0
	for _, f := range []joblog.Face{joblog.Front, joblog.Back} {
		bare := false
		for _, b := range l.Job.Log.Bare {
			bare = bare || b == f
		}
		switch {
		case len(l.Job.Log.Coats(f)) > 0:
			coated++
		case !bare:
			l.note("The log says nothing of the %s. If it got no coat, write a line with material: none, and the bow of the coats is computed.", f)
			return false
		}
	}
	return coated > 0
}

func (l *Log) note(format string, args ...any) {
	l.Notes = append(l.Notes, fmt.Sprintf(format, args...))
}

// enterBow enters the event that the coats bend the panel far enough to see.
func (l *Log) enterBow(c rulebase.Calculation, d uncertain.Draws) error {
	bend, err := l.Job.Bend(d, l.board())
	if err != nil {
		return err
	}
	l.bend = bend
	x := diagnosis.Computed{Calculation: c, Chance: replay.TooFar(bend, limit(c)), Without: map[string][]float64{}}
	none := make([]float64, len(bend)) // equal faces bend nothing
	for _, b := range c.Blame {
		if len(l.undo(b.Departures)) > 0 {
			x.Without[b.Cause] = none
		}
	}
	x.Reading = l.reading(c, bend)
	r := uncertain.Summarise(absolute(bend))
	x.Shown = fmt.Sprintf("%s over 4 ft from the coats", quantity.FormatRange(quantity.Length, r.Low, r.High, l.opt.System))
	l.Computed = append(l.Computed, x)
	return nil
}

func absolute(x []float64) []float64 {
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = math.Abs(v)
	}
	return out
}

// The board where the case does not state it. Common practice, no source.
const (
	thinBoard, thickBoard  = 0.75 * 0.0254, 2 * 0.0254
	lightBoard, heavyBoard = 190, 320
)

// board is the board of the case.
func (l *Log) board() replay.Board {
	return replay.Board{
		Thickness: l.fact("thickness", quantity.Length, "in", thinBoard, thickBoard),
		Density:   l.fact("density", quantity.Density, "lb/ft3", lightBoard, heavyBoard),
	}
}

// fact is a figure among the facts, or an ordinary range.
func (l *Log) fact(id string, k quantity.Kind, unit string, low, high float64) uncertain.Input {
	if e := casefile.Find(l.c.Facts, id); e != nil && e.Value != "" {
		if q, err := quantity.Parse(k, e.Value, unit); err == nil {
			if _, most := k.Plausible(); !q.IsExact() && q.High >= most {
				q.High = 2 * q.Low // "over 1 in" is some of it, not all there is
			}
			return uncertain.Input{ID: "board-" + id, Low: q.Low, High: q.High, Unit: k.Base(), Assumed: e.Source == "assumed", Source: "stated"}
		}
	}
	return uncertain.Input{ID: "board-" + id, Low: low, High: high, Unit: k.Base(), Assumed: true, Source: "common practice, no source"}
}

// remembered is the confidence in a figure from memory.
const remembered = 0.8

// How well a gap under a straightedge is read, as a standard error: 1/32 in and a
// tenth of it. Judgement.
const (
	leastReadingError  = 0.0254 / 32
	readingErrorShare  = 0.1
	smallestBow        = 0.0254 / 32
	largestBow         = 2 * 0.0254
	rootTwoPi          = 2.5066282746310002
	shareOfOtherCauses = 0.02 // of the density, where the coats' own is nothing
)

// reading is the measured bow as a likelihood, nil when none was measured. Its
// rivals, every other way in which a panel bends, give any size from the least
// that is noticed to 2 in alike by order of magnitude. Size alone is compared:
// the direction has a question of its own.
func (l *Log) reading(c rulebase.Calculation, bend []float64) *diagnosis.Reading {
	e := casefile.Find(l.c.Findings, c.Reading.ID)
	if c.Reading.ID == "" || e == nil || e.Value == "" {
		return nil
	}
	q, err := quantity.Parse(quantity.Length, e.Value, "in")
	sure, badSure := casefile.Confidence(e.Sure)
	_, most := quantity.Length.Plausible()
	if err != nil || badSure != nil || q.Mid() <= 0 || q.High >= most || e.Source == "assumed" {
		return nil // no figure to set against the computed one
	}
	if e.Source == "remembered" && e.Sure == "" {
		sure = remembered
	}
	size := q.Mid()
	se := math.Hypot(leastReadingError+readingErrorShare*size, (q.High-q.Low)/4)
	rival := 1 / (size * math.Log(largestBow/smallestBow))
	out := &diagnosis.Reading{Rival: rival, Density: make([]float64, len(bend))}
	for i, v := range bend {
		z := (math.Abs(v) - size) / se
		fits := (1-shareOfOtherCauses)*math.Exp(-z*z/2)/(se*rootTwoPi) + shareOfOtherCauses*rival
		out.Density[i] = sure*fits + (1-sure)*rival
	}
	return out
}
