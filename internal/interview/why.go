package interview

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// explain says why a question is asked.
func (v *visit) explain(q question) {
	text := ""
	switch q.kind {
	case aFact:
		text = v.whyFact(q)
	case aFinding:
		f, _ := v.base.Finding(q.id)
		text = strings.TrimSpace(f.Why + " " + v.whyNow(f))
	default:
		text = "What fails, and what was looked for and is not there, decides which causes come into question at all."
	}
	v.prompter.Say(text)
}

// whyFact says what a fact changes.
func (v *visit) whyFact(q question) string {
	if q.stage == rulebase.StageSafety {
		return "It decides what may be touched, and what must be made safe before anything else."
	}
	titles := v.causesOn(q.id)
	if len(titles) == 0 {
		return "Some questions only make sense, or tell more, when this is known."
	}
	return "It changes how usual some causes are: " + strings.Join(titles, "; ") + "."
}

// mostTitles is how many causes are named in one sentence.
const mostTitles = 2

// causesOn lists titles of causes, of the failures seen, whose rate depends on
// a fact.
func (v *visit) causesOn(fact string) []string {
	below := under(v.base, v.seen())
	var out []string
	for _, e := range v.base.Events {
		if len(out) < mostTitles && e.Cause && below[e.ID] && rateNames(e.Rate, fact) {
			out = append(out, e.Title)
		}
	}
	return out
}

func rateNames(r rulebase.Rate, fact string) bool {
	return slices.ContainsFunc(r, func(row rulebase.RateRow) bool {
		return slices.ContainsFunc(row.When, func(is rulebase.Is) bool { return is.ID == fact })
	})
}

// whyNow says which of the leading causes the answer bears on most.
func (v *visit) whyNow(f rulebase.Finding) string {
	ev, err := v.evaluate()
	if err != nil {
		return ""
	}
	prices, err := ev.Price(func(other rulebase.Finding) bool { return other.ID == f.ID })
	if err != nil {
		return ""
	}
	q, ok := prices.Find(f.ID)
	if !ok {
		return ""
	}
	return v.tellsApart(f, movesOf(prices, q))
}

// move is how far the answers to a question move one cause.
type move struct {
	cause  string
	far    float64
	answer int // the one that speaks for the cause most
}

// leastMove is the expected move below which a cause is not named.
const leastMove = 0.01

// movesOf lists the causes a question moves, the most moved first.
func movesOf(p *diagnosis.Prices, q diagnosis.Question) []move {
	all := make([]int, len(q.Answer))
	for i := range all {
		all[i] = i
	}
	now := chances(p.Side(q, all))
	then := make([]map[string]float64, len(all))
	for a := range all {
		then[a] = chances(p.Side(q, all[a:a+1]))
	}
	var out []move
	for _, cause := range p.Targets {
		m := move{cause: cause}
		for a, share := range q.Answer {
			m.far += share * math.Abs(then[a][cause]-now[cause])
			if then[a][cause] > then[m.answer][cause] {
				m.answer = a
			}
		}
		if m.far >= leastMove {
			out = append(out, m)
		}
	}
	slices.SortStableFunc(out, func(a, b move) int { return strings.Compare(rounded(b.far), rounded(a.far)) })
	return out
}

// rounded compares as text, so that noise in the last digits decides nothing.
func rounded(x float64) string { return fmt.Sprintf("%.9f", x) }

func chances(s diagnosis.Side) map[string]float64 {
	out := map[string]float64{}
	for _, c := range s.Ranking {
		out[c.Cause] = c.Contributed
	}
	return out
}

// tellsApart names the two causes moved most and the answers that speak for
// them.
func (v *visit) tellsApart(f rulebase.Finding, moves []move) string {
	if len(moves) == 0 {
		return ""
	}
	first := moves[0]
	if len(moves) == 1 {
		return fmt.Sprintf("Of the likely causes it bears most on this one: %s.", v.causeTitle(first.cause))
	}
	second := moves[1]
	one, two := v.causeTitle(first.cause), v.causeTitle(second.cause)
	if first.answer == second.answer {
		return fmt.Sprintf("Of the likely causes it bears most on these two: %s; %s.", one, two)
	}
	return fmt.Sprintf("It helps to tell two of the likely causes apart. \"%s\" would speak for: %s. \"%s\" would speak for: %s.",
		f.Answers[first.answer].Text, one, f.Answers[second.answer].Text, two)
}

func (v *visit) causeTitle(id string) string {
	e, ok := v.base.Event(id)
	if !ok {
		return id
	}
	return e.Title
}
