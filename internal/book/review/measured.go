package review

import (
	"slices"

	"filmfault/internal/casefile"
	"filmfault/internal/rulebase"
)

// measured reports whether a measurement decided a verdict: for a confirmed cause
// if one is confirmed, else for one that was ruled out.
func (t *taker) measured(c *casefile.Case, confirmed bool) bool {
	state := casefile.RuledOut
	if confirmed {
		state = casefile.Confirmed
	}
	return slices.ContainsFunc(c.Verdict.Causes, func(f casefile.Finding) bool { return f.State == state && Measured(t.base, c, f) })
}

// Measured reports whether a verdict on a cause rests on a measurement. What it
// says it rests on counts only if the case holds the reading, answered and not
// merely assumed; and the reading must say what the verdict says, by the answers
// that confirm the cause in the rules. All else is opinion.
func Measured(b *rulebase.Base, c *casefile.Case, f casefile.Finding) bool {
	m, ok := b.Finding(b.Current(f.By))
	if !ok || m.Measurement == nil {
		return false
	}
	i := slices.IndexFunc(c.Findings, func(e casefile.Entry) bool { return b.Current(e.ID) == m.ID })
	if i < 0 {
		return false
	}
	read, ok := answer(m.Answers, m.Value, c.Findings[i])
	return ok && confirms(b, f.Cause, m.ID, read) == (f.State == casefile.Confirmed)
}

// confirms reports whether a reading confirms a cause by the rules.
func confirms(b *rulebase.Base, cause, by, read string) bool {
	e, _ := b.Event(b.Current(cause))
	return slices.ContainsFunc(e.Confirm, func(x rulebase.Confirmation) bool {
		return b.Current(x.Measurement) == by && slices.Contains(x.Answers, read)
	})
}
