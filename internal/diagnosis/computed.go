package diagnosis

import (
	"slices"

	"filmfault/internal/rulebase"
)

// Computed is what a calculation found of one case's log, draw by draw of its
// uncertain inputs: an event that stands for the causes it blames.
type Computed struct {
	Calculation rulebase.Calculation
	// Chance is, per draw, the probability of the event, the spread of its limit
	// taken in.
	Chance []float64
	// Without is, per cause blamed, the same with the departures of that cause
	// undone, for the first draws or for all. A cause that is not there departed
	// from nothing.
	Without map[string][]float64
	// Reading is a measurement of what was computed, or nil.
	Reading *Reading
	// Shown is the finding in words, for the account of weights.
	Shown string
}

// Reading is how well a measurement fits: its density under each draw if the
// event holds, and if something else is at work, in the same unit.
type Reading struct {
	Density []float64
	Rival   float64
}

// share is how much of the event in a draw is a cause's fault: what undoing its
// departures undoes, and for the cause that answers for the rest, what undoing
// those of no other cause would.
func (c Computed) share(cause string, draw int) float64 {
	own := c.undone(cause, draw)
	var standing, others float64 // the two are of different water
	answers := false
	for _, b := range c.Calculation.Blame {
		switch {
		case b.Cause == cause:
			answers = b.Otherwise
		case b.OfStanding():
			standing = max(standing, c.undone(b.Cause, draw))
		default:
			others = max(others, c.undone(b.Cause, draw))
		}
	}
	if answers {
		return max(own, 1-standing-others)
	}
	return own
}

// undone is the part of the event's probability in a draw that would not be
// without a cause's departures. Draws beyond those replayed have the mean over
// those that were.
func (c Computed) undone(cause string, draw int) float64 {
	without := c.Without[cause]
	if draw < len(without) {
		if c.Chance[draw] <= 0 {
			return 0
		}
		return min(1, max(0, 1-without[draw]/c.Chance[draw]))
	}
	all, blamed := 0.0, 0.0
	for s := range without {
		all += c.Chance[s]
		blamed += max(0, c.Chance[s]-without[s])
	}
	if all == 0 {
		return 0
	}
	return min(1, blamed/all)
}

// seen is the probability of the reading with the event, and without it, in one
// draw.
func (c Computed) seen(draw int) (with, without float64) {
	with, without = c.Chance[draw], 1-c.Chance[draw]
	if c.Reading != nil {
		with *= c.Reading.Density[draw]
		without *= c.Reading.Rival
	}
	return with, without
}

// tells reports whether a finding would tell the log, or the reading, again.
func (s Sheet) tells(finding string) bool {
	for _, c := range s.Computed {
		again := c.Reading != nil && c.Calculation.Reading.ID == finding
		if again || slices.ContainsFunc(c.Calculation.InsteadOf, func(r rulebase.Ref) bool { return r.ID == finding }) {
			return true
		}
	}
	return false
}

// WithComputed is the sheet with calculations in force, in place of any before.
// Findings that tell the same log are set aside.
func (s Sheet) WithComputed(list []Computed) Sheet {
	s.Computed = list
	all := slices.Concat(s.Answers, s.told)
	s.Answers, s.told, s.Told = nil, nil, nil
	for _, a := range all {
		if s.tells(a.Finding) {
			s.told, s.Told = append(s.told, a), append(s.Told, a.Finding)
		} else {
			s.Answers = append(s.Answers, a)
		}
	}
	return s
}
