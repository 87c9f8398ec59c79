package rulebase

import (
	"fmt"
	"slices"
	"strings"

	"filmfault/internal/source"
	"filmfault/internal/yamldoc"
)

// OwnCases begins the basis of a rate that rests on a shop's own settled cases,
// so that such a rate can be told from what was written and is not learned from
// a second time.
const OwnCases = "own cases"

// Replaced is a rate of an event that a list of rates in a layer above took the
// place of.
type Replaced struct {
	Rate  Rate
	Basis string
	Span  source.Span
	Below *Replaced // what it had itself taken the place of; nil for the rate at the cause
}

// setRate is an entry of a list of rates, read but not yet matched with its
// cause.
type setRate struct {
	cause Ref
	layer int
	rate  Rate
	basis string
}

// rates reads a list of rates. Its entries have no ids of their own.
func (r *reader) rates(f yamldoc.Fields) {
	if !f.Has("rates") {
		return
	}
	d := &r.diagnostics
	for _, v := range f.Get("rates").Items(d, "the rates") {
		it := item{Fields: v.Fields(d, "a rate", "cause", "rate", "basis"), d: d}
		if !v.IsMap() {
			continue
		}
		id := it.Need(d, "cause").Text(d, "the cause")
		s := setRate{cause: Ref{id, it.Get("cause").Span()}, layer: r.layer, rate: it.rate(), basis: it.rateBasis()}
		if id != "" {
			r.set = append(r.set, s)
		}
	}
}

// rateBasis reads what a rate rests on: as elsewhere, or own cases.
func (it item) rateBasis() string {
	text := it.needText("basis")
	if it.Has("basis") && !strings.HasPrefix(text, OwnCases) {
		it.restsOn(text, it.Get("basis").Span())
	}
	return text
}

// setRates puts the rates of the lists in force, the lowest layer first. An
// entry that a higher layer restates keeps the rate it has there.
func (r *reader) setRates(b *Base) {
	type key struct {
		layer int
		cause string
	}
	seen := map[key]source.Span{}
	for _, s := range r.set {
		id := b.Current(s.cause.ID)
		if first, twice := seen[key{s.layer, id}]; twice {
			r.diagnostics.Error(s.cause.Span, "rates", fmt.Sprintf("the rate of %s is set already, at %s", id, first), "one rate for it in this layer")
			continue
		}
		seen[key{s.layer, id}] = s.cause.Span
		if r.below(b, s, id) && r.ids[id].layer < s.layer {
			b.Events[b.event[id]].setRate(s)
		}
	}
}

// below reports whether a layer below the rate's has the cause or condition, and
// complains if not.
func (r *reader) below(b *Base, s setRate, id string) bool {
	d := &r.diagnostics
	e, known := r.ids[id]
	if known {
		if _, isEvent := e.value.(Event); !isEvent {
			d.Error(s.cause.Span, "rates", fmt.Sprintf("%s is a %s, and only causes and conditions have rates", id, kindOf(e.value)), "the id of a cause or condition")
			return false
		}
	}
	switch {
	case !known:
		c := checker{b: b, d: d}
		c.known(s.cause.ID, s.cause.Span, "a cause or condition", keys(b.event))
	case e.layer == s.layer:
		d.Error(s.cause.Span, "rates", fmt.Sprintf("%s stands in this layer itself, at %s", id, e.span), "`rate:` in that entry; a list of rates is for entries of a layer below")
	case e.layer > s.layer && !slices.ContainsFunc(r.entries, func(x *entry) bool { return x.id == id && x.layer < s.layer }):
		d.Error(s.cause.Span, "rates", fmt.Sprintf("%s stands in a layer above, at %s", id, e.span), "this rate in a folder that is read after that one")
	default:
		return true
	}
	return false
}

// setRate puts a rate in the place of the event's. The basis then says also
// where the rate stands and what it replaced: it is told wherever the rate is.
func (e *Event) setRate(s setRate) {
	was := Replaced{Rate: e.Rate, Basis: e.Basis, Span: e.Span, Below: e.Replaced}
	old := e.Basis + ", at " + e.Span.String()
	if e.Replaced != nil { // its basis says already where it stands
		was.Span, old = e.rateSpan, e.Basis
	}
	e.Rate, e.rateSpan, e.Replaced = s.rate, s.cause.Span, &was
	e.Basis = fmt.Sprintf("%s, at %s; in place of %s: %s", s.basis, s.cause.Span, rateText(was.Rate), old)
}

// Learned reports whether the rate in force rests on a shop's own settled cases.
func (e Event) Learned() bool { return e.Replaced != nil && strings.HasPrefix(e.Basis, OwnCases) }

// Written is the base with every rate that rests on own cases set aside for the
// one below it: what a shop's cases may be laid against, since they are not in it
// yet.
func (b *Base) Written() *Base {
	out := *b
	out.Events = slices.Clone(b.Events)
	for i := range out.Events {
		for e := &out.Events[i]; e.Learned(); {
			e.Rate, e.Basis, e.rateSpan, e.Replaced = e.Replaced.Rate, e.Replaced.Basis, e.Replaced.Span, e.Replaced.Below
		}
	}
	return &out
}

// WithRates is the base with the rates of some events, by id, taken for others.
// It keeps its digest: it is for trying rates out, and stands in no file.
func (b *Base) WithRates(rates map[string]Rate) *Base {
	out := *b
	out.Events = slices.Clone(b.Events)
	for i, e := range out.Events {
		if r, ok := rates[e.ID]; ok {
			out.Events[i].Rate = r
		}
	}
	return &out
}
