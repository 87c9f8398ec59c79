package similar

import (
	"cmp"
	"slices"

	"filmfault/internal/book"
	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/report"
	"filmfault/internal/rulebase"
)

// Schema is the version of the document's JSON; a name of it that changes gets a
// new number.
const Schema = 1

// Caution stands under every list of similar cases.
const Caution = "A similar case is no proof: it says what was found then, and by which measurement. This case needs its own."

// Document is the near cases of one case. Fields marked "-" are for readers.
type Document struct {
	Schema     int          `json:"schema"`
	Case       string       `json:"case"`
	Rules      report.Rules `json:"rules"`
	Failures   []string     `json:"failures"`    // seen in the case asked about
	LookedAt   int          `json:"looked_at"`   // past cases that were read and compared
	Unreadable int          `json:"unreadable"`  // files that could not be read
	InCommon   int          `json:"in_common"`   // cases that have a failure in common
	Weight     Nats         `json:"weight_nats"` // of all answers of the case asked about
	Near       []Near       `json:"near"`
	Caution    string       `json:"caution"`

	PassedOver int `json:"-"` // files that name none of the failures, and were not read further
}

// Nats is an amount of information, natural logarithms, to four digits.
type Nats = report.Number

// Near is one past case, and why it is near.
type Near struct {
	Case       string        `json:"case"`
	File       string        `json:"file"`
	Title      string        `json:"title"`
	Invented   bool          `json:"invented"`
	Nearness   report.Number `json:"nearness"` // 1 for the same answers
	Common     []Named       `json:"failures_in_common"`
	OnlyHere   []Named       `json:"failures_only_here"`
	OnlyThere  []Named       `json:"failures_only_there"`
	Findings   []Weighed     `json:"findings_shared"`
	Conditions []Weighed     `json:"conditions_shared"`
	Different  []Weighed     `json:"different"` // findings and facts
	Verdict    *Verdict      `json:"verdict"`   // null for an open case
}

// Named is an id with its words.
type Named struct {
	ID    string `json:"id"`
	Title string `json:"title"`
}

// Weighed is an answer both cases gave, or in which they differ.
type Weighed struct {
	ID     string `json:"id"`
	Fact   bool   `json:"fact"`
	Here   string `json:"here"`
	There  string `json:"there"`
	Weight Nats   `json:"weight_nats"`

	Asked                string  `json:"-"` // what it is about, in words
	HereWords, ThereSaid string  `json:"-"` // the answers in words
	Share                float64 `json:"-"` // of the weight of the case asked about
}

// Verdict is what a past case turned out to be.
type Verdict struct {
	Settled  string   `json:"settled"`
	NoFault  bool     `json:"no_fault"`
	Unlisted bool     `json:"unlisted"`
	Causes   []Judged `json:"causes"`
}

// Judged is the verdict on one cause, and the reading that decided it where the
// case holds it.
type Judged struct {
	Cause   string `json:"cause"`
	Title   string `json:"title"`
	State   string `json:"state"`
	By      string `json:"by"`
	Reading string `json:"reading"`

	Measured string `json:"-"` // the measurement in words
}

// Finder keeps the nearest of the cases it is given.
type Finder struct {
	asked *Asked
	most  int
	doc   Document    // its counts
	near  []Candidate // the nearest first
}

// NewFinder begins a search for at most so many cases near the one asked about.
func NewFinder(a *Asked, name string, most int) *Finder {
	return &Finder{asked: a, most: most, doc: Document{
		Schema: Schema, Case: name, Rules: report.Rules{Digest: a.base.Digest, Layers: a.base.Layers}, Failures: a.Seen,
		Weight: Nats(a.Total), Caution: Caution,
	}}
}

// Candidate is a past case that was compared.
type Candidate struct {
	file, id, title string
	invented        bool
	verdict         *casefile.Verdict
	readings        map[string]string // of the measurements that decided
	match           Match
}

// Compare reads a past case by the rules and compares it. What the rules do not
// know in it, as in a case of other years, is left out. Several may run at once.
func (f *Finder) Compare(it book.Item) Candidate {
	sheet, _ := diagnosis.Resolve(f.asked.base, f.asked.narrowed(it.Case))
	c := Candidate{
		file: it.Shown(), id: it.ID, title: it.Case.Title, invented: it.Case.Invented,
		verdict: it.Case.Verdict, match: f.asked.Compare(sheet),
	}
	if c.verdict != nil && len(c.match.Common) > 0 {
		c.readings = map[string]string{}
		for _, x := range c.verdict.Causes {
			by := f.asked.base.Current(x.By)
			c.readings[by] = f.reading(it.Case, by)
		}
	}
	return c
}

// reading is what a case answers to a measurement, in words or as typed.
func (f *Finder) reading(c *casefile.Case, id string) string {
	for _, e := range c.Findings {
		if f.asked.base.Current(e.ID) != id || e.NotChecked {
			continue
		}
		if x, ok := f.asked.base.Finding(id); ok && e.Value == "" {
			return textOf(x.Answers, e.Answer)
		}
		return e.Value
	}
	return ""
}

// Add counts a case, and keeps it if it has a failure in common and is among the
// nearest so far. Equals are in order of their ids, whatever order they come in.
func (f *Finder) Add(c Candidate) {
	f.doc.LookedAt++
	if len(c.match.Common) == 0 {
		return
	}
	f.doc.InCommon++
	at, _ := slices.BinarySearchFunc(f.near, c, nearer)
	if at < f.most {
		f.near = slices.Insert(f.near, at, c)
		f.near = f.near[:min(f.most, len(f.near))]
	}
}

func nearer(a, b Candidate) int {
	return cmp.Or(
		cmp.Compare(len(b.match.Common), len(a.match.Common)),
		descending(a.match.Nearness, b.match.Nearness),
		cmp.Compare(a.id, b.id), cmp.Compare(a.file, b.file))
}

// Document is what was found so far; passedOver is how many files more were not
// read since they name none of the failures, unreadable how many could not be.
func (f *Finder) Document(passedOver, unreadable int) *Document {
	d := f.doc
	d.PassedOver, d.Unreadable = passedOver, unreadable
	d.Near = make([]Near, len(f.near))
	for i, c := range f.near {
		d.Near[i] = f.told(c)
	}
	return &d
}

func (f *Finder) told(c Candidate) Near {
	n := Near{
		Case: c.id, File: c.file, Title: c.title, Invented: c.invented, Nearness: report.Number(c.match.Nearness),
		Common: f.failures(c.match.Common), OnlyHere: f.failures(c.match.OnlyHere), OnlyThere: f.failures(c.match.OnlyOld),
		Findings: []Weighed{}, Conditions: []Weighed{}, Different: []Weighed{}, Verdict: f.verdict(c),
	}
	for _, a := range c.match.Shared {
		if a.Fact {
			n.Conditions = append(n.Conditions, f.weighed(a))
		} else {
			n.Findings = append(n.Findings, f.weighed(a))
		}
	}
	for _, a := range c.match.Different {
		n.Different = append(n.Different, f.weighed(a))
	}
	return n
}

func (f *Finder) failures(ids []string) []Named {
	out := make([]Named, len(ids))
	for i, id := range ids {
		g, _ := f.asked.base.Gate(id)
		out[i] = Named{id, g.Title}
	}
	return out
}

func (f *Finder) weighed(a Answer) Weighed {
	w := Weighed{ID: a.ID, Fact: a.Fact, Here: a.Here, There: a.There, Weight: Nats(a.Weight), Asked: words(a.ID),
		HereWords: words(a.Here), ThereSaid: words(a.There)}
	if f.asked.Total > 0 {
		w.Share = a.Weight / f.asked.Total
	}
	if x, ok := f.asked.base.Finding(a.ID); ok && !a.Fact {
		if x.Label != "" {
			w.Asked = x.Label
		}
		w.HereWords, w.ThereSaid = textOf(x.Answers, a.Here), textOf(x.Answers, a.There)
	}
	return w
}

func textOf(answers []rulebase.Answer, id string) string {
	if i, ok := rulebase.AnswerIndex(answers, id); ok {
		return answers[i].Text
	}
	return id
}

func (f *Finder) verdict(c Candidate) *Verdict {
	if c.verdict == nil {
		return nil
	}
	b := f.asked.base
	v := &Verdict{Settled: c.verdict.Settled, NoFault: c.verdict.NoFault, Unlisted: c.verdict.Unlisted, Causes: []Judged{}}
	for _, x := range c.verdict.Causes {
		j := Judged{Cause: b.Current(x.Cause), State: x.State, By: b.Current(x.By), Title: words(x.Cause), Measured: words(x.By)}
		if e, ok := b.Event(j.Cause); ok {
			j.Title = e.Title
		}
		if m, ok := b.Finding(j.By); ok && m.Label != "" {
			j.Measured = m.Label
		}
		j.Reading = c.readings[j.By]
		v.Causes = append(v.Causes, j)
	}
	return v
}
