package rulebase

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"filmfault/internal/quantity"
	"filmfault/internal/source"
	"filmfault/internal/yamldoc"
)

// Calculation says how what the job log implies enters the network: the computed
// event takes the place of the inputs of Gate that it blames.
type Calculation struct {
	ID, Title string
	Computes  string // ClosingPrimer, ClosingColour or CoatsBow
	Gate      string
	Trust     float64 // share of jobs for which the model can be believed
	Limit     Limit
	Blame     []Blame
	InsteadOf []Ref // findings that would tell the log a second time
	// Reading is the finding that measures what is computed; its figure then
	// enters as the density of the reading and not by its own rows. "" for none.
	Reading Ref
	Basis   string
	Span    source.Span

	gateSpan source.Span
}

// Limit is what counts as too much: an interval, its 5th and 95th percentile in
// SI, within which people would disagree.
type Limit struct{ Low, High float64 }

// Blame joins a cause to the departures from the shop's standard that are its
// fault; undoing them tells how much of the computed event is.
type Blame struct {
	Cause      string
	Departures []string
	// Otherwise says that the cause is also at fault for what no departure
	// explains: the standard was kept and the film was wet all the same.
	Otherwise bool
	Span      source.Span
}

// OfStanding reports whether a cause is one of standing alone: at fault for what a
// film took up again, and not for what it never lost.
func (b Blame) OfStanding() bool {
	return len(b.Departures) > 0 && !slices.ContainsFunc(b.Departures, func(d string) bool { return d != "fresh-fan" && d != "standing" })
}

// The things that can be computed from a log.
const (
	ClosingPrimer = "closing-primer" // water left in primer when something closed it over
	ClosingColour = "closing-colour" // the same of a colour coat
	CoatsBow      = "coats-bow"      // how far unequal coats bow the panel
)

// computable lists what can be computed, and the kind of the limit of each.
func computable() map[string]quantity.Kind {
	return map[string]quantity.Kind{ClosingPrimer: quantity.Share, ClosingColour: quantity.Share, CoatsBow: quantity.Length}
}

// Departures lists the departures from the shop's standard that a calculation
// can undo.
func Departures() []string {
	return []string{"time", "fresh-fan", "standing", "fan", "air", "film", "thinning", "coats", "back", "films", "kinds"}
}

func readCalculation(v yamldoc.Value, d *source.List) (item, any) {
	it := open(v, d, "a calculation", "title", "computes", "gate", "trust", "limit", "blame", "instead-of", "reading", "basis")
	c := Calculation{ID: it.id, Title: it.needText("title"), Gate: it.needText("gate"), Basis: it.basis(), InsteadOf: it.refs("instead-of"), Span: it.Span()}
	c.gateSpan, c.Reading = it.spanOf("gate"), Ref{it.text("reading"), it.spanOf("reading")}
	c.Computes = it.needText("computes")
	kind, ok := computable()[c.Computes]
	if !ok && c.Computes != "" {
		known := slices.Sorted(maps.Keys(computable()))
		remedy := "one of: " + strings.Join(known, ", ")
		if near, found := source.Nearest(c.Computes, known); found {
			remedy = near
		}
		d.Error(it.spanOf("computes"), "unknown-word", fmt.Sprintf("%q is nothing that can be computed from a log", c.Computes), remedy)
	}
	it.Need(d, "trust")
	if c.Trust = it.share("trust", 0); c.Trust >= 1 {
		d.Error(it.spanOf("trust"), "trust", "no model of a drying film can be trusted wholly", "a share below 1, such as 0.7")
	}
	if ok {
		c.Limit = it.limit(kind)
	}
	for _, b := range it.Need(d, "blame").Items(d, "blame") {
		c.Blame = append(c.Blame, it.blame(b))
	}
	return it, c
}

// limit reads `{from: 1.5 %, to: 4 %}`.
func (it item) limit(k quantity.Kind) Limit {
	f := it.Need(it.d, "limit").Fields(it.d, "a limit", "from", "to")
	var l Limit
	for _, x := range []struct {
		key  string
		into *float64
	}{{"from", &l.Low}, {"to", &l.High}} {
		text := f.Need(it.d, x.key).Text(it.d, x.key)
		if text == "" {
			continue
		}
		q, err := quantity.Parse(k, text, "")
		if err != nil {
			summary, remedy := err.Error(), "a figure with its unit"
			var bad *quantity.ParseError
			if errors.As(err, &bad) {
				summary, remedy = fmt.Sprintf("%q: %s", bad.Text, bad.Problem), bad.Remedy
			}
			it.d.Error(f.Get(x.key).Span(), "limit", summary, remedy)
			continue
		}
		*x.into = q.Mid()
	}
	if l.Low >= l.High && l.High > 0 {
		it.d.Error(f.Span(), "limit", "a limit runs from a smaller to a larger figure", "from: 1 % and to: 3 %")
	}
	return l
}

func (it item) blame(v yamldoc.Value) Blame {
	f := v.Fields(it.d, "a blame", "cause", "departures", "otherwise")
	b := Blame{Cause: f.Need(it.d, "cause").Text(it.d, "the cause"), Span: f.Get("cause").Span()}
	if f.Has("otherwise") {
		b.Otherwise, _ = f.Get("otherwise").Flag(it.d, "otherwise")
	}
	for _, x := range f.Need(it.d, "departures").OneOrMore(it.d, "the departures") {
		word := x.Text(it.d, "a departure")
		it.among(x, "departure", word, Departures())
		b.Departures = append(b.Departures, word)
	}
	return b
}

// calculation checks a calculation against the rest: its gate is an any-of, what
// it blames is among the inputs, each once.
func (c *checker) calculation(x Calculation) {
	c.known(x.Gate, x.gateSpan, "a gate", keys(c.b.gate))
	g, ok := c.b.Gate(x.Gate)
	if !ok {
		return
	}
	if g.Kind != AnyOf {
		c.d.Error(x.gateSpan, "calculation", fmt.Sprintf("%s is not an any-of gate, so that a computed event cannot stand for some of its inputs", g.ID), "an any-of gate")
	}
	var inputs []string
	for _, in := range g.Inputs {
		if e, ok := c.b.Event(in.ID); ok && e.Cause {
			inputs = append(inputs, in.ID)
		}
	}
	seen := map[string]bool{}
	for _, b := range x.Blame {
		c.known(b.Cause, b.Span, "a cause among the inputs of "+g.ID, inputs)
		if seen[b.Cause] {
			c.d.Error(b.Span, "calculation", b.Cause+" is blamed twice", "each cause once, with all its departures")
		}
		seen[b.Cause] = true
	}
	if len(x.Blame) == 0 {
		c.d.Error(x.Span, "calculation", "the calculation blames no cause", "blame: [{cause: ..., departures: [time]}]")
	}
	refs := x.InsteadOf
	if x.Reading.ID != "" {
		refs = append(slices.Clone(refs), x.Reading)
	}
	for _, r := range refs {
		c.known(r.ID, r.Span, "a finding", keys(c.b.finding))
	}
}

// describeCalculation writes a calculation in lines for a reader.
func describeCalculation(c Calculation) []string {
	kind := computable()[c.Computes]
	out := []string{
		"calculation " + c.ID + " (" + c.Span.String() + ")", c.Title,
		fmt.Sprintf("computes %s from the job log; stands for what it blames below %s", c.Computes, c.Gate),
		fmt.Sprintf("the model is trusted on %.3g of jobs (%s)", c.Trust, c.Basis),
		"too much: " + quantity.FormatRange(kind, c.Limit.Low, c.Limit.High, quantity.US),
	}
	for _, b := range c.Blame {
		line := b.Cause + " is at fault for: " + strings.Join(b.Departures, ", ")
		if b.Otherwise {
			line += ", and for what no departure explains"
		}
		out = append(out, line)
	}
	for _, r := range c.InsteadOf {
		out = append(out, "sets aside "+r.ID+", which tells the log again")
	}
	if c.Reading.ID != "" {
		out = append(out, "measured by "+c.Reading.ID)
	}
	return out
}

// CalculationOf finds the calculation that enters what was computed.
func (b *Base) CalculationOf(computes string) (Calculation, bool) {
	for _, c := range b.Calculations {
		if c.Computes == computes {
			return c, true
		}
	}
	return Calculation{}, false
}

// calculationsOnce: two calculations of one thing, or of one gate, would count
// the log twice.
func (c *checker) calculationsOnce() {
	seen := map[string]string{}
	for _, x := range c.b.Calculations {
		for _, key := range []string{x.Computes, x.Gate} {
			if other, ok := seen[key]; ok {
				c.d.Error(x.Span, "calculation", fmt.Sprintf("%s and %s would count the log twice over %s", other, x.ID, key), "one calculation for it")
			}
			seen[key] = x.ID
		}
	}
}
