package report

import (
	"slices"
	"strings"

	"filmfault/internal/rulebase"
)

// What follows chooses what a page has room for; the JSON has all.

// known tells what is known of the job, the safety look left out, in the ids of
// facts and answers: they are words, and short.
func (b *builder) known() {
	for _, f := range b.base.Facts {
		if answer, ok := b.e.Sheet.Facts[f.ID]; ok && f.Stage != rulebase.StageSafety {
			b.doc.Known = append(b.doc.Known, strings.ReplaceAll(f.ID, "-", " ")+" "+strings.ReplaceAll(answer, "-", " "))
		}
	}
}

// cautions gathers, once each, the cautions of the facts answered, of what the
// page proposes and asks, and of the repair of the leading cause. A danger that
// the facts rule out is left out.
func (b *builder) cautions() {
	var ids []string
	for _, f := range b.base.Facts {
		for _, a := range f.Answers {
			if b.e.Sheet.Facts[f.ID] == a.ID {
				ids = append(ids, a.Cautions...)
			}
		}
	}
	for _, c := range b.doc.Proposed() {
		f, _ := b.base.Finding(c.Measurement)
		ids = append(ids, f.Cautions...)
	}
	for _, q := range b.doc.Asked() {
		f, _ := b.base.Finding(q.Finding)
		ids = append(ids, f.Cautions...)
	}
	if len(b.doc.Ranking) > 0 {
		ev, _ := b.base.Event(b.doc.Ranking[0].Cause)
		ids = append(ids, ev.Cautions...)
	}
	for i, id := range ids {
		if c, ok := b.base.Caution(id); ok && !slices.Contains(ids[:i], id) && b.called(c) {
			b.doc.Cautions = append(b.doc.Cautions, c.Text)
			b.doc.Warnings = append(b.doc.Warnings, c.Short)
		}
	}
}

// called reports whether a caution is called for: the facts do not rule its
// danger out.
func (b *builder) called(c rulebase.Caution) bool {
	return len(c.Unless) == 0 || !rulebase.Hold(c.Unless, b.e.Sheet.Facts)
}

// askedNext is how many open questions a page tells, and sure how likely the
// leader is when it tells none.
const (
	askedNext = 3
	sure      = 0.95
)

// Asked picks the open questions that a page tells, the most telling first.
func (d *Document) Asked() []Question {
	if len(d.Ranking) > 0 && d.Ranking[0].Contributed >= sure {
		return nil
	}
	return d.Next[:min(askedNext, len(d.Next))]
}

// proposedFor is how many leading causes get a measurement proposed, and
// confirming how far it must move its cause.
const (
	proposedFor = 2
	confirming  = 0.05
)

// Proposed picks the measurements that a page proposes: for each of the first
// causes the one not yet taken that moves it most, each measurement once.
func (d *Document) Proposed() []Confirmation {
	var out []Confirmation
	used := map[string]bool{}
	for place, c := range d.Ranking[:min(proposedFor, len(d.Ranking))] {
		best := -1
		for i, m := range c.Confirm {
			if used[m.Measurement] || m.Forbidden || m.moves() < confirming {
				continue
			}
			if best < 0 || m.moves() > c.Confirm[best].moves() {
				best = i
			}
		}
		if best >= 0 {
			used[c.Confirm[best].Measurement] = true
			out = append(out, c.Confirm[best])
			out[len(out)-1].For = place + 1
		}
	}
	return out
}

// moves is how far a measurement moves its cause; 0 when it has been taken.
func (m Confirmation) moves() Number {
	if m.IfMet == nil || m.IfNot == nil {
		return 0
	}
	return *m.IfMet - *m.IfNot
}
