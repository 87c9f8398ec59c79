package review_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"filmfault/internal/book/review"
)

// The expected values of this file are counted by hand from the few cases beside
// them; what counts as what is the package documentation.

// TestAVerdictWithoutItsReadingIsAnOpinion: the rules of smallRules confirm
// no-key by scuff "yes" only.
func TestAVerdictWithoutItsReadingIsAnOpinion(t *testing.T) {
	for _, x := range []struct {
		findings, verdict string
		measured          int
	}{
		{`{scuff: "yes"}`, "{cause: no-key, state: confirmed, by: scuff}", 1},
		{`{scuff: "yes"}`, "{cause: too-smooth, state: confirmed, by: scuff}", 1},
		{`{}`, "{cause: no-key, state: confirmed, by: scuff}", 0},
		{`{scuff: not-checked}`, "{cause: no-key, state: confirmed, by: scuff}", 0},
		{`{scuff: "no"}`, "{cause: no-key, state: confirmed, by: scuff}", 0},
		{`{scuff: {answer: "yes", source: assumed}}`, "{cause: no-key, state: confirmed, by: scuff}", 0},
		{`{weigh: "yes"}`, "{cause: no-key, state: confirmed, by: weigh}", 0},
		{`{scuff: "no"}`, "{cause: no-key, state: ruled-out, by: scuff}", 1},
		{`{scuff: "yes"}`, "{cause: no-key, state: ruled-out, by: scuff}", 0},
		{`{scuff: "yes"}`, "{cause: no-key, state: confirmed}", 0},
	} {
		b := small(t)
		in, said := input(t, b, fstest.MapFS{"a.yaml": {Data: []byte("schema: 1\nfindings: " + x.findings + "\nverdict: {settled: 2026-02-01, causes: [" + x.verdict + "]}\n")}})
		require.Empty(t, said)
		require.Equal(t, x.measured, review.Build(b, in, review.Filter{}).Totals.Measured.Cases, "%+v", x)
	}
}

func jobsOf(t *testing.T, lines string) review.Jobs {
	t.Helper()
	jobs, diags := review.ParseJobs(small(t), "jobs.yaml", []byte("schema: 1\njobs: ["+lines+"]\n"), day(t, "2026-12-31"))
	require.Empty(t, diags)
	return jobs
}

func TestNoFaultIsNoFailure(t *testing.T) {
	r := review.Record{ID: "a", Finished: day(t, "2026-01-02"), Verdict: &review.Outcome{NoFault: true}, Costs: []review.Amount{{Currency: "$", Amount: 90000}},
		Traits: []review.Trait{{ID: "tool", Answer: "spray"}}}
	q := review.Record{ID: "b", Finished: r.Finished, Verdict: &review.Outcome{Confirmed: []string{"dirty"}}, Traits: r.Traits}
	d := review.Build(small(t), review.Input{Jobs: jobsOf(t, "{month: 2026-01, done: 4}, {month: 2026-01, done: 2, tool: spray}"), Records: []review.Record{r, q}}, review.Filter{})
	require.Equal(t, []int{1, 1, 1, 1}, []int{d.Rates.All.Cases, d.Rates.Months[0].Cases, d.Rates.Seasons[0].Cases, d.Rates.Splits[0].Rows[0].Cases})
	require.Zero(t, d.Rates.Outside)
	require.Contains(t, d.Rates.Notes, "One case is not counted here, being settled as no fault.")
	require.Equal(t, []string{"dirty", "no-fault"}, []string{d.Causes.Rows[0].ID, d.Causes.Rows[1].ID}, "last, however dear")
}

func TestMonthsInWhichNoJobWasDone(t *testing.T) {
	in := review.Input{Jobs: jobsOf(t, "{month: 2026-01, done: 4}, {month: 2026-02, done: 0}"), Records: []review.Record{
		{ID: "a", Finished: day(t, "2026-01-02")}, {ID: "b", Finished: day(t, "2026-02-02")},
	}}
	r := review.Build(small(t), in, review.Filter{}).Rates
	require.Equal(t, []int{4, 1, 1}, []int{r.All.Jobs, r.All.Cases, r.Outside})
	require.Equal(t, []string{"One case is not counted here: jobs.yaml has none done in 2026-02."}, r.Notes)
}

func TestMonthsToComeAreRefused(t *testing.T) {
	for today, refused := range map[string]bool{"2026-03-31": true, "2026-04-01": false} {
		_, diags := review.ParseJobs(small(t), "jobs.yaml", []byte("schema: 1\njobs: [{month: 2026-04, done: 1}]\n"), day(t, today))
		require.Equal(t, refused, diags.HasErrors(), today)
		if refused {
			require.Contains(t, diags[0].Summary, "2026-04 is still to come; today is 2026-03-31")
		}
	}
}

func TestBrokenJobsDoNotReadAsNone(t *testing.T) {
	jobs := review.Jobs{Broken: []string{"ours/jobs.yaml:3:9"}}
	r := review.Build(small(t), review.Input{Jobs: review.Jobs{}.And(jobs)}, review.Filter{}).Rates
	require.False(t, r.Given)
	require.Contains(t, r.Says, "left out because of errors in their file, at ours/jobs.yaml:3:9.")
	r = review.Build(small(t), review.Input{Jobs: jobsOf(t, "{month: 2026-01, done: 4}").And(jobs)}, review.Filter{}).Rates
	require.True(t, r.Given)
	require.Contains(t, r.Notes[0], "ours/jobs.yaml:3:9")
}

func TestCopiesAreTold(t *testing.T) {
	d := review.Build(small(t), review.Input{Records: []review.Record{
		{ID: "own-04", File: "ours/own-04.yaml"}, {ID: "own-04-copy", File: "ours/own-04-copy.yaml", Said: "own-04"},
		{ID: "x", File: "ours/x.yaml", Said: "y"}, {ID: "z", File: "ours/z.yaml", Said: "z"},
	}}, review.Filter{})
	require.Equal(t, 4, d.Totals.Cases)
	require.Subset(t, d.Notes, []string{
		"own-04-copy.yaml says case: own-04, as does own-04.yaml: one job counted twice?", "x.yaml says case: y, which is not its name.",
	})
	for _, n := range d.Notes {
		require.NotContains(t, n, "z.yaml")
	}
}

func TestInventedCasesDoNotCountAmongOwn(t *testing.T) {
	own, made := review.Record{ID: "a"}, review.Record{ID: "b", Invented: true}
	d := review.Build(small(t), review.Input{Records: []review.Record{own, made}}, review.Filter{})
	require.Equal(t, []int{1, 0, 1}, []int{d.Totals.Cases, d.Totals.Invented, d.Totals.InventedOut})
	require.Contains(t, d.Notes, "1 invented case is left out.")
	d = review.Build(small(t), review.Input{Records: []review.Record{made}}, review.Filter{})
	require.Equal(t, []int{1, 1, 0}, []int{d.Totals.Cases, d.Totals.Invented, d.Totals.InventedOut})
}

func TestAJobDoneBeforeTheChangeSaysNothingOfIt(t *testing.T) {
	at := func(id, done, settled string) review.Record {
		r := review.Record{ID: id, Verdict: &review.Outcome{Settled: day(t, settled), Confirmed: []string{"dirty"}}}
		if done != "" {
			r.Finished = day(t, done)
		}
		return r
	}
	times := review.Build(small(t), review.Input{Records: []review.Record{
		at("a", "2026-01-01", "2026-02-01"), at("b", "2026-01-31", "2026-02-10"), at("c", "2026-02-01", "2026-03-01"), at("d", "", "2026-03-02"),
	}}, review.Filter{}).Repeats[0].Times
	require.Nil(t, times[0].AfterChange)
	require.False(t, *times[1].AfterChange)
	require.True(t, *times[2].AfterChange, "the day itself is after")
	require.Nil(t, times[3].AfterChange)
}

func TestPersonsAreNotCounted(t *testing.T) {
	for _, id := range []string{"painter", "customer"} {
		_, err := review.ParseFilter(small(t), review.Asked{Where: []string{id + "=x"}})
		require.EqualError(t, err, "the "+id+" is private and is not counted")
	}
}
