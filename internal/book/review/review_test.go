package review_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/book/review"
)

// The expected values of this file are worked out by hand from smallBook.

func near(t *testing.T, want float64, got *review.Number) {
	t.Helper()
	require.NotNil(t, got)
	require.InDelta(t, want, float64(*got), 1e-4)
}

func TestTotals(t *testing.T) {
	d := reviewed(t, review.Asked{})
	n := d.Totals
	require.Equal(t, []int{7, 5, 2, 0}, []int{n.Cases, n.Settled, n.Open, n.Invented})
	require.Equal(t, []int{1, 1, 1}, []int{n.NoFault, n.Unlisted, n.Undecided}, "e, f, h")
	require.Equal(t, []int{2, 5}, []int{n.Measured.Cases, n.Measured.Of}, "a and e; b by a look, f by nothing, h without a reading")
	near(t, 0.4, n.Measured.Share)
	require.Equal(t, 3, n.Days.Cases, "10, 4 and 28 days")
	near(t, 10, n.Days.Median)
	near(t, 4, n.Days.Low)
	near(t, 28, n.Days.High)
	require.Equal(t, []review.Amount{{Currency: "$", Amount: 12001}, {Currency: "", Amount: 18000}, {Currency: "CAD", Amount: 5000}}, n.Costs)
	require.Equal(t, 3, n.Costed)
	require.Equal(t, []int{1, 1}, []int{n.Unfinished, n.Undated}, "d; e by its last coat")
}

func TestWhatCannotBeReadIsNamed(t *testing.T) {
	b := small(t)
	in, said := input(t, b, smallBook())
	var places []string
	for _, d := range said {
		places = append(places, d.Span.String())
	}
	require.Len(t, said, 2, "%v", said)
	require.Equal(t, "book/e.yaml:11:15", places[0])
	require.Equal(t, `the cost "a lot" has no figure; it is left out`, said[0].Summary)
	require.Contains(t, places[1], "book/g.yaml:")
	d := review.Build(b, in, review.Filter{})
	require.Equal(t, []review.Unread{{Place: "book/e.yaml:11:15", What: "amount", Text: "a lot"}}, d.Unread)
	require.Len(t, d.LeftOut, 1)
	require.Equal(t, "book/g.yaml", d.LeftOut[0].File)
	require.Regexp(t, `^book/g\.yaml:\d+`, d.LeftOut[0].Place)
	require.Contains(t, d.Notes, "1 file could not be read and was left out.")
}

func TestCausesByCost(t *testing.T) {
	d := reviewed(t, review.Asked{})
	var ids []string
	var count []int
	for _, r := range d.Causes.Rows {
		ids, count = append(ids, r.ID), append(count, r.Cases)
	}
	require.Equal(t, []string{"wet-primer", "no-key", "no-fault", "undecided", "unlisted"}, sortTail(ids))
	require.Equal(t, []int{2, 1, 1, 1, 1}, count)
	first, second := d.Causes.Rows[0], d.Causes.Rows[1]
	require.Equal(t, "Primer closed over wet", first.Title)
	require.InDelta(t, 0.3, float64(first.Share), 1e-9, "a, and half of b, of five")
	require.InDelta(t, 0.1, float64(second.Share), 1e-9)
	require.InDelta(t, 0.4, float64(second.SoFar), 1e-9)
	require.Equal(t, []review.Amount{{Currency: "$", Amount: 7000}, {Currency: "", Amount: 18000}}, first.Costs, "the odd cent of b goes to no-key")
	require.Equal(t, []review.Amount{{Currency: "$", Amount: 5001}}, second.Costs)
	near(t, 70/120.01, first.CostShare)
	near(t, 1, second.CostSoFar)
}

// sortTail keeps the first two and puts the rest in order of their names.
func sortTail(ids []string) []string {
	out := append([]string{}, ids[:2]...)
	for _, want := range []string{"no-fault", "undecided", "unlisted"} {
		for _, id := range ids[2:] {
			if id == want {
				out = append(out, id)
			}
		}
	}
	return out
}

func table(t *testing.T, d *review.Document, by string) map[string]review.Row {
	t.Helper()
	for _, x := range d.Tables {
		if x.By == by {
			out := map[string]review.Row{}
			for _, r := range x.Rows {
				out[r.ID] = r
			}
			return out
		}
	}
	require.Fail(t, "no table", by)
	return nil
}

func TestTables(t *testing.T) {
	d := reviewed(t, review.Asked{})
	failures := table(t, d, "failure")
	require.Equal(t, 4, failures["blisters"].Cases)
	require.InDelta(t, 3.5/7, float64(failures["blisters"].Share), 1e-9, "b has two")
	require.Equal(t, 4, failures["peeling"].Cases)
	lots := table(t, d, "primer-lot")
	require.Equal(t, 4, lots["p 1"].Cases, "however it was typed")
	require.Equal(t, "P 1", lots["p 1"].Title)
	require.Equal(t, 2, lots["not-known"].Cases, "e and h")
	require.Equal(t, 1, table(t, d, "tool")["spray"].Cases)
	require.Equal(t, 5, table(t, d, "tool")["not-known"].Cases)
	trees := table(t, d, "tree")
	require.InDelta(t, 1.5/5, float64(trees["vapour-drive"].Share), 1e-9)
}

func TestVerdictsByCause(t *testing.T) {
	d := reviewed(t, review.Asked{})
	require.Equal(t, []review.Verdict{
		{Cause: "wet-primer", Title: "Primer closed over wet", Tree: "vapour-drive", Confirmed: 2, RuledOut: 1},
		{Cause: "no-key", Title: "Too smooth", Tree: "adhesion", Confirmed: 1, RuledOut: 2},
		{Cause: "dirty", Title: "Dirt on it", Tree: "adhesion", NotExamined: 1},
	}, d.Verdicts)
}

func TestRates(t *testing.T) {
	d := reviewed(t, review.Asked{})
	r := d.Rates
	require.True(t, r.Given)
	require.Equal(t, 1, r.Outside, "d has no day")
	require.Equal(t, []int{30, 5}, []int{r.All.Jobs, r.All.Cases})
	near(t, 100./6, r.All.PerHundred)
	// Wilson for 5 of 30, e being no fault, at z = 1.644854: (0.166667+0.045092)/
	// 1.090184 = 0.194242, less and more 1.508786*sqrt(0.0046296+0.0007515) = 0.110679.
	require.InDelta(t, 8.356, float64(*r.All.Low), 0.002)
	require.InDelta(t, 30.492, float64(*r.All.High), 0.002)
	require.Len(t, r.Months, 3)
	require.Equal(t, []int{10, 2}, []int{r.Months[0].Jobs, r.Months[0].Cases})
	require.Equal(t, []string{"winter", "spring"}, []string{r.Seasons[0].Of, r.Seasons[1].Of})
	require.Equal(t, []int{18, 3}, []int{r.Seasons[0].Jobs, r.Seasons[0].Cases})
	require.Equal(t, "tool", r.Splits[0].By)
	require.Equal(t, []int{4, 1}, []int{r.Splits[0].Rows[0].Jobs, r.Splits[0].Rows[0].Cases})
	near(t, 25, r.Splits[0].Rows[0].PerHundred)
}

func TestRatesGoByTheFilter(t *testing.T) {
	sprayed := reviewed(t, review.Asked{Where: []string{"tool=spray"}}).Rates
	require.Equal(t, "jobs with tool spray", sprayed.Of)
	require.Equal(t, []int{4, 1}, []int{sprayed.All.Jobs, sprayed.All.Cases})
	wet := reviewed(t, review.Asked{Cause: "wet-primer"}).Rates
	require.Equal(t, []int{30, 2}, []int{wet.All.Jobs, wet.All.Cases})
	late := reviewed(t, review.Asked{From: "2026-02-10"}).Rates
	require.Equal(t, []int{12, 2}, []int{late.All.Jobs, late.All.Cases}, "February is not whole")
	require.Contains(t, late.Notes, "Only whole months are counted against the jobs done in them.")
	other := reviewed(t, review.Asked{Where: []string{"season=winter"}}).Rates
	require.Equal(t, 30, other.All.Jobs)
	require.Contains(t, other.Notes[0], "jobs.yaml does not split them so")
}

func TestWithoutJobsItSaysWhatCountsAloneMean(t *testing.T) {
	b := small(t)
	folder := smallBook()
	delete(folder, "jobs.yaml")
	in, _ := input(t, b, folder)
	r := review.Build(b, in, review.Filter{}).Rates
	require.False(t, r.Given)
	require.Nil(t, r.All)
	require.Contains(t, r.Says, "Counts of failures alone make the weather look guilty every summer")
}

func TestMonths(t *testing.T) {
	d := reviewed(t, review.Asked{})
	require.Equal(t, []string{"2026-01", "2026-02", "2026-03"}, []string{d.Months[0].Month, d.Months[1].Month, d.Months[2].Month})
	require.Equal(t, []int{2, 2, 2}, []int{d.Months[0].Cases, d.Months[1].Cases, d.Months[2].Cases})
	require.Equal(t, []review.InYear{{Year: 2026, Cases: 6, Costs: d.Totals.Costs}}, d.Years)
}

func TestMonthsWithoutCasesAreNotLeftOut(t *testing.T) {
	d := reviewed(t, review.Asked{Where: []string{"tool=not-known"}, Failure: "peeling"})
	require.Len(t, d.Months, 2, "e and f, h")
	d = review.Build(small(t), review.Input{Records: []review.Record{{ID: "x", Finished: day(t, "2025-11-30")}, {ID: "y", Finished: day(t, "2026-02-01")}}}, review.Filter{})
	require.Equal(t, []review.InMonth{
		{Month: "2025-11", Cases: 1, Costs: []review.Amount{}}, {Month: "2025-12", Costs: []review.Amount{}},
		{Month: "2026-01", Costs: []review.Amount{}}, {Month: "2026-02", Cases: 1, Costs: []review.Amount{}},
	}, d.Months)
}

func day(t *testing.T, text string) review.Day {
	t.Helper()
	d, err := review.ParseDay(text)
	require.NoError(t, err)
	return d
}

func TestRepeats(t *testing.T) {
	d := reviewed(t, review.Asked{})
	require.Len(t, d.Repeats, 1)
	r := d.Repeats[0]
	require.Equal(t, "wet-primer", r.Cause)
	require.Equal(t, review.Repeated{Case: "a", Settled: "2026-02-01", Changed: "Coupons are weighed.", Finished: "2026-01-10"}, r.Times[0])
	require.Equal(t, "2026-04-02", r.Times[1].Settled)
	near(t, 60, r.Times[1].After)
}

func TestSixtyOneDaysAreNoRepeat(t *testing.T) {
	at := func(id, text string) review.Record {
		return review.Record{ID: id, Verdict: &review.Outcome{Settled: day(t, text), Confirmed: []string{"no-key"}}}
	}
	build := func(list ...review.Record) []review.Repeat {
		return review.Build(small(t), review.Input{Records: list}, review.Filter{}).Repeats
	}
	require.Empty(t, build(at("a", "2026-02-01"), at("b", "2026-04-03")))
	require.Len(t, build(at("a", "2026-02-01"), at("b", "2026-04-02")), 1)
	runs := build(at("a", "2026-02-01"), at("b", "2026-02-01"), at("c", "2026-03-20"), at("d", "2026-07-01"), at("e", "2026-07-02"))
	require.Len(t, runs, 2)
	require.Len(t, runs[0].Times, 2, "the latest first")
	require.Len(t, runs[1].Times, 3)
}

func TestAtRisk(t *testing.T) {
	d := reviewed(t, review.Asked{})
	want := []review.AtRisk{{Shares: "primer-lot", Value: "P 1", Open: []string{"d"}, Causes: []review.Spreading{
		{Cause: "wet-primer", Title: "Primer closed over wet", Confirmed: []string{"a", "b"}, Others: []string{"f"}},
		{Cause: "no-key", Title: "Too smooth", Confirmed: []string{"b"}, Others: []string{"f"}}, // ruled out in a
	}}}
	require.Equal(t, want, d.AtRisk)
	only := reviewed(t, review.Asked{Cause: "no-key"})
	require.Equal(t, []string{"d"}, only.AtRisk[0].Open, "the filter does not hide the jobs at risk")
}

// TestAWeekIsAWeakerTie: 5 and 11 January 2026 are Monday and Sunday of week 2.
func TestAWeekIsAWeakerTie(t *testing.T) {
	settled := &review.Outcome{Confirmed: []string{"no-key"}}
	other := &review.Outcome{Confirmed: []string{"dirty"}}
	d := review.Build(small(t), review.Input{Records: []review.Record{
		{ID: "a", Finished: day(t, "2026-01-05"), Verdict: settled},
		{ID: "b", Finished: day(t, "2026-01-11")},
		{ID: "c", Finished: day(t, "2026-01-12")},
		{ID: "e", Finished: day(t, "2026-01-20"), Verdict: settled},
		{ID: "f", Finished: day(t, "2026-01-20"), Verdict: other},
	}}, review.Filter{})
	require.Len(t, d.AtRisk, 1, "others of a week are not told")
	require.Equal(t, "2026-W02", d.AtRisk[0].Value)
	require.Equal(t, []string{"b"}, d.AtRisk[0].Open)
}

func TestChanges(t *testing.T) {
	d := reviewed(t, review.Asked{})
	require.Equal(t, []review.Change{
		{Causes: []review.Named{{ID: "wet-primer", Title: "Primer closed over wet"}}, Prevent: "Weigh a coupon.", Alone: 1, Among: 1,
			Costs: []review.Amount{{Currency: "$", Amount: 7000}, {Currency: "", Amount: 18000}}},
		{Causes: []review.Named{{ID: "no-key", Title: "Too smooth"}}, Prevent: "Scuff it.", Among: 1, Costs: []review.Amount{{Currency: "$", Amount: 5001}}},
	}, d.Changes)
}

func TestOnePracticeAgainstTwoCauses(t *testing.T) {
	both := &review.Outcome{Confirmed: []string{"dirty", "no-key"}}
	d := review.Build(small(t), review.Input{Records: []review.Record{{ID: "a", Verdict: both, Costs: []review.Amount{{Currency: "$", Amount: 301}}}}}, review.Filter{})
	require.Len(t, d.Changes, 1)
	require.Equal(t, 1, d.Changes[0].Alone, "it prevents all causes of the case")
	require.Len(t, d.Changes[0].Causes, 2)
	require.Equal(t, []review.Amount{{Currency: "$", Amount: 301}}, d.Changes[0].Costs)
}

func TestRankings(t *testing.T) {
	s := reviewed(t, review.Asked{}).Rankings
	require.Equal(t, 4, s.Cases)
	require.Equal(t, []int{2, 4}, []int{s.First.Cases, s.First.Of}, "a and b; h missed; f was none of the listed causes")
	require.Equal(t, []int{2, 4}, []int{s.FirstThree.Cases, s.FirstThree.Of})
	require.Equal(t, 1, s.Unlisted)
	near(t, 1, s.MeanRank)
	require.False(t, s.AtLeast)
	require.Equal(t, []int{5, 3}, []int{s.Forecasts, s.CameTrue})
	near(t, (0.16+0.09+0.25+0.64+0.64)/5, s.Brier)
	near(t, 0.6*0.4, s.BrierBase)
	require.Len(t, s.Tenths, 10)
	require.Equal(t, []int{0, 0, 1, 1, 0, 1, 1, 0, 1, 0}, counts(s.Tenths), ".2, .3, .5, .6, .8: a border belongs above")
}

func counts(list []review.Tenth) []int {
	var out []int
	for _, x := range list {
		out = append(out, x.Count)
	}
	return out
}

// TestAConfirmedCauseThatWasNotKept stands below all places that were.
func TestAConfirmedCauseThatWasNotKept(t *testing.T) {
	v := &review.Outcome{Confirmed: []string{"dirty"}, Ranking: standing("no-key", 0.5, "wet-primer", 0.3)}
	s := review.Build(small(t), review.Input{Records: []review.Record{{ID: "a", Verdict: v}}}, review.Filter{}).Rankings
	require.Equal(t, []int{0, 1}, []int{s.FirstThree.Cases, s.FirstThree.Of}, "third would be a guess")
	near(t, 3, s.MeanRank)
	require.True(t, s.AtLeast)
	require.Equal(t, 1, s.NotKept)
	require.Zero(t, s.Forecasts)
	require.Empty(t, s.Tenths)
	v.RuledOut = []string{"wet-primer", "no-such"}
	s = review.Build(small(t), review.Input{Records: []review.Record{{ID: "a", Verdict: v}}}, review.Filter{}).Rankings
	require.Equal(t, []int{1, 1}, []int{s.Forecasts, s.Untold}, "one ruled out was kept, one was not")
}

// TestAnUnlistedCauseIsAMiss, but not where a listed one was confirmed besides.
func TestAnUnlistedCauseIsAMiss(t *testing.T) {
	v := &review.Outcome{Unlisted: true, Ranking: standing("no-key", 0.5)}
	scores := func() review.Scores {
		return review.Build(small(t), review.Input{Records: []review.Record{{ID: "a", Verdict: v}}}, review.Filter{}).Rankings
	}
	s := scores()
	require.Equal(t, []int{0, 1, 0, 1, 1}, []int{s.First.Cases, s.First.Of, s.FirstThree.Cases, s.FirstThree.Of, s.Unlisted})
	require.Nil(t, s.MeanRank, "it has no place")
	v.Confirmed = []string{"no-key"}
	s = scores()
	require.Equal(t, []int{1, 1, 0}, []int{s.First.Cases, s.First.Of, s.Unlisted})
	v.Confirmed, v.Unlisted = nil, false
	require.Zero(t, scores().First.Of, "not examined, it cannot be judged")
}

func TestAnEmptyBook(t *testing.T) {
	d := review.Build(small(t), review.Input{Books: []string{"book"}}, review.Filter{})
	require.Zero(t, d.Totals.Cases)
	require.Empty(t, d.Causes.Rows)
	require.Nil(t, d.Totals.Measured.Share)
	require.Nil(t, d.Rankings.Brier)
}
