// Package rulebase reads rule files into a checked, immutable base: facts,
// causes, conditions, gates, failures, findings and measurements under one
// namespace of ids, each with its place in its file.
//
// It says what a base states, not what follows from it: chances are computed
// by package diagnosis. It refuses, with file, line, column and a remedy,
// everything that would make a base mean something its author did not see.
// It sits above yamldoc and quantity; casefile, diagnosis and the commands
// read it and never the files.
package rulebase

import (
	"cmp"
	"slices"

	"filmfault/internal/quantity"
	"filmfault/internal/source"
)

// Base is all rules in force. It is never changed after Load.
type Base struct {
	Layers   []string // names of the layers, lowest first
	Digest   string   // twelve hex digits over all bytes read
	Cautions []Caution
	Facts    []Fact
	Events   []Event // causes and conditions
	Gates    []Gate  // gates and failures, inputs before the gates that use them
	Findings []Finding
	// Calculations say how what a job log implies enters.
	Calculations []Calculation

	caution map[string]int
	fact    map[string]int
	event   map[string]int
	gate    map[string]int
	finding map[string]int
	was     map[string]string
	trees   map[string][]string

	failures []Gate
}

// Caution is a warning that stands before the step it belongs to. Short is one
// sentence of it for a printed page; the whole text when none is written. Where
// all of Unless is known, the danger is not there and the caution need not be
// given.
type Caution struct {
	ID, Text, Short string
	Unless          []Is
	Span            source.Span
}

// Fact is something about the job or the place that sets rates and
// preconditions.
type Fact struct {
	ID, Question, How string
	Stage             Stage
	Answers           []Answer
	Value             *Value // nil when an answer is picked
	Span              source.Span
}

// Answer is one answer to a fact or finding. From and Below bound a band in SI
// units, closed below and open above; nil is unbounded.
type Answer struct {
	ID, Text    string
	From, Below *float64
	Cautions    []string
	Span        source.Span

	cautions []Ref
}

// Value says that a number is asked for, and in which unit when none is typed.
type Value struct {
	Kind quantity.Kind
	Unit string
}

// Stage is the part of the visit a question belongs to.
type Stage string

// The stages. Facts use StageSafety, StageStart and StageLog; findings the
// last four.
const (
	StageSafety Stage = "safety"
	StageStart  Stage = "start"
	StageLook   Stage = "look"
	StageTouch  Stage = "touch"
	StageCut    Stage = "cut"
	StageLog    Stage = "log"
)

// Is requires a fact, or the state of a failure, to be one of the answers.
type Is struct {
	ID      string
	Answers []string
	Span    source.Span

	answerSpan source.Span
}

// Facts is what is known of a job: fact id to answer id. A fact that is not
// known is not in the map.
type Facts map[string]string

// Hold reports whether every requirement is known to be met.
func Hold(when []Is, f Facts) bool {
	for _, w := range when {
		if !w.Met(f) {
			return false
		}
	}
	return true
}

// Met reports whether the requirement is known to be met.
func (w Is) Met(f Facts) bool {
	got, known := f[w.ID]
	if !known {
		return false
	}
	for _, a := range w.Answers {
		if a == got {
			return true
		}
	}
	return false
}

// RateRow is one row of a base rate. The last row has no When.
type RateRow struct {
	When []Is
	Rate float64
	Span source.Span
}

// Rate is a base rate, rows read from the top.
type Rate []RateRow

// For is the rate under the facts known: the share of such jobs on which the
// event holds.
func (r Rate) For(f Facts) float64 {
	for _, row := range r {
		if Hold(row.When, f) {
			return row.Rate
		}
	}
	return 0 // not reached: the last row requires nothing
}

// Event is a basic event: a cause (ranked) or a condition (never ranked).
type Event struct {
	ID, Title, Tree, Mechanism string
	Cause                      bool
	Rate                       Rate
	Basis                      string
	Confirm                    []Confirmation
	Repair, Prevent            string
	Cautions                   []string
	Inseparable                []Inseparable
	// Replaced is the rate that a list of rates took the place of; nil for a rate
	// that stands at its cause.
	Replaced *Replaced
	Span     source.Span

	cautions []Ref
	rateSpan source.Span // of the rate in a list of rates
}

// Confirmation names a measurement and the answers that confirm a cause.
type Confirmation struct {
	Measurement string
	Answers     []string
	Span        source.Span

	answerSpan source.Span
}

// Inseparable says that no finding tells an event from another, and what would.
type Inseparable struct {
	From, WouldSeparate string
	Span                source.Span
}

// GateKind is how a gate joins its inputs.
type GateKind string

// The kinds of gate.
const (
	AnyOf   GateKind = "any"
	AllOf   GateKind = "all"
	AtLeast GateKind = "at-least"
)

// Input is an input of a gate or of an any-of finding; Chance is in (0,1].
type Input struct {
	ID     string
	Chance float64
	Span   source.Span
}

// Gate joins events and gates. Unlisted is the share of times it holds that
// nothing listed explains. Failure is nil but for failures.
type Gate struct {
	ID, Title string
	Kind      GateKind
	Count     int
	Inputs    []Input
	Unlisted  float64
	Failure   *Failure
	Span      source.Span
}

// Failure is what makes a gate a failure: how it is looked for and what to do
// when it is seen.
type Failure struct {
	Question, How              string
	Shows, ClaimedInError      float64
	MakeSafe, Temporary, Never string
	Place                      int // in lists that a person reads, the smallest first
}

// Finding is a question or observation; a measurement when Measurement is not
// nil.
type Finding struct {
	ID, Question, How, Why string
	Label                  string // what it is about, a few words for a page
	Stage                  Stage
	Where                  []string
	Minutes                float64
	Damage                 string
	Tools, Cautions        []string
	Needs                  []Is     // all must be met
	NeedsAny               []string // failures, of which one must be seen; none when empty
	Group                  string
	Value                  *Value
	Answers                []Answer
	Rows                   []Row
	AnyOf                  []Input
	Background             float64
	Basis                  string
	Measurement            *Measurement
	FromLog                *FromLog
	Span                   source.Span

	cautions []Ref
}

// Measurement is what a finding that takes a tool has besides.
type Measurement struct{ Method, Decides string }

// Row is one row of a decision list: when all events of If hold and the facts
// of When are known, Say gives how often each answer is seen. The last row has
// neither.
type Row struct {
	If    []Ref
	When  []Is
	Say   []float64
	Basis string
	Span  source.Span
}

// Ref names another entry, at a place.
type Ref struct {
	ID   string
	Span source.Span
}

// The words of the places where a question can be answered.
const (
	AtSign  = "sign"
	AtDesk  = "desk"
	ByPhone = "phone"
)

// Caution finds a caution's text.
func (b *Base) Caution(id string) (Caution, bool) { return lookup(b.caution, b.Cautions, id) }

// Fact finds a fact.
func (b *Base) Fact(id string) (Fact, bool) { return lookup(b.fact, b.Facts, id) }

// Event finds a cause or condition.
func (b *Base) Event(id string) (Event, bool) { return lookup(b.event, b.Events, id) }

// Gate finds a gate or failure.
func (b *Base) Gate(id string) (Gate, bool) { return lookup(b.gate, b.Gates, id) }

// Finding finds a finding or measurement.
func (b *Base) Finding(id string) (Finding, bool) { return lookup(b.finding, b.Findings, id) }

func lookup[T any](index map[string]int, list []T, id string) (T, bool) {
	i, ok := index[id]
	if !ok {
		var none T
		return none, false
	}
	return list[i], true
}

// Current is the id that an id of an older rule base goes by now, itself when
// it was not renamed.
func (b *Base) Current(id string) string {
	if now, ok := b.was[id]; ok {
		return now
	}
	return id
}

// Failures lists the failures by their place; it is shared and not to be
// changed.
func (b *Base) Failures() []Gate { return b.failures }

// sortFailures puts the failures in the order in which people read them.
func (b *Base) sortFailures() {
	b.failures = nil
	for _, g := range b.Gates {
		if g.Failure != nil {
			b.failures = append(b.failures, g)
		}
	}
	slices.SortStableFunc(b.failures, func(x, y Gate) int { return cmp.Compare(x.Failure.Place, y.Failure.Place) })
}

// Band is the answer of a banded value whose band holds x (in SI units).
func Band(answers []Answer, x float64) (int, bool) {
	for i, a := range answers {
		if (a.From == nil || x >= *a.From) && (a.Below == nil || x < *a.Below) {
			return i, true
		}
	}
	return 0, false
}

// AnswerIndex is the place of an answer id.
func AnswerIndex(answers []Answer, id string) (int, bool) {
	for i, a := range answers {
		if a.ID == id {
			return i, true
		}
	}
	return 0, false
}
