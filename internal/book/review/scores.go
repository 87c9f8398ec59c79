package review

import (
	"math"
	"slices"

	"filmfault/internal/casefile"
)

// Forecast is a probability that was stated, and whether it came true.
type Forecast struct {
	Probability float64
	True        bool
}

// Brier is the mean square of the difference between forecasts and what came
// (1 or 0): 0 of perfect ones, .25 of always saying one half. The sum over both
// outcomes that Brier (1950) took is twice this. It is NaN of no forecasts.
func Brier(list []Forecast) float64 {
	sum := 0.0
	for _, f := range list {
		d := f.Probability
		if f.True {
			d--
		}
		sum += d * d
	}
	return sum / float64(len(list))
}

// scores tells how well the rankings did.
func (b *builder) scores() Scores {
	var s Scores
	var forecasts []Forecast
	var t tally
	for _, r := range b.kept {
		if r.Verdict == nil || len(r.Verdict.Ranking) == 0 {
			continue
		}
		s.Cases++
		t.judge(r.Verdict)
		forecasts = append(forecasts, forecastsOf(r.Verdict)...)
	}
	s.First, s.FirstThree = shareOf(t.first, t.judged), shareOf(t.three, t.judged)
	if t.ranked > 0 {
		s.MeanRank, s.AtLeast = number(float64(t.ranks)/float64(t.ranked)), t.below
	}
	s.Unlisted, s.NotKept, s.Untold, s.Forecasts, s.Tenths = t.unlisted, t.notKept, t.untold, len(forecasts), tenths(forecasts)
	for _, f := range forecasts {
		if f.True {
			s.CameTrue++
		}
	}
	if n := float64(len(forecasts)); n > 0 {
		rate := float64(s.CameTrue) / n
		s.Brier, s.BrierBase = number(Brier(forecasts)), number(rate*(1-rate))
	}
	return s
}

// tally counts places of confirmed causes.
type tally struct {
	judged, first, three           int
	ranked, ranks, notKept, untold int
	unlisted                       int
	below                          bool
}

// judge counts the place of the best placed confirmed cause. Where none was
// confirmed, the ranking missed if its first place was ruled out, or if it was
// something the rules do not list: only listed causes were named then. It cannot
// be judged if its first place was not examined.
func (t *tally) judge(v *Outcome) {
	place := func(id string) int {
		return slices.IndexFunc(v.Ranking, func(s casefile.Standing) bool { return s.Cause == id }) + 1
	}
	for _, id := range v.RuledOut {
		if place(id) == 0 {
			t.untold++
		}
	}
	best, below := 0, len(v.Ranking)+1
	for _, id := range v.Confirmed {
		at := place(id)
		if at == 0 {
			t.notKept++
			at = below
		}
		if best == 0 || at < best {
			best = at
		}
	}
	if best == 0 {
		switch {
		case v.Unlisted:
			t.judged++
			t.unlisted++
		case slices.Contains(v.RuledOut, v.Ranking[0].Cause):
			t.judged++
		}
		return
	}
	t.judged++
	t.ranked++
	t.ranks += best
	if best == below {
		t.below = true
		return
	}
	if best == 1 {
		t.first++
	}
	if best <= 3 {
		t.three++
	}
}

// forecastsOf lists the places of a ranking whose cause was examined.
func forecastsOf(v *Outcome) []Forecast {
	var out []Forecast
	met := map[string]bool{}
	for _, s := range v.Ranking {
		confirmed := slices.Contains(v.Confirmed, s.Cause)
		if met[s.Cause] || !confirmed && !slices.Contains(v.RuledOut, s.Cause) {
			continue
		}
		met[s.Cause] = true
		out = append(out, Forecast{s.Contributed, confirmed})
	}
	return out
}

// tenths sorts forecasts by the tenth of the scale they lie in; one on a border
// belongs to the upper tenth, 1 to the last.
func tenths(list []Forecast) []Tenth {
	out := []Tenth{}
	if len(list) == 0 {
		return out
	}
	sums, hits, counts := [10]float64{}, [10]int{}, [10]int{}
	for _, f := range list {
		i := min(9, max(0, int(math.Floor(f.Probability*10+1e-9))))
		sums[i] += f.Probability
		counts[i]++
		if f.True {
			hits[i]++
		}
	}
	for i := range 10 {
		out = append(out, tenthOf(i, counts[i], hits[i], sums[i]))
	}
	return out
}

func tenthOf(i, count, hits int, sum float64) Tenth {
	t := Tenth{From: Number(float64(i) / 10), To: Number(float64(i+1) / 10), Count: count}
	if count == 0 {
		return t
	}
	n := float64(count)
	low, high := BinomialRange(count, sum/n)
	t.Forecast, t.CameTrue = number(sum/n), number(float64(hits)/n)
	t.Low, t.High = number(float64(low)/n), number(float64(high)/n)
	t.Outside = hits < low || hits > high
	return t
}
