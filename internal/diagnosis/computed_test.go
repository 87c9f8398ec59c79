package diagnosis

import (
	"math"
	"math/rand/v2"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"filmfault/internal/inference"
	"filmfault/internal/rulebase"
)

// damp is a small base: two causes that a log decides, one that it does not, and
// a rival outside. Its numbers are made up; the oracle below knows them.
const damp = `schema: 1
title: damp
conditions:
  - {id: sun, title: Sun, rate: 0.6, basis: judgement}
causes:
  - {id: soon, title: Soon, tree: t, mechanism: m, rate: 0.05, basis: judgement, repair: r, prevent: p, confirm: [{measurement: coupon, answer: "yes"}]}
  - {id: cold, title: Cold, tree: t, mechanism: m, rate: 0.08, basis: judgement, repair: r, prevent: p, confirm: [{measurement: weather, answer: "yes"}]}
  - {id: washed, title: Washed, tree: t, mechanism: m, rate: 0.03, basis: judgement, repair: r, prevent: p, confirm: [{measurement: rinse, answer: "yes"}]}
  - {id: oil, title: Oil, tree: t, mechanism: m, rate: 0.04, basis: judgement, repair: r, prevent: p, confirm: [{measurement: beads, answer: "yes"}]}
gates:
  - {id: is-damp, title: Damp, any: [{event: soon, chance: 0.8}, {event: cold, chance: 0.7}, {event: washed, chance: 0.5}]}
  - {id: lift, title: Lift, all: [is-damp, sun]}
failures:
  - {id: blister, title: Blister, question: q, any: [{event: lift, chance: 0.85}, {event: oil, chance: 0.5}], unlisted: 0.1, shows: 0.8, claimed-in-error: 0.01, make-safe: m, temporary: t, never: n}
findings:
  - {id: balls, question: q, label: l, why: w, stage: look, where: [sign], minutes: 1, damage: none, basis: judgement, rows: [{if: is-damp, say: {"yes": 0.6}}, {otherwise: {"yes": 0.1}}]}
  - {id: hours, question: q, label: l, why: w, stage: log, where: [desk], minutes: 1, damage: none, basis: judgement, rows: [{if: soon, say: {"yes": 0.7}}, {otherwise: {"yes": 0.2}}]}
  - {id: size, question: q, label: l, why: w, stage: look, where: [sign], minutes: 1, damage: none, basis: judgement, rows: [{if: is-damp, say: {"yes": 0.5}}, {otherwise: {"yes": 0.3}}]}
measurements:
  - {id: coupon, question: q, label: l, why: w, stage: cut, where: [sign], minutes: 1, damage: none, basis: judgement, method: m, decides: d, rows: [{if: soon, say: {"yes": 0.8}}, {otherwise: {"yes": 0.1}}]}
  - {id: weather, question: q, label: l, why: w, stage: cut, where: [sign], minutes: 1, damage: none, basis: judgement, method: m, decides: d, rows: [{if: cold, say: {"yes": 0.8}}, {otherwise: {"yes": 0.1}}]}
  - {id: rinse, question: q, label: l, why: w, stage: cut, where: [sign], minutes: 1, damage: none, basis: judgement, method: m, decides: d, rows: [{if: washed, say: {"yes": 0.8}}, {otherwise: {"yes": 0.1}}]}
  - {id: beads, question: q, label: l, why: w, stage: cut, where: [sign], minutes: 1, damage: none, basis: judgement, method: m, decides: d, rows: [{if: oil, say: {"yes": 0.7}}, {otherwise: {"yes": 0.1}}]}
calculations:
  - {id: too-wet, title: Too wet, computes: closing-primer, gate: is-damp, trust: 0.7, limit: {from: 1 %, to: 3 %}, blame: [{cause: soon, departures: [time]}, {cause: cold, departures: [air]}], instead-of: [hours], reading: size, basis: judgement}
`

func dampRules(t *testing.T) *Rules {
	t.Helper()
	l, err := rulebase.Load(rulebase.Layer{Name: "damp", FS: fstest.MapFS{"a.yaml": {Data: []byte(damp)}}})
	require.NoError(t, err)
	require.Empty(t, l.Diagnostics)
	r, err := Prepare(l.Base)
	require.NoError(t, err)
	return r
}

// seen is a case with a blister, balls under the paper, and no beads of water.
func seen() Sheet {
	return Sheet{
		Facts: rulebase.Facts{}, Failures: map[string]string{"blister": rulebase.StateSeen},
		Answers: []Answered{
			{Finding: "balls", Answer: "yes", Weights: inference.Certain(0, 2)},
			{Finding: "beads", Answer: "no", Weights: inference.Certain(1, 2)},
		},
	}
}

// measured is that case with findings that bear on each of the two causes a log
// decides.
func measured() Sheet {
	s := seen()
	s.Answers = append(s.Answers, Answered{Finding: "coupon", Answer: "yes", Weights: inference.Certain(0, 2)},
		Answered{Finding: "weather", Answer: "no", Weights: inference.Certain(1, 2)})
	return s
}

// branch is one side of the mixture: the probability of the evidence, and of it
// with each thing contributing.
type branch struct{ e, wet, soon, cold, washed, oil float64 }

// enumerate sums over all worlds. With p below 0 the two causes make the event as
// in the case without a log; else it has the probability p, and each cause is at
// fault for it with its share; a cause that is not is there idly, as often as it
// is over all jobs without leading on.
func enumerate(p, ofSoon, ofCold, unlisted float64) branch {
	var b branch
	bits := []float64{0.05, 0.8, 0.08, 0.7, 0.03, 0.5, 0.6, 0.04, 0.85, 0.5, unlisted}
	if p >= 0 {
		idle := func(r, c float64) float64 { return r * (1 - c) / (1 - r*c) }
		bits[0], bits[1], bits[2], bits[3] = idle(0.05, 0.8), ofSoon, idle(0.08, 0.7), ofCold
		bits = append(bits, p)
	}
	for w := range 1 << len(bits) {
		prob := 1.0
		on := func(i int) bool { return w>>i&1 == 1 }
		for i, q := range bits {
			if on(i) {
				prob *= q
			} else {
				prob *= 1 - q
			}
		}
		soon, cold := on(0) && on(1), on(2) && on(3)
		wet, early, damp := soon || cold, on(0), on(2)
		if p >= 0 {
			wet = on(11)
			soon, cold = wet && on(1), wet && on(3)
			early, damp = on(0) || soon, on(2) || cold
		}
		washed := on(4) && on(5)
		isDamp := wet || washed
		lift := isDamp && on(6) && on(8)
		oil := on(7) && on(9)
		see, balls, beads, coupon, weather := 0.01, 0.1, 0.1, 0.1, 0.1
		if lift || oil || on(10) {
			see = 0.8
		}
		if isDamp {
			balls = 0.6
		}
		if on(7) {
			beads = 0.7
		}
		if early {
			coupon = 0.8
		}
		if damp {
			weather = 0.8
		}
		prob *= see * balls * (1 - beads) * coupon * (1 - weather)
		b.e += prob
		add := func(to *float64, holds bool) {
			if holds {
				*to += prob
			}
		}
		add(&b.wet, lift && wet)
		add(&b.soon, lift && soon)
		add(&b.cold, lift && cold)
		add(&b.washed, lift && washed)
		add(&b.oil, oil)
	}
	return b
}

// unlistedRate is that of Prepare, by hand: (1-p)u = q(p+(1-p)u).
func unlistedRate() float64 {
	wet := 1 - (1-0.05*0.8)*(1-0.08*0.7)*(1-0.03*0.5)
	p := 1 - (1-wet*0.6*0.85)*(1-0.04*0.5)
	return 0.1 * p / (0.9 * (1 - p))
}

func drawnLog(r *Rules, random *rand.Rand, n int) Computed {
	c := Computed{Calculation: r.Base.Calculations[0], Without: map[string][]float64{}}
	for range n {
		p := random.Float64()
		c.Chance = append(c.Chance, p)
		c.Without["soon"] = append(c.Without["soon"], p*random.Float64())
		c.Without["cold"] = append(c.Without["cold"], p*random.Float64())
	}
	return c
}

func contributed(t *testing.T, e *Evaluation, cause string) float64 {
	t.Helper()
	for _, r := range e.Ranking() {
		if r.Cause.ID == cause {
			return r.Contributed
		}
	}
	t.Fatalf("%s is not ranked", cause)
	return 0
}

// TestALogEntersAsStated compares the ranking with the definition, summed over
// every world and every draw: (t mean_s P_s(c,e) + (1-t) P_0(c,e)) / (t mean_s
// P_s(e) + (1-t) P_0(e)).
func TestALogEntersAsStated(t *testing.T) {
	r := dampRules(t)
	random := rand.New(rand.NewPCG(1, 2))
	u := unlistedRate()
	zero := enumerate(-1, 0, 0, u)
	for range 20 {
		n := 1 + random.IntN(4)
		c := drawnLog(r, random, n)
		var want, all branch
		for s, p := range c.Chance {
			share := func(cause string) float64 { return 1 - c.Without[cause][s]/p }
			b := enumerate(p, share("soon"), share("cold"), u)
			want.wet += 0.7 * b.wet * share("soon") / float64(n)
			want.soon += 0.7 * b.soon / float64(n)
			want.cold += 0.7 * b.cold / float64(n)
			want.washed += 0.7 * b.washed / float64(n)
			want.oil += 0.7 * b.oil / float64(n)
			all.e += 0.7 * b.e / float64(n)
		}
		all.e += 0.3 * zero.e
		e, err := r.Evaluate(measured().WithComputed([]Computed{c}))
		require.NoError(t, err)
		require.InDelta(t, (want.soon+0.3*zero.soon)/all.e, contributed(t, e, "soon"), 1e-9)
		require.InDelta(t, (want.cold+0.3*zero.cold)/all.e, contributed(t, e, "cold"), 1e-9)
		require.InDelta(t, (want.washed+0.3*zero.washed)/all.e, contributed(t, e, "washed"), 1e-9)
		require.InDelta(t, (want.oil+0.3*zero.oil)/all.e, contributed(t, e, "oil"), 1e-9)
		blame := e.Blame("too-wet", [][]float64{fullShare(c, "soon"), fullShare(c, "cold")})
		require.InDelta(t, want.wet/all.e, blame[0], 1e-9, "the split of the event's blame")
	}
}

func fullShare(c Computed, cause string) []float64 {
	out := make([]float64, len(c.Chance))
	for s := range out {
		out[s] = c.share(cause, s)
	}
	return out
}

// TestALogThatSaysNothingChangesNothing gives every draw the rate that the event
// has over all jobs. (A finding on one of the causes blamed tells more about the
// others without a log than with one, which has settled whose fault it is.)
func TestALogThatSaysNothingChangesNothing(t *testing.T) {
	r := dampRules(t)
	without, err := r.Evaluate(seen())
	require.NoError(t, err)
	rate := 1 - (1-0.05*0.8)*(1-0.08*0.7)
	c := Computed{Calculation: r.Base.Calculations[0], Chance: []float64{rate, rate, rate}, Without: map[string][]float64{
		"soon": {rate - 0.04, rate - 0.04, rate - 0.04}, "cold": {rate - 0.056, rate - 0.056, rate - 0.056},
	}}
	with, err := r.Evaluate(seen().WithComputed([]Computed{c}))
	require.NoError(t, err)
	for _, cause := range []string{"soon", "cold", "washed", "oil"} {
		require.InDelta(t, contributed(t, without, cause), contributed(t, with, cause), 1e-9, cause)
	}
	nothing, err := r.Evaluate(seen().WithComputed(nil))
	require.NoError(t, err)
	require.Equal(t, without.Ranking(), nothing.Ranking())
}

// TestAveragedOverLogsTheBaseRateReturns draws logs from the model's own
// population: their chances average to the rate of the event over all jobs.
// Averaged over them, each as often as it meets the evidence, what is known
// after the log is what was known before it.
func TestAveragedOverLogsTheBaseRateReturns(t *testing.T) {
	r := dampRules(t)
	without, err := r.Evaluate(seen())
	require.NoError(t, err)
	rate := 1 - (1-0.05*0.8)*(1-0.08*0.7)
	logs := []struct{ often, chance float64 }{{0.80, 0.01}, {0.10, 0.2}}
	last := rate
	for _, l := range logs {
		last -= l.often * l.chance
	}
	logs = append(logs, struct{ often, chance float64 }{0.10, last / 0.10})
	require.LessOrEqual(t, last/0.10, 1.0)
	var evidence, washed, oil, both float64
	for _, l := range logs {
		c := Computed{Calculation: r.Base.Calculations[0], Chance: []float64{l.chance}, Without: map[string][]float64{
			"soon": {l.chance * (1 - 0.04/rate)}, "cold": {l.chance * (1 - 0.056/rate)},
		}}
		e, err := r.Evaluate(seen().WithComputed([]Computed{c}))
		require.NoError(t, err)
		w := l.often * math.Exp(e.posterior.LogEvidence)
		evidence += w
		washed += w * contributed(t, e, "washed")
		oil += w * contributed(t, e, "oil")
		both += w * (contributed(t, e, "soon") + contributed(t, e, "cold"))
	}
	require.InEpsilon(t, math.Exp(without.posterior.LogEvidence), evidence, 1e-9)
	require.InEpsilon(t, contributed(t, without, "washed"), washed/evidence, 1e-9)
	require.InEpsilon(t, contributed(t, without, "oil"), oil/evidence, 1e-9)
	require.InEpsilon(t, contributed(t, without, "soon")+contributed(t, without, "cold"), both/evidence, 1e-9)
}

// TestAReadingOfWhatWasComputed is Bayes by hand on the event alone: density .9
// under the draw that predicts it, .4 under the other, .3 under its rivals.
func TestAReadingOfWhatWasComputed(t *testing.T) {
	r := dampRules(t)
	c := Computed{Calculation: r.Base.Calculations[0], Chance: []float64{0.8, 0.4}, Without: map[string][]float64{},
		Reading: &Reading{Density: []float64{0.9, 0.4}, Rival: 0.3}}
	before := 1 - (1-0.05*0.8)*(1-0.08*0.7)
	with := 0.7*(0.8*0.9+0.4*0.4)/2 + 0.3*before*0.3
	without := 0.7*(0.2*0.3+0.6*0.3)/2 + 0.3*(1-before)*0.3
	got := c.mix(r.population(c.Calculation, mustGate(r, "is-damp"), nil))
	require.InDelta(t, with/(with+without), got[0], 1e-12)
	e, err := r.Evaluate(seen().WithComputed([]Computed{c}))
	require.NoError(t, err)
	spreads := e.Spreads()
	require.Less(t, spreads["washed"].Low, spreads["washed"].High)
}

func mustGate(r *Rules, id string) rulebase.Gate {
	g, _ := r.Base.Gate(id)
	return g
}

// TestWhatTellsTheLogAgainIsSetAside: the hours by the log are the log, and the
// size is the reading; neither is counted twice or asked for.
func TestWhatTellsTheLogAgainIsSetAside(t *testing.T) {
	r := dampRules(t)
	s := seen()
	s.Answers = append(s.Answers, Answered{Finding: "hours", Answer: "yes", Weights: inference.Certain(0, 2)},
		Answered{Finding: "size", Answer: "yes", Weights: inference.Certain(0, 2)})
	c := Computed{Calculation: r.Base.Calculations[0], Chance: []float64{0.9}}
	x := s.WithComputed([]Computed{c})
	require.Equal(t, []string{"hours"}, x.Told)
	require.Len(t, x.Answers, 3)
	c.Reading = &Reading{Density: []float64{1}, Rival: 1}
	x = s.WithComputed([]Computed{c})
	require.Equal(t, []string{"hours", "size"}, x.Told)
	e, err := r.Evaluate(seen().WithComputed([]Computed{c}))
	require.NoError(t, err)
	p, err := e.Price(nil)
	require.NoError(t, err)
	for _, q := range p.Questions {
		require.NotContains(t, []string{"hours", "size"}, q.Finding.ID)
	}
}

// TestACalculationIsOnePlayer: its pull and those of the answers sum from prior to
// posterior, and without it the first place may go to another.
func TestACalculationIsOnePlayer(t *testing.T) {
	r := dampRules(t)
	c := Computed{Calculation: r.Base.Calculations[0], Chance: []float64{0.99}, Without: map[string][]float64{"cold": {0.01}}, Shown: "clearly wet"}
	e, err := r.Evaluate(seen().WithComputed([]Computed{c}))
	require.NoError(t, err)
	accounts, err := e.Accounts([]string{"cold", "oil"})
	require.NoError(t, err)
	for _, a := range accounts {
		sum, found := math.Log(a.Prior/(1-a.Prior)), false
		for _, w := range a.Weights {
			sum += w.LogOdds
			found = found || w.Finding == "too-wet" && w.Answer == Computation && w.Shown == "clearly wet"
		}
		require.True(t, found)
		require.InDelta(t, math.Log(a.Posterior/(1-a.Posterior)), sum, 1e-9)
	}
	require.Equal(t, "cold", e.Leader().Cause.ID)
	stories, err := e.Stories()
	require.NoError(t, err)
	require.Equal(t, []string{"cold"}, stories[0].Causes, "a story names the cause that the event is the fault of")
	require.Equal(t, []string{"sun"}, stories[0].Conditions)
}
