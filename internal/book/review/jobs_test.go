package review_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/book/review"
)

func TestJobsOfSplitsOnly(t *testing.T) {
	b := small(t)
	jobs, diags := review.ParseJobs(b, "jobs.yaml", []byte("schema: 1\nhemisphere: south\njobs:\n"+
		"  - {month: 2026-01, done: 4, tool: spray}\n  - {month: 2026-01, done: 6, tool: brush}\n  - {month: 2026-01, done: 3, drying: Rack}\n"), review.Day(740_000))
	require.Empty(t, diags)
	d := review.Build(b, review.Input{Jobs: jobs, Records: []review.Record{{ID: "a", Finished: day(t, "2026-01-02")}}}, review.Filter{})
	require.Equal(t, 10, d.Rates.All.Jobs, "the fullest split")
	require.Equal(t, "summer", d.Rates.Seasons[0].Of, "January south of the equator")
	require.Equal(t, []string{"drying", "tool"}, []string{d.Rates.Splits[0].By, d.Rates.Splits[1].By})
	require.Equal(t, "rack", d.Rates.Splits[0].Rows[0].Of)
}

// TestJobsOfTwoFolders: the total of one does not hide the parts of the other.
func TestJobsOfTwoFolders(t *testing.T) {
	b := small(t)
	one, diags := review.ParseJobs(b, "one", []byte("schema: 1\njobs: [{month: 2026-01, done: 10}]\n"), review.Day(740_000))
	require.Empty(t, diags)
	two, diags := review.ParseJobs(b, "two", []byte("schema: 1\njobs: [{month: 2026-01, done: 5, tool: spray}]\n"), review.Day(740_000))
	require.Empty(t, diags)
	d := review.Build(b, review.Input{Jobs: one.And(two)}, review.Filter{})
	require.Equal(t, 15, d.Rates.All.Jobs)
	require.Equal(t, 5, d.Rates.Splits[0].Rows[0].Jobs)
}

func TestJobsAreRefused(t *testing.T) {
	b := small(t)
	for text, want := range map[string]string{
		"jobs: []\n":            `needs the key "schema"`,
		"schema: 2\njobs: []\n": "no schema 2",
		"schema: 1\n":           `needs the key "jobs"`,
		"schema: 1\njobs: [{month: 2026-1, done: 3}]\n":                                          `"2026-1" is no month`,
		"schema: 1\njobs: [{month: 2026-01}]\n":                                                  `needs the key "done"`,
		"schema: 1\njobs: [{month: 2026-01, done: -1}]\n":                                        "cannot be",
		"schema: 1\njobs: [{month: 2026-01, done: few}]\n":                                       "jobs done",
		"schema: 1\njobs: [{month: 2026-01, done: 3, tol: spray}]\n":                             `"tol" is no fact of the rules and no line of a job; did you mean tool?`,
		"schema: 1\njobs: [{month: 2026-01, done: 3, tool: sprai}]\n":                            `tool has no answer "sprai"; did you mean spray?`,
		"schema: 1\njobs: [{month: 2026-01, done: 3, tool: spray, season: winter}]\n":            "one fact only",
		"schema: 1\njobs: [{month: 2026-01, done: 3}, {month: 2026-01, done: 4}]\n":              "a second time",
		"schema: 1\njobs: [{month: 2026-01, done: 3}, {month: 2026-01, done: 4, tool: spray}]\n": "add up to 4, more than the 3 done",
		"schema: 1\nhemisphere: east\njobs: []\n":                                                `"east" is no hemisphere`,
		"schema: 1\njob: []\njobs: []\n":                                                         `no key "job"`,
	} {
		jobs, diags := review.ParseJobs(b, "jobs.yaml", []byte(text), review.Day(740_000))
		require.True(t, diags.HasErrors(), text)
		require.False(t, jobs.Given(), text)
		require.Contains(t, diags[0].Summary, want, text)
		require.NotEmpty(t, diags[0].Remedy, text)
		require.Greater(t, diags[0].Span.Start.Line, 0, text)
	}
}

func TestMoreFailuresThanJobsGiveNoRate(t *testing.T) {
	b := small(t)
	jobs, diags := review.ParseJobs(b, "jobs.yaml", []byte("schema: 1\njobs: [{month: 2026-01, done: 1}]\n"), review.Day(740_000))
	require.Empty(t, diags)
	r := review.Record{ID: "a", Finished: day(t, "2026-01-02")}
	q := r
	q.ID = "b"
	d := review.Build(b, review.Input{Jobs: jobs, Records: []review.Record{r, q}}, review.Filter{})
	require.Nil(t, d.Rates.All.PerHundred)
	require.Contains(t, d.Rates.Notes[0], "more failures than jobs done")
}

// TestTheLatestYear compares two times twelve months.
func TestTheLatestYear(t *testing.T) {
	b := small(t)
	var text strings.Builder
	text.WriteString("schema: 1\njobs:\n")
	for _, y := range []string{"2024", "2025"} {
		for _, m := range []string{"01", "02", "03", "04", "05", "06", "07", "08", "09", "10", "11", "12"} {
			text.WriteString("  - {month: " + y + "-" + m + ", done: 10}\n")
		}
	}
	jobs, diags := review.ParseJobs(b, "jobs.yaml", []byte(text.String()), review.Day(740_000))
	require.Empty(t, diags)
	d := review.Build(b, review.Input{Jobs: jobs, Records: []review.Record{
		{ID: "a", Finished: day(t, "2024-12-31")}, {ID: "b", Finished: day(t, "2025-01-01")}, {ID: "c", Finished: day(t, "2025-12-31")},
	}}, review.Filter{})
	require.Equal(t, []int{120, 1, 120, 2}, []int{d.Rates.Trend[0].Jobs, d.Rates.Trend[0].Cases, d.Rates.Trend[1].Jobs, d.Rates.Trend[1].Cases})
}

// TestNoTrendOverAGap: the last 24 entries are not 24 months of the calendar.
func TestNoTrendOverAGap(t *testing.T) {
	b := small(t)
	for _, gap := range []string{"2024-03", "2025-06"} {
		var text strings.Builder
		text.WriteString("schema: 1\njobs:\n")
		for y := 2023; y <= 2025; y++ {
			for m := 1; m <= 12; m++ {
				if month := fmt.Sprintf("%d-%02d", y, m); month != gap {
					text.WriteString("  - {month: " + month + ", done: 10}\n")
				}
			}
		}
		jobs, diags := review.ParseJobs(b, "jobs.yaml", []byte(text.String()), review.Day(740_000))
		require.Empty(t, diags)
		d := review.Build(b, review.Input{Jobs: jobs}, review.Filter{})
		require.Len(t, d.Rates.Months, 35)
		require.NotNil(t, d.Rates.Trend)
		require.Empty(t, d.Rates.Trend, gap)
		require.Contains(t, strings.Join(d.Rates.Notes, " "), "lacks months between 2024-01 and 2025-12")
	}
}

func TestFiltersAreRefused(t *testing.T) {
	b := small(t)
	for want, a := range map[string]review.Asked{
		"settled or open, not both":                           {Settled: true, Open: true},
		`--from: "april" is no day; write a day`:              {From: "april"},
		"is before --from":                                    {From: "2026-05", To: "2026-04"},
		"no failure \"blister\"; did you mean":                {Failure: "blister"},
		"no cause \"blisters\"":                               {Cause: "blisters"},
		"is no FACT=ANSWER":                                   {Where: []string{"tool"}},
		"\"toll\" is no fact of the rules":                    {Where: []string{"toll=spray"}},
		"tool has no answer \"x\"; it is one of brush, spray": {Where: []string{"tool=x"}},
	} {
		_, err := review.ParseFilter(b, a)
		require.ErrorContains(t, err, want)
	}
}

func TestFilters(t *testing.T) {
	for _, x := range []struct {
		asked review.Asked
		want  int
	}{
		{review.Asked{Open: true}, 2},
		{review.Asked{Settled: true}, 5},
		{review.Asked{From: "2026-02"}, 4}, // c, e, f, h; d has no day
		{review.Asked{To: "2026-02"}, 4},   // a, b, c, e
		{review.Asked{From: "2026-02-15", To: "2026-02-15"}, 1},
		{review.Asked{Failure: "peeling"}, 4},
		{review.Asked{Cause: "too-smooth"}, 1}, // by its old name
		{review.Asked{Where: []string{"thickness=thin"}}, 1},
		{review.Asked{Where: []string{"thickness=thick"}}, 0}, // b assumed it
		{review.Asked{Where: []string{"primer-lot=p 1", "tool=spray"}}, 1},
		{review.Asked{Where: []string{"tool=not-known"}}, 5},
	} {
		require.Equal(t, x.want, reviewed(t, x.asked).Totals.Cases, "%+v", x.asked)
	}
	d := reviewed(t, review.Asked{From: "2026-02"})
	require.Contains(t, d.Notes, "1 case is left out by --from and --to: no day is known of it.")
}
