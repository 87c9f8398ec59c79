package similar_test

import (
	"bytes"
	"context"
	"fmt"
	"runtime"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"filmfault/casebook"
	"filmfault/internal/book"
	"filmfault/internal/book/booktest"
	"filmfault/internal/book/similar"
	"filmfault/internal/casefile"
	"filmfault/internal/console"
	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
	"filmfault/rules"
)

func shipped(t testing.TB) *diagnosis.Rules {
	t.Helper()
	loaded, err := rulebase.Load(rulebase.Layer{Name: "rules", FS: rules.FS})
	require.NoError(t, err)
	require.NotNil(t, loaded.Base)
	r, err := diagnosis.Prepare(loaded.Base)
	require.NoError(t, err)
	return r
}

func builtIn(t testing.TB) []book.Place {
	t.Helper()
	places, err := book.Book{Shelves: []book.Shelf{{Name: "casebook", FS: casebook.FS}}}.Places()
	require.NoError(t, err)
	require.Greater(t, len(places), 20)
	return places
}

func resolved(t testing.TB, r *diagnosis.Rules, c *casefile.Case) diagnosis.Sheet {
	t.Helper()
	require.NotNil(t, c)
	s, _ := diagnosis.Resolve(r.Base, c)
	return s
}

// TestACaseIsNearestToItself asks about every built-in case among all of them. A
// file that Mentions spares has nothing in common; the other way it may err.
func TestACaseIsNearestToItself(t *testing.T) {
	r := shipped(t)
	places := builtIn(t)
	if testing.Short() {
		places = places[:10]
	}
	spared := 0
	for _, p := range places {
		a, err := similar.Prepare(context.Background(), r, resolved(t, r, p.Read().Case), nil)
		require.NoError(t, err, p.ID)
		require.Positive(t, a.Total, p.ID)
		f, near := similar.NewFinder(a, p.ID, len(places)), map[string]float64{}
		for _, q := range places {
			it := q.Read()
			f.Add(f.Compare(it))
			m, mentioned := a.Compare(resolved(t, r, it.Case)), a.Mentions(it.Data)
			switch {
			case q.ID == p.ID:
				require.InDelta(t, 1, m.Nearness, 1e-9, q.ID)
				require.Empty(t, m.Different, q.ID)
				require.True(t, mentioned, q.ID)
			case len(m.Common) == 0:
				require.Zero(t, m.Nearness, q.ID)
			default:
				require.Less(t, m.Nearness, 1-1e-6, "%s from %s", q.ID, p.ID)
				require.True(t, mentioned, "%s from %s", q.ID, p.ID)
			}
			if !mentioned {
				spared++
			}
			if len(m.Common) > 0 {
				near[q.ID] = m.Nearness
			}
		}
		d := f.Document(0, 0)
		require.Len(t, d.Near, len(near))
		require.Equal(t, p.ID, d.Near[0].Case)
		for _, n := range d.Near { // a search reads only what it compares, and finds the same
			require.InDelta(t, near[n.Case], float64(n.Nearness), 1e-12, "%s from %s", n.Case, p.ID)
		}
		require.True(t, a.Mentions([]byte("{\""+a.Seen[0]+"\":seen}")))
		require.False(t, a.Mentions([]byte("x-"+a.Seen[0]+" "+a.Seen[0]+"s")), "other words")
	}
	require.Greater(t, spared, len(places)*len(places)/2, "it spares most of the reading")
}

// drawn is a random sheet by the shipped rules, with a failure seen or not.
func drawn(t *rapid.T, b *rulebase.Base, failure string) diagnosis.Sheet {
	s := diagnosis.Sheet{Facts: rulebase.Facts{}, Failures: map[string]string{"chalking": "seen"}}
	if rapid.IntRange(0, 4).Draw(t, failure) > 0 {
		s.Failures[failure] = "seen"
	}
	for _, f := range b.Facts {
		if i := rapid.IntRange(-1, len(f.Answers)-1).Draw(t, f.ID); i >= 0 {
			s.Facts[f.ID] = f.Answers[i].ID
		}
	}
	for _, f := range b.Findings {
		n := len(f.Answers)
		if i := rapid.IntRange(-n, n-1).Draw(t, f.ID); i >= 0 {
			s.Answers = append(s.Answers, held(f.ID, n, i, rapid.SampledFrom([]float64{1, 0.8, 0.7}).Draw(t, "sure")))
		}
	}
	return s
}

// TestNothingIsNearerThanTheCaseItself is a property over random past cases: what
// is told as shared and different adds up to the nearness, which is at most 1.
func TestNothingIsNearerThanTheCaseItself(t *testing.T) {
	r := shipped(t)
	var asked []*similar.Asked
	for _, p := range builtIn(t)[:8] {
		a, err := similar.Prepare(context.Background(), r, resolved(t, r, p.Read().Case), nil)
		require.NoError(t, err)
		asked = append(asked, a)
	}
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.SampledFrom(asked).Draw(t, "asked")
		m := a.Compare(drawn(t, r.Base, a.Seen[0]))
		require.LessOrEqual(t, m.Nearness, 1+1e-9)
		require.GreaterOrEqual(t, m.Nearness, -1-1e-9)
		if len(m.Common) == 0 {
			require.Zero(t, m.Nearness)
		}
		sum := 0.0
		for _, s := range m.Shared {
			require.Equal(t, s.Here, s.There)
			sum += s.Weight
		}
		for _, d := range m.Different {
			require.NotEqual(t, d.Here, d.There)
			sum -= d.Weight
		}
		require.InDelta(t, sum/a.Total, m.Nearness, 1e-9)
	})
}

func caseFile(lines ...string) *fstest.MapFile {
	return &fstest.MapFile{Data: []byte("schema: 1\n" + strings.Join(lines, "\n") + "\n")}
}

// search asks about the first case of a folder among the others.
func search(t *testing.T, r *diagnosis.Rules, most int, folder fstest.MapFS) *similar.Document {
	t.Helper()
	places, err := book.Book{Shelves: []book.Shelf{{Name: "book", FS: folder}}}.Places()
	require.NoError(t, err)
	a, err := similar.Prepare(context.Background(), r, resolved(t, r, places[0].Read().Case), nil)
	require.NoError(t, err)
	f := similar.NewFinder(a, places[0].ID, most)
	require.NoError(t, book.Each(context.Background(), places[1:], func(it book.Item) error {
		f.Add(f.Compare(it))
		return nil
	}))
	return f.Document(2, 0)
}

func ids(d *similar.Document) []string {
	var out []string
	for _, n := range d.Near {
		out = append(out, n.Case)
	}
	return out
}

// TestFailuresInCommonComeFirst: both failures before one, whatever else agrees.
func TestFailuresInCommonComeFirst(t *testing.T) {
	asked := []string{"failures: {blistering: seen, bow: seen}", "facts: {colour: dark}", "findings: {blister-content: water}"}
	d := search(t, shipped(t), 10, fstest.MapFS{
		"a.yaml": caseFile(asked...),
		"b.yaml": caseFile("failures: {blistering: seen}", asked[1], asked[2]),
		"c.yaml": caseFile("failures: {blistering: seen, bow: seen, chalking: seen}", "facts: {colour: light}"),
		"d.yaml": caseFile("failures: {chalking: seen}", asked[1], asked[2]),
		"e.yaml": caseFile("failures: {blistering: seen, bow: absent}", asked[1], "findings: {blister-content: nothing}"),
	})
	require.Equal(t, []string{"c", "b", "e"}, ids(d))
	require.Equal(t, 4, d.LookedAt)
	var text bytes.Buffer
	require.NoError(t, similar.Text(&text, d, 200))
	require.Contains(t, text.String(), "Looked at 4 past cases; 3 have a failure in common with it. 2 cases with none of these failures were passed over unread.")
	require.Equal(t, 3, d.InCommon)
	require.Equal(t, "chalking", d.Near[0].OnlyThere[0].ID)
	require.Equal(t, "bow", d.Near[1].OnlyHere[0].ID)
}

func TestMostIsKept(t *testing.T) {
	folder := fstest.MapFS{"a.yaml": caseFile("failures: {blistering: seen}", "findings: {blister-content: water}")}
	for _, id := range []string{"q", "m", "z", "b"} { // equals, in order of their ids
		folder[id+".yaml"] = caseFile("failures: {blistering: seen}")
	}
	folder["x.yaml"] = caseFile("failures: {blistering: seen}", "findings: {blister-content: {answer: water, sure: probably}}")
	d := search(t, shipped(t), 3, folder)
	require.Equal(t, []string{"x", "b", "m"}, ids(d))
	require.InDelta(t, 0.8, float64(d.Near[0].Nearness), 1e-9, "probably is .8, as the help on case files says")
}

// TestItSaysWhatItWasThen: the verdict, its measurement and its reading.
func TestItSaysWhatItWasThen(t *testing.T) {
	d := search(t, shipped(t), 3, fstest.MapFS{
		"a.yaml": caseFile("failures: {bow: seen}", "findings: {log-storage: full-bed}"),
		"b.yaml": caseFile("title: Bowed sheet", "failures: {bow: seen}", "findings: {sheet-mate-string: bowed}",
			"verdict: {settled: 2024-05-02, causes: [{cause: bowed-as-received, state: confirmed, by: sheet-mate-string}]}"),
		"c.yaml": caseFile("title: Open one", "failures: {bow: seen}"),
		"d.yaml": caseFile("title: Sound one", "failures: {bow: seen}", "verdict: {no-fault: yes}"),
	})
	j := d.Near[0].Verdict.Causes[0]
	require.Equal(t, []string{"bowed-as-received", "confirmed", "sheet-mate-string"}, []string{j.Cause, j.State, j.By})
	require.NotEmpty(t, j.Reading)
	require.Nil(t, d.Near[1].Verdict)
	var text, page bytes.Buffer
	require.NoError(t, similar.Text(&text, d, 50))
	require.NoError(t, similar.Markdown(&page, d))
	for _, s := range []string{text.String(), page.String()} {
		flat := strings.Join(strings.Fields(s), " ")
		require.Contains(t, flat, "It was then: Board bowed as received, by bow of the same stack", "title and label in the rules")
		require.Contains(t, flat, "It is open: nothing was settled.")
		require.Contains(t, flat, "It was then: no fault.")
		require.Contains(t, flat, "A similar case is no proof")
	}
	for l := range strings.SplitSeq(text.String(), "\n") {
		require.LessOrEqual(t, console.DisplayWidth(l), 50)
	}
}

func TestPreparingTellsItsSteps(t *testing.T) {
	of, done := 0, 0
	_, err := similar.Prepare(context.Background(), smallRules(t), sheet(nil, held("inside", 3, 0, 1)), func(n int) func() {
		of = n
		return func() { done++ }
	})
	require.NoError(t, err)
	require.Equal(t, 4, of, "without the answer and with each of three")
	require.Equal(t, of, done)
}

func TestAStoppedSearchSaysSo(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := similar.Prepare(ctx, smallRules(t), sheet(nil), nil)
	require.ErrorIs(t, err, context.Canceled)
}

// BenchmarkSimilar reads and compares every case of a book, those too that Mentions
// would spare; MB/peak is the heap at its largest. Cost is in proportion to the
// cases.
func BenchmarkSimilar(b *testing.B) {
	r := shipped(b)
	sizes := []int{1000, 10_000}
	if testing.Short() {
		sizes = sizes[:1]
	}
	for _, n := range sizes {
		places, err := book.Book{Shelves: []book.Shelf{{Name: "book", FS: booktest.Folder(n, 1)}}}.Places()
		require.NoError(b, err)
		asked := resolved(b, r, places[0].Read().Case)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			peak := uint64(0)
			for b.Loop() {
				a, err := similar.Prepare(context.Background(), r, asked, nil)
				require.NoError(b, err)
				f, seen := similar.NewFinder(a, "asked", 5), 0
				require.NoError(b, book.InOrder(context.Background(), places, func(p book.Place) *similar.Candidate {
					it := p.Read()
					c := f.Compare(it)
					return &c
				}, func(c *similar.Candidate) error {
					if f.Add(*c); seen%1000 == 0 {
						var m runtime.MemStats
						runtime.ReadMemStats(&m)
						peak = max(peak, m.HeapAlloc)
					}
					seen++
					return nil
				}))
				require.Equal(b, n, seen)
			}
			b.ReportMetric(float64(peak)/(1<<20), "MB/peak")
		})
	}
}
