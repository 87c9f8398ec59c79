package review

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"filmfault/internal/book"
	"filmfault/internal/casefile"
	"filmfault/internal/rulebase"
	"filmfault/internal/source"
)

// Record is what a review keeps of one case; ids are those of the rules in force
// where they know them.
type Record struct {
	ID, File       string
	Said           string // what the file's own `case:` line calls it; "" for none
	Invented       bool
	Finished, Seen Day
	Started        Day      // of the interview
	Failures       []string // seen
	Traits         []Trait  // known ones, by id
	Spelled        []Trait  // lines of the job as typed
	Verdict        *Outcome // nil when open
	Costs          []Amount
	Unread         []Unread
}

// Day is the day a case belongs to: that of finishing, or else the first that is
// known of when the failure was seen, when the case was settled, and when the
// interview began.
func (r Record) Day() Day {
	settled := Day(0)
	if r.Verdict != nil {
		settled = r.Verdict.Settled
	}
	return cmp.Or(r.Finished, r.Seen, settled, r.Started)
}

// Trait is something that cases are sorted by: the answer to a fact, or a line of
// the job such as the lot of the primer.
type Trait struct{ ID, Answer string }

// Trait is the answer to a trait, "" when it is not known.
func (r Record) Trait(id string) string {
	i, ok := slices.BinarySearchFunc(r.Traits, id, func(t Trait, id string) int { return cmp.Compare(t.ID, id) })
	if !ok {
		return ""
	}
	return r.Traits[i].Answer
}

// Outcome is how a case was settled.
type Outcome struct {
	Settled                          Day
	Confirmed, RuledOut, NotExamined []string
	NoFault, Unlisted                bool
	Measured                         bool // a measurement that the case holds decided it
	Changed                          string
	Ranking                          []casefile.Standing // as it stood
}

// Unread is something in a case that could not be read and was left out.
type Unread struct {
	Place string `json:"place"` // file, line and column
	What  string `json:"what"`  // an amount, a day
	Text  string `json:"text"`  // as typed
}

// LeftOut is a case file that could not be read.
type LeftOut struct {
	File  string `json:"file"`
	Place string `json:"place"` // with line and column, if known
	Why   string `json:"why"`
}

// Reading is what one file of the book gives: a record, or why there is none.
type Reading struct {
	Record   *Record
	File     string
	Problems source.List
	Data     []byte // of the file, where there are problems
	Err      error
}

// LeftOut says why there is no record.
func (r Reading) LeftOut() LeftOut {
	out := LeftOut{File: r.File, Place: r.File}
	if r.Err != nil {
		out.Why = r.Err.Error()
	}
	for _, d := range r.Problems {
		if d.Severity == source.Error {
			out.Place, out.Why = d.Span.String(), d.Summary
			break
		}
	}
	return out
}

// Take keeps of a case what a review needs, so that the case itself need not be
// held on to. What cannot be read in it is a warning, and left out.
func Take(b *rulebase.Base, it book.Item) Reading {
	out := Reading{File: it.Shown(), Problems: it.Problems, Err: it.Err}
	if it.Case != nil && it.Err == nil {
		t := taker{base: b, problems: &out.Problems}
		out.Record = t.record(it)
	}
	if len(out.Problems) > 0 {
		out.Data = it.Data
	}
	return out
}

type taker struct {
	base     *rulebase.Base
	problems *source.List
	unread   []Unread
}

func (t *taker) record(it book.Item) *Record {
	c := it.Case
	r := &Record{ID: it.ID, File: it.Shown(), Said: c.ID, Invented: c.Invented}
	r.Started, _ = ParseDay(c.Started) // written by the program; if it cannot be read it is not known
	r.Finished, r.Seen = t.day(&c.Job.Place, "finished", c.Job.Finished), t.day(&c.Job.Place, "seen", c.Job.Seen)
	if r.Finished == 0 && c.Job.Finished == "" {
		r.Finished = lastCoat(c.Coats)
	}
	if r.Finished != 0 && r.Seen != 0 && r.Seen < r.Finished {
		t.left(c.Job.SpanOf("seen"), "day", c.Job.Seen, fmt.Sprintf("the failure was seen %s, before the job was finished %s", r.Seen, r.Finished), "the days as they were")
		r.Seen = 0
	}
	for _, e := range c.Failures {
		if e.Answer == rulebase.StateSeen {
			r.Failures = append(r.Failures, t.base.Current(e.ID))
		}
	}
	r.Failures = once(r.Failures)
	r.Traits, r.Spelled = t.traits(c)
	if c.Verdict != nil {
		r.Verdict = t.outcome(c)
		r.Costs = t.costs(c.Verdict.Costs)
	}
	r.Unread = t.unread
	return r
}

// left warns of something that is left out.
func (t *taker) left(at source.Span, what, text, summary, remedy string) {
	t.problems.Warn(at, what, summary+"; it is left out", remedy)
	t.unread = append(t.unread, Unread{Place: at.String(), What: what, Text: text})
}

func (t *taker) day(place *casefile.Place, key, text string) Day {
	if text == "" {
		return 0
	}
	d, err := ParseDay(text)
	if err != nil {
		t.left(place.SpanOf(key), "day", text, err.Error(), "a day such as 2026-04-17")
	}
	return d
}

// lastCoat is the day of the last coat of a log whose start is written as a day.
func lastCoat(coats []casefile.Coat) Day {
	last := Day(0)
	for _, c := range coats {
		if d, err := ParseDay(c.Start); err == nil {
			last = max(last, d)
		}
	}
	return last
}

// jobTraits are the lines of a job that cases are sorted by, in the order in
// which they are shown.
func jobTraits() []string {
	return []string{"board", "board-lot", "primer-lot", "paint-lot", "drying"}
}

func (t *taker) traits(c *casefile.Case) (known, spelled []Trait) {
	out := make([]Trait, 0, len(c.Facts)+len(jobTraits()))
	job := []string{c.Job.Board, c.Job.BoardLot, c.Job.PrimerLot, c.Job.PaintLot, c.Job.Drying}
	for i, id := range jobTraits() {
		if text := folded(job[i]); text != "" {
			out = append(out, Trait{id, text})
			spelled = append(spelled, Trait{id, strings.Join(strings.Fields(job[i]), " ")})
		}
	}
	for _, e := range c.Facts {
		f, ok := t.base.Fact(t.base.Current(e.ID))
		if !ok {
			continue
		}
		if id, ok := answer(f.Answers, f.Value, e); ok {
			out = append(out, Trait{f.ID, id})
		}
	}
	slices.SortStableFunc(out, func(a, b Trait) int { return cmp.Compare(a.ID, b.ID) })
	return slices.CompactFunc(out, func(a, b Trait) bool { return a.ID == b.ID }), spelled
}

// folded reads what was typed of a lot so that "Lot  12" and "lot 12" are one.
func folded(text string) string { return strings.ToLower(strings.Join(strings.Fields(text), " ")) }

func (t *taker) outcome(c *casefile.Case) *Outcome {
	v := c.Verdict
	out := &Outcome{NoFault: v.NoFault, Unlisted: v.Unlisted, Changed: v.Changed}
	if v.Settled != "" {
		d, err := ParseDay(v.Settled)
		if err != nil {
			t.left(v.Span, "day", v.Settled, "the case was settled on a day that cannot be read: "+err.Error(), "settled: 2026-04-17")
		}
		out.Settled = d
	}
	lists := map[string]*[]string{casefile.Confirmed: &out.Confirmed, casefile.RuledOut: &out.RuledOut, casefile.NotExamined: &out.NotExamined}
	for _, f := range v.Causes {
		if list, ok := lists[f.State]; ok {
			*list = append(*list, t.base.Current(f.Cause))
		}
	}
	// A cause stands once; what says most of it counts.
	out.Confirmed = once(out.Confirmed)
	out.RuledOut = without(once(out.RuledOut), out.Confirmed)
	out.NotExamined = without(without(once(out.NotExamined), out.Confirmed), out.RuledOut)
	out.Measured = t.measured(c, len(out.Confirmed) > 0)
	for _, s := range v.Ranking {
		out.Ranking = append(out.Ranking, casefile.Standing{Cause: t.base.Current(s.Cause), Contributed: s.Contributed})
	}
	return out
}

func (t *taker) costs(lines []casefile.Cost) []Amount {
	var out []Amount
	for _, c := range lines {
		a, err := ParseMoney(c.Amount)
		if err != nil {
			t.left(c.SpanOf("amount"), "amount", c.Amount, "the cost "+err.Error(), "a figure such as 1250, $1250 or 1250 EUR")
			continue
		}
		out = append(out, a)
	}
	return out
}

// once sorts ids and drops those that stand twice.
func once(ids []string) []string {
	slices.Sort(ids)
	return slices.Compact(ids)
}

func without(ids, these []string) []string {
	return slices.DeleteFunc(ids, func(id string) bool { return slices.Contains(these, id) })
}
