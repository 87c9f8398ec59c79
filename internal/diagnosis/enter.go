package diagnosis

import (
	"filmfault/internal/inference"
	"filmfault/internal/rulebase"
)

// entered is a calculation in the network: the event, and for each cause blamed
// the event that it is its fault.
type entered struct {
	Computed
	event  inference.Node
	fault  []inference.Node // per cause blamed
	causes []string
	mixed  []float64 // rates of event and faults, the model trusted as stated
	before []float64 // the same without the log
}

// nodes lists the events whose rates the calculation sets.
func (x entered) nodes() []inference.Node {
	return append([]inference.Node{x.event}, x.fault...)
}

// enter adds a calculation's events. A cause blamed then holds when the event
// does and is its fault, or when it is there and made no such event: that keeps
// its rate over all jobs what the rules say, and its part in other gates.
func (r *Rules) enter(n *network, c Computed, facts rulebase.Facts) {
	x := entered{Computed: c}
	gate, _ := r.Base.Gate(c.Calculation.Gate)
	x.before = r.population(c.Calculation, gate, facts)
	x.mixed = c.mix(x.before)
	x.event = n.model.Event(c.Calculation.ID, x.mixed[0])
	n.id[x.event] = c.Calculation.ID
	for i, b := range c.Calculation.Blame {
		ev, _ := r.Base.Event(b.Cause)
		s := n.model.Event("fault of "+b.Cause, x.mixed[i+1])
		idle := n.model.Event(b.Cause+" (idle)", idleRate(ev.Rate.For(facts), chanceOf(gate, b.Cause)))
		n.id[s], n.id[idle] = b.Cause, b.Cause
		x.fault, x.causes = append(x.fault, s), append(x.causes, b.Cause)
		fault := n.model.Gate(b.Cause+" (by the log)", inference.All, 0, inference.In(x.event), inference.In(s))
		holds := n.model.Gate(b.Cause, inference.Any, 0, inference.In(idle), inference.In(fault))
		n.name(b.Cause, holds)
		n.causes = append(n.causes, holds)
		n.leads[b.Cause] = n.model.Gate(b.Cause+" (led on)", inference.All, 0, inference.In(fault), inference.In(holds))
	}
	n.entered = append(n.entered, x)
}

// chanceOf is the chance with which a cause leads on to a gate.
func chanceOf(g rulebase.Gate, cause string) float64 {
	for _, in := range g.Inputs {
		if in.ID == cause {
			return in.Chance
		}
	}
	return 0
}

// idleRate is the rate at which a cause of rate r is there without leading on,
// which it does with chance c, so that 1-(1-idle)(1-rc) = r.
func idleRate(r, c float64) float64 {
	if r*c >= 1 {
		return 0
	}
	return r * (1 - c) / (1 - r*c)
}

// replaced reports whether a calculation stands for a cause.
func replaced(id string, list []Computed) bool {
	for _, c := range list {
		for _, b := range c.Calculation.Blame {
			if b.Cause == id {
				return true
			}
		}
	}
	return false
}

// computedInputs is the inputs of a gate with the event in place of what it
// blames.
func (n *network) computedInputs(g rulebase.Gate) []inference.Input {
	for _, x := range n.entered {
		if x.Calculation.Gate != g.ID {
			continue
		}
		out := []inference.Input{inference.In(x.event)}
		for _, in := range g.Inputs {
			if led, ok := n.leads[in.ID]; ok {
				out = append(out, inference.In(led))
			} else {
				out = append(out, inference.Input{Node: n.node[in.ID], Chance: in.Chance})
			}
		}
		return out
	}
	return n.inputs(g.Inputs)
}

// population is the rates of event and faults over all jobs with these facts:
// what the event stands for in the case without its log.
func (r *Rules) population(c rulebase.Calculation, g rulebase.Gate, facts rulebase.Facts) []float64 {
	none := 1.0
	out := make([]float64, 1+len(c.Blame))
	for i, b := range c.Blame {
		e, _ := r.Base.Event(b.Cause)
		out[i+1] = e.Rate.For(facts) * chanceOf(g, b.Cause)
		none *= 1 - out[i+1]
	}
	out[0] = 1 - none
	for i := range out[1:] {
		out[i+1] = ratio(out[i+1], out[0])
	}
	return out
}

func ratio(a, b float64) float64 {
	if b == 0 {
		return 0
	}
	return min(1, a/b)
}

// mix is the rates of event and faults with the model trusted as stated: the
// mean over the draws with that share, the case without its log with the rest. A
// reading is taken in: it reweighs the event and nothing else.
func (c Computed) mix(before []float64) []float64 {
	t, n := c.Calculation.Trust, float64(len(c.Chance))
	rival := 1.0
	if c.Reading != nil {
		rival = c.Reading.Rival
	}
	with, without := (1-t)*before[0]*rival, (1-t)*(1-before[0])*rival
	out := make([]float64, len(before))
	for i := range before[1:] {
		out[i+1] = with * before[i+1]
	}
	for s := range c.Chance {
		a, b := c.seen(s)
		with += t * a / n
		without += t * b / n
		for i, blame := range c.Calculation.Blame {
			out[i+1] += t * a * c.share(blame.Cause, s) / n
		}
	}
	for i := range out[1:] {
		out[i+1] = ratio(out[i+1], with)
	}
	out[0] = ratio(with, with+without)
	return out
}

// rates is the rates of event and faults in one draw, and the probability of
// the reading in it.
func (x entered) rates(draw int) (rates []float64, seen float64) {
	with, without := x.seen(draw)
	rates = append(rates, ratio(with, with+without))
	for _, c := range x.causes {
		rates = append(rates, x.share(c, draw))
	}
	return rates, with + without
}
