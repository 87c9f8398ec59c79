// Package learn takes from a shop's settled cases what they say of the base rates
// of causes, and compares rankings of settled cases with one another.
//
// Every settled case failed. Counted as they are, its causes would be base rates of
// failed jobs, and a ranking that then observes the failure would count it twice.
// What is learned depends therefore on what is known beside the cases:
//
//   - With the number of jobs done, sound ones and failed ones, rates are learned.
//     The rate of a cause is a Beta distribution: as many jobs as the strength says,
//     with the written rate, and then the shop's own. A job with the cause comes in
//     only if it fails and the failure shows; the rules say on what share c of such
//     jobs, so that N jobs stand for N c that would have told. Of the cases in which
//     the cause could have been, only a share e examined it, which leaves J = N c e,
//     and at least as many as confirmed it. With k confirmed, written rate r and
//     strength n the rate becomes (n r + k) / (n + J).
//   - Without it the scale cannot be learned from failures alone, only the odds
//     between the causes of a failure. Each case that examined a cause, confirmed or
//     ruled out, is laid against the share of such cases, with these facts and
//     failures seen and absent and nothing found yet, to which the rules say the cause
//     contributed. Those shares add up to E expected where k were confirmed; the
//     share is a Beta distribution with the written rate weighing as much as above,
//     and the rate goes by (n r + k) / (n r + E). Then the rates of each failure's
//     causes are scaled together until the failure is, over all jobs, as frequent as
//     it was. A cause of several failures is learned once, from all the cases that
//     examined it, and is scaled with the failure that those cases are expected to
//     owe it most, its home. A failure of which less than half is at home follows
//     from the others, and the result says how frequent it becomes.
//
// A cause that a case did not examine counts neither way: it is taken to have been
// there as often as where it was examined, and the interval is the wider for it.
// That is too much for a cause that is examined only when it is suspected. Each cause
// is laid against the rules as written, the rates of the others included. Rows of a
// rate on facts are kept in proportion. Only settled cases teach, never invented ones;
// rates that were learned before are set aside first, or the same cases would count
// twice. Intervals are 90 %, from the 5th to the 95th percentile.
//
// Nothing is applied here: the result is a layer of rule files for its owner to read,
// to keep or to throw away. The package does no input or output. It sits on book's
// cases as packages casefile and diagnosis read them, and on inference.
package learn

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// DefaultStrength is how many jobs the written rates weigh.
const DefaultStrength = 50

// Options says what may teach, and against what it is weighed.
type Options struct {
	// Strength is how many jobs the written rates weigh; above 0.
	Strength float64
	// Jobs is how many jobs were done in the time from which the cases are, sound
	// and failed; 0 when it is not known. Months, unless nil, gives them by month
	// ("2026-04") in its place: then only the cases of jobs of those months teach.
	Jobs   int
	Months map[string]int
	// MeasuredOnly takes a cause that was judged by opinion for one not examined.
	MeasuredOnly bool
	// Before, unless nil, is called before each case is worked out; its error ends
	// the learning.
	Before func() error
}

// Learned is what the cases of a book teach.
type Learned struct {
	Options
	Counts Counts
	// Moves are the causes that were examined or whose rate moves, the largest move
	// first.
	Moves []Move
	// Totals are the failures whose frequency was held while odds were learned, and
	// those that follow; none where rates are learned from the jobs done.
	Totals []Total

	base *rulebase.Base // as written
}

// Counts are the cases of a book by what they can teach.
type Counts struct {
	Settled, Open int
	Invented      int // left out
	Sound         int // no failure seen; left out
	Outside       int // of jobs of other months than those counted, or of none that is known; left out
	// Measured and Opinion are the verdicts on causes by how they were come to.
	Measured, Opinion int
	// SetAside is how many rates in force were learned before.
	SetAside int
}

// Total is how frequent a failure is over all jobs.
type Total struct {
	Failure        rulebase.Gate
	Written, After float64
	Held           bool
}

// Move is what becomes of the rate of one cause.
type Move struct {
	Cause rulebase.Event
	Tally
	// Expected is how many cases would have confirmed the cause under the written
	// rate, among those that examined it.
	Expected float64
	// Written and After are the rate over all jobs, Low and High the 90 % interval.
	Written, After, Low, High float64
	// Share is the part of the cases that examined the cause to which it
	// contributed; the zero Share where rates are learned from the jobs done.
	Share Share
	// Rate is what to write: all rows, in proportion.
	Rate rulebase.Rate
	// Home is the failure that the rate was scaled with, "" where rates are learned
	// from the jobs done.
	Home string

	factor float64
}

// Share is a part of cases as the written rates expect it and as it was learned,
// with its 90 % interval.
type Share struct{ Written, After, Low, High float64 }

// Examined reports whether a case examined the cause; else its rate only makes
// room for others.
func (m Move) Examined() bool { return m.examined() > 0 }

// Moved reports whether the rate is another than the one written.
func (m Move) Moved() bool { return math.Abs(m.factor-1) > 1e-12 }

// Errors of From.
var (
	ErrStrength = errors.New("the written rates must weigh more than nothing: a strength above 0, such as 50")
	ErrFewJobs  = errors.New("fewer jobs than failed ones")
)

// From learns from the cases of a book under the rules in force. Errors: options
// that cannot be, rules or cases too wide to be solved exactly, rates that the
// rules cannot have.
func From(b *rulebase.Base, cases []Case, o Options) (*Learned, error) {
	if !(o.Strength > 0) {
		return nil, ErrStrength
	}
	l := &Learned{Options: o, base: b.Written()}
	if o.Months != nil {
		l.Jobs = 0
		for _, done := range o.Months {
			l.Jobs += done
		}
	}
	for _, e := range b.Events {
		if e.Learned() {
			l.Counts.SetAside++
		}
	}
	kept := l.count(cases)
	if (l.Jobs > 0 || o.Months != nil) && l.Jobs < len(kept) {
		return nil, fmt.Errorf("%w: %d jobs done, and the book holds %d with a failure seen in that time; count every job, the sound ones too", ErrFewJobs, l.Jobs, len(kept))
	}
	moves := l.begin(kept)
	var err error
	if l.Jobs > 0 {
		err = l.byJobs(moves)
	} else {
		err = l.byOdds(moves, kept)
	}
	if err != nil {
		return nil, err
	}
	l.keep(moves)
	if _, err := diagnosis.Prepare(l.Base()); err != nil {
		return nil, fmt.Errorf("the rules cannot have the rates learned: %w", err)
	}
	return l, nil
}

// count counts the cases and gives those that can teach: of failed jobs, real
// ones, open ones too since they say what was not examined.
func (l *Learned) count(cases []Case) []Case {
	var kept []Case
	for _, c := range cases {
		switch {
		case c.Invented:
			l.Counts.Invented++
			continue
		case len(c.Seen) == 0:
			l.Counts.Sound++
			continue
		case !l.inTime(c):
			l.Counts.Outside++
			continue
		case c.Settled:
			l.Counts.Settled++
		default:
			l.Counts.Open++
		}
		for _, j := range c.Judged {
			if j.Measured {
				l.Counts.Measured++
			} else {
				l.Counts.Opinion++
			}
		}
		kept = append(kept, c)
	}
	return kept
}

// inTime reports whether a case is of a job that is among those counted.
func (l *Learned) inTime(c Case) bool {
	_, counted := l.Months[c.Month]
	return l.Months == nil || counted
}

// begin is a move for every cause, with nothing moved yet.
func (l *Learned) begin(kept []Case) []*Move {
	var out []*Move
	for _, e := range l.base.Events {
		if !e.Cause {
			continue
		}
		r := e.Rate.For(rulebase.Facts{})
		out = append(out, &Move{
			Cause: e, Tally: l.tally(e.ID, kept),
			Written: r, After: r, Low: r, High: r, Rate: e.Rate, factor: 1,
		})
	}
	return out
}

// mostRate is the largest rate that is written: one of 1 would say that every
// job has the cause.
const mostRate = 0.99

// scale multiplies the rate, all its rows in proportion; figures gives each as it
// is to be written.
func (m *Move) scale(factor float64, figure func(float64) float64) {
	m.factor = factor
	m.Rate = slices.Clone(m.Cause.Rate)
	for i := range m.Rate {
		m.Rate[i].Rate = min(mostRate, figure(m.Rate[i].Rate*factor))
	}
	m.After = m.Rate.For(rulebase.Facts{})
}

// keep keeps the moves that tell something, in order.
func (l *Learned) keep(moves []*Move) {
	for _, m := range moves {
		if m.Examined() || m.Moved() {
			l.Moves = append(l.Moves, *m)
		}
	}
	size := func(m Move) float64 { return math.Round(1e9 * math.Abs(math.Log(m.factor))) }
	slices.SortStableFunc(l.Moves, func(a, b Move) int {
		return cmp.Or(cmp.Compare(size(b), size(a)), cmp.Compare(a.Cause.ID, b.Cause.ID))
	})
}

// Base is the base as written with the learned rates in it.
func (l *Learned) Base() *rulebase.Base {
	rates := map[string]rulebase.Rate{}
	for _, m := range l.Moves {
		if m.Moved() {
			rates[m.Cause.ID] = m.Rate
		}
	}
	return l.base.WithRates(rates)
}

// Written is the base the cases were laid against: the rules in force without
// rates learned before.
func (l *Learned) Written() *rulebase.Base { return l.base }
