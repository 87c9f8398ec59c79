package report

import (
	"math"
	"strings"

	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// Explanation is a cause's way from prior to posterior and what hangs on it.
type Explanation struct {
	Schema     int        `json:"schema"`
	Case       string     `json:"case"`
	Rules      Rules      `json:"rules"`
	Cause      string     `json:"cause"`
	Title      string     `json:"title"`
	Prior      Number     `json:"prior"`
	Posterior  Number     `json:"posterior"`
	Weights    []Pull     `json:"weights"`
	Overturned []Overturn `json:"overturned"`
	Surprise   Surprise   `json:"surprise"`

	Mechanism string   `json:"-"`
	Leads     bool     `json:"-"` // the cause holds the first place
	Seen      []string `json:"-"` // titles of the failures seen
}

// Pull is a weight with its sampling error, 0 when exact.
type Pull struct {
	Weight
	Error    Number `json:"error"`
	Question string `json:"-"`
}

// Overturn is an answer that, were it wrong, would change the first place.
type Overturn struct {
	Finding     string `json:"finding"`
	Answer      string `json:"answer"`
	Leader      string `json:"leader"`
	Contributed Number `json:"contributed"`

	Text  string `json:"-"`
	Title string `json:"-"` // of the new leader
}

// Surprise says how usual such findings are for such failures: Percentile is
// the share of simulated cases that look at most as likely.
type Surprise struct {
	Surprising bool   `json:"surprising"`
	Percentile Number `json:"percentile"`
	Cases      int    `json:"cases"`
}

// Explain gathers the explanation of one cause of the ranking.
func Explain(e *diagnosis.Evaluation, cause string) (*Explanation, error) {
	b := builder{e: e, base: e.Rules.Base}
	ev, _ := b.base.Event(cause)
	accounts, err := e.Accounts([]string{cause})
	if err != nil {
		return nil, err
	}
	account := accounts[0]
	out := &Explanation{
		Schema: Schema, Rules: Rules{b.base.Digest, b.base.Layers}, Cause: cause, Title: ev.Title, Mechanism: ev.Mechanism,
		Prior: Number(account.Prior), Posterior: Number(account.Posterior), Weights: []Pull{}, Overturned: []Overturn{},
		Leads: e.Leader().Cause.ID == cause,
	}
	for _, id := range e.Seen {
		g, _ := b.base.Gate(id)
		out.Seen = append(out.Seen, g.Title)
	}
	for _, w := range account.Weights {
		out.Weights = append(out.Weights, Pull{Weight: b.weight(w), Error: Number(w.Error), Question: b.question(w.Finding)})
	}
	for _, o := range e.Overturning(true) {
		leader, _ := b.base.Event(o.Leader)
		w := diagnosis.Weight{Finding: o.Finding, Answer: o.Answer, Shown: o.Shown}
		out.Overturned = append(out.Overturned, Overturn{o.Finding, o.Answer, o.Leader, Number(o.Contributed), b.said(w), leader.Title})
	}
	s, err := e.Surprise()
	out.Surprise = Surprise{s.Surprising, Number(s.Percentile), s.Cases}
	return out, err
}

func (b *builder) weight(w diagnosis.Weight) Weight {
	return Weight{w.Finding, w.Answer, Number(w.LogOdds), Number(w.Factor()), b.said(w)}
}

func (b *builder) question(id string) string {
	if f, ok := b.base.Finding(id); ok {
		return f.Question
	}
	if g, ok := b.base.Gate(id); ok {
		return g.Title
	}
	return b.calculation(id).Title
}

// Comparison is two rankings side by side.
type Comparison struct {
	Schema int     `json:"schema"`
	Case   string  `json:"case"`
	Rules  Rules   `json:"rules"`
	Change string  `json:"change"`
	Moves  []Moved `json:"ranking"`
}

// Moved is a cause in both rankings; a place is 0 where it is not ranked.
type Moved struct {
	Cause       string `json:"cause"`
	Title       string `json:"title"`
	Before      Number `json:"before"`
	After       Number `json:"after"`
	PlaceBefore int    `json:"place_before"`
	PlaceAfter  int    `json:"place_after"`
}

// mostMoves bounds a comparison to the first places of either ranking.
const mostMoves = 8

// Compare sets two evaluations of a case side by side, in the order of the
// second.
func Compare(before, after *diagnosis.Evaluation, name, change string) Comparison {
	base := after.Rules.Base
	out := Comparison{Schema: Schema, Case: name, Rules: Rules{base.Digest, base.Layers}, Change: change, Moves: []Moved{}}
	old := map[string]int{}
	first := before.Ranking()
	for i, r := range first {
		old[r.Cause.ID] = i + 1
	}
	second := after.Ranking()
	for i, r := range second {
		m := Moved{Cause: r.Cause.ID, Title: r.Cause.Title, After: Number(r.Contributed), PlaceAfter: i + 1, PlaceBefore: old[r.Cause.ID]}
		if m.PlaceBefore > 0 {
			m.Before = Number(first[m.PlaceBefore-1].Contributed)
		}
		delete(old, r.Cause.ID)
		near := m.PlaceAfter <= mostMoves/2 || m.PlaceBefore > 0 && m.PlaceBefore <= mostMoves/2
		if near && math.Max(float64(m.Before), float64(m.After)) >= 0.005 {
			out.Moves = append(out.Moves, m)
		}
	}
	for _, r := range first {
		if place, gone := old[r.Cause.ID]; gone && place <= mostMoves/2 {
			out.Moves = append(out.Moves, Moved{Cause: r.Cause.ID, Title: r.Cause.Title, Before: Number(r.Contributed), PlaceBefore: place})
		}
	}
	return out
}

// Measuring is the open measurements of a case, by worth.
type Measuring struct {
	Schema       int           `json:"schema"`
	Case         string        `json:"case"`
	Rules        Rules         `json:"rules"`
	Measurements []Measurement `json:"measurements"`
}

// Measurement is one open measurement: what it costs, what decides, and the
// leading causes under each of its answers.
type Measurement struct {
	Measurement   string   `json:"measurement"`
	Title         string   `json:"title"`
	Method        string   `json:"method"`
	Decides       string   `json:"decides"`
	Minutes       Number   `json:"minutes"`
	Damage        string   `json:"damage"`
	Tools         []string `json:"tools"`
	Cautions      []string `json:"cautions"`
	Worth         Number   `json:"worth"`
	ChangesLeader Number   `json:"changes_leader"`
	Answers       []Branch `json:"answers"`

	Warnings []string `json:"-"` // the cautions called for, one sentence each
}

// Branch is one answer of a measurement and the ranking it leads to.
type Branch struct {
	Answer      string   `json:"answer"`
	Text        string   `json:"text"`
	Probability Number   `json:"probability"`
	Ranking     []Chance `json:"ranking"`
}

// Chance is a cause with a probability.
type Chance struct {
	Cause       string `json:"cause"`
	Title       string `json:"title"`
	Contributed Number `json:"contributed"`
}

// branchCauses is how many causes are told on each side of a measurement.
const branchCauses = 3

// Measurements gathers priced measurements for printing.
func Measurements(e *diagnosis.Evaluation, p *diagnosis.Prices, name string) Measuring {
	b := builder{e: e, base: e.Rules.Base}
	out := Measuring{Schema: Schema, Case: name, Rules: Rules{b.base.Digest, b.base.Layers}, Measurements: []Measurement{}}
	for _, q := range p.Questions {
		out.Measurements = append(out.Measurements, b.measurement(p, q))
	}
	return out
}

func (b *builder) measurement(p *diagnosis.Prices, q diagnosis.Question) Measurement {
	f := q.Finding
	m := Measurement{
		Measurement: f.ID, Title: f.Question, Method: f.Measurement.Method, Decides: f.Measurement.Decides,
		Minutes: Number(f.Minutes), Damage: f.Damage, Tools: orEmpty(f.Tools), Cautions: b.calledTexts(f.Cautions),
		Worth: Number(q.Worth), ChangesLeader: Number(q.ChangesLeader), Answers: []Branch{},
	}
	for _, id := range f.Cautions {
		if c, ok := b.base.Caution(id); ok && b.called(c) {
			m.Warnings = append(m.Warnings, c.Short)
		}
	}
	for i, a := range f.Answers {
		m.Answers = append(m.Answers, b.branch(p, q, i, a))
	}
	return m
}

// calledTexts is the full text of the cautions that are called for.
func (b *builder) calledTexts(ids []string) []string {
	out := []string{}
	for _, id := range ids {
		if c, ok := b.base.Caution(id); ok && b.called(c) {
			out = append(out, c.Text)
		}
	}
	return out
}

func (b *builder) branch(p *diagnosis.Prices, q diagnosis.Question, i int, a rulebase.Answer) Branch {
	s := p.Side(q, []int{i})
	out := Branch{Answer: a.ID, Text: a.Text, Probability: Number(s.Probability), Ranking: []Chance{}}
	for _, c := range s.Ranking[:min(branchCauses, len(s.Ranking))] {
		ev, _ := b.base.Event(c.Cause)
		out.Ranking = append(out.Ranking, Chance{c.Cause, ev.Title, Number(c.Contributed)})
	}
	return out
}

// Sentence ends a text with a full stop, once.
func Sentence(s string) string { return strings.TrimRight(s, ".") + "." }
