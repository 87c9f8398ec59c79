package implied

import (
	"math"
	"slices"

	"filmfault/internal/casefile"
	"filmfault/internal/joblog"
	"filmfault/internal/physics/moistair"
	"filmfault/internal/quantity"
	"filmfault/internal/rulebase"
	"filmfault/internal/uncertain"
)

// coldHours is how long after a coat its surface is watched for cold, in s: the
// hours in which a waterborne film fuses (common practice, no source).
const coldHours = 12 * 3600

// seldomRead is how far readings of the air may lie apart for its coldest hour to
// be among them, in s (judgement).
const seldomRead = 2 * 3600

// span is an interval in SI of what a log says.
type span struct{ low, high float64 }

// Answered is the case with the answers that its log has to questions nobody
// answered, each marked as logged. The case itself is left as it is: what nobody
// typed does not go into its file.
func (l *Log) Answered() *casefile.Case {
	out := *l.c
	out.Findings = slices.Clone(l.c.Findings)
	if l.Job == nil {
		return &out
	}
	for _, f := range l.base.Findings {
		if f.FromLog == nil {
			continue
		}
		e, ok := l.answer(f)
		if !ok {
			continue
		}
		at := slices.IndexFunc(out.Findings, func(x casefile.Entry) bool { return l.base.Current(x.ID) == f.ID })
		switch {
		case at < 0:
			out.Findings = append(out.Findings, e)
		case out.Findings[at].NotChecked:
			out.Findings[at] = e
		}
	}
	return &out
}

// answer is what the log says to one finding.
func (l *Log) answer(f rulebase.Finding) (casefile.Entry, bool) {
	s, ok := l.reads(f.FromLog.Reads)
	if !ok {
		return casefile.Entry{}, false
	}
	e := casefile.Entry{ID: f.ID, Source: "logged", Note: "read from the job log", Span: l.c.Log.Span, AnswerSpan: l.c.Log.Span}
	below := f.FromLog.Below
	switch {
	case f.Value != nil:
		e.Value = quantity.FormatRange(f.Value.Kind, s.low, s.high, l.opt.System)
	case below != nil && s.high < *below:
		e.Answer = "yes"
	case below != nil && s.low >= *below:
		e.Answer = "no"
	default:
		return casefile.Entry{}, false // the times are not known well enough
	}
	return e, true
}

// reads looks one thing up in the log; false where the log does not say it.
func (l *Log) reads(what string) (span, bool) {
	switch what {
	case rulebase.UntilSun:
		return l.until(joblog.Sun, joblog.Hang)
	case rulebase.UntilWet:
		return l.until(joblog.Wet)
	case rulebase.UntilWrapped:
		return l.until(joblog.Wrap)
	case rulebase.UntilGraphics:
		return l.until(joblog.Graphics)
	case rulebase.MostThinner:
		return l.mostThinner()
	case rulebase.ColdestSurface:
		return l.coldest()
	}
	return span{}, false
}

// until is the time from the last coat to the first of some things after it. A
// log that stops with the primer, or before what came next, does not say it.
func (l *Log) until(kinds ...joblog.Kind) (span, bool) {
	steps := l.Job.Log.Steps
	last := -1
	for i, s := range steps {
		switch s.Kind {
		case joblog.Coat:
			last = i
		case joblog.Next: // some coat may have followed, nobody says when
			return span{}, false
		}
	}
	if last < 0 || l.Job.Log.Primes(steps[last]) {
		return span{}, false
	}
	for _, s := range steps[last+1:] {
		if slices.Contains(kinds, s.Kind) {
			return between(steps[last].When, s.When), true
		}
	}
	return span{}, false
}

// between is the time from one step to another; a stretch both waited for, as
// one night before either, is no part of it.
func between(a, b joblog.When) span {
	out := span{b.Clock - a.Clock, b.Clock - a.Clock}
	in := func(list []uncertain.Input, x uncertain.Input) bool {
		return slices.ContainsFunc(list, func(y uncertain.Input) bool { return y.ID == x.ID })
	}
	for _, x := range b.Waits {
		if !in(a.Waits, x) {
			out.low, out.high = out.low+x.Low, out.high+x.High
		}
	}
	for _, x := range a.Waits {
		if !in(b.Waits, x) {
			out.low, out.high = out.low-x.High, out.high-x.Low
		}
	}
	return span{math.Max(0, out.low), math.Max(0, out.high)}
}

// mostThinner is the most that a coat of primer was thinned, as a share of the
// paint; false unless the log says it of each.
func (l *Log) mostThinner() (span, bool) {
	var out span
	any := false
	for _, s := range l.Job.Log.Steps {
		if s.Kind != joblog.Coat || !l.Job.Log.Primes(s) {
			continue
		}
		if s.Thinner.Assumed {
			return span{}, false
		}
		low, high := s.Thinner.Low, s.Thinner.High
		if s.OfMix {
			low, high = low/(1-low), high/(1-high)
		}
		out, any = span{math.Max(out.low, low), math.Max(out.high, high)}, true
	}
	return out, any
}

// coldest is the least temperature of a surface in the first hours after a coat:
// at most that of the air, and at least that of a wet bulb in it, as cold as a
// wet film under a fan can run. A few readings by hand do not say how cold the
// night between them was.
func (l *Log) coldest() (span, bool) {
	out := span{math.Inf(1), math.Inf(1)}
	for _, s := range l.Job.Log.Steps {
		if s.Kind != joblog.Coat {
			continue
		}
		from := s.When.Mid()
		before := from
		for _, x := range l.Job.Log.Air {
			if x.Time < from || before >= from+coldHours {
				continue
			}
			if x.Time-before > seldomRead {
				return span{}, false
			}
			before = x.Time
			wet, err := moistair.WetBulb(x.Temperature, x.Humidity, moistair.StandardPressure, moistair.OverWater)
			if err != nil {
				return span{}, false
			}
			out = span{math.Min(out.low, wet), math.Min(out.high, x.Temperature)}
		}
		if before < from+coldHours-seldomRead {
			return span{}, false
		}
	}
	return out, !math.IsInf(out.high, 1)
}

// fusesFrom is the surface temperature, in K, from which waterborne paint is
// commonly held to form a film: 50 F (common practice, no source; the label
// decides).
const fusesFrom = 283.15

// tellCold notes that a film was cold while it dried, which its water says
// nothing of. One reading is enough for that.
func (l *Log) tellCold() {
	least := math.Inf(1)
	for _, s := range l.Job.Log.Steps {
		for _, x := range l.Job.Log.Air {
			if from := s.When.Mid(); s.Kind == joblog.Coat && x.Time >= from && x.Time <= from+coldHours {
				least = math.Min(least, x.Temperature)
			}
		}
	}
	if least < fusesFrom {
		l.note("The air fell to %s within 12 h of a coat. Water leaves a cold film that never fuses; the figures of water say nothing of that.",
			quantity.Format(quantity.Temperature, least, l.opt.System))
	}
}
