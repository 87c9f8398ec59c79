package review

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"filmfault/internal/rulebase"
)

// Asked is a filter as somebody typed it. Empty fields let everything through.
type Asked struct {
	From, To       string // days or months, both counted in
	Failure, Cause string // ids: seen, confirmed
	Where          []string
	Settled, Open  bool
}

// Filter lets some cases through.
type Filter struct {
	From, To       Day
	Failure, Cause string
	Where          []Trait
	Settled, Open  bool
}

// ParseFilter checks a filter by the rules in force.
func ParseFilter(b *rulebase.Base, a Asked) (Filter, error) {
	f := Filter{Settled: a.Settled, Open: a.Open}
	if a.Settled && a.Open {
		return f, errors.New("a case is settled or open, not both; leave out --settled or --open")
	}
	var err error
	if f.From, err = bound("--from", a.From, Month.first); err != nil {
		return f, err
	}
	if f.To, err = bound("--to", a.To, Month.last); err != nil {
		return f, err
	}
	if f.From != 0 && f.To != 0 && f.To < f.From {
		return f, fmt.Errorf("--to %s is before --from %s", f.To, f.From)
	}
	if f.Failure, err = failure(b, a.Failure); err != nil {
		return f, err
	}
	if f.Cause, err = cause(b, a.Cause); err != nil {
		return f, err
	}
	for _, w := range a.Where {
		id, said, ok := strings.Cut(w, "=")
		id, said = strings.TrimSpace(id), strings.TrimSpace(said)
		if !ok || id == "" || said == "" {
			return f, fmt.Errorf("%q is no FACT=ANSWER, such as tool=spray or primer-lot=P-118", w)
		}
		t, err := trait(b, id, said)
		if err != nil {
			return f, err
		}
		f.Where = append(f.Where, t)
	}
	return f, nil
}

func bound(flag, text string, of func(Month) Day) (Day, error) {
	if text == "" {
		return 0, nil
	}
	if m, err := ParseMonth(text); err == nil {
		return of(m), nil
	}
	d, err := ParseDay(text)
	if err != nil {
		return 0, fmt.Errorf("%s: %w; write a day such as 2026-04-17 or a month such as 2026-04", flag, err)
	}
	return d, nil
}

func failure(b *rulebase.Base, id string) (string, error) {
	if id == "" {
		return "", nil
	}
	var known []string
	for _, g := range b.Failures() {
		known = append(known, g.ID)
	}
	if now := b.Current(id); slices.Contains(known, now) {
		return now, nil
	}
	return "", fmt.Errorf("the rules have no failure %q%s", id, near(id, known, "see `filmfault rules list failures`"))
}

func cause(b *rulebase.Base, id string) (string, error) {
	if id == "" {
		return "", nil
	}
	var known []string
	for _, e := range b.Events {
		if e.Cause {
			known = append(known, e.ID)
		}
	}
	if now := b.Current(id); slices.Contains(known, now) {
		return now, nil
	}
	return "", fmt.Errorf("the rules have no cause %q%s", id, near(id, known, "see `filmfault rules list causes`"))
}

// Keeps reports whether a case is let through.
func (f Filter) Keeps(r Record) bool {
	switch {
	case f.Settled && r.Verdict == nil, f.Open && r.Verdict != nil:
		return false
	case f.dated() && !f.within(r.Day()):
		return false
	case f.Failure != "" && !slices.Contains(r.Failures, f.Failure):
		return false
	case f.Cause != "" && (r.Verdict == nil || !slices.Contains(r.Verdict.Confirmed, f.Cause)):
		return false
	}
	return !slices.ContainsFunc(f.Where, func(w Trait) bool { return !w.of(r) })
}

func (f Filter) dated() bool { return f.From != 0 || f.To != 0 }

// within reports whether a day lies between the days of the filter.
func (f Filter) within(d Day) bool { return d != 0 && d >= f.From && (f.To == 0 || d <= f.To) }

// of reports whether a case has the trait.
func (t Trait) of(r Record) bool {
	got := r.Trait(t.ID)
	return got == t.Answer || got == "" && t.Answer == NotKnown
}

// whole reports whether a month lies wholly between the days of the filter.
func (f Filter) whole(m Month) bool {
	return m.first() >= f.From && (f.To == 0 || m.last() <= f.To)
}

// told is the filter as the document has it.
func (f Filter) told() Filtered {
	out := Filtered{From: f.From.String(), To: f.To.String(), Failure: f.Failure, Cause: f.Cause, Where: []string{}}
	for _, w := range f.Where {
		out.Where = append(out.Where, w.ID+"="+w.Answer)
	}
	switch {
	case f.Settled:
		out.State = "settled"
	case f.Open:
		out.State = "open"
	}
	return out
}
