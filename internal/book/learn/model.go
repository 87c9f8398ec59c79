package learn

import (
	"filmfault/internal/inference"
	"filmfault/internal/rulebase"
)

// model is the events and gates of a base over all jobs, nothing known of any: the
// network that package diagnosis builds for a case, without its findings.
type model struct {
	base   *rulebase.Base
	net    inference.Model
	events []inference.Node          // per event of the base
	node   map[string]inference.Node // events and gates
	listed map[string]inference.Node // gate -> that it holds through listed causes
	other  map[string]inference.Node // gate that feeds others -> its unlisted cause
	seen   []inference.Node          // per failure: it is there and shows
}

func newModel(b *rulebase.Base) *model {
	m := &model{base: b, node: map[string]inference.Node{}, listed: map[string]inference.Node{}, other: map[string]inference.Node{}}
	for _, e := range b.Events {
		x := m.net.Event(e.ID, e.Rate.For(rulebase.Facts{}))
		m.events = append(m.events, x)
		m.node[e.ID] = x
	}
	feeds := map[string]bool{}
	for _, g := range b.Gates {
		for _, in := range g.Inputs {
			feeds[in.ID] = true
		}
	}
	for _, g := range b.Gates {
		m.gate(g, feeds[g.ID])
	}
	for _, g := range b.Failures() {
		shows := m.net.Event("shows: "+g.ID, g.Failure.Shows)
		m.seen = append(m.seen, m.net.Gate("seen: "+g.ID, inference.All, 0, inference.In(m.node[g.ID]), inference.In(shows)))
	}
	return m
}

// gate adds a gate; its unlisted cause only where something above could notice.
func (m *model) gate(g rulebase.Gate, feeds bool) {
	kind := map[rulebase.GateKind]inference.Kind{
		rulebase.AnyOf: inference.Any, rulebase.AllOf: inference.All, rulebase.AtLeast: inference.AtLeast,
	}[g.Kind]
	inputs := make([]inference.Input, len(g.Inputs))
	for i, in := range g.Inputs {
		inputs[i] = inference.Input{Node: m.node[in.ID], Chance: in.Chance}
	}
	x := m.net.Gate(g.ID, kind, g.Count, inputs...)
	m.listed[g.ID], m.node[g.ID] = x, x
	if feeds && g.Unlisted > 0 {
		m.other[g.ID] = m.net.Event("unlisted: "+g.ID, 0)
		m.node[g.ID] = m.net.Gate(g.ID+" or unlisted", inference.Any, 0, inference.In(x), inference.In(m.other[g.ID]))
	}
}

// rates is the rate of each event over all jobs, as the base has it.
func (m *model) rates() []float64 {
	out := make([]float64, len(m.base.Events))
	for i, e := range m.base.Events {
		out[i] = e.Rate.For(rulebase.Facts{})
	}
	return out
}

// totals works out how frequent the failures are over all jobs.
type totals struct {
	model  *model
	net    *inference.Network
	gates  []rulebase.Gate // failures, and other gates with an unlisted share
	others inference.Rates // of the unlisted causes, as last worked out
}

func (m *model) totals() (*totals, error) {
	t := &totals{model: m}
	use := inference.Use{}
	for _, g := range m.base.Gates {
		if g.Failure != nil || g.Unlisted > 0 {
			t.gates = append(t.gates, g)
			use.Gates = append(use.Gates, m.listed[g.ID])
		}
	}
	var err error
	t.net, err = m.net.Compile(use)
	return t, err
}

// of is the probability of each failure, in the order of the base, under rates of
// the events. A share q of the times a gate holds has no listed cause, as in
// diagnosis.Prepare: it holds p/(1-q) of the time when its listed causes make it
// hold p.
func (t *totals) of(rates []float64) (map[string]float64, error) {
	if err := t.net.SetRates(inference.Rates{Events: t.model.events, Rate: rates}); err != nil {
		return nil, err
	}
	t.others = inference.Rates{}
	for i, g := range t.gates { // inputs before the gates that they feed
		other, feeds := t.model.other[g.ID]
		if !feeds {
			continue
		}
		post, err := t.net.Evaluate(nil)
		if err != nil {
			return nil, err
		}
		p, q := post.Gate[i], g.Unlisted
		t.others.Events = append(t.others.Events, other)
		t.others.Rate = append(t.others.Rate, min(1, q*p/((1-q)*(1-p))))
		if err := t.net.SetRates(t.others); err != nil {
			return nil, err
		}
	}
	post, err := t.net.Evaluate(nil)
	if err != nil {
		return nil, err
	}
	out := map[string]float64{}
	for i, g := range t.gates {
		if g.Failure != nil {
			out[g.ID] = post.Gate[i] / (1 - g.Unlisted)
		}
	}
	return out, nil
}

// contributed is, by event, the share of all jobs on which it contributes to a
// failure that shows.
func (m *model) contributed(others inference.Rates) (map[string]float64, error) {
	net, err := m.net.Compile(inference.Use{Seen: m.seen})
	if err != nil {
		return nil, err
	}
	if err := net.SetRates(others); err != nil {
		return nil, err
	}
	post, err := net.Evaluate(nil)
	if err != nil {
		return nil, err
	}
	out := map[string]float64{}
	for i, e := range m.base.Events {
		out[e.ID] = post.Contributed[m.events[i]]
	}
	return out, nil
}
