package casefile

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"filmfault/internal/source"
	"filmfault/internal/yamldoc"
)

type parser struct{ d *source.List }

func caseKeys() []string {
	return []string{"schema", "case", "title", "invented", "started", "rules", "job", "facts", "failures",
		"findings", "log", "photos", "verdict", "notes"}
}

func (p parser) document(doc yamldoc.Value) (*Case, error) {
	f := doc.FieldsKeepingUnknown(p.d, "a case file", caseKeys()...)
	if !doc.IsMap() {
		return nil, nil
	}
	if err := p.schema(f); err != nil {
		return nil, err
	}
	p.mistyped(f, caseKeys())
	c := &Case{document: doc}
	c.ID = f.Get("case").TextOr("")
	c.Title = f.Get("title").TextOr("")
	c.Started = f.Get("started").TextOr("")
	c.Notes = f.Get("notes").TextOr("")
	if f.Has("invented") {
		c.Invented, _ = f.Get("invented").Flag(p.d, "invented")
	}
	c.Rules = p.rules(f.Get("rules"))
	c.Facts = p.entries(f.Get("facts"), "facts")
	c.Failures = p.entries(f.Get("failures"), "failures")
	c.Findings = p.entries(f.Get("findings"), "findings")
	p.log(f.Get("log"), c)
	p.line(f.Get("job"), "the job", c.Job.fields(), &c.Job.Place)
	c.Photos = lines(p, f.Get("photos"), "photo", func(x *Photo) ([]field, *Place) { return x.fields(), &x.Place })
	c.Verdict = p.verdict(f.Get("verdict"))
	return c, nil
}

// schema refuses files of a newer version before anything else is said of them.
func (p parser) schema(f yamldoc.Fields) error {
	v := f.Need(p.d, "schema")
	n, ok := v.Whole(p.d, "the schema")
	switch {
	case ok && n > Schema:
		return &NewerError{Span: v.Span(), Schema: n}
	case ok && n < 1:
		p.d.Error(v.Span(), "schema", fmt.Sprintf("there is no schema %d", n), fmt.Sprintf("schema: %d", Schema))
	}
	return nil
}

// mistyped warns of keys that look like a slip: other unknown keys are kept in
// silence, they may be a newer version's or the shop's own.
func (p parser) mistyped(f yamldoc.Fields, known []string) {
	for _, k := range f.Unknown() {
		if near, ok := source.Nearest(k, known); ok {
			p.d.Warn(f.KeySpan(k), "unknown-key", fmt.Sprintf("the key %q is not read", k), near+", if that was meant")
		}
	}
}

func (p parser) rules(v yamldoc.Value) RulesUsed {
	f := v.FieldsKeepingUnknown(p.d, "the rules used", "digest", "layers")
	r := RulesUsed{Digest: f.Get("digest").TextOr("")}
	for _, l := range f.Get("layers").OneOrMore(p.d, "the layers") {
		r.Layers = append(r.Layers, l.Text(p.d, "a layer"))
	}
	return r
}

// notChecked is how "not looked at" is written in a case file.
const notChecked = "not-checked"

func (p parser) entries(v yamldoc.Value, what string) []Entry {
	if v.Kind() == yamldoc.Null {
		return nil
	}
	f := v.FieldsKeepingUnknown(p.d, "the "+what)
	var out []Entry
	for _, id := range f.Keys() {
		out = append(out, p.entry(id, f.Get(id), f.KeySpan(id)))
	}
	return out
}

// entry reads `id: answer` or `id: {answer: ..., sure: ...}`.
func (p parser) entry(id string, v yamldoc.Value, span source.Span) Entry {
	e := Entry{ID: id, Span: span, AnswerSpan: v.Span()}
	if !v.IsMap() {
		e.Answer = v.Text(p.d, "the answer to "+id)
		return p.checked(e)
	}
	keys := []string{"answer", "value", "sure", "source", "note", "asked"}
	f := v.FieldsKeepingUnknown(p.d, "the answer to "+id, keys...)
	p.mistyped(f, keys)
	for _, key := range []string{"answer", "value"} {
		if f.Has(key) {
			e.AnswerSpan = f.Get(key).Span()
		}
	}
	e.Answer, e.Value = f.Get("answer").TextOr(""), f.Get("value").TextOr("")
	e.Sure, e.Source = f.Get("sure").TextOr(""), f.Get("source").TextOr("")
	e.Note, e.Asked = f.Get("note").TextOr(""), f.Get("asked").TextOr("")
	if (e.Answer == "") == (e.Value == "") {
		p.d.Error(span, "answer", "the answer to "+id+" must be either an answer or a value", "{answer: ID} or {value: FIGURE}")
	}
	p.source(f.Get("source"), e.Source)
	p.sure(f.Get("sure"), e.Sure)
	return p.checked(e)
}

func (p parser) checked(e Entry) Entry {
	if e.Answer == notChecked {
		e.Answer, e.NotChecked = "", true
	}
	return e
}

// Sources lists the words for where a figure comes from.
func Sources() []string { return []string{"measured", "logged", "remembered", "assumed"} }

func (p parser) source(v yamldoc.Value, word string) {
	if word != "" && !slices.Contains(Sources(), word) {
		p.d.Error(v.Span(), "source", fmt.Sprintf("%q is no source", word), "one of: "+strings.Join(Sources(), ", "))
	}
}

// probably is the confidence that the word stands for.
const probably = 0.8

func (p parser) sure(v yamldoc.Value, word string) {
	if _, err := Confidence(word); err != nil {
		p.d.Error(v.Span(), "sure", err.Error(), "sure: probably, or a confidence such as 0.7")
	}
}

// Confidence is the confidence in an answer: 1 when nothing is said, .8 for
// "probably", else the number written.
func Confidence(sure string) (float64, error) {
	switch sure {
	case "":
		return 1, nil
	case "probably":
		return probably, nil
	}
	c, err := strconv.ParseFloat(sure, 64)
	if err != nil || !(c > 0 && c <= 1) {
		return 0, fmt.Errorf("%q is no confidence", sure)
	}
	return c, nil
}

func (p parser) verdict(v yamldoc.Value) *Verdict {
	if v.Kind() == yamldoc.Missing || v.Kind() == yamldoc.Null {
		return nil
	}
	keys := append([]string{"settled", "by", "causes", "unlisted", "no-fault", "note"}, settlementKeys()...)
	f := v.FieldsKeepingUnknown(p.d, "a verdict", keys...)
	p.mistyped(f, keys)
	out := &Verdict{Settled: f.Get("settled").TextOr(""), By: f.Get("by").TextOr(""), Note: f.Get("note").TextOr(""), Span: f.Span(), Settlement: p.settlement(f)}
	if f.Has("unlisted") {
		out.Unlisted, _ = f.Get("unlisted").Flag(p.d, "unlisted")
	}
	if f.Has("no-fault") {
		out.NoFault, _ = f.Get("no-fault").Flag(p.d, "no-fault")
	}
	for _, item := range f.Get("causes").Items(p.d, "the causes") {
		out.Causes = append(out.Causes, p.cause(item))
	}
	return out
}

func (p parser) cause(item yamldoc.Value) Finding {
	g := item.FieldsKeepingUnknown(p.d, "a cause of the verdict", "cause", "state", "by")
	x := Finding{Cause: g.Need(p.d, "cause").Text(p.d, "the cause"), State: g.Need(p.d, "state").Text(p.d, "the state"), By: g.Get("by").TextOr(""),
		Span: g.Get("cause").Span(), BySpan: g.Get("by").Span()}
	states := []string{Confirmed, RuledOut, NotExamined}
	if x.State != "" && !slices.Contains(states, x.State) {
		p.d.Error(g.Get("state").Span(), "state", fmt.Sprintf("%q is no state", x.State), "one of: "+strings.Join(states, ", "))
	}
	return x
}
