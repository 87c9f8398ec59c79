package review_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"filmfault/internal/book/review"
	"filmfault/internal/casefile"
)

// standing is a ranking of causes with their probabilities.
func standing(pairs ...any) []casefile.Standing {
	var out []casefile.Standing
	for i := 0; i+1 < len(pairs); i += 2 {
		out = append(out, casefile.Standing{Cause: pairs[i].(string), Contributed: pairs[i+1].(float64)})
	}
	return out
}

// TestWilson compares with R. G. Newcombe, Two-sided confidence intervals for the
// single proportion: comparison of seven methods, Statistics in Medicine 17,
// 1998, table I, method 3, at 95 %; figures from memory, 0 of 20 also by hand:
// z2/(n+z2).
func TestWilson(t *testing.T) {
	const z95 = 1.959963984540054
	for _, x := range []struct {
		k, n      int
		low, high float64
	}{{81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0, 0.1611}, {1, 29, 0.0061, 0.1718}} {
		low, high := review.Wilson(x.k, x.n, z95)
		require.InDelta(t, x.low, low, 5e-5, "%d of %d", x.k, x.n)
		require.InDelta(t, x.high, high, 5e-5, "%d of %d", x.k, x.n)
	}
	low, high := review.Wilson(0, 0, z95)
	require.Equal(t, []float64{0, 1}, []float64{low, high})
}

// TestWilsonMeetsItsDefinition: at an end p that is not 0 or 1, k lies z standard
// deviations from n p.
func TestWilsonMeetsItsDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5000).Draw(t, "n")
		k := rapid.IntRange(0, n).Draw(t, "k")
		z := rapid.Float64Range(0.5, 3).Draw(t, "z")
		low, high := review.Wilson(k, n, z)
		if low < 0 || low > float64(k)/float64(n) || high < float64(k)/float64(n) || high > 1 {
			t.Fatalf("%v to %v for %d of %d", low, high, k, n)
		}
		for _, p := range []float64{low, high} {
			if p == 0 || p == 1 {
				continue
			}
			off := math.Abs(float64(k)-float64(n)*p) / math.Sqrt(float64(n)*p*(1-p))
			if math.Abs(off-z) > 1e-6 {
				t.Fatalf("%d of %d: %v lies %v deviations off, not %v", k, n, p, off, z)
			}
		}
	})
}

// TestBinomialRange compares with the cumulative binomial tables of textbooks:
// n 10, p .5: .0107 up to 1, .0547 up to 2, .9453 up to 7, .9893 up to 8;
// n 20, p .1: .1216 at 0, .8670 up to 3, .9568 up to 4.
func TestBinomialRange(t *testing.T) {
	for _, x := range []struct {
		n         int
		p         float64
		low, high int
	}{{10, 0.5, 2, 8}, {20, 0.1, 0, 4}, {1, 0.5, 0, 1}, {5, 0, 0, 0}, {5, 1, 5, 5}, {0, 0.3, 0, 0}} {
		low, high := review.BinomialRange(x.n, x.p)
		require.Equal(t, []int{x.low, x.high}, []int{low, high}, "%d at %v", x.n, x.p)
	}
	low, high := review.BinomialRange(100_000, 0.5)
	// The normal approximation: 50000 less and more 1.645 * 158.1 = 260.
	require.InDelta(t, 49740, low, 2)
	require.InDelta(t, 50260, high, 2)
}

// TestBrier is the example of G. W. Brier, Verification of forecasts expressed in
// terms of probability, Monthly Weather Review 78, 1950, table 1: ten forecasts
// of rain, whose score over both outcomes is .19 (from memory; the squares are
// .49, .01, .04, .36, .04 and .01, together .95). Ours is half of it.
func TestBrier(t *testing.T) {
	rain := []bool{false, true, true, true, false, false, false, false, false, false}
	var list []review.Forecast
	for i, p := range []float64{0.7, 0.9, 0.8, 0.4, 0.2, 0, 0, 0, 0, 0.1} {
		list = append(list, review.Forecast{Probability: p, True: rain[i]})
	}
	require.InDelta(t, 0.19/2, review.Brier(list), 1e-12)
	require.True(t, math.IsNaN(review.Brier(nil)))
}

// TestMoney has the ways in which people write money; common practice, no source.
func TestMoney(t *testing.T) {
	for text, want := range map[string]review.Amount{
		"180": {Currency: "", Amount: 18000}, "$180": {Currency: "$", Amount: 18000}, "180 USD": {Currency: "USD", Amount: 18000},
		" $ 1,250.50 ": {Currency: "$", Amount: 125050}, "1.250,50 €": {Currency: "€", Amount: 125050}, "180,5 eur": {Currency: "EUR", Amount: 18050},
		"1,250": {Currency: "", Amount: 125000}, "12,345,678.9": {Currency: "", Amount: 1234567890}, "1 250,00 SEK": {Currency: "SEK", Amount: 125000},
		"US$ 20": {Currency: "US$", Amount: 2000}, "$180 USD": {Currency: "USD", Amount: 18000}, "0": {Currency: "", Amount: 0}, "£7.05": {Currency: "£", Amount: 705},
		"CAD 90": {Currency: "CAD", Amount: 9000},
	} {
		got, err := review.ParseMoney(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "a lot", "1.250", "180-200", "-20", "3 hrs", "2 h", "180 MIN", "12,34,56", "$180 CAD", "1e3", "180.555", "about 180", "12345678901234", "5 %"} {
		_, err := review.ParseMoney(text)
		require.Error(t, err, text)
	}
}

func TestMoneyIsWrittenAsItWasTyped(t *testing.T) {
	for want, a := range map[string]review.Amount{
		"$1,234.50": {Currency: "$", Amount: 123450}, "1,234 CAD": {Currency: "CAD", Amount: 123400}, "999": {Currency: "", Amount: 99900}, "0.05": {Currency: "", Amount: 5},
	} {
		require.Equal(t, want, a.String())
	}
}

// TestWhatWasPrintedReadsBack takes any amount there and back.
func TestWhatWasPrintedReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := review.Amount{
			Currency: rapid.SampledFrom([]string{"", "$", "USD", "€", "CAD", "NZ$"}).Draw(t, "currency"),
			Amount:   review.Cents(rapid.Int64Range(0, 99_999_999_999).Draw(t, "cents")),
		}
		back, err := review.ParseMoney(a.String())
		if err != nil || back != a {
			t.Fatalf("%v reads %v, %v", a, back, err)
		}
	})
}

// TestCurrencies: a sign and its code are one where both are used; an amount
// without either is in the only other currency.
func TestCurrencies(t *testing.T) {
	costs := func(texts ...string) []review.Amount {
		r := review.Record{ID: "a", Verdict: &review.Outcome{Confirmed: []string{"no-key"}}}
		for _, x := range texts {
			a, err := review.ParseMoney(x)
			require.NoError(t, err)
			r.Costs = append(r.Costs, a)
		}
		return review.Build(small(t), review.Input{Records: []review.Record{r}}, review.Filter{}).Totals.Costs
	}
	require.Equal(t, []review.Amount{{Currency: "USD", Amount: 60000}}, costs("$100", "200 USD", "300"))
	require.Equal(t, []review.Amount{{Currency: "$", Amount: 30000}}, costs("$100", "200"))
	require.Equal(t, []review.Amount{{Currency: "", Amount: 30000}}, costs("100", "200"))
	require.Equal(t, []review.Amount{{Currency: "CAD", Amount: 30000}, {Currency: "$", Amount: 5000}}, costs("100 CAD", "200 CAD", "$50"))
	require.Equal(t, []review.Amount{{Currency: "$", Amount: 10000}, {Currency: "", Amount: 20000}, {Currency: "CAD", Amount: 30000}}, costs("$100", "200", "300 CAD"))
}

func TestDays(t *testing.T) {
	d, err := review.ParseDay("2026-04-17 09:30")
	require.NoError(t, err)
	require.Equal(t, "2026-04-17", d.String())
	require.Equal(t, "2026-04", d.Month().String())
	require.Equal(t, "2026-W16", d.Week(), "ISO 8601: 4 January is always in week 1, and 2026-01-05 begins week 2")
	eve, err := review.ParseDay("2024-12-31T23:00:00Z")
	require.NoError(t, err)
	require.Equal(t, "2025-W01", eve.Week())
	first, err := review.ParseDay("2025-01-01")
	require.NoError(t, err)
	require.Equal(t, eve+1, first)
	for _, bad := range []string{"", "2026-04", "2026-13-01", "2026-02-29", "17.4.2026", "2026-04-17x", "1026-04-17", "yesterday"} {
		_, err := review.ParseDay(bad)
		require.Error(t, err, bad)
	}
}
