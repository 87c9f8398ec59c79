package diagnosis

import (
	"slices"

	"filmfault/internal/inference"
	"filmfault/internal/rulebase"
)

// Computed is what a calculation found of one case's log, draw by draw of its
// uncertain inputs: an event that stands for the causes it blames.
type Computed struct {
	Calculation rulebase.Calculation
	// Chance is, per draw, the probability of the event, the spread of its limit
	// taken in.
	Chance []float64
	// Without is, per cause blamed, the same with the departures of that cause
	// undone, for the first draws or for all. A cause that is not there departed
	// from nothing.
	Without map[string][]float64
	// Reading is a measurement of what was computed, or nil.
	Reading *Reading
	// Shown is the finding in words, for the account of weights.
	Shown string
}

// Reading is how well a measurement fits: its density under each draw if the
// event holds, and if something else is at work, in the same unit.
type Reading struct {
	Density []float64
	Rival   float64
}

// share is how much of the event in a draw is a cause's fault: what undoing its
// departures undoes, and for the cause that answers for the rest, what undoing
// those of no other cause would.
func (c Computed) share(cause string, draw int) float64 {
	own, others := c.undone(cause, draw), 0.0
	answers := false
	for _, b := range c.Calculation.Blame {
		if b.Cause == cause {
			answers = b.Otherwise
		} else {
			others = max(others, c.undone(b.Cause, draw))
		}
	}
	if answers {
		return max(own, 1-others)
	}
	return own
}

// undone is the part of the event's probability in a draw that would not be
// without a cause's departures. Draws beyond those replayed have the mean over
// those that were.
func (c Computed) undone(cause string, draw int) float64 {
	without := c.Without[cause]
	if draw < len(without) {
		if c.Chance[draw] <= 0 {
			return 0
		}
		return min(1, max(0, 1-without[draw]/c.Chance[draw]))
	}
	all, blamed := 0.0, 0.0
	for s := range without {
		all += c.Chance[s]
		blamed += max(0, c.Chance[s]-without[s])
	}
	if all == 0 {
		return 0
	}
	return min(1, blamed/all)
}

// seen is the probability of the reading with the event, and without it, in one
// draw.
func (c Computed) seen(draw int) (with, without float64) {
	with, without = c.Chance[draw], 1-c.Chance[draw]
	if c.Reading != nil {
		with *= c.Reading.Density[draw]
		without *= c.Reading.Rival
	}
	return with, without
}

// told reports whether a finding would tell the log, or the reading, again.
func (s Sheet) told(finding string) bool {
	for _, c := range s.Computed {
		again := c.Reading != nil && c.Calculation.Reading.ID == finding
		if again || slices.ContainsFunc(c.Calculation.InsteadOf, func(r rulebase.Ref) bool { return r.ID == finding }) {
			return true
		}
	}
	return false
}

// WithComputed is the sheet with calculations in force. Findings that tell the
// same log are set aside.
func (s Sheet) WithComputed(list []Computed) Sheet {
	s.Computed = list
	answers := s.Answers
	s.Answers, s.Told = nil, nil
	for _, a := range answers {
		if s.told(a.Finding) {
			s.Told = append(s.Told, a.Finding)
		} else {
			s.Answers = append(s.Answers, a)
		}
	}
	return s
}

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

// enter adds a calculation's events. A cause that feeds the gate alone becomes
// "the event holds and is its fault"; one that feeds others besides keeps an
// event of its own for those.
func (r *Rules) enter(n *network, c Computed, facts rulebase.Facts) {
	x := entered{Computed: c}
	gate, _ := r.Base.Gate(c.Calculation.Gate)
	x.before = r.population(c.Calculation, gate, facts)
	x.mixed = c.mix(x.before)
	x.event = n.model.Event(c.Calculation.ID, x.mixed[0])
	n.id[x.event] = c.Calculation.ID
	for i, b := range c.Calculation.Blame {
		s := n.model.Event("fault of "+b.Cause, x.mixed[i+1])
		x.fault, x.causes = append(x.fault, s), append(x.causes, b.Cause)
		fault := n.model.Gate(b.Cause+" (by the log)", inference.All, 0, inference.In(x.event), inference.In(s))
		n.id[s] = b.Cause
		if own, ok := n.node[b.Cause]; ok {
			fault = n.model.Gate(b.Cause, inference.Any, 0, inference.In(own), inference.In(fault))
			n.leads[b.Cause] = n.model.Gate(b.Cause+" (led on)", inference.All, 0, inference.In(x.event), inference.In(fault))
		}
		n.name(b.Cause, fault)
		n.causes = append(n.causes, fault)
	}
	n.entered = append(n.entered, x)
}

// population is the rates of event and faults over all jobs with these facts:
// what the event stands for in the case without its log.
func (r *Rules) population(c rulebase.Calculation, g rulebase.Gate, facts rulebase.Facts) []float64 {
	none := 1.0
	out := make([]float64, 1+len(c.Blame))
	for i, b := range c.Blame {
		e, _ := r.Base.Event(b.Cause)
		for _, in := range g.Inputs {
			if in.ID == b.Cause {
				out[i+1] = e.Rate.For(facts) * in.Chance
				none *= 1 - out[i+1]
			}
		}
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

// fed reports whether a cause feeds a gate other than the one named.
func (r *Rules) fed(cause, but string) bool {
	for _, g := range r.Base.Gates {
		if g.ID != but && slices.ContainsFunc(g.Inputs, func(in rulebase.Input) bool { return in.ID == cause }) {
			return true
		}
	}
	return false
}

// replaced reports whether a cause has no event of its own in the case: a
// calculation stands for it.
func (r *Rules) replaced(id string, list []Computed) bool {
	for _, c := range list {
		for _, b := range c.Calculation.Blame {
			if b.Cause == id {
				return !r.fed(id, c.Calculation.Gate)
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
			switch led, ok := n.leads[in.ID]; {
			case ok:
				out = append(out, inference.In(led))
			case slices.Contains(x.causes, in.ID):
				out = append(out, inference.In(n.node[in.ID]))
			default:
				out = append(out, inference.Input{Node: n.node[in.ID], Chance: in.Chance})
			}
		}
		return out
	}
	return n.inputs(g.Inputs)
}
