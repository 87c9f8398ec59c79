package report

import (
	"slices"
	"strings"

	"filmfault/internal/diagnosis"
	"filmfault/internal/implied"
	"filmfault/internal/rulebase"
)

// Options says how much of a document to work out.
type Options struct {
	Stories      bool // what acted together, and what would have prevented it
	Weights      bool // pulls of each answer, for leading causes
	Measurements bool // questions by worth and confirming measurements with their sides
}

// Everything asks for the whole document.
func Everything() Options { return Options{Stories: true, Weights: true, Measurements: true} }

// The document explains causes down to this probability, and at most so many.
const (
	leastExplained = 0.05
	mostExplained  = 8
	nextShown      = 12
)

// Build gathers the document of an evaluation. log is what the case's log
// implies, nil for none; name is the case's id or file.
func Build(e *diagnosis.Evaluation, log *implied.Log, name string, o Options) (*Document, error) {
	b := builder{e: e, base: e.Rules.Base, doc: &Document{
		Schema: Schema, Case: name,
		Rules:    Rules{e.Rules.Base.Digest, e.Rules.Base.Layers},
		Failures: []FailureState{}, Ranking: []Cause{}, Unlisted: []Unlisted{}, Stories: []Story{}, PreventedBy: [][]string{},
		Next: []Question{}, Calculations: []Calculation{}, Conflicts: []Conflict{}, Cautions: []string{},
	}}
	b.failures()
	b.known()
	b.fromLog(log)
	if o.Stories {
		if err := b.stories(); err != nil {
			return nil, err
		}
	}
	b.ranking()
	if o.Weights {
		if err := b.weights(); err != nil {
			return nil, err
		}
	}
	if o.Measurements {
		if err := b.measurements(); err != nil {
			return nil, err
		}
	}
	b.cautions()
	return b.doc, nil
}

type builder struct {
	e    *diagnosis.Evaluation
	base *rulebase.Base
	doc  *Document
	told []diagnosis.Story
}

func (b *builder) failures() {
	for _, g := range b.base.Failures() {
		state, looked := b.e.Sheet.Failures[g.ID]
		if !looked {
			continue
		}
		b.doc.Failures = append(b.doc.Failures, FailureState{g.ID, state, g.Title})
		if state == rulebase.StateSeen {
			b.doc.Advice = append(b.doc.Advice, Advice{g.Title, g.Failure.MakeSafe, g.Failure.Temporary, g.Failure.Never})
		}
	}
	b.doc.Skipped = append(b.doc.Skipped, b.e.Sheet.Skipped...)
}

func (b *builder) stories() error {
	list, err := b.e.Stories()
	if err != nil {
		return err
	}
	b.told = list
	for _, s := range list {
		b.doc.Stories = append(b.doc.Stories, Story{
			Causes: orEmpty(s.Causes), Conditions: orEmpty(s.Conditions), Probability: Number(s.Probability), Text: b.tell(s),
		})
	}
	for _, set := range b.e.PreventedBy(list) {
		b.doc.PreventedBy = append(b.doc.PreventedBy, orEmpty(set))
	}
	return nil
}

func orEmpty(s []string) []string {
	if s == nil {
		return []string{}
	}
	return s
}

// tell writes a story as a sentence.
func (b *builder) tell(s diagnosis.Story) string {
	var parts []string
	for _, id := range append(slices.Clone(s.Causes), s.Conditions...) {
		ev, _ := b.base.Event(id)
		parts = append(parts, ev.Title)
	}
	for _, gate := range s.Unlisted {
		g, _ := b.base.Gate(gate)
		parts = append(parts, "Something not listed ("+lower(g.Title)+")")
	}
	return strings.Join(parts, " + ")
}

func lower(s string) string {
	if len(s) > 1 && s[1] >= 'a' && s[1] <= 'z' {
		return strings.ToLower(s[:1]) + s[1:]
	}
	return s
}

func (b *builder) ranking() {
	spreads := b.e.Spreads()
	ranked := b.e.Ranking()
	partners := map[string]bool{}
	for _, s := range b.told {
		if slices.Contains(s.Causes, ranked[0].Cause.ID) {
			for _, c := range s.Causes {
				partners[c] = true
			}
			break
		}
	}
	for i, r := range ranked {
		b.doc.Ranking = append(b.doc.Ranking, Cause{
			Cause: r.Cause.ID, Title: r.Cause.Title, Trees: b.base.Trees(r.Cause.ID), Role: role(i, r, partners),
			Contributed: Number(r.Contributed), Present: Number(r.Present), Low: low(spreads, r.Cause.ID), High: high(spreads, r.Cause.ID),
			Weights: []Weight{}, Confirm: []Confirmation{},
			Repair: r.Cause.Repair, Prevent: r.Cause.Prevent, Caution: b.texts(r.Cause.Cautions), Mechanism: r.Cause.Mechanism,
		})
	}
	for _, c := range b.e.Common() {
		x := Common{Title: c.Gate.Title, Contributed: Number(c.Contributed)}
		for i, r := range ranked {
			if slices.Contains(c.Causes, r.Cause.ID) {
				x.Places = append(x.Places, i+1)
			}
		}
		b.doc.Common = append(b.doc.Common, x)
	}
	for _, u := range b.e.Unlisted() {
		g, _ := b.base.Gate(u.Gate)
		b.doc.Unlisted = append(b.doc.Unlisted, Unlisted{u.Failure, Number(u.Contributed), g.Title})
	}
}

// The roles a cause may play in a case.
const (
	RoleLeading   = "leading"   // first place
	RoleTogether  = "together"  // acted together with the leader in its likeliest story
	RoleRival     = "rival"     // another explanation
	RoleBystander = "bystander" // it holds, but did nothing here
)

func role(place int, r diagnosis.Ranked, partners map[string]bool) string {
	switch {
	case place == 0:
		return RoleLeading
	case partners[r.Cause.ID]:
		return RoleTogether
	case r.Present >= 0.2 && r.Contributed < r.Present/4:
		return RoleBystander
	}
	return RoleRival
}

func (b *builder) texts(ids []string) []string {
	out := []string{}
	for _, id := range ids {
		c, _ := b.base.Caution(id)
		out = append(out, c.Text)
	}
	return out
}

// explained counts the leading causes that are explained in full.
func (b *builder) explained() int {
	n := 1
	for n < len(b.doc.Ranking) && n < mostExplained && b.doc.Ranking[n].Contributed > leastExplained {
		n++
	}
	return n
}

func (b *builder) causes(n int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = b.doc.Ranking[i].Cause
	}
	return out
}

// strong is the factor from which an answer against the leader is a conflict.
const strong = 3

func (b *builder) weights() error {
	n := b.explained()
	accounts, err := b.e.Accounts(b.causes(n))
	if err != nil {
		return err
	}
	for i, a := range accounts {
		c := &b.doc.Ranking[i]
		for _, w := range a.Weights {
			c.Weights = append(c.Weights, Weight{w.Finding, w.Answer, Number(w.LogOdds), Number(w.Factor()), b.said(w)})
			if f := w.Factor(); i == 0 && f <= 1.0/strong {
				b.doc.Conflicts = append(b.doc.Conflicts, Conflict{w.Finding, w.Answer, c.Cause, Number(f), b.said(w)})
			}
		}
	}
	for _, o := range b.e.Overturning(false) {
		ev, _ := b.base.Event(o.Leader)
		w := diagnosis.Weight{Finding: o.Finding, Answer: o.Answer, Shown: o.Shown}
		b.doc.Overturns = append(b.doc.Overturns, b.said(w)+": if that is wrong, first place goes to "+lower(ev.Title))
	}
	return nil
}

// said writes an answer as it would be told: the question and what was
// answered.
func (b *builder) said(w diagnosis.Weight) string {
	if g, ok := b.base.Gate(w.Finding); ok {
		if w.Answer == rulebase.StateAbsent {
			return lower(g.Title) + " looked for and not there"
		}
		return lower(g.Title) + " seen"
	}
	if w.Answer == diagnosis.Computation {
		return "by the log, " + lower(b.calculation(w.Finding).Title) + ": " + w.Shown
	}
	f, _ := b.base.Finding(w.Finding)
	return f.Label + ": " + lower(w.Shown)
}

func (b *builder) measurements() error {
	prices, err := b.e.Price(nil)
	if err != nil {
		return err
	}
	for _, q := range prices.Questions[:min(nextShown, len(prices.Questions))] {
		b.doc.Next = append(b.doc.Next, Question{
			Finding: q.Finding.ID, Worth: Number(q.Worth), Minutes: Number(q.Finding.Minutes), ChangesLeader: Number(q.ChangesLeader),
			Text: q.Finding.Question,
		})
	}
	return b.confirmations(prices)
}

// confirmations gives each explained cause its confirming measurements with
// the two sides of the deciding figure.
func (b *builder) confirmations(prices *diagnosis.Prices) error {
	n := b.explained()
	var wanted []string
	for i := range n {
		ev, _ := b.base.Event(b.doc.Ranking[i].Cause)
		for _, c := range ev.Confirm {
			wanted = append(wanted, c.Measurement)
		}
	}
	list, err := prices.Exactly(wanted)
	if err != nil {
		return err
	}
	open := map[string]diagnosis.Question{}
	for _, q := range list {
		open[q.Finding.ID] = q
	}
	for i := range n {
		ev, _ := b.base.Event(b.doc.Ranking[i].Cause)
		for _, c := range ev.Confirm {
			x := b.confirmation(c)
			if q, ok := open[c.Measurement]; ok {
				met, not := split(q.Finding, c.Answers)
				x.IfMet, x.IfNot = side(prices, q, met, ev.ID), side(prices, q, not, ev.ID)
			}
			b.doc.Ranking[i].Confirm = append(b.doc.Ranking[i].Confirm, x)
		}
	}
	return nil
}

// mayCut is the fact that gives leave to cut into the finish.
const mayCut = "may-cut"

func (b *builder) confirmation(c rulebase.Confirmation) Confirmation {
	f, _ := b.base.Finding(c.Measurement)
	out := Confirmation{
		Measurement: f.ID, Method: f.Measurement.Method, Decides: f.Measurement.Decides, Minutes: Number(f.Minutes), Damage: f.Damage,
		Title: f.Question, Forbidden: f.Damage != "none" && b.e.Sheet.Facts[mayCut] == "no",
	}
	for _, a := range b.e.Sheet.Answers {
		if a.Finding == f.ID {
			out.Taken = a.Shown
		}
	}
	return out
}

// split parts a finding's answers into those that confirm and the others.
func split(f rulebase.Finding, confirming []string) (met, not []int) {
	for i, a := range f.Answers {
		if slices.Contains(confirming, a.ID) {
			met = append(met, i)
		} else {
			not = append(not, i)
		}
	}
	return met, not
}

func side(p *diagnosis.Prices, q diagnosis.Question, answers []int, cause string) *Number {
	for _, c := range p.Side(q, answers).Ranking {
		if c.Cause == cause {
			n := Number(c.Contributed)
			return &n
		}
	}
	return nil
}
