package learn

import (
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/casefile"
)

func ranking(words ...any) Ranking {
	var out Ranking
	for i := 0; i < len(words); i += 2 {
		out = append(out, Place{words[i].(string), words[i+1].(float64)})
	}
	return out
}

// TestCompare: places and squares by hand.
func TestCompare(t *testing.T) {
	before := ranking("wet", 0.6, "thick", 0.2, "dusty", 0.1)
	after := ranking("thick", 0.5, "wet", 0.3, "late", 0.1, "dusty", 0.05)
	c := Compare("x", judged("+thick", "-wet", "-dusty"), before, after)
	require.Equal(t, "thick", c.Confirmed)
	require.Equal(t, 2, c.PlaceBefore)
	require.Equal(t, 1, c.PlaceAfter)
	require.Equal(t, Better, c.Turn())
	require.True(t, c.FirstChanged())
	require.InDelta(t, 0.8*0.8+0.6*0.6+0.1*0.1, c.SquaresBefore, 1e-12)
	require.InDelta(t, 0.5*0.5+0.3*0.3+0.05*0.05, c.SquaresAfter, 1e-12, "dusty fell below the places kept, to a probability that is known")
	c = Compare("x", judged("-late", "+greasy"), before, after)
	require.Equal(t, 1, c.Judged, "what was said of late then is not known; greasy was missed")
	require.InDelta(t, 1, c.SquaresBefore, 1e-12)
	require.Equal(t, Worse, Compare("x", judged("+thick"), after, before).Turn())
	require.Equal(t, Same, Compare("x", judged("+thick"), before, before).Turn())
	require.Equal(t, NoCause, Compare("x", judged("-thick"), before, after).Turn())
	require.Equal(t, Worse, Compare("x", judged("+dusty"), before, after).Turn(), "not among the places any more")
	require.Equal(t, Same, Compare("x", judged("+greasy"), before, after).Turn(), "in neither")
	require.Equal(t, "thick", Compare("x", judged("+thick", "+dusty"), before, after).Confirmed, "the one that stands highest")
}

func TestSummarise(t *testing.T) {
	before, after := ranking("wet", 0.6, "thick", 0.2), ranking("thick", 0.5, "wet", 0.3)
	s := Summarise([]Compared{
		Compare("a", judged("+thick"), before, after),
		Compare("b", judged("+wet", "-thick"), before, after),
		Compare("c", judged("-wet"), before, before),
	})
	require.Equal(t, 3, s.Cases)
	require.Equal(t, []int{1, 1, 0, 1, 2}, []int{s.Better, s.Worse, s.Same, s.NoCause, s.FirstChanged})
	require.Equal(t, 4, s.Judged)
	require.Equal(t, []int{1, 2, 1, 2}, []int{s.Before.First, s.Before.FirstThree, s.After.First, s.After.FirstThree})
	require.InDelta(t, (0.8*0.8+0.4*0.4+0.2*0.2+0.6*0.6)/4, s.Before.Brier, 1e-12)
	require.InDelta(t, (0.5*0.5+0.7*0.7+0.5*0.5+0.6*0.6)/4, s.After.Brier, 1e-12)
	require.Zero(t, Summarise(nil).Before.Brier)
}

// TestJudgements: what a verdict says of causes, each once, under the ids in force.
func TestJudgements(t *testing.T) {
	b := base(t, smallRules)
	v := &casefile.Verdict{Causes: []casefile.Finding{
		{Cause: "wet", State: casefile.RuledOut},
		{Cause: "thick", State: casefile.Confirmed, By: "weight"},
		{Cause: "wet", State: casefile.Confirmed, By: "weight"},
		{Cause: "late", State: casefile.NotExamined},
		{Cause: "heat", State: casefile.Confirmed},
		{Cause: "dusty", State: casefile.RuledOut},
	}}
	c := &casefile.Case{Verdict: v, Findings: []casefile.Entry{{ID: "weight", Answer: "yes"}}}
	require.Equal(t, judged("+thick*", "+wet*", "-dusty"), Judgements(b, c))
	c.Findings[0] = casefile.Entry{ID: "weight", NotChecked: true}
	require.Equal(t, judged("+thick", "+wet", "-dusty"), Judgements(b, c), "a measurement without its reading is an opinion")
	require.Empty(t, Judgements(b, &casefile.Case{}))
	require.Equal(t, ranking("wet", 0.5), Stood(b, &casefile.Verdict{Settlement: casefile.Settlement{Ranking: []casefile.Standing{{Cause: "wet", Contributed: 0.5}}}}))
}
