package learn

import (
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// What is learned is held here to casebooks drawn from known rates. The jobs are
// drawn by hand, event by event, and not by the engine that the learning uses.

func sortJudged(list []Judged) {
	slices.SortFunc(list, func(a, b Judged) int {
		if a.Cause < b.Cause {
			return -1
		}
		return 1
	})
}

// jobs draws jobs from rates that are known.
type jobs struct {
	*rand.Rand
	base     *rulebase.Base
	unlisted map[string]float64 // failure -> rate of its unlisted cause
	settled  float64            // share of cases that are settled
	examined float64            // share of the causes examined in a settled case
}

// draw is one job; ok when it came in as a case.
func (j *jobs) draw() (Case, bool) {
	holds, led := map[string]bool{}, map[string][]string{}
	for _, e := range j.base.Events {
		holds[e.ID] = j.Float64() < e.Rate.For(rulebase.Facts{})
	}
	var seen []string
	contributed := map[string]bool{}
	for _, g := range j.base.Gates {
		for _, in := range g.Inputs {
			if holds[in.ID] && j.Float64() < in.Chance {
				led[g.ID] = append(led[g.ID], in.ID)
			}
		}
		holds[g.ID] = len(led[g.ID]) >= g.Need() || j.Float64() < j.unlisted[g.ID]
		if len(led[g.ID]) < g.Need() {
			led[g.ID] = nil // what the gate did not need did nothing
		}
		if g.Failure == nil {
			continue
		}
		switch shown := j.Float64(); {
		case holds[g.ID] && shown < g.Failure.Shows:
			seen = append(seen, g.ID)
			trace(g.ID, led, contributed)
		case !holds[g.ID] && shown < g.Failure.ClaimedInError:
			seen = append(seen, g.ID)
		}
	}
	c := Case{ID: "drawn", Seen: seen, Settled: j.Float64() < j.settled}
	for _, g := range j.base.Failures() {
		if !slices.Contains(seen, g.ID) {
			c.Absent = append(c.Absent, g.ID)
		}
	}
	for _, e := range j.base.Events {
		if c.Settled && e.Cause && slices.ContainsFunc(j.base.Trees(e.ID), func(f string) bool { return slices.Contains(seen, f) }) && j.Float64() < j.examined {
			c.Judged = append(c.Judged, Judged{Cause: e.ID, Confirmed: contributed[e.ID]})
		}
	}
	sortJudged(c.Judged)
	return c, len(seen) > 0
}

func trace(id string, led map[string][]string, contributed map[string]bool) {
	for _, in := range led[id] {
		contributed[in] = true
		trace(in, led, contributed)
	}
}

// world is a base with rates drawn from what the written ones weigh: the rate of
// each cause is the true one of a shop.
func world(b *rulebase.Base, strength float64, random *rand.Rand) *rulebase.Base {
	rates := map[string]rulebase.Rate{}
	for _, e := range b.Events {
		if r := e.Rate.For(rulebase.Facts{}); e.Cause {
			rates[e.ID] = rulebase.Rate{{Rate: beta(strength*r, strength*(1-r), random)}}
		}
	}
	return b.WithRates(rates)
}

// beta draws from a Beta distribution, as a share of two Gamma draws.
func beta(a, b float64, random *rand.Rand) float64 {
	x, y := gamma(a, random), gamma(b, random)
	return x / (x + y)
}

// gamma draws from a Gamma distribution after Marsaglia and Tsang (2000), "A
// simple method for generating gamma variables".
func gamma(shape float64, random *rand.Rand) float64 {
	if shape < 1 {
		return gamma(shape+1, random) * math.Pow(random.Float64(), 1/shape)
	}
	d := shape - 1.0/3
	c := 1 / math.Sqrt(9*d)
	for {
		x := random.NormFloat64()
		v := math.Pow(1+c*x, 3)
		if v > 0 && math.Log(random.Float64()) < x*x/2+d-d*v+d*math.Log(v) {
			return d * v
		}
	}
}

// drawJobs is the drawing of jobs in a world.
func drawJobs(t testing.TB, w *rulebase.Base, random *rand.Rand) *jobs {
	t.Helper()
	total, err := newModel(w).totals()
	require.NoError(t, err)
	there, err := total.of(newModel(w).rates())
	require.NoError(t, err)
	j := &jobs{Rand: random, base: w, unlisted: map[string]float64{}, settled: 1, examined: 1}
	for _, g := range w.Failures() {
		p := there[g.ID] * (1 - g.Unlisted)
		j.unlisted[g.ID] = g.Unlisted * p / ((1 - g.Unlisted) * (1 - p))
	}
	return j
}

// cases draws so many jobs and keeps what came in.
func (j *jobs) cases(n int) []Case {
	var out []Case
	for range n {
		if c, ok := j.draw(); ok {
			out = append(out, c)
		}
	}
	return out
}

// coverage counts how often intervals held the truth.
type coverage struct{ held, all map[string]int }

func newCoverage() coverage { return coverage{map[string]int{}, map[string]int{}} }

func (c coverage) add(cause string, low, high, truth float64) {
	c.all[cause]++
	if low <= truth && truth <= high {
		c.held[cause]++
	}
}

// require wants the shares of intervals that held within three standard errors of
// 90 %, or above where the interval is meant to be wider.
func (c coverage) require(t *testing.T, wider float64) {
	t.Helper()
	require.NotEmpty(t, c.all)
	for _, cause := range slices.Sorted(maps.Keys(c.all)) {
		n := c.all[cause]
		require.GreaterOrEqual(t, n, 200, cause)
		share, slack := float64(c.held[cause])/float64(n), 3*math.Sqrt(0.9*0.1/float64(n))
		t.Logf("%s: %d of %d, %.3f", cause, c.held[cause], n, share)
		require.GreaterOrEqual(t, share, 0.9-slack, cause)
		require.LessOrEqual(t, share, 0.9+slack+wider, cause)
	}
}

const casebooks = 300

// TestRatesCoverTheTruth: with the jobs counted, the 90 % interval of a rate holds
// the true rate in 90 % of casebooks, though only a part of the jobs with a cause
// fails, shows, and comes in.
func TestRatesCoverTheTruth(t *testing.T) {
	b, random, c := base(t, smallRules), rand.New(rand.NewPCG(11, 0)), newCoverage()
	for range casebooks {
		w := world(b, DefaultStrength, random)
		l, err := From(b, drawJobs(t, w, random).cases(400), Options{Strength: DefaultStrength, Jobs: 400})
		require.NoError(t, err)
		for _, m := range l.Moves {
			truth, _ := w.Event(m.Cause.ID)
			c.add(m.Cause.ID, m.Low, m.High, truth.Rate.For(nil))
		}
	}
	c.require(t, 0)
}

// TestPartlyExamined: where cases stay open and causes unexamined, the interval
// still holds the truth at least as often; it is wider.
func TestPartlyExamined(t *testing.T) {
	b, random, c := base(t, smallRules), rand.New(rand.NewPCG(12, 0)), newCoverage()
	widths, full := 0.0, 0.0
	for range casebooks {
		w := world(b, DefaultStrength, random)
		j := drawJobs(t, w, random)
		all := j.cases(400)
		part := slices.Clone(all)
		for i := range part {
			part[i].Settled = random.Float64() < 0.8
			part[i].Judged = slices.DeleteFunc(slices.Clone(all[i].Judged), func(Judged) bool { return !part[i].Settled || random.Float64() < 0.4 })
		}
		whole, err := From(b, all, Options{Strength: DefaultStrength, Jobs: 400})
		require.NoError(t, err)
		l, err := From(b, part, Options{Strength: DefaultStrength, Jobs: 400})
		require.NoError(t, err)
		for _, m := range l.Moves {
			truth, _ := w.Event(m.Cause.ID)
			c.add(m.Cause.ID, m.Low, m.High, truth.Rate.For(nil))
			widths += m.High - m.Low
			o := moveOf(t, whole, m.Cause.ID)
			full += o.High - o.Low
		}
	}
	require.Greater(t, widths, 1.1*full)
	c.require(t, 0.05)
}

// TestOddsCoverTheTruth: without jobs, the interval of a cause's share among the
// cases holds the true share in 90 % of casebooks.
func TestOddsCoverTheTruth(t *testing.T) {
	b, random, c := base(t, singleRules), rand.New(rand.NewPCG(13, 0)), newCoverage()
	for range casebooks {
		w := world(b, DefaultStrength, random)
		l, err := From(b, drawJobs(t, w, random).cases(400), Options{Strength: DefaultStrength})
		require.NoError(t, err)
		r, err := diagnosis.Prepare(w)
		require.NoError(t, err)
		truth, err := priors{rules: r, of: map[string]map[string]float64{}}.contributions([]string{"peeling"}, nil, nil)
		require.NoError(t, err)
		for _, m := range l.Moves {
			c.add(m.Cause.ID, m.Share.Low, m.Share.High, truth[m.Cause.ID])
		}
	}
	c.require(t, 0)
}

// TestTheWrittenRatesAreFound: a long casebook of a shop whose rates are those
// written moves nothing by much, with jobs and without.
func TestTheWrittenRatesAreFound(t *testing.T) {
	b := base(t, smallRules)
	j := drawJobs(t, b, rand.New(rand.NewPCG(14, 0)))
	all := j.cases(60_000)
	for _, o := range []Options{{Strength: 1, Jobs: 60_000}, {Strength: 1}} {
		l, err := From(b, all, o)
		require.NoError(t, err)
		require.Len(t, l.Moves, 6)
		for _, m := range l.Moves {
			require.InEpsilon(t, m.Written, m.After, 0.08, m.Cause.ID)
			require.InEpsilon(t, m.Expected, float64(m.Confirmed), 0.08, m.Cause.ID)
		}
	}
}

// TestOddsFindTheTruth: a long casebook of a shop with other odds finds them, of the
// causes of a failure against each other.
func TestOddsFindTheTruth(t *testing.T) {
	b := base(t, smallRules)
	w := b.WithRates(map[string]rulebase.Rate{"greasy": {{Rate: 0.14}}, "late": {{Rate: 0.015}}, "wet": {{Rate: 0.03}}})
	l, err := From(b, drawJobs(t, w, rand.New(rand.NewPCG(15, 0))).cases(60_000), Options{Strength: 1})
	require.NoError(t, err)
	got := func(cause string) float64 { return moveOf(t, l, cause).After }
	require.InEpsilon(t, 0.14/0.015, got("greasy")/got("late"), 0.1)
	require.InEpsilon(t, 0.03/0.08, got("wet")/got("sunny"), 0.1)
	require.InEpsilon(t, 0.03/0.04, got("wet")/got("thick"), 0.1)
}
