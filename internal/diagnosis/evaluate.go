package diagnosis

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"filmfault/internal/inference"
	"filmfault/internal/rulebase"
)

// Evaluation is the exact state of belief for one sheet. It may be asked many
// things; each is worked out when asked. It belongs to one goroutine.
type Evaluation struct {
	Rules *Rules
	Sheet Sheet
	Seen  []string // failures seen, base order

	net       *network
	compiled  *inference.Network
	evidence  inference.Evidence
	players   []player
	posterior inference.Posterior
	ranking   []Ranked // worked out when first asked for
	mixture   *mixture // nil when no calculation entered
}

// player is one piece of evidence: its place in Use.Evidence is its index.
type player struct {
	id, answer, shown string
	failure           bool
	seen              bool
}

// ContradictionError names answers that cannot all be true together.
type ContradictionError struct{ Findings []string }

func (e *ContradictionError) Error() string {
	return "these answers cannot all be true: " + rulebase.List(e.Findings)
}

// Evaluate works a sheet out. It fails with ErrNothingSeen, a
// *ContradictionError, or an error wrapping bdd.ErrTooWide.
func (r *Rules) Evaluate(s Sheet) (*Evaluation, error) {
	e := &Evaluation{Rules: r, Sheet: s, Seen: s.Seen(r.Base)}
	if len(e.Seen) == 0 {
		return nil, ErrNothingSeen
	}
	e.net = r.structure(s.Facts, "", s.Computed)
	use := inference.Use{Causes: e.net.causes}
	for _, f := range e.Seen {
		use.Seen = append(use.Seen, e.net.node[f])
	}
	e.addEvidence(&use)
	use.Open = e.addOpen()
	var err error
	if e.compiled, err = e.net.model.Compile(use); err != nil {
		return nil, err
	}
	e.posterior, err = e.compiled.Evaluate(e.evidence)
	if errors.Is(err, inference.ErrContradiction) {
		return nil, e.contradiction()
	}
	if err == nil && len(e.net.entered) > 0 {
		err = e.mixLog()
	}
	return e, err
}

func (e *Evaluation) addEvidence(use *inference.Use) {
	b := e.Rules.Base
	for _, g := range b.Failures() {
		state, looked := e.Sheet.Failures[g.ID]
		if !looked {
			continue
		}
		e.net.addFailure(g)
		use.Evidence = append(use.Evidence, e.net.failure[g.ID])
		seen := state == rulebase.StateSeen
		answer := 1
		if seen {
			answer = 0
		}
		weights := inference.Certain(answer, 2)
		if c, doubtful := e.Sheet.Doubt[g.ID]; doubtful {
			weights = inference.Held(answer, 2, c)
		}
		e.evidence = append(e.evidence, weights)
		e.players = append(e.players, player{id: g.ID, answer: state, shown: state, failure: true, seen: seen})
	}
	for _, a := range e.Sheet.Answers {
		f, _ := b.Finding(a.Finding)
		e.net.addFinding(f, e.Sheet.Facts)
		use.Evidence = append(use.Evidence, e.net.finding[f.ID])
		e.evidence = append(e.evidence, a.Weights)
		e.players = append(e.players, player{id: f.ID, answer: a.Answer, shown: a.Shown})
	}
}

// addOpen adds the findings not yet answered that may still be asked.
func (e *Evaluation) addOpen() []int {
	var open []int
	for _, f := range e.Rules.Base.Findings {
		if _, answered := e.net.finding[f.ID]; answered || !e.Askable(f) || e.Sheet.tells(f.ID) {
			continue
		}
		e.net.addFinding(f, e.Sheet.Facts)
		open = append(open, e.net.finding[f.ID])
	}
	return open
}

// Askable reports whether a question makes sense in this case: every failure
// it needs was seen, no fact it needs is known to be otherwise, and a fact
// of safety that it needs is known to be so: not having looked for wiring is no
// leave to wet the sign.
func (e *Evaluation) Askable(f rulebase.Finding) bool {
	for _, n := range f.Needs {
		if g, ok := e.Rules.Base.Gate(n.ID); ok && g.Failure != nil && !n.Met(e.Sheet.Failures) {
			return false
		}
		if fact, ok := e.Rules.Base.Fact(n.ID); ok && fact.Stage == rulebase.StageSafety && !n.Met(e.Sheet.Facts) {
			return false
		}
	}
	seen := func(id string) bool { return e.Sheet.Failures[id] == rulebase.StateSeen }
	if len(f.NeedsAny) > 0 && !slices.ContainsFunc(f.NeedsAny, seen) {
		return false
	}
	return Applies(f, e.Sheet) != No
}

// contradiction finds a smallest set of answers that cannot all be true: each
// is left out in turn for as long as the rest still contradict.
func (e *Evaluation) contradiction() error {
	keep := slices.Clone(e.evidence)
	var names []string
	for i := range keep {
		held := keep[i]
		keep[i] = nil
		if _, err := e.compiled.Evaluate(keep); !errors.Is(err, inference.ErrContradiction) {
			keep[i] = held
			names = append(names, fmt.Sprintf("%s (%s)", e.players[i].id, e.players[i].answer))
		}
	}
	return &ContradictionError{names}
}

// Ranked is one cause of the ranking.
type Ranked struct {
	Cause       rulebase.Event
	Contributed float64 // it holds, and gates that hold join it to a failure seen
	Present     float64 // it holds
}

// Unlisted is a cause that the rules do not list.
type Unlisted struct {
	Gate, Failure string // the gate it belongs to, and the failure above it
	Contributed   float64
}

// Ranking lists every cause that leads to a failure seen, the likeliest to
// have contributed first; equals (to 1e-9) by id.
//
// The list is shared and not to be changed.
func (e *Evaluation) Ranking() []Ranked {
	if e.ranking == nil {
		e.ranking = e.rank()
	}
	return e.ranking
}

func (e *Evaluation) rank() []Ranked {
	var out []Ranked
	for _, ev := range e.Rules.Base.Events {
		if ev.Cause && e.leads(ev.ID) {
			out = append(out, Ranked{ev, e.expected(contributedTo(ev.ID)), e.expected(present(ev.ID))})
		}
	}
	slices.SortStableFunc(out, func(a, b Ranked) int {
		if c := descending(a.Contributed, b.Contributed); c != 0 {
			return c
		}
		return cmp.Compare(a.Cause.ID, b.Cause.ID)
	})
	return out
}

// leads reports whether an event leads to a failure seen.
func (e *Evaluation) leads(id string) bool {
	return slices.ContainsFunc(e.Rules.Base.Trees(id), func(t string) bool { return slices.Contains(e.Seen, t) })
}

// descending orders on values rounded to 1e-9, so that noise never decides.
func descending(a, b float64) int {
	return cmp.Compare(math.Round(b*1e9), math.Round(a*1e9))
}

// Unlisted lists the unlisted causes of the failures seen, likeliest first.
func (e *Evaluation) Unlisted() []Unlisted {
	var out []Unlisted
	for _, gate := range e.net.unlisted {
		for _, t := range e.Rules.Base.Trees(gate) {
			if slices.Contains(e.Seen, t) {
				out = append(out, Unlisted{gate, t, e.expected(unlistedOf(gate))})
				break
			}
		}
	}
	slices.SortFunc(out, func(a, b Unlisted) int {
		if c := descending(a.Contributed, b.Contributed); c != 0 {
			return c
		}
		return cmp.Compare(a.Gate, b.Gate)
	})
	return out
}

// Common is a gate through which several of the first causes work, likelier by
// far than any of them: what is known before they can be told apart.
type Common struct {
	Gate        rulebase.Gate
	Contributed float64
	Causes      []string // of the first causes, those that feed it
}

// The first causes looked at, how many of them must share a gate, and by how
// much the gate must be likelier than the leader.
const (
	firstCauses  = 5
	sharedBy     = 2
	likelierThan = 0.1
)

// Common lists the gates that the first causes share, the likeliest first.
func (e *Evaluation) Common() []Common {
	ranking := e.Ranking()
	first := ranking[:min(firstCauses, len(ranking))]
	var out []Common
	for _, g := range e.Rules.Base.Gates {
		c := Common{Gate: g, Contributed: e.expected(contributedTo(g.ID))}
		if g.Failure != nil || c.Contributed < first[0].Contributed+likelierThan {
			continue
		}
		for _, r := range first {
			if slices.ContainsFunc(g.Inputs, func(in rulebase.Input) bool { return in.ID == r.Cause.ID }) {
				c.Causes = append(c.Causes, r.Cause.ID)
			}
		}
		if len(c.Causes) >= sharedBy {
			out = append(out, c)
		}
	}
	slices.SortStableFunc(out, func(a, b Common) int { return descending(a.Contributed, b.Contributed) })
	return out
}

// Size is the number of nodes of the diagram that is swept.
func (e *Evaluation) Size() int { return e.compiled.Size() }

// Leader is the likeliest cause.
func (e *Evaluation) Leader() Ranked { return e.Ranking()[0] }
