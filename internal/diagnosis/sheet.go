package diagnosis

import (
	"errors"
	"fmt"
	"slices"

	"filmfault/internal/casefile"
	"filmfault/internal/rulebase"
	"filmfault/internal/source"
)

// Sheet is a case as evidence: what is known, what was looked for, what was
// found, all checked against the rules.
type Sheet struct {
	Facts    rulebase.Facts
	Failures map[string]string // failure id -> rulebase.StateSeen or StateAbsent
	// Doubt is the confidence in the state of a failure where it is below 1.
	Doubt    map[string]float64
	Answers  []Answered // in the order of the case
	Skipped  []string   // answered, but no evidence: preconditions fail, or only assumed
	Computed []Computed // what the log implies; see WithComputed
	Told     []string   // answered, but told by the log that was computed

	told []Answered // what Told names
}

// Answered is one finding with the weights over its answers.
type Answered struct {
	Finding string
	Answer  string    // id of the answer, or of the likeliest one
	Shown   string    // what to print: the answer in words, the figure as typed
	Sure    float64   // confidence
	Weights []float64 // over the finding's answers
}

// Seen lists the failures seen, in base order.
func (s Sheet) Seen(b *rulebase.Base) []string { return s.inState(b, rulebase.StateSeen) }

// Absent lists the failures looked for and not there, in base order.
func (s Sheet) Absent(b *rulebase.Base) []string { return s.inState(b, rulebase.StateAbsent) }

func (s Sheet) inState(b *rulebase.Base, state string) []string {
	var out []string
	for _, g := range b.Failures() {
		if s.Failures[g.ID] == state {
			out = append(out, g.ID)
		}
	}
	return out
}

// ErrNothingSeen says that a case marks no failure as seen, so that there is
// nothing to explain.
var ErrNothingSeen = errors.New("no failure is marked seen, so there is nothing to explain")

// Resolve reads a case by the rules. The diagnostics point into the case file;
// with an error among them the sheet is not to be used.
func Resolve(b *rulebase.Base, c *casefile.Case) (Sheet, source.List) {
	r := resolver{b: b, answered: map[string]string{}, sheet: Sheet{Facts: rulebase.Facts{}, Failures: map[string]string{}, Doubt: map[string]float64{}}}
	for _, e := range c.Facts {
		r.fact(e)
	}
	for _, e := range c.Failures {
		r.failure(e)
	}
	for _, e := range c.Findings {
		r.finding(e)
	}
	if c.Verdict != nil {
		r.verdict(c.Verdict)
	}
	r.diags.Sort()
	return r.sheet, r.diags
}

type resolver struct {
	b     *rulebase.Base
	sheet Sheet
	diags source.List

	answered map[string]string // current id -> the id it was answered under
}

func (r *resolver) unknown(e casefile.Entry, what string, known []string) {
	remedy := "see `filmfault rules list`"
	if near, ok := source.Nearest(e.ID, known); ok {
		remedy = near
	}
	r.diags.Error(e.Span, "unknown-id", fmt.Sprintf("the rules have no %s %q", what, e.ID), remedy)
}

// twice refuses a second answer to one question, which a case can hold under
// an old id and a new one: it would count as two observations.
func (r *resolver) twice(e casefile.Entry, id string) bool {
	before, ok := r.answered[id]
	if ok {
		r.diags.Error(e.Span, "answered-twice", fmt.Sprintf("%s and %s are one question under an old and a new name", before, e.ID), "one of the two answers")
	}
	r.answered[id] = e.ID
	return ok
}

func (r *resolver) fact(e casefile.Entry) {
	f, ok := r.b.Fact(r.b.Current(e.ID))
	if !ok {
		r.unknown(e, "fact", ids(r.b.Facts, func(f rulebase.Fact) string { return f.ID }))
		return
	}
	if r.twice(e, f.ID) || e.NotChecked {
		return
	}
	w, ok := r.weights(e, f.Answers, f.Value)
	if !ok || e.Source == assumed {
		return
	}
	if at := largest(w); w[at] >= factFrom {
		r.sheet.Facts[f.ID] = f.Answers[at].ID
		return
	}
	r.diags.Warn(e.Span, "doubtful-fact", "the fact "+f.ID+" is too doubtful to go by and counts as not known", "sure: probably, if it is more likely than not by far")
}

// factFrom is the confidence from which a fact is gone by: facts choose rates
// and rows, so they hold or are not known.
const factFrom = 0.7

// assumed marks a figure nobody knows: good for arithmetic, no evidence.
const assumed = "assumed"

func (r *resolver) failure(e casefile.Entry) {
	id := r.b.Current(e.ID)
	g, ok := r.b.Gate(id)
	if !ok || g.Failure == nil {
		r.unknown(e, "failure", ids(r.b.Failures(), func(g rulebase.Gate) string { return g.ID }))
		return
	}
	switch {
	case r.twice(e, id), e.NotChecked:
	case e.Answer == rulebase.StateSeen, e.Answer == rulebase.StateAbsent:
		r.state(e, id)
	default:
		r.diags.Error(e.AnswerSpan, "state", fmt.Sprintf("%q is no state of a failure", e.Answer+e.Value), "seen, absent (looked for and not there) or not-checked")
	}
}

// state records a failure's state with the confidence in it.
func (r *resolver) state(e casefile.Entry, id string) {
	answers := []rulebase.Answer{{ID: rulebase.StateSeen}, {ID: rulebase.StateAbsent}}
	w, ok := r.weights(e, answers, nil)
	if !ok || e.Source == assumed {
		return
	}
	r.sheet.Failures[id] = e.Answer
	if c := w[largest(w)]; c < 1 {
		r.sheet.Doubt[id] = c
	}
}

func (r *resolver) finding(e casefile.Entry) {
	f, ok := r.b.Finding(r.b.Current(e.ID))
	if !ok {
		r.unknown(e, "finding", ids(r.b.Findings, func(f rulebase.Finding) string { return f.ID }))
		return
	}
	if r.twice(e, f.ID) || e.NotChecked {
		return
	}
	w, ok := r.weights(e, f.Answers, f.Value)
	if !ok {
		return
	}
	if e.Source == assumed || Applies(f, r.sheet) == No {
		r.sheet.Skipped = append(r.sheet.Skipped, f.ID)
		return
	}
	at := largest(w)
	shown := f.Answers[at].Text
	if e.Value != "" {
		shown = e.Value
	}
	r.sheet.Answers = append(r.sheet.Answers, Answered{
		Finding: f.ID, Answer: f.Answers[at].ID, Shown: shown, Sure: w[at], Weights: w,
	})
}

func ids[T any](list []T, id func(T) string) []string {
	out := make([]string, len(list))
	for i, x := range list {
		out[i] = id(x)
	}
	return out
}

// Ternary is yes, no or not known.
type Ternary int

// The three values.
const (
	Unknown Ternary = iota
	No
	Yes
)

// Applies says whether a finding's preconditions are met: No when one is known
// to fail, Unknown when one is not known.
func Applies(f rulebase.Finding, s Sheet) Ternary {
	out := Yes
	for _, n := range f.Needs {
		got, known := s.Facts[n.ID]
		if !known {
			got, known = s.Failures[n.ID]
		}
		switch {
		case !known:
			out = Unknown
		case !slices.Contains(n.Answers, got):
			return No
		}
	}
	return both(out, anySeen(f.NeedsAny, s))
}

// anySeen says whether one of the failures is seen; Yes when none is asked for.
func anySeen(failures []string, s Sheet) Ternary {
	out := No
	for _, id := range failures {
		switch state, looked := s.Failures[id]; {
		case state == rulebase.StateSeen:
			return Yes
		case !looked:
			out = Unknown
		}
	}
	if len(failures) == 0 {
		return Yes
	}
	return out
}

func both(a, b Ternary) Ternary {
	switch {
	case a == No || b == No:
		return No
	case a == Unknown || b == Unknown:
		return Unknown
	}
	return Yes
}

func (r *resolver) verdict(v *casefile.Verdict) {
	causes := ids(r.b.Events, func(e rulebase.Event) string { return e.ID })
	for _, x := range v.Causes {
		if _, ok := r.b.Event(r.b.Current(x.Cause)); !ok {
			r.unknown(casefile.Entry{ID: x.Cause, Span: x.Span}, "cause", causes)
		}
		if _, ok := r.b.Finding(r.b.Current(x.By)); x.By != "" && !ok {
			r.unknown(casefile.Entry{ID: x.By, Span: x.BySpan}, "measurement", ids(r.b.Findings, func(f rulebase.Finding) string { return f.ID }))
		}
	}
}
