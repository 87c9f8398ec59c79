package review_test

import (
	"encoding/json"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"filmfault/internal/book/booktest"
	"filmfault/internal/book/review"
)

// someBook is an invented book of ordinary cases, read once.
func someBook(t testing.TB, cases int) (build func(review.Input, review.Asked) *review.Document, in review.Input) {
	t.Helper()
	b := shipped(t)
	in, said := input(t, b, booktest.Folder(cases, 11))
	require.Empty(t, said)
	require.Len(t, in.Records, cases)
	return func(in review.Input, a review.Asked) *review.Document {
		f, err := review.ParseFilter(b, a)
		require.NoError(t, err)
		return review.Build(b, in, f)
	}, in
}

func TestTheOrderOfCasesChangesNothing(t *testing.T) {
	build, in := someBook(t, 60)
	want, err := json.Marshal(build(in, review.Asked{}))
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		mixed := in
		mixed.Records = rapid.Permutation(in.Records).Draw(t, "order")
		got, err := json.Marshal(build(mixed, review.Asked{}))
		if err != nil || string(got) != string(want) {
			t.Fatalf("another order gives another review, %v", err)
		}
	})
}

// some draws a part of the cases.
func some(t *rapid.T, in review.Input) review.Input {
	out := in
	out.Records = nil
	for i, r := range in.Records {
		if rapid.Bool().Draw(t, "keep") {
			// What verdicts can say is more than the book has.
			if r.Verdict != nil {
				v := *r.Verdict
				v.NoFault, v.Unlisted = i%7 == 0, i%5 == 0
				r.Verdict = &v
			}
			if i%3 == 0 {
				r.Failures = append(slices.Clone(r.Failures), "soft-film")
			}
			out.Records = append(out.Records, r)
		}
	}
	return out
}

func TestSharesAndCostsAddUp(t *testing.T) {
	build, in := someBook(t, 60)
	rapid.Check(t, func(t *rapid.T) {
		d := build(some(t, in), review.Asked{})
		total := map[string]review.Cents{}
		for _, a := range d.Totals.Costs {
			total[a.Currency] = a.Amount
		}
		for _, x := range append(d.Tables, d.Causes) {
			shares, last := 0.0, review.Number(0)
			sum := map[string]review.Cents{}
			for _, r := range x.Rows {
				shares, last = shares+float64(r.Share), r.SoFar
				for _, a := range r.Costs {
					sum[a.Currency] += a.Amount
				}
			}
			if x.Of > 0 && (shares < 1-1e-9 || shares > 1+1e-9 || last < 1-1e-9) {
				t.Fatalf("the shares by %s add up to %v, so far %v", x.By, shares, last)
			}
			for cur, c := range sum {
				if c != total[cur] {
					t.Fatalf("the costs by %s add up to %v, not %v", x.By, c, total[cur])
				}
			}
		}
		t2 := d.Totals
		if t2.Settled+t2.Open != t2.Cases || d.Causes.Of != t2.Settled {
			t.Fatal("cases went missing")
		}
	})
}

// sums are figures of a review that add up over parts of the book.
func sums(d *review.Document) []int {
	out := []int{d.Totals.Cases, d.Totals.Settled, d.Totals.Open, d.Totals.Costed, d.Totals.Days.Cases, d.Totals.Undecided, d.Rankings.Cases, d.Rankings.Forecasts, d.Rankings.CameTrue}
	for _, a := range d.Totals.Costs {
		out = append(out, int(a.Amount))
	}
	for len(out) < 10 {
		out = append(out, 0)
	}
	return out
}

func TestFiltersPartition(t *testing.T) {
	build, in := someBook(t, 80)
	rapid.Check(t, func(t *rapid.T) {
		book := some(t, in)
		cut := review.Day(738_000 + rapid.IntRange(0, 2000).Draw(t, "cut"))
		parts := rapid.SampledFrom([][]review.Asked{
			{{Settled: true}, {Open: true}},
			{{To: cut.String()}, {From: (cut + 1).String()}},
			{{Where: []string{"tool=brush"}}, {Where: []string{"tool=roller"}}, {Where: []string{"tool=spray"}}, {Where: []string{"tool=not-known"}}},
		}).Draw(t, "parts")
		whole := sums(build(book, review.Asked{}))
		got := make([]int, len(whole))
		for _, a := range parts {
			for i, n := range sums(build(book, a)) {
				got[i] += n
			}
		}
		if !slices.Equal(whole, got) {
			t.Fatalf("%v: the parts add up to %v, the whole is %v", parts, got, whole)
		}
	})
}

// TestGoodRankingsLieOnTheDiagonal: the invented book confirms causes as often as
// its rankings say, so that few tenths lie outside their bars.
func TestGoodRankingsLieOnTheDiagonal(t *testing.T) {
	build, in := someBook(t, 1500)
	s := build(in, review.Asked{}).Rankings
	outside, counted := 0, 0
	for _, x := range s.Tenths {
		counted += x.Count
		if x.Outside {
			outside++
		}
	}
	require.Equal(t, s.Forecasts, counted)
	require.LessOrEqual(t, outside, 3, "one in ten is expected of ten")
	require.Less(t, float64(*s.Brier), float64(*s.BrierBase))
}

func BenchmarkTenThousandCases(b *testing.B) {
	base := shipped(b)
	folder := booktest.Folder(10_000, 3)
	for b.Loop() {
		in, _ := input(b, base, folder)
		review.Build(base, in, review.Filter{})
	}
}
