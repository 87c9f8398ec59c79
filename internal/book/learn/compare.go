package learn

import (
	"math"
	"slices"

	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// Place is a cause of a ranking with the probability that it contributed.
type Place struct {
	Cause       string
	Contributed float64
}

// Ranking is causes, the likeliest first.
type Ranking []Place

// RankingOf is the ranking of an evaluation.
func RankingOf(e *diagnosis.Evaluation) Ranking {
	var out Ranking
	for _, r := range e.Ranking() {
		out = append(out, Place{r.Cause.ID, r.Contributed})
	}
	return out
}

// Stood is the ranking of a case as it stood when it was settled, under the ids in
// force; none where the case keeps none.
func Stood(b *rulebase.Base, v *casefile.Verdict) Ranking {
	var out Ranking
	for _, s := range v.Ranking {
		out = append(out, Place{b.Current(s.Cause), s.Contributed})
	}
	return out
}

// First is the leading cause, "" of no ranking.
func (r Ranking) First() string {
	if len(r) == 0 {
		return ""
	}
	return r[0].Cause
}

// find is the place of a cause, counted from 1, and its probability; 0 for one
// that the ranking does not name.
func (r Ranking) find(cause string) (int, float64) {
	i := slices.IndexFunc(r, func(p Place) bool { return p.Cause == cause })
	if i < 0 {
		return 0, 0
	}
	return i + 1, r[i].Contributed
}

// Turn says which way a ranking went.
type Turn string

// The turns: the confirmed cause stands further up, further down, or where it was;
// or no listed cause was confirmed.
const (
	Better  Turn = "better"
	Worse   Turn = "worse"
	Same    Turn = "same"
	NoCause Turn = "no-cause"
)

// Compared is a settled case ranked twice.
type Compared struct {
	Case          string
	Before, After Ranking
	// Confirmed is the confirmed cause that stands highest in either ranking, ""
	// for none; its places are 0 where a ranking does not name it.
	Confirmed               string
	PlaceBefore, PlaceAfter int
	// Judged are the causes confirmed or ruled out that the score counts; the sums are of the squares
	// between their probabilities and 1 or 0.
	Judged                      int
	SquaresBefore, SquaresAfter float64
}

// Compare compares two rankings of a case with its verdict. Both are cut to the
// shorter, so that neither is judged by places that the other does not keep. What
// was said of a cause beyond those places is not known, so that one ruled out is
// left out of the score; one confirmed is a miss, with probability 0.
func Compare(id string, judged []Judged, before, after Ranking) Compared {
	n := min(len(before), len(after))
	c := Compared{Case: id, Before: before[:n], After: after[:n]}
	for _, j := range judged {
		then, p := c.Before.find(j.Cause)
		now, q := c.After.find(j.Cause)
		if then == 0 && !j.Confirmed {
			continue
		}
		c.Judged++
		if then > 0 && now == 0 { // it fell below them, to a probability that is known
			_, q = after.find(j.Cause)
		}
		truth := 0.0
		if j.Confirmed {
			truth = 1
			c.confirmed(j.Cause, then, now)
		}
		c.SquaresBefore += (p - truth) * (p - truth)
		c.SquaresAfter += (q - truth) * (q - truth)
	}
	return c
}

// confirmed takes a confirmed cause for the case's if it stands higher than the
// one so far.
func (c *Compared) confirmed(cause string, then, now int) {
	if c.Confirmed == "" || min(rank(then), rank(now)) < min(rank(c.PlaceBefore), rank(c.PlaceAfter)) {
		c.Confirmed, c.PlaceBefore, c.PlaceAfter = cause, then, now
	}
}

// rank is a place for comparing: one that is not there lies behind all.
func rank(place int) int {
	if place == 0 {
		return math.MaxInt
	}
	return place
}

// Turn says which way the ranking went.
func (c Compared) Turn() Turn {
	switch then, now := rank(c.PlaceBefore), rank(c.PlaceAfter); {
	case c.Confirmed == "":
		return NoCause
	case now < then:
		return Better
	case now > then:
		return Worse
	}
	return Same
}

// FirstChanged reports whether another cause leads.
func (c Compared) FirstChanged() bool { return c.Before.First() != c.After.First() }

// Summary is how two ways of ranking did over many cases.
type Summary struct {
	Cases, FirstChanged          int
	Better, Worse, Same, NoCause int
	Before, After                Score
	Judged                       int // causes confirmed or ruled out, over all cases
}

// Score is how one way of ranking did: in how many cases a confirmed cause came
// first, and among the first three; and the Brier score, the mean square between
// probability and outcome over all causes judged, 0 at best (Brier 1950, as a mean
// over single causes).
type Score struct {
	First, FirstThree int
	Brier             float64
}

// Summarise adds comparisons up.
func Summarise(list []Compared) Summary {
	s := Summary{Cases: len(list)}
	for _, c := range list {
		turns := map[Turn]*int{Better: &s.Better, Worse: &s.Worse, Same: &s.Same, NoCause: &s.NoCause}
		*turns[c.Turn()]++
		if c.FirstChanged() {
			s.FirstChanged++
		}
		s.Before.place(c.PlaceBefore)
		s.After.place(c.PlaceAfter)
		s.Judged += c.Judged
		s.Before.Brier += c.SquaresBefore
		s.After.Brier += c.SquaresAfter
	}
	if s.Judged > 0 {
		s.Before.Brier /= float64(s.Judged)
		s.After.Brier /= float64(s.Judged)
	}
	return s
}

func (s *Score) place(n int) {
	if n == 1 {
		s.First++
	}
	if n >= 1 && n <= 3 {
		s.FirstThree++
	}
}
