package rulebase

import (
	"fmt"
	"slices"
	"strings"
)

// maxInputs bounds an any-of finding: its pattern of inputs is enumerated when
// the question is priced.
const maxInputs = 6

// maxRatio is the largest likelihood ratio that may rest on judgement.
const maxRatio = 20

func (c *checker) findings() {
	groups := map[string]Finding{}
	for _, f := range c.b.Findings {
		c.group(f, groups)
		if len(f.AnyOf) > 0 {
			c.anyOf(f)
			continue
		}
		c.extremes(f)
		c.ratios(f)
		c.reachable(f)
	}
}

// group: findings that are one observation must hang on the same event, or the
// second would count the first again.
func (c *checker) group(f Finding, groups map[string]Finding) {
	if f.Group == "" {
		return
	}
	first, ok := groups[f.Group]
	if !ok {
		groups[f.Group] = f
		return
	}
	if a, b := f.events(), first.events(); !slices.Equal(a, b) {
		c.d.Error(f.Span, "group", fmt.Sprintf("%s and %s are one observation but hang on different events (%s; %s)",
			first.ID, f.ID, strings.Join(b, ", "), strings.Join(a, ", ")), "one gate above those events, named in both")
	}
}

// events lists what a finding hangs on, sorted.
func (f Finding) events() []string {
	var out []string
	for _, r := range f.Rows {
		for _, e := range r.If {
			out = append(out, e.ID)
		}
	}
	for _, in := range f.AnyOf {
		out = append(out, in.ID)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func (c *checker) anyOf(f Finding) {
	if len(f.AnyOf) > maxInputs {
		c.d.Error(f.AnyOf[maxInputs].Span, "any-of", fmt.Sprintf("%s names %d events", f.ID, len(f.AnyOf)), fmt.Sprintf("at most %d, or a gate that gathers some of them", maxInputs))
	}
	if len(f.Answers) != 2 || f.Value != nil {
		c.d.Error(f.Span, "any-of", fmt.Sprintf("%s has any-of but is no yes/no question", f.ID), "two answers, the first meaning that it is seen; or rows")
	}
	seen := map[string]bool{}
	for _, in := range f.AnyOf {
		switch {
		case seen[in.ID]:
			c.d.Error(in.Span, "input-twice", fmt.Sprintf("%s is named by %s already", in.ID, f.ID), "each event once")
		case in.Chance >= 1:
			c.d.Error(in.Span, "certain", "a chance of 1 would rule this event out for certain when the answer is no", "{event: "+in.ID+", chance: usually}")
		default:
			c.anyOfRatio(f, in)
		}
		seen[in.ID] = true
	}
}

// anyOfRatio compares the answers with one event and with none.
func (c *checker) anyOfRatio(f Finding, in Input) {
	if strings.HasPrefix(f.Basis, "published:") || strings.HasPrefix(f.Basis, "definition") {
		return
	}
	no := (1 - f.Background) * (1 - in.Chance)
	ratio := max((1-no)/f.Background, 1/(1-in.Chance))
	if ratio > maxRatio*(1+1e-9) {
		c.d.Error(in.Span, "ratio", fmt.Sprintf("an answer of %s is %.3g times likelier with %s than without", f.ID, ratio, in.ID),
			fmt.Sprintf("a chance and a background within a factor of %d, or the published source", maxRatio))
	}
}

// extremes: 0 and 1 are for matters of definition.
func (c *checker) extremes(f Finding) {
	for _, r := range f.Rows {
		for i, p := range r.Say {
			if (p <= 0 || p >= 1) && !strings.HasPrefix(r.Basis, "definition") {
				c.d.Error(r.Span, "certain", fmt.Sprintf("the answer %s has likelihood %v here, which would settle the matter for certain", f.Answers[i].ID, p),
					"never (.01) or always (.99), or `basis: definition` if it follows from the meaning of the words")
				break
			}
		}
	}
}

// ratios: no judgement is worth more than a factor of 20. Rows that give way
// to each other only by facts are compared too: facts are known or not.
func (c *checker) ratios(f Finding) {
	for i, r := range f.Rows {
		for _, o := range f.Rows[:i] {
			c.ratio(f, r, o)
		}
	}
}

func (c *checker) ratio(f Finding, r, o Row) {
	if sourced(r) && sourced(o) || len(r.If) > 0 && len(o.If) > 0 && exclude(r.When, o.When) {
		return
	}
	for a := range r.Say {
		low, high := min(r.Say[a], o.Say[a]), max(r.Say[a], o.Say[a])
		if low > 0 && high/low > maxRatio*(1+1e-9) {
			c.d.Error(r.Span, "ratio", fmt.Sprintf("the answer %s is %.3g times likelier in one row than in another (line %d)", f.Answers[a].ID, high/low, o.Span.Start.Line),
				fmt.Sprintf("figures within a factor of %d, or the published source of both rows", maxRatio))
			return
		}
	}
}

func sourced(r Row) bool {
	return strings.HasPrefix(r.Basis, "published:") || strings.HasPrefix(r.Basis, "definition")
}

// exclude reports whether no facts meet both requirements.
func exclude(a, b []Is) bool {
	for _, x := range a {
		for _, y := range b {
			if x.ID == y.ID && !slices.ContainsFunc(x.Answers, func(s string) bool { return slices.Contains(y.Answers, s) }) {
				return true
			}
		}
	}
	return false
}

// reachable: a row that another above always answers first says nothing.
func (c *checker) reachable(f Finding) {
	for i, r := range f.Rows {
		for _, o := range f.Rows[:i] {
			if covers(o, r) {
				c.d.Error(r.Span, "unreachable", fmt.Sprintf("the row at line %d always answers first", o.Span.Start.Line), "the more particular row first")
				break
			}
		}
	}
}

// covers reports whether o holds whenever r does.
func covers(o, r Row) bool {
	for _, e := range o.If {
		if !slices.ContainsFunc(r.If, func(x Ref) bool { return x.ID == e.ID }) {
			return false
		}
	}
	for _, w := range o.When {
		if !slices.ContainsFunc(r.When, func(x Is) bool { return implies(x, w) }) {
			return false
		}
	}
	return true
}

func implies(x, w Is) bool {
	if x.ID != w.ID {
		return false
	}
	for _, a := range x.Answers {
		if !slices.Contains(w.Answers, a) {
			return false
		}
	}
	return true
}
