package diagnosis

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"filmfault/internal/inference"
)

// A log is believed with a stated trust t: every figure is the mean over the
// draws, with that weight, and over the case without its log with the rest, each
// side counting as much as it makes the evidence likely:
//
//	P(c|e) = [t mean_s P_s(c,e) + (1-t) P_0(c,e)] / [t mean_s P_s(e) + (1-t) P_0(e)]
//
// The ranking is that, draw by draw. What is told beside it (weights, worth of a
// question, stories) comes from one network whose event and faults have the
// rates of the mixture: the same but where a finding bears on one of several
// causes blamed, since it takes their faults for independent.

// drawn is the posterior in one draw and its weight.
type drawn struct {
	posterior inference.Posterior
	weight    float64
}

// mixture is every draw, and the case without its log, on one scale.
type mixture struct {
	draws []drawn
	plain *Evaluation
	none  float64 // the weight of the case without its log
	trust float64
}

// view is one side of the mixture: a network and what is known in it.
type view struct {
	net *network
	p   inference.Posterior
}

// mixLog evaluates both sides.
func (e *Evaluation) mixLog() error {
	m := &mixture{trust: 1}
	plain := e.Sheet
	plain.Computed = nil
	rival := 0.0
	for _, x := range e.net.entered {
		m.trust = min(m.trust, x.Calculation.Trust)
		if x.Reading != nil {
			rival += math.Log(x.Reading.Rival)
		}
	}
	none := math.Inf(-1)
	var err error
	m.plain, err = e.Rules.Evaluate(plain)
	var contradiction *ContradictionError
	switch {
	case err == nil:
		none = m.plain.posterior.LogEvidence + rival
	case !errors.As(err, &contradiction):
		return err
	}
	if m.draws, err = e.sweeps(); err != nil {
		return err
	}
	most := none
	for _, d := range m.draws {
		most = max(most, d.weight)
	}
	if math.IsInf(most, -1) {
		return e.contradiction()
	}
	for i := range m.draws { // logarithms until now
		m.draws[i].weight = math.Exp(m.draws[i].weight - most)
	}
	m.none = math.Exp(none - most)
	e.mixture = m
	return nil
}

// expected is the mean of a figure over the mixture; plainly that of the network
// when no calculation entered.
func (e *Evaluation) expected(of func(view) float64) float64 {
	if e.mixture == nil {
		return of(view{e.net, e.posterior})
	}
	m := e.mixture
	sum, all := 0.0, 0.0
	each := m.trust / float64(len(m.draws))
	for _, d := range m.draws {
		if d.weight > 0 {
			sum += each * d.weight * of(view{e.net, d.posterior})
			all += each * d.weight
		}
	}
	if rest := (1 - m.trust) * m.none; rest > 0 {
		sum += rest * of(view{m.plain.net, m.plain.posterior})
		all += rest
	}
	return min(1, sum/all)
}

// contributed is the probability that an event or gate of the rules contributed.
func contributedTo(id string) func(view) float64 {
	return func(v view) float64 { return v.p.Contributed[v.net.node[id]] }
}

// present is the probability that a cause holds.
func present(id string) func(view) float64 {
	return func(v view) float64 { return v.p.Event[v.net.node[id]] }
}

// unlistedOf is the probability that the unlisted cause of a gate contributed.
func unlistedOf(gate string) func(view) float64 {
	return func(v view) float64 {
		for x, g := range v.net.unlisted {
			if g == gate {
				return v.p.Contributed[x]
			}
		}
		return 0
	}
}

// sweeps evaluates every draw, on two goroutines; the weights are logarithms, and
// minus infinity for a draw in which the evidence cannot be.
func (e *Evaluation) sweeps() ([]drawn, error) {
	out := make([]drawn, len(e.net.entered[0].Chance))
	half := len(out) / 2
	first := make(chan error, 1)
	go func() { first <- e.sweepSome(out, 0, half) }()
	err := e.sweepSome(out, half, len(out))
	if other := <-first; other != nil {
		err = other
	}
	return out, err
}

func (e *Evaluation) sweepSome(out []drawn, from, to int) error {
	net, err := e.compiled.WithRates(inference.Rates{})
	if err != nil {
		return err
	}
	for s := from; s < to; s++ {
		var r inference.Rates
		weight := 0.0
		for _, x := range e.net.entered {
			rates, seen := x.rates(s)
			r.Events, r.Rate = append(r.Events, x.nodes()...), append(r.Rate, rates...)
			weight += math.Log(seen)
		}
		if err := net.SetRates(r); err != nil {
			return fmt.Errorf("draw %d: %w", s, err)
		}
		p, err := net.Evaluate(e.evidence)
		if err != nil { // a draw that cannot be carries no weight
			out[s] = drawn{weight: math.Inf(-1)}
			continue
		}
		out[s] = drawn{p, weight + p.LogEvidence}
	}
	return nil
}

// Spread is the 5th and 95th percentile of a cause's probability over the draws,
// the model trusted wholly.
type Spread struct{ Low, High float64 }

// Spreads gives the spread of every cause ranked, each draw counting as much as
// it makes the evidence likely. It is nil when no calculation entered.
func (e *Evaluation) Spreads() map[string]Spread {
	if e.mixture == nil {
		return nil
	}
	out := map[string]Spread{}
	for _, ev := range e.Rules.Base.Events {
		if s, ok := spread(e.mixture.draws, func(p inference.Posterior) float64 { return p.Contributed[e.net.node[ev.ID]] }); ok && ev.Cause && e.leads(ev.ID) {
			out[ev.ID] = s
		}
	}
	return out
}

// spread is the weighted percentiles of a figure; not ok when no draw can be.
func spread(draws []drawn, of func(inference.Posterior) float64) (Spread, bool) {
	type point struct{ v, w float64 }
	var points []point
	total := 0.0
	for _, d := range draws {
		if d.weight > 0 {
			points = append(points, point{of(d.posterior), d.weight})
			total += d.weight
		}
	}
	if total == 0 {
		return Spread{}, false
	}
	slices.SortFunc(points, func(a, b point) int { return cmp.Compare(a.v, b.v) })
	at := func(q float64) float64 {
		sum := 0.0
		for _, p := range points {
			if sum += p.w; sum >= q*total {
				return p.v
			}
		}
		return points[len(points)-1].v
	}
	return Spread{at(0.05), at(0.95)}, true
}

// Blame splits a computed event over the steps at fault: for each, the probability
// that the event contributed and was its fault, given the evidence,
//
//	t mean_s P_s(e, event contributed) share_s / (t mean_s P_s(e) + (1-t) P_0(e))
//
// shares holds, per step, its share of the event in the first draws or in all.
// Shares overlap where one step alone would have been enough, so the blames need
// not add up. Nil for a calculation that did not enter.
func (e *Evaluation) Blame(calculation string, shares [][]float64) []float64 {
	at := slices.IndexFunc(e.net.entered, func(x entered) bool { return x.Calculation.ID == calculation })
	if at < 0 {
		return nil
	}
	m, x := e.mixture, e.net.entered[at]
	out := make([]float64, len(shares))
	for k, share := range shares {
		var blamed, all float64
		for s := range share {
			if d := m.draws[s]; d.weight > 0 {
				all += d.weight
				blamed += d.weight * d.posterior.Contributed[x.event] * share[s]
			}
		}
		n := float64(len(share))
		out[k] = ratio(m.trust*blamed/n, m.trust*all/n+(1-m.trust)*m.none)
	}
	return out
}
