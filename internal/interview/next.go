package interview

import (
	"context"
	"maps"
	"slices"

	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// longest is how many minutes a question of the conversation may take. What
// takes longer is proposed in the report.
const longest = 60

// A question tells something when its answer may well put another cause first,
// or when it is worth this much about the leading causes.
const (
	mayChange = 0.05
	leastTold = 0.05
)

// sisterQuestions are the questions on what held with the same coats, here or
// on a sister job: they come before all others, in this order.
func sisterQuestions() []string { return []string{"sister-same-coats", "held-elsewhere"} }

// askNext asks what tells most per minute next, or ends the questions.
func (v *visit) askNext(ctx context.Context) (bool, error) {
	ev, err := v.evaluate()
	if c, ok := contradicted(err); ok {
		return true, v.settleContradiction(ctx, c)
	} else if err != nil {
		return true, err
	}
	prices, err := ev.Price(v.open)
	if err != nil {
		return true, err
	}
	stop, err := prices.Stop()
	if err != nil {
		return true, err
	}
	f, ok := v.choose(ev, prices)
	if stop.Stop || !ok {
		return true, v.finish(ctx, ev, stop.Reason)
	}
	if did, err := v.askBefore(ctx, f); did || err != nil {
		return did, err
	}
	return true, v.askFinding(ctx, f)
}

// askFinding asks a finding, after what has to come before it.
func (v *visit) askFinding(ctx context.Context, f rulebase.Finding) error {
	if f.Stage == rulebase.StageLog && !v.logOpen && !v.logLater && !isSister(f.ID) {
		v.logOpen = true
		return nil
	}
	if asked, err := v.makeSafe(ctx, f); asked || err != nil {
		return err
	}
	v.tellCutting(f)
	return v.ask(ctx, findingQuestion(f))
}

// open reports whether a finding may be asked here and now.
func (v *visit) open(f rulebase.Finding) bool {
	return v.answerable(f) && (harmless(f) || v.mayCut()) && !v.barred(f)
}

// answerable reports whether a finding can be answered where the person stands
// and was not asked yet.
func (v *visit) answerable(f rulebase.Finding) bool {
	return v.unasked(f) && f.Minutes <= longest && v.within(f)
}

// unasked reports whether neither a finding nor another of its group has been
// answered. "Not checked" settles the finding but not its group.
func (v *visit) unasked(f rulebase.Finding) bool {
	if v.entry(ref{aFinding, f.ID}) != nil {
		return false
	}
	return f.Group == "" || !slices.ContainsFunc(v.base.Findings, func(other rulebase.Finding) bool {
		e := v.entry(ref{aFinding, other.ID})
		return other.Group == f.Group && e != nil && !e.NotChecked
	})
}

// within reports whether a finding can be answered where the person stands. At
// the sign the log's questions wait to the end, unless the log is at hand.
func (v *visit) within(f rulebase.Finding) bool {
	here := slices.Contains(f.Where, v.where)
	if f.Stage != rulebase.StageLog || isSister(f.ID) {
		return here
	}
	switch {
	case v.logLater:
		return false
	case v.where == rulebase.AtSign:
		return v.logHere && f.Measurement == nil
	}
	return here
}

func isSister(id string) bool { return slices.Contains(sisterQuestions(), id) }

// choose picks the question to ask: first what held with the same coats, then
// the best that touches nothing or only touches, then the best that cuts, then
// the best in the log.
func (v *visit) choose(ev *diagnosis.Evaluation, p *diagnosis.Prices) (rulebase.Finding, bool) {
	if f, ok := v.sister(ev, p); ok {
		return f, true
	}
	here := func(q diagnosis.Question) bool { return q.Finding.Stage != rulebase.StageLog || isSister(q.Finding.ID) }
	whole := func(q diagnosis.Question) bool { return here(q) && q.Finding.Stage != rulebase.StageCut }
	for _, wanted := range []func(diagnosis.Question) bool{
		func(q diagnosis.Question) bool { return whole(q) && tells(q) },
		func(q diagnosis.Question) bool { return here(q) && tells(q) },
		tells,
		whole,
		here,
	} {
		if at := slices.IndexFunc(p.Questions, wanted); at >= 0 {
			return p.Questions[at].Finding, true
		}
	}
	if len(p.Questions) > 0 {
		return p.Questions[0].Finding, true
	}
	return rulebase.Finding{}, false
}

func tells(q diagnosis.Question) bool { return q.ChangesLeader > mayChange || q.Worth > leastTold }

// sisterTold is what the question on what held must be worth to come first.
const sisterTold = 0.005

// sister is the question on what held with the same coats, if none was asked
// and it tells enough about the failures seen.
func (v *visit) sister(ev *diagnosis.Evaluation, p *diagnosis.Prices) (rulebase.Finding, bool) {
	r := relevance{base: v.base, below: under(v.base, ev.Seen)}
	var first *rulebase.Finding
	for _, id := range sisterQuestions() {
		f, ok := v.base.Finding(id)
		switch {
		case v.entry(ref{aFinding, id}) != nil:
			return rulebase.Finding{}, false
		case first == nil && ok && v.open(f) && ev.Askable(f) && r.tells(f) && worthOf(p, id) > sisterTold:
			first = &f
		}
	}
	if first == nil {
		return rulebase.Finding{}, false
	}
	return *first, true
}

// worthOf is what a question is worth about the leading causes, 0 when that
// cannot be worked out.
func worthOf(p *diagnosis.Prices, id string) float64 {
	exact, err := p.Exactly([]string{id})
	if err != nil || len(exact) == 0 {
		return 0
	}
	return exact[0].Worth
}

// finish ends the questions, unless the log is still to be settled or the
// person came back for something that no question asks.
func (v *visit) finish(ctx context.Context, ev *diagnosis.Evaluation, reason string) error {
	for _, last := range []part{
		func(ctx context.Context) (bool, error) { return v.askRest(ctx, swaying) },
		func(ctx context.Context) (bool, error) { return v.logAtEnd(ctx, ev) },
		v.closeLog,
	} {
		if did, err := last(ctx); did || err != nil {
			return err
		}
	}
	if v.asked == 0 {
		v.asked++
		more, err := v.prompter.Confirm(ctx, "Nothing more needs asking here. Do you want to add something, or change an answer?")
		if err != nil {
			return err
		}
		if more {
			return v.add(ctx)
		}
	}
	v.stop(v.whyDone(ev, reason) + v.leftOpen())
	return nil
}

// standsOut is the certainty of a leader from which the reason to stop is that
// it stands out, whatever else could be measured.
const standsOut = 0.8

// whyDone is the reason to stop: where a measurement that cannot be made here
// and now would still tell, it says so.
func (v *visit) whyDone(ev *diagnosis.Evaluation, reason string) string {
	if ranking := ev.Ranking(); len(ranking) == 0 || ranking[0].Contributed >= standsOut {
		return reason
	}
	prices, err := ev.Price(func(f rulebase.Finding) bool { return f.Measurement != nil && v.unasked(f) })
	if err != nil || !slices.ContainsFunc(prices.Questions, func(q diagnosis.Question) bool { return q.ChangesLeader > mayChange }) {
		return reason
	}
	return "Nothing more that can be answered here is likely to change which cause comes first; a measurement can."
}

// leftOpen says in words what could still be asked elsewhere or otherwise.
func (v *visit) leftOpen() string {
	text := ""
	if v.logLater {
		text += " The log is left for later, at the desk."
	}
	if slices.Contains(slices.Collect(maps.Values(v.safe)), false) {
		text += " What is not made safe was left alone."
	}
	if v.noCutting = v.cuttingWouldTell(); v.noCutting {
		text += " Cutting would tell more, once there is leave to cut."
	}
	return text
}

// cuttingWouldTell reports whether leave to cut would bring questions that may
// change which cause comes first.
func (v *visit) cuttingWouldTell() bool {
	if v.mayCut() || len(v.seen()) == 0 {
		return false
	}
	ev, err := v.evaluate()
	if err != nil {
		return false
	}
	prices, err := ev.Price(func(f rulebase.Finding) bool { return v.answerable(f) && !harmless(f) })
	return err == nil && slices.ContainsFunc(prices.Questions, tells)
}
