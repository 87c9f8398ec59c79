package learn

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"filmfault/internal/rulebase"
)

// TestNoSettledCase leaves the rates as written, with jobs and without; so do open
// cases, invented ones and jobs on which nothing failed.
func TestNoSettledCase(t *testing.T) {
	b := base(t, smallRules)
	open := Case{ID: "open", Seen: []string{"blisters"}}
	invented := settled("blisters", "+wet")
	invented.Invented = true
	sound := Case{ID: "sound", Settled: true, Judged: judged("-wet")}
	for _, o := range []Options{{Strength: 50}, {Strength: 50, Jobs: 400}} {
		for _, cases := range [][]Case{nil, {open, open}, {invented, sound}} {
			l, err := From(b, cases, o)
			require.NoError(t, err)
			require.Empty(t, l.Moves)
			for i, e := range l.Base().Events {
				require.Equal(t, b.Events[i].Rate, e.Rate)
			}
		}
	}
}

// TestRateByHand: (n r + k) / (n + N c e) with the figures of the small base, c of
// wet primer being 0.6 x 0.9 x 0.8 = 0.432.
func TestRateByHand(t *testing.T) {
	b := base(t, smallRules)
	cases := slices.Concat(many(7, settled("blisters", "+wet*")), many(5, settled("blisters", "-wet")), many(8, settled("blisters", "-thick")),
		many(4, Case{Seen: []string{"blisters"}}), many(10, settled("peeling", "+greasy")))
	l, err := From(b, cases, Options{Strength: 50, Jobs: 500})
	require.NoError(t, err)
	wet := moveOf(t, l, "wet")
	require.Equal(t, Tally{Confirmed: 7, RuledOut: 5, NotExamined: 8, Open: 4, Measured: 7}, wet.Tally)
	told := 500 * 0.432 * 12 / 24
	require.InDelta(t, told*0.06, wet.Expected, 1e-9)
	require.InEpsilon(t, (50*0.06+7)/(50+told), wet.After, 1e-3)
	require.InDelta(t, lowEnd, below(50*0.06+7, 50*0.94+told-7, wet.Low), 1e-6)
	require.InDelta(t, highEnd, below(50*0.06+7, 50*0.94+told-7, wet.High), 1e-6)
	require.Equal(t, Counts{Settled: 30, Open: 4, Measured: 7, Opinion: 23}, l.Counts)
	l, err = From(b, cases, Options{Strength: 50, Jobs: 500, MeasuredOnly: true})
	require.NoError(t, err)
	require.Equal(t, Tally{Confirmed: 7, NotExamined: 13, Open: 4, Measured: 7}, moveOf(t, l, "wet").Tally)
	require.Len(t, l.Moves, 1, "what was said of the others is opinion")
}

// TestRowsInProportion: a rate on a fact is scaled as a whole, and held below 1.
func TestRowsInProportion(t *testing.T) {
	l, err := From(base(t, smallRules), many(20, settled("blisters", "+sunny")), Options{Strength: 50, Jobs: 100})
	require.NoError(t, err)
	m := moveOf(t, l, "sunny")
	require.InEpsilon(t, 0.12/0.08, m.Rate[0].Rate/m.Rate[1].Rate, 1e-3)
	require.Equal(t, m.Rate[1].Rate, m.After)
	require.Equal(t, m.Cause.Rate[0].When, m.Rate[0].When)
	l, err = From(base(t, smallRules), many(95, settled("blisters", "+sunny")), Options{Strength: 0.1, Jobs: 100})
	require.NoError(t, err)
	require.Equal(t, mostRate, moveOf(t, l, "sunny").Rate[0].Rate)
}

// TestDoublingChangesTheWidth: twice the jobs and twice the confirmed cases say the
// same rate, more closely, from two confirmed cases on: below, all but nothing of
// the distribution lies near 0. Where the cases say the written rate, it stays.
func TestDoublingChangesTheWidth(t *testing.T) {
	b := base(t, smallRules)
	at := func(o Options, confirmed, ruledOut int) Move {
		l, err := From(b, slices.Concat(many(confirmed, settled("peeling", "+late")), many(ruledOut, settled("peeling", "-late"))), o)
		require.NoError(t, err)
		return moveOf(t, l, "late")
	}
	// 0.5 of the jobs with it fail and 0.9 of those show: of 2000 jobs, 27 at a rate of 0.03.
	once, twice := at(Options{Strength: 50, Jobs: 2000}, 27, 100), at(Options{Strength: 50, Jobs: 4000}, 54, 200)
	require.Equal(t, once.Written, once.After)
	require.Equal(t, twice.Written, twice.After)
	require.Less(t, twice.High-twice.Low, 0.75*(once.High-once.Low))
	rapid.Check(t, func(t *rapid.T) {
		jobs, k, out := rapid.IntRange(50, 3000).Draw(t, "jobs"), rapid.IntRange(2, 20).Draw(t, "k"), rapid.IntRange(1, 20).Draw(t, "out")
		strength := rapid.Float64Range(1, 300).Draw(t, "strength")
		once, twice := at(Options{Strength: strength, Jobs: jobs}, k, out), at(Options{Strength: 2 * strength, Jobs: 2 * jobs}, 2*k, 2*out)
		require.InEpsilon(t, once.After, twice.After, 2e-3)
		require.Less(t, twice.High-twice.Low, once.High-once.Low)
	})
}

// TestTheTotalIsHeld: whatever the cases say, without jobs each failure held is as
// frequent as written to 1e-9, in the base as learned and read back from its file.
func TestTheTotalIsHeld(t *testing.T) {
	b := base(t, smallRules)
	m := newModel(b)
	total, err := m.totals()
	require.NoError(t, err)
	written, err := total.of(m.rates())
	require.NoError(t, err)
	causes := []string{"wet", "thick", "dusty", "sunny", "greasy", "late"}
	rapid.Check(t, func(t *rapid.T) {
		var cases []Case
		for range rapid.IntRange(1, 30).Draw(t, "cases") {
			c := settled(rapid.SampledFrom([]string{"blisters", "peeling"}).Draw(t, "failure"))
			for _, cause := range causes {
				switch rapid.IntRange(0, 4).Draw(t, cause) {
				case 0:
					c.Judged = append(c.Judged, Judged{Cause: cause, Confirmed: true})
				case 1:
					c.Judged = append(c.Judged, Judged{Cause: cause})
				}
			}
			sortJudged(c.Judged)
			cases = append(cases, c)
		}
		l, err := From(b, cases, Options{Strength: rapid.Float64Range(1, 200).Draw(t, "strength")})
		require.NoError(t, err)
		requireHeld(t, l, l.Base(), written)
		data, err := l.Layer()
		require.NoError(t, err)
		requireHeld(t, l, base(t, smallRules, string(data)), written)
	})
}

func requireHeld(t *rapid.T, l *Learned, b *rulebase.Base, written map[string]float64) {
	m := newModel(b)
	total, err := m.totals()
	require.NoError(t, err)
	now, err := total.of(m.rates())
	require.NoError(t, err)
	for _, x := range l.Totals {
		if x.Held {
			require.InDelta(t, written[x.Failure.ID], now[x.Failure.ID], 1e-9)
		}
		require.InDelta(t, now[x.Failure.ID], x.After, 1e-9)
	}
}

// TestMoreConfirmedThanJobsTell: a count that the rules hold to be next to
// impossible leaves a rate below 1 and an interval that can be.
func TestMoreConfirmedThanJobsTell(t *testing.T) {
	l, err := From(base(t, smallRules), many(90, settled("peeling", "+late")), Options{Strength: 1, Jobs: 100})
	require.NoError(t, err)
	m := moveOf(t, l, "late")
	require.LessOrEqual(t, m.After, mostRate)
	require.Less(t, m.Low, m.High)
	require.Less(t, m.High, 1.0)
}

func TestRefusals(t *testing.T) {
	b := base(t, smallRules)
	_, err := From(b, nil, Options{})
	require.ErrorIs(t, err, ErrStrength)
	_, err = From(b, many(11, settled("peeling", "+late")), Options{Strength: 50, Jobs: 10})
	require.ErrorIs(t, err, ErrFewJobs)
	require.EqualError(t, err, "fewer jobs than failed ones: 10 jobs done, and the book holds 11 with a failure seen in that time; count every job, the sound ones too")
}

// TestMonths: jobs counted by month teach against the cases of those months only.
func TestMonths(t *testing.T) {
	b := base(t, smallRules)
	in, out, none := settled("peeling", "+late"), settled("peeling", "+late"), settled("peeling", "+late")
	in.Month, out.Month = "2026-04", "2026-07"
	l, err := From(b, []Case{in, in, out, none}, Options{Strength: 50, Months: map[string]int{"2026-03": 20, "2026-04": 30}})
	require.NoError(t, err)
	require.Equal(t, 50, l.Jobs)
	require.Equal(t, 2, moveOf(t, l, "late").Confirmed)
	require.Equal(t, 2, l.Counts.Outside)
	require.Contains(t, l.Notes()[0], "Left out: 2 of jobs outside the months counted")
}

// TestLayerTellsWhatItRestsOn reads the layer back over the rules: the same rates,
// no complaint, each with its counts; learning again with it in force teaches the
// same and not more.
func TestLayerTellsWhatItRestsOn(t *testing.T) {
	b := base(t, smallRules)
	cases := slices.Concat(many(7, settled("blisters", "+sunny*", "-wet")), many(2, settled("peeling", "+dusty")))
	for _, o := range []Options{{Strength: 50}, {Strength: 50, Jobs: 300}} {
		l, err := From(b, cases, o)
		require.NoError(t, err)
		data, err := l.Layer()
		require.NoError(t, err)
		over := base(t, smallRules, string(data))
		for i, e := range l.Base().Events {
			require.InDelta(t, e.Rate.For(nil), over.Events[i].Rate.For(nil), 1e-15, e.ID)
			require.InDelta(t, e.Rate.For(rulebase.Facts{"shade": "dark"}), over.Events[i].Rate.For(rulebase.Facts{"shade": "dark"}), 1e-15, e.ID)
		}
		require.Contains(t, string(data), "  # confirmed 7, ruled out 0, not examined 0; written 0.08, now ")
		sunny, _ := over.Event("sunny")
		require.True(t, sunny.Learned())
		again, err := From(over, cases, o)
		require.NoError(t, err)
		require.Equal(t, rates(l.Base()), rates(again.Base()))
	}
}

func rates(b *rulebase.Base) map[string]float64 {
	out := map[string]float64{}
	for _, e := range b.Events {
		out[e.ID] = e.Rate.For(nil)
	}
	return out
}

// TestNothingElseMoves: without jobs a cause of a failure that the book has no case
// of stays as written, one that makes room says so.
func TestNothingElseMoves(t *testing.T) {
	l, err := From(base(t, smallRules), many(8, settled("peeling", "+greasy")), Options{Strength: 50})
	require.NoError(t, err)
	moved := map[string]bool{}
	for _, m := range l.Moves {
		moved[m.Cause.ID] = m.Examined()
	}
	require.Equal(t, map[string]bool{"greasy": true, "dusty": false, "late": false}, moved)
	require.Greater(t, moveOf(t, l, "greasy").After, 0.07)
	require.Less(t, moveOf(t, l, "late").After, 0.03)
	data, err := l.Layer()
	require.NoError(t, err)
	require.Contains(t, string(data), "own cases: makes room for other causes of peeling")
	require.Len(t, l.Totals, 2)
	require.False(t, l.Totals[0].Held, "blisters share dust with peeling and follow")
	require.True(t, l.Totals[1].Held)
	require.Contains(t, strings.Join(l.Notes(), "\n"), "and follow: blisters from ")
}

// TestOrderOfCasesIsNothing: the same cases in another order give the same bytes.
func TestOrderOfCasesIsNothing(t *testing.T) {
	b := base(t, smallRules)
	cases := slices.Concat(many(3, settled("blisters", "+sunny", "-wet")), many(2, settled("peeling", "+dusty")), many(4, settled("peeling", "-dusty", "+late")))
	first, err := From(b, cases, Options{Strength: 50})
	require.NoError(t, err)
	slices.Reverse(cases)
	second, err := From(b, cases, Options{Strength: 50})
	require.NoError(t, err)
	a, err := first.Layer()
	require.NoError(t, err)
	c, err := second.Layer()
	require.NoError(t, err)
	require.Equal(t, string(a), string(c))
}

func TestFigure(t *testing.T) {
	for x, want := range map[float64]string{0.0123456: "0.0123", 0.00004: "0.00004", 1e-9: "0", 0: "0", 0.99: "0.99", 0.1: "0.1"} {
		require.Equal(t, want, Figure(x))
	}
}
