package rulebase

import (
	"fmt"
	"slices"
	"strings"

	"filmfault/internal/source"
)

// minRatio is the likelihood ratio by which some finding must tell a cause from
// each rival for the same failure.
const minRatio = 3

// Separation reports every two causes of one failure that no answer tells
// apart: some answer must be three times likelier under the one's most usual
// story than under the other's, or they must be listed as inseparable. The
// story of a cause is the cause together with the likeliest other events that
// its gates require. It belongs to checking rules, not to every use of them.
func (b *Base) Separation() source.List {
	var d source.List
	s := newSeparator(b)
	for i, e := range s.causes {
		for j := i + 1; j < len(s.causes); j++ {
			o := s.causes[j]
			if !s.rivals(i, j) || e.inseparable(o.ID) || o.inseparable(e.ID) {
				continue
			}
			if best := s.ratio(i, j); best < minRatio {
				d.Error(e.Span, "inseparable", fmt.Sprintf("no finding tells %s from %s by a factor of %d (the best: %.2g)", e.ID, o.ID, minRatio, best),
					fmt.Sprintf("a row that does, or inseparable: [{from: %s, would-separate: ...}]", o.ID))
			}
		}
	}
	return d
}

// separator holds what each cause's story makes of every finding.
type separator struct {
	causes []Event
	trees  [][]string
	says   [][][]float64 // per cause, per finding and set of facts: likelihood of each answer
}

func newSeparator(b *Base) *separator {
	s := &separator{}
	for _, e := range b.Events {
		if !e.Cause {
			continue
		}
		world := b.story(e.ID)
		var says [][]float64
		for _, f := range b.Findings {
			for _, facts := range f.factSets() {
				says = append(says, f.speaks(world, facts))
			}
		}
		s.causes = append(s.causes, e)
		s.trees = append(s.trees, b.Trees(e.ID))
		s.says = append(s.says, says)
	}
	return s
}

// rivals reports whether two causes lead to a common failure.
func (s *separator) rivals(i, j int) bool {
	return slices.ContainsFunc(s.trees[i], func(t string) bool { return slices.Contains(s.trees[j], t) })
}

// ratio is the largest likelihood ratio, either way, of an answer between two
// stories, under whatever facts favour it; it stops at the ratio asked for.
func (s *separator) ratio(i, j int) float64 {
	best := 1.0
	for k, p := range s.says[i] {
		for a, q := range s.says[j][k] {
			if p[a] > 0 && q > 0 {
				best = max(best, p[a]/q, q/p[a])
			}
		}
		if best >= minRatio {
			break
		}
	}
	return best
}

func (e Event) inseparable(id string) bool {
	return slices.ContainsFunc(e.Inseparable, func(x Inseparable) bool { return x.From == id })
}

// factSets lists the facts worth trying: none known, and those of each row.
func (f Finding) factSets() []Facts {
	out := []Facts{{}}
	for _, r := range f.Rows {
		if len(r.When) == 0 {
			continue
		}
		facts := Facts{}
		for _, w := range r.When {
			facts[w.ID] = w.Answers[0]
		}
		out = append(out, facts)
	}
	return out
}

// speaks is the likelihood of each answer in a world.
func (f Finding) speaks(world map[string]bool, facts Facts) []float64 {
	if len(f.AnyOf) > 0 {
		no := 1 - f.Background
		for _, in := range f.AnyOf {
			if world[in.ID] {
				no *= 1 - in.Chance
			}
		}
		return []float64{1 - no, no}
	}
	for _, r := range f.Rows {
		if !Hold(r.When, facts) {
			continue
		}
		if !slices.ContainsFunc(r.If, func(e Ref) bool { return !world[e.ID] }) {
			return r.Say
		}
	}
	return nil
}

// story is the world in which a cause did its work in the most usual way: it
// and, at each gate above it that needs more, the likeliest events that make
// the gate hold. All chances have led on.
func (b *Base) story(cause string) map[string]bool {
	w := map[string]bool{cause: true}
	above := map[string]bool{cause: true} // not what was only brought about beside it
	for _, g := range b.Gates {           // inputs come before gates
		if slices.ContainsFunc(g.Inputs, func(in Input) bool { return above[in.ID] }) {
			b.fulfil(g, w)
			above[g.ID] = true
		}
	}
	b.settle(w)
	return w
}

// fulfil switches on what the gate still needs.
func (b *Base) fulfil(g Gate, w map[string]bool) {
	for b.count(g, w) < g.Need() {
		best, bestRate := "", -1.0
		for _, in := range g.Inputs {
			if r := b.usual(in.ID) * in.Chance; !w[in.ID] && r > bestRate {
				best, bestRate = in.ID, r
			}
		}
		b.bringAbout(best, w)
	}
	w[g.ID] = true
}

func (b *Base) count(g Gate, w map[string]bool) int {
	n := 0
	for _, in := range g.Inputs {
		if w[in.ID] {
			n++
		}
	}
	return n
}

// Need is how many inputs make the gate hold.
func (g Gate) Need() int {
	switch g.Kind {
	case AllOf:
		return len(g.Inputs)
	case AtLeast:
		return g.Count
	}
	return 1
}

// bringAbout brings a node about in its likeliest way.
func (b *Base) bringAbout(id string, w map[string]bool) {
	if g, ok := b.Gate(id); ok {
		b.fulfil(g, w)
		return
	}
	w[id] = true
}

// usual is a rough rate of a node: that of an event over all jobs, of a gate
// the largest (any) or smallest (all) of its inputs.
func (b *Base) usual(id string) float64 {
	if e, ok := b.Event(id); ok {
		return e.Rate.For(Facts{})
	}
	g, _ := b.Gate(id)
	rates := make([]float64, len(g.Inputs))
	for i, in := range g.Inputs {
		rates[i] = b.usual(in.ID) * in.Chance
	}
	slices.Sort(rates)
	return rates[len(rates)-g.Need()]
}

// settle marks every gate that holds in the world.
func (b *Base) settle(w map[string]bool) {
	for _, g := range b.Gates {
		if b.count(g, w) >= g.Need() {
			w[g.ID] = true
		}
	}
}

// List writes ids for a message: "a, b and c".
func List(ids []string) string {
	if len(ids) < 2 {
		return strings.Join(ids, "")
	}
	return strings.Join(ids[:len(ids)-1], ", ") + " and " + ids[len(ids)-1]
}
