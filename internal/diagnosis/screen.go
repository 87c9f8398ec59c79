package diagnosis

import (
	"cmp"
	"math/rand/v2"
	"slices"

	"filmfault/internal/inference"
	"filmfault/internal/rulebase"
)

// Pricing every open question exactly takes time in proportion to the size of
// the diagram. Where that would keep a person waiting, cases drawn from the
// exact posterior screen the questions first, and only the most promising are
// then priced exactly. What is shown is always exact.
const (
	exactCost    = 250_000 // diagram nodes times questions priced without screening
	screenWorlds = 1500
	screenKeep   = 14
	// roughlyMoves is the estimated probability of changing the leader from which
	// a question keeps the interview going: twice what the exact rule asks for,
	// since drawn cases scatter.
	roughlyMoves = 2 * negligible
	// outOfReach is how far below the leader a cause must lie for no pair of
	// answers to lift it past: a judgement is worth at most a factor of 20.
	outOfReach = 400
)

// screen lists the findings worth pricing exactly: the best per minute, and
// those likeliest to change the leader.
func (e *Evaluation) screen(open []rulebase.Finding, at aim) ([]rulebase.Finding, error) {
	if e.compiled.Size()*len(open) <= exactCost {
		return open, nil
	}
	rough, err := e.rough(open, at.counted)
	if err != nil {
		return nil, err
	}
	return promising(rough), nil
}

// anyMoves reports whether drawn cases show a question, among all that are
// open, that may well put another cause first: any cause, not only those priced.
func (e *Evaluation) anyMoves(open []rulebase.Finding) (bool, error) {
	rough, err := e.rough(open, 0)
	for _, q := range rough {
		if q.ChangesLeader > roughlyMoves {
			return true, err
		}
	}
	return false, err
}

// rough prices questions on cases drawn from the exact posterior, against every
// cause within reach of the first place; the first counted make up the worth.
func (e *Evaluation) rough(open []rulebase.Finding, counted int) ([]Question, error) {
	worlds, err := e.compiled.Worlds(e.evidence, screenWorlds, rand.New(rand.NewPCG(inference.Seed, screenWorlds)))
	if err != nil {
		return nil, err
	}
	ranking := e.Ranking()
	var held [][]bool // per cause and world
	for _, r := range ranking {
		if r.Contributed < ranking[0].Contributed/outOfReach {
			break
		}
		in := make([]bool, len(worlds))
		for k, w := range worlds {
			in[k] = w.Contributed[e.net.node[r.Cause.ID]]
		}
		held = append(held, in)
	}
	out := make([]Question, len(open))
	for i, f := range open {
		out[i] = question(f, e.roughTable(f, worlds, held), min(counted, len(held)))
	}
	return out, nil
}

// roughTable estimates a finding's table from drawn cases.
func (e *Evaluation) roughTable(f rulebase.Finding, worlds []inference.World, held [][]bool) inference.Table {
	x := e.net.model.FindingAt(e.net.finding[f.ID])
	t := inference.Table{Answer: make([]float64, x.Answers()), With: make([][]float64, len(held))}
	for i := range t.With {
		t.With[i] = make([]float64, x.Answers())
	}
	share := 1 / float64(len(worlds))
	for k, w := range worlds {
		for a, p := range x.Given(w.Holds) {
			t.Answer[a] += p * share
			for i := range held {
				if held[i][k] {
					t.With[i][a] += p * share
				}
			}
		}
	}
	return t
}

// promising keeps the best by worth per minute and the best by their chance of
// changing the leader, in the order of the rules.
func promising(rough []Question) []rulebase.Finding {
	keep := map[string]bool{}
	for _, by := range []func(Question) float64{
		func(q Question) float64 { return q.PerMinute },
		func(q Question) float64 { return q.ChangesLeader },
	} {
		sorted := slices.Clone(rough)
		slices.SortStableFunc(sorted, func(a, b Question) int { return cmp.Compare(by(b), by(a)) })
		for _, q := range sorted[:min(screenKeep/2, len(sorted))] {
			keep[q.Finding.ID] = true
		}
	}
	var out []rulebase.Finding
	for _, q := range rough {
		if keep[q.Finding.ID] {
			out = append(out, q.Finding)
		}
	}
	return out
}
