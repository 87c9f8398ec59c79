package learn

import (
	"cmp"
	"slices"

	"filmfault/internal/book/review"
	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// Case is what one case of a book can teach. Ids are those of the rules in force.
type Case struct {
	ID                string
	Month             string // in which the job was finished, "2026-04"; "" when not known
	Invented, Settled bool
	Seen, Absent      []string // failures; absent are those looked for and not there
	Facts             rulebase.Facts
	Judged            []Judged // by id, each cause once
}

// Judged is a cause that a verdict confirmed or ruled out.
type Judged struct {
	Cause               string
	Confirmed, Measured bool
}

// Of reads a case and its sheet; the month is not among what they say. A cause that
// the verdict names twice is confirmed if it is so once; conditions, which are
// never ranked, are left out.
func Of(b *rulebase.Base, id string, c *casefile.Case, s diagnosis.Sheet) Case {
	return Case{
		ID: id, Invented: c.Invented, Settled: c.Verdict != nil,
		Seen: s.Seen(b), Absent: s.Absent(b), Facts: s.Facts, Judged: Judgements(b, c),
	}
}

// Judgements lists the causes that the verdict of a case confirmed or ruled out;
// none of an open case.
func Judgements(b *rulebase.Base, c *casefile.Case) []Judged {
	v := c.Verdict
	if v == nil {
		return nil
	}
	by := map[string]Judged{}
	for _, x := range v.Causes {
		e, ok := b.Event(b.Current(x.Cause))
		if !ok || !e.Cause || x.State != casefile.Confirmed && x.State != casefile.RuledOut {
			continue
		}
		j := Judged{Cause: e.ID, Confirmed: x.State == casefile.Confirmed, Measured: review.Measured(b, c, x)}
		if before, twice := by[e.ID]; !twice || j.Confirmed && !before.Confirmed {
			by[e.ID] = j
		}
	}
	out := make([]Judged, 0, len(by))
	for _, j := range by {
		out = append(out, j)
	}
	slices.SortFunc(out, func(a, b Judged) int { return cmp.Compare(a.Cause, b.Cause) })
	return out
}

// Tally is how often a cause was confirmed and ruled out, among the cases in which
// it could have been: a failure that it leads to was seen.
type Tally struct {
	Confirmed, RuledOut int
	NotExamined         int // settled cases that judged it neither way
	Open                int // cases not settled yet
	Measured            int // of those confirmed and ruled out, the ones by a measurement
}

// examined is how many cases judged the cause.
func (t Tally) examined() int { return t.Confirmed + t.RuledOut }

// share is the part of the cases in which the cause could have been that examined
// it; 1 where there is none.
func (t Tally) share() float64 {
	all := t.examined() + t.NotExamined + t.Open
	if all == 0 {
		return 1
	}
	return float64(t.examined()) / float64(all)
}

// tally counts a cause over the cases.
func (l *Learned) tally(cause string, kept []Case) Tally {
	var t Tally
	trees := l.base.Trees(cause)
	for _, c := range kept {
		j, judged := l.judged(c, cause)
		could := slices.ContainsFunc(c.Seen, func(f string) bool { return slices.Contains(trees, f) })
		switch {
		case judged && j.Confirmed:
			t.Confirmed++
		case judged:
			t.RuledOut++
		case could && c.Settled:
			t.NotExamined++
		case could:
			t.Open++
		}
		if judged && j.Measured {
			t.Measured++
		}
	}
	return t
}

// judged is what a case says of a cause, as far as it may teach.
func (l *Learned) judged(c Case, cause string) (Judged, bool) {
	i, ok := slices.BinarySearchFunc(c.Judged, cause, func(j Judged, id string) int { return cmp.Compare(j.Cause, id) })
	if !ok || l.MeasuredOnly && !c.Judged[i].Measured {
		return Judged{}, false
	}
	return c.Judged[i], true
}
