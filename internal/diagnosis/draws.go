package diagnosis

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"filmfault/internal/inference"
)

// Spread is the 5th and 95th percentile of a cause's probability over the draws,
// the model trusted wholly.
type Spread struct{ Low, High float64 }

// Spreads gives the spread of every node, one sweep per draw, each draw counting
// as much as it makes the evidence likely. It is nil when no calculation entered.
func (e *Evaluation) Spreads() (map[string]Spread, error) {
	if len(e.net.entered) == 0 {
		return nil, nil
	}
	if e.spreads != nil {
		return e.spreads, nil
	}
	draws, err := e.sweeps()
	if err != nil {
		return nil, err
	}
	e.spreads = map[string]Spread{}
	for _, ev := range e.Rules.Base.Events {
		if ev.Cause && e.leads(ev.ID) {
			e.spreads[ev.ID] = spread(draws, func(p inference.Posterior) float64 { return p.Contributed[e.net.node[ev.ID]] })
		}
	}
	return e.spreads, nil
}

// Blame splits a computed event over the steps at fault: for each, the probability
// that the event contributed and was its fault, given the evidence,
//
//	t mean_s P_s(e, event contributed) share_s / (t mean_s P_s(e) + (1-t) P_0(e))
//
// with P_0 the case without its log and t the trust in the model. shares holds,
// per step, its share of the event in the first draws or in all. Shares overlap
// where one step alone would have been enough, so the blames need not add up.
// Nil for a calculation that did not enter.
func (e *Evaluation) Blame(calculation string, shares [][]float64) ([]float64, error) {
	at := slices.IndexFunc(e.net.entered, func(x entered) bool { return x.Calculation.ID == calculation })
	if at < 0 {
		return nil, nil
	}
	x := e.net.entered[at]
	draws, none, err := e.weighedDraws()
	if err != nil {
		return nil, err
	}
	trust := x.Calculation.Trust
	out := make([]float64, len(shares))
	for k, share := range shares {
		var blamed, all float64
		for s := range share {
			all += draws[s].weight
			if draws[s].weight > 0 {
				blamed += draws[s].weight * draws[s].posterior.Contributed[x.event] * share[s]
			}
		}
		n := float64(len(share))
		out[k] = ratio(trust*blamed/n, trust*all/n+(1-trust)*none)
	}
	return out, nil
}

// weighedDraws is every draw with the probability of the evidence in it, and that
// in the case without its log, on one scale.
func (e *Evaluation) weighedDraws() ([]drawn, float64, error) {
	draws, most, err := e.sweepsWithScale()
	if err != nil {
		return nil, 0, err
	}
	var r inference.Rates
	rival := 0.0
	for _, x := range e.net.entered {
		r.Events, r.Rate = append(r.Events, x.nodes()...), append(r.Rate, x.before...)
		if x.Reading != nil {
			rival += math.Log(x.Reading.Rival)
		}
	}
	net, err := e.compiled.WithRates(r)
	if err != nil {
		return nil, 0, err
	}
	l, err := net.LogEvidence(e.evidence)
	if err != nil {
		return draws, 0, nil // the case cannot be without its log
	}
	return draws, math.Exp(l + rival - most), nil
}

// drawn is the posterior in one draw and its weight.
type drawn struct {
	posterior inference.Posterior
	weight    float64
}

// sweeps evaluates every draw, on two goroutines.
func (e *Evaluation) sweeps() ([]drawn, error) {
	out, _, err := e.sweepsWithScale()
	return out, err
}

// sweepsWithScale is sweeps with the logarithm of what was divided out of the
// weights.
func (e *Evaluation) sweepsWithScale() ([]drawn, float64, error) {
	out := make([]drawn, len(e.net.entered[0].Chance))
	half := len(out) / 2
	first := make(chan error, 1)
	go func() { first <- e.sweepSome(out, 0, half) }()
	err := e.sweepSome(out, half, len(out))
	if other := <-first; other != nil {
		err = other
	}
	most := math.Inf(-1)
	for _, d := range out {
		most = max(most, d.weight)
	}
	for i := range out { // logarithms until now
		out[i].weight = math.Exp(out[i].weight - most)
	}
	return out, most, err
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

// spread is the weighted percentiles of a figure.
func spread(draws []drawn, of func(inference.Posterior) float64) Spread {
	type point struct{ v, w float64 }
	var points []point
	total := 0.0
	for _, d := range draws {
		if d.weight > 0 {
			points = append(points, point{of(d.posterior), d.weight})
			total += d.weight
		}
	}
	slices.SortFunc(points, func(a, b point) int { return cmp.Compare(a.v, b.v) })
	at := func(q float64) float64 {
		sum := 0.0
		for _, p := range points {
			if sum += p.w; sum >= q*total {
				return p.v
			}
		}
		return 0
	}
	return Spread{at(0.05), at(0.95)}
}
