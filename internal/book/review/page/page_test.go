package page_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"filmfault/internal/book"
	"filmfault/internal/book/booktest"
	"filmfault/internal/book/review"
	"filmfault/internal/book/review/page"
	"filmfault/internal/console"
	"filmfault/internal/rulebase"
	"filmfault/rules"
)

// invented is the review of an invented book, as the rules that are built in see
// it; change may alter its cases first.
func invented(t testing.TB, cases int, change func(*review.Input)) *review.Document {
	t.Helper()
	loaded, err := rulebase.Load(rulebase.Layer{Name: "rules", FS: rules.FS})
	require.NoError(t, err)
	require.NotNil(t, loaded.Base)
	folder := booktest.Folder(cases, 5)
	places, err := book.Book{Shelves: []book.Shelf{{Name: "book", FS: folder}}}.Places()
	require.NoError(t, err)
	in := review.Input{Books: []string{"book"}}
	for _, p := range places {
		in.Records = append(in.Records, *review.Take(loaded.Base, p.Read()).Record)
	}
	jobs, diags := review.ParseJobs(loaded.Base, book.Jobs, folder[book.Jobs].Data, review.Day(740_000))
	require.Empty(t, diags)
	in.Jobs = jobs
	if change != nil {
		change(&in)
	}
	return review.Build(loaded.Base, in, review.Filter{})
}

func printed(t testing.TB, write func(io.Writer) error) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write(&b))
	return b.String()
}

// nasty is what somebody could type to start markup or to move the cursor.
const nasty = "<script>alert(1)</script>|*x*\x1b[2J&\"'"

func nastily(in *review.Input) {
	in.Books = []string{nasty}
	for i := range in.Records {
		r := &in.Records[i]
		r.ID = nasty + r.ID
		for j := range r.Traits {
			if r.Traits[j].ID == "primer-lot" {
				r.Traits[j].Answer, r.Spelled = nasty, nil
			}
		}
		if r.Verdict != nil {
			r.Verdict.Changed = nasty
		}
	}
	in.Left = []review.LeftOut{{File: nasty, Place: nasty, Why: nasty}}
}

// TestTextFits wants every line within the window, from 50 columns on, whatever
// the currencies.
func TestTextFits(t *testing.T) {
	docs := []*review.Document{
		invented(t, 150, nil),
		invented(t, 40, func(in *review.Input) {
			for i := range in.Records {
				for j := range in.Records[i].Costs {
					in.Records[i].Costs[j].Currency = []string{"$", "CAD", "EUR", ""}[(i+j)%4]
					in.Records[i].Costs[j].Amount *= 10_000
				}
			}
		}),
		invented(t, 0, nil),
	}
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SampledFrom(docs).Draw(t, "book")
		width := rapid.IntRange(50, 120).Draw(t, "width")
		var b bytes.Buffer
		if err := page.Text(&b, d, width); err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(b.String(), "\n") {
			if n := console.DisplayWidth(line); n > width {
				t.Fatalf("%d columns of %d: %q", n, width, line)
			}
			if line != strings.TrimRight(line, " ") {
				t.Fatalf("blanks at the end of %q", line)
			}
		}
	})
}

func TestTheSameDocumentGivesTheSameBytes(t *testing.T) {
	d := invented(t, 60, nil)
	for _, write := range []func(io.Writer) error{
		func(w io.Writer) error { return page.Text(w, d, 80) }, func(w io.Writer) error { return page.HTML(w, d) },
		func(w io.Writer) error { return page.Markdown(w, d) }, func(w io.Writer) error { return page.JSON(w, d) },
	} {
		require.Equal(t, printed(t, write), printed(t, write))
	}
}

func TestWhatWasTypedStartsNoMarkup(t *testing.T) {
	d := invented(t, 60, nastily)
	text := printed(t, func(w io.Writer) error { return page.Text(w, d, 80) })
	require.NotContains(t, text, "\x1b")
	markdown := printed(t, func(w io.Writer) error { return page.Markdown(w, d) })
	require.NotContains(t, markdown, "<script")
	require.NotContains(t, markdown, "\x1b")
	require.NotRegexp(t, `[^\\]\*x`, markdown)
	html := printed(t, func(w io.Writer) error { return page.HTML(w, d) })
	require.NotContains(t, html, "<script")
	require.Contains(t, html, "&lt;script&gt;")
}

// TestHTMLNeedsNothingBesideIt wants no address, script or foreign style, and
// every picture to be well-formed XML with a name and a description.
func TestHTMLNeedsNothingBesideIt(t *testing.T) {
	html := printed(t, func(w io.Writer) error { return page.HTML(w, invented(t, 150, nastily)) })
	require.NotRegexp(t, `(?i)src=|href=|url\(|@import|<script|<link`, html)
	pictures := regexp.MustCompile(`(?s)<svg.*?</svg>`).FindAllString(html, -1)
	require.Greater(t, len(pictures), 20)
	named := 0
	for _, p := range pictures {
		require.NotContains(t, p, "NaN")
		require.NotContains(t, p, "Inf")
		d := xml.NewDecoder(strings.NewReader(p))
		for {
			_, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err, p)
		}
		if strings.Contains(p, "<title>") && strings.Contains(p, "<desc>") {
			named++
		}
	}
	require.Equal(t, 4, named, "causes, rates, months, reliability")
	require.Contains(t, html, "@media print")
}

func TestSections(t *testing.T) {
	text := printed(t, func(w io.Writer) error { return page.Text(w, invented(t, 150, nil), 80) })
	last := -1
	for _, heading := range []string{"IN SHORT", "CAUSES, THE DEAREST FIRST", "WHAT WOULD HAVE AVOIDED MOST", "CONFIRMED AGAIN WITHIN 60 DAYS",
		"OTHER JOBS AT RISK", "FAILURES FOR A HUNDRED JOBS", "CASES BY MONTH", "BY FAILURE, SEASON, BOARD AND THE REST", "WHAT THE VERDICTS SAY OF EACH CAUSE", "HOW WELL THE RANKINGS DID"} {
		at := strings.Index(text, "\n"+heading+"\n")
		require.Greater(t, at, last, heading)
		last = at
	}
	require.NotContains(t, text, "LEFT OUT")
	require.NotContains(t, text, "%!")
}

// TestBarsAreAsLongAsWhatTheyShow: the first cause is the dearest, and its bar
// the longest; half of it is half as long.
func TestBarsAreAsLongAsWhatTheyShow(t *testing.T) {
	d := invented(t, 0, nil)
	d.Totals.Cases, d.Totals.Settled = 3, 3
	d.Causes = review.Table{By: "cause", Of: 3, Rows: []review.Row{
		{Title: "One", Cases: 2, Share: 2. / 3, SoFar: 2. / 3}, {Title: "Two", Cases: 1, Share: 1. / 3, SoFar: 1},
	}}
	text := printed(t, func(w io.Writer) error { return page.Text(w, d, 80) })
	require.Regexp(t, `(?m)^  One +2   67 %    67 %  #{30}$`, text)
	require.Regexp(t, `(?m)^  Two +1   33 %   100 %  #{15}$`, text)
}

// names lists the names of each object in the JSON, by the path to it. Others
// rely on them: a name taken away needs a new schema number.
func names() map[string]string {
	const cost = "currency amount"
	rate := "of jobs cases per_hundred low high"
	row := "id title cases share so_far costs cost_share cost_so_far"
	share := "cases of share low high"
	return map[string]string{
		"": "schema books rules filter totals causes verdicts tables months years rates repeats at_risk changes rankings unread left_out notes",

		"rules": "digest layers", "filter": "from to failure cause where state",
		"totals":          "cases settled open invented invented_left_out no_fault unlisted undecided measured days costs costed unfinished undated",
		"totals.measured": share, "totals.days": "cases median low high", "totals.costs": cost,
		"causes": "by of rows", "causes.rows": row, "causes.rows.costs": cost,
		"verdicts": "cause title tree confirmed ruled_out not_examined",
		"tables":   "by of rows", "tables.rows": row, "tables.rows.costs": cost,
		"months": "month cases costs", "months.costs": cost, "years": "year cases costs", "years.costs": cost,
		"rates":     "given says method of all trend months seasons splits outside notes",
		"rates.all": rate, "rates.trend": rate, "rates.months": rate, "rates.seasons": rate, "rates.splits": "by rows", "rates.splits.rows": rate,
		"repeats": "cause title times", "repeats.times": "case settled after changed finished after_change",
		"at_risk": "shares value open causes", "at_risk.causes": "cause title confirmed others",
		"changes": "causes prevent alone among costs", "changes.causes": "id title", "changes.costs": cost,
		"rankings":       "cases first first_three mean_rank at_least unlisted not_kept untold forecasts came_true brier brier_base tenths",
		"rankings.first": share, "rankings.first_three": share, "rankings.tenths": "from to count forecast came_true low high outside",
		"left_out": "file place why",
	}
}

func TestJSONNames(t *testing.T) {
	text := printed(t, func(w io.Writer) error { return page.JSON(w, invented(t, 150, nastily)) })
	var got map[string]any
	require.NoError(t, json.Unmarshal([]byte(text), &got))
	require.EqualValues(t, 1, got["schema"])
	met := map[string]bool{}
	compare(t, "", got, met)
	for path := range names() {
		require.True(t, met[path], "the book has no %q", path)
	}
	for _, n := range regexp.MustCompile(`(?m): (-?\d[^,\s]*),?$`).FindAllStringSubmatch(text, -1) {
		require.Regexp(t, `^(0|[1-9]\d*)(\.\d{1,4})?$`, n[1])
	}
}

func compare(t *testing.T, path string, x map[string]any, met map[string]bool) {
	t.Helper()
	want, known := names()[path]
	require.True(t, known, "an object where none was promised: %q", path)
	met[path] = true
	require.ElementsMatch(t, strings.Fields(want), slices.Collect(maps.Keys(x)), path)
	for key, v := range x {
		below := strings.TrimPrefix(path+"."+key, ".")
		switch v := v.(type) {
		case map[string]any:
			compare(t, below, v, met)
		case []any:
			for _, item := range v {
				if object, ok := item.(map[string]any); ok {
					compare(t, below, object, met)
				}
			}
		}
	}
}

// TestListsAreNeverNull, so that a reader need not ask.
func TestListsAreNeverNull(t *testing.T) {
	text := printed(t, func(w io.Writer) error { return page.JSON(w, invented(t, 0, nil)) })
	for _, list := range []string{"books", "verdicts", "tables", "months", "years", "repeats", "at_risk", "changes", "unread", "left_out", "notes", "tenths", "where"} {
		require.Contains(t, text, `"`+list+`": [`, list)
	}
}
