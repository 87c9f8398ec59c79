package learn

import (
	"fmt"
	"strings"
)

// Notes says in sentences what taught, how, and what to think of it.
func (l *Learned) Notes() []string {
	out := []string{l.selection()}
	if l.Counts.Settled == 0 {
		return append(out, "No settled case teaches, so all rates stay as written.")
	}
	out = append(out, l.verdicts(), l.method())
	if n := l.Counts.SetAside; n > 0 {
		out = append(out, fmt.Sprintf("Rates that were learned before, %d of them, are set aside and learned anew from what stands below them: the same cases must not count twice.", n))
	}
	out = append(out, "A cause that a case did not examine counts neither way, and is taken to have been there as often as where it was examined: "+
		"too often, if it is examined only when suspected. Write what was ruled out into every verdict.")
	return append(out, l.totals()...)
}

func (l *Learned) selection() string {
	c := l.Counts
	s := fmt.Sprintf("Only settled cases of failed jobs teach: %d of %d.", c.Settled, c.Settled+c.Open)
	var left []string
	if c.Invented > 0 {
		left = append(left, fmt.Sprintf("%d invented", c.Invented))
	}
	if c.Sound > 0 {
		left = append(left, fmt.Sprintf("%d without a failure seen", c.Sound))
	}
	if c.Outside > 0 {
		left = append(left, fmt.Sprintf("%d of jobs outside the months counted or of no known month", c.Outside))
	}
	if len(left) > 0 {
		s += " Left out: " + strings.Join(left, ", ") + "."
	}
	return s
}

func (l *Learned) verdicts() string {
	c := l.Counts
	s := fmt.Sprintf("Verdicts on causes: %d by a measurement, %d by opinion", c.Measured, c.Opinion)
	switch {
	case c.Opinion == 0:
		return s + "."
	case l.MeasuredOnly:
		return s + "; those by opinion were taken for not examined."
	}
	return s + "; --measured-only leaves those by opinion out."
}

func (l *Learned) method() string {
	if l.Jobs > 0 {
		return fmt.Sprintf("With %d jobs done, rates over all jobs are learned. A job with a cause comes in only if it fails and the failure shows; "+
			"on how many it does is taken from the rules. Jobs that are too new to have failed should not be counted yet.", l.Jobs)
	}
	return "Failures alone do not tell how often a cause is there. Without the number of jobs done, only the odds between the causes of each failure are learned, " +
		"and how frequent the failure is stays as written."
}

// totals tells of failures that could not be held.
func (l *Learned) totals() []string {
	var moved []string
	for _, t := range l.Totals {
		if !t.Held {
			moved = append(moved, fmt.Sprintf("%s from %s to %s", t.Failure.ID, Figure(t.Written), Figure(t.After)))
		}
	}
	if len(moved) == 0 {
		return nil
	}
	return []string{"Failures that share causes with those learned, and follow: " + strings.Join(moved, ", ") + "."}
}
