package rulebase

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// IDs lists every id, sorted.
func (b *Base) IDs() []string {
	var out []string
	for _, m := range []map[string]int{b.caution, b.fact, b.event, b.gate, b.finding} {
		out = slices.AppendSeq(out, maps.Keys(m))
	}
	for _, c := range b.Calculations {
		out = append(out, c.ID)
	}
	slices.Sort(out)
	return out
}

// Describe writes one entry in lines for a reader: what it says, where it
// stands, what uses it.
func (b *Base) Describe(id string) ([]string, bool) {
	if e, ok := b.Event(id); ok {
		return b.describeEvent(e), true
	}
	if g, ok := b.Gate(id); ok {
		return b.describeGate(g), true
	}
	if f, ok := b.Finding(id); ok {
		return b.describeFinding(f), true
	}
	if f, ok := b.Fact(id); ok {
		return append([]string{"fact " + f.ID + " (" + f.Span.String() + ")", f.Question}, answerLines(f.Answers)...), true
	}
	for _, c := range b.Calculations {
		if c.ID == id {
			return describeCalculation(c), true
		}
	}
	if c, ok := b.Caution(id); ok {
		return []string{"caution " + c.ID + " (" + c.Span.String() + ")", c.Text}, true
	}
	return nil, false
}

func (b *Base) describeEvent(e Event) []string {
	kind := "condition"
	if e.Cause {
		kind = "cause"
	}
	out := []string{kind + " " + e.ID + " (" + e.Span.String() + ")", e.Title, e.Mechanism, "base rate: " + rateText(e.Rate) + " (" + e.Basis + ")"}
	for _, c := range e.Confirm {
		out = append(out, "confirmed by "+c.Measurement+": "+strings.Join(c.Answers, " or "))
	}
	if e.Repair != "" {
		out = append(out, "repair: "+e.Repair, "prevention: "+e.Prevent)
	}
	for _, x := range e.Inseparable {
		out = append(out, "not to be told from "+x.From+"; would separate: "+x.WouldSeparate)
	}
	return append(out, b.uses(e.ID)...)
}

func rateText(r Rate) string {
	var parts []string
	for _, row := range r {
		if len(row.When) == 0 {
			parts = append(parts, fmt.Sprintf("%.3g", row.Rate))
			continue
		}
		parts = append(parts, fmt.Sprintf("%.3g when %s", row.Rate, whenText(row.When)))
	}
	if len(parts) > 1 {
		parts[len(parts)-1] = "otherwise " + parts[len(parts)-1]
	}
	return strings.Join(parts, "; ")
}

func whenText(when []Is) string {
	var parts []string
	for _, w := range when {
		parts = append(parts, w.ID+" is "+strings.Join(w.Answers, " or "))
	}
	return strings.Join(parts, " and ")
}

func (b *Base) describeGate(g Gate) []string {
	kind := "gate"
	if g.Failure != nil {
		kind = "failure"
	}
	how := map[GateKind]string{AnyOf: "any of", AllOf: "all of", AtLeast: fmt.Sprintf("at least %d of", g.Count)}[g.Kind]
	out := []string{kind + " " + g.ID + " (" + g.Span.String() + ")", g.Title, how + ":"}
	for _, in := range g.Inputs {
		line := "  " + in.ID
		if in.Chance < 1 {
			line += fmt.Sprintf(", which leads on %.3g of the time", in.Chance)
		}
		out = append(out, line)
	}
	if g.Unlisted > 0 {
		out = append(out, fmt.Sprintf("unlisted causes: %.3g of the times it holds", g.Unlisted))
	}
	if f := g.Failure; f != nil {
		out = append(out, f.Question, fmt.Sprintf("shows to an inspection %.3g of the time; claimed in error %.3g", f.Shows, f.ClaimedInError))
	}
	return append(out, b.uses(g.ID)...)
}

func (b *Base) describeFinding(f Finding) []string {
	kind := "finding"
	if f.Measurement != nil {
		kind = "measurement"
	}
	out := []string{kind + " " + f.ID + " (" + f.Span.String() + ")", f.Question, f.How, f.Why,
		fmt.Sprintf("%s, at: %s; %g minutes; damage: %s", f.Stage, strings.Join(f.Where, ", "), f.Minutes, f.Damage)}
	if m := f.Measurement; m != nil {
		out = append(out, "method: "+m.Method, "decides: "+m.Decides)
	}
	if len(f.Needs) > 0 {
		out = append(out, "asked when "+whenText(f.Needs))
	}
	if f.FromLog != nil {
		out = append(out, "not asked where the job log says it ("+f.FromLog.Reads+")")
	}
	out = append(out, answerLines(f.Answers)...)
	for _, r := range f.Rows {
		out = append(out, rowText(r, f.Answers))
	}
	for _, in := range f.AnyOf {
		out = append(out, fmt.Sprintf("%s shows it %.3g of the time", in.ID, in.Chance))
	}
	if len(f.AnyOf) > 0 {
		out = append(out, fmt.Sprintf("seen without any of these %.3g of the time (%s)", f.Background, f.Basis))
	}
	return slices.DeleteFunc(out, func(s string) bool { return s == "" })
}

func answerLines(answers []Answer) []string {
	var out []string
	for _, a := range answers {
		out = append(out, "answer "+a.ID+": "+a.Text)
	}
	return out
}

func rowText(r Row, answers []Answer) string {
	var events []string
	for _, e := range r.If {
		events = append(events, e.ID)
	}
	head := "otherwise"
	switch {
	case len(events) > 0 && len(r.When) > 0:
		head = "if " + strings.Join(events, " and ") + ", when " + whenText(r.When)
	case len(events) > 0:
		head = "if " + strings.Join(events, " and ")
	case len(r.When) > 0:
		head = "when " + whenText(r.When)
	}
	var says []string
	for i, p := range r.Say {
		says = append(says, fmt.Sprintf("%s %.3g", answers[i].ID, p))
	}
	return head + ": " + strings.Join(says, ", ") + " (" + r.Basis + ")"
}

// uses lists where an event or gate is an input, and what is found of it.
func (b *Base) uses(id string) []string {
	var gates, findings []string
	for _, g := range b.Gates {
		if slices.ContainsFunc(g.Inputs, func(in Input) bool { return in.ID == id }) {
			gates = append(gates, g.ID)
		}
	}
	for _, f := range b.Findings {
		if slices.Contains(f.events(), id) {
			findings = append(findings, f.ID)
		}
	}
	var out []string
	if len(gates) > 0 {
		out = append(out, "leads to "+strings.Join(gates, ", "))
	}
	if len(findings) > 0 {
		out = append(out, "shown by "+strings.Join(findings, ", "))
	}
	return out
}
