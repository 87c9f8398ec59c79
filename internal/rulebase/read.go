package rulebase

import (
	"fmt"
	"strings"

	"filmfault/internal/source"
	"filmfault/internal/yamldoc"
)

func readCaution(v yamldoc.Value, d *source.List) (item, any) {
	it := open(v, d, "a caution", "text", "short", "unless")
	c := Caution{ID: it.id, Text: it.needText("text"), Short: it.text("short"), Unless: it.requirements(it.Get("unless"), "unless"), Span: it.Span()}
	if c.Short == "" {
		c.Short = c.Text
	}
	return it, c
}

func (it item) needText(key string) string {
	return oneLine(it.Need(it.d, key).Text(it.d, "the "+key))
}

func (it item) text(key string) string { return oneLine(it.Get(key).TextOr("")) }

// oneLine folds the line ends of a block of text: terminals wrap anew.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

func (it item) words(key string) []string {
	var out []string
	for _, v := range it.Get(key).OneOrMore(it.d, "the "+key) {
		out = append(out, v.Text(it.d, "an entry of "+key))
	}
	return out
}

// refs is words with their places.
func (it item) refs(key string) []Ref {
	var out []Ref
	for _, v := range it.Get(key).OneOrMore(it.d, "the "+key) {
		out = append(out, Ref{v.TextOr(""), v.Span()})
	}
	return out
}

// basis reads what a figure rests on.
func (it item) basis() string {
	text := it.needText("basis")
	if it.Has("basis") {
		it.restsOn(text, it.Get("basis").Span())
	}
	return text
}

func (it item) restsOn(text string, span source.Span) {
	for _, ok := range []string{"published:", "common practice", "judgement", "definition"} {
		if strings.HasPrefix(text, ok) {
			return
		}
	}
	it.d.Error(span, "basis", fmt.Sprintf("%q does not say what the figure rests on", text), "published: SOURCE, common practice, judgement, or definition")
}

// oneOf reads a word that must be among the known ones.
func (it item) oneOf(key, otherwise string, known ...string) string {
	if !it.Has(key) {
		return otherwise
	}
	w := it.Get(key).Text(it.d, "the "+key)
	it.among(it.Get(key), key, w, known)
	return w
}

func (it item) among(v yamldoc.Value, key, word string, known []string) {
	for _, k := range known {
		if k == word {
			return
		}
	}
	remedy := "one of: " + strings.Join(known, ", ")
	if near, ok := source.Nearest(word, known); ok {
		remedy = near
	}
	it.d.Error(v.Span(), "unknown-word", fmt.Sprintf("%q is no %s", word, key), remedy)
}

func readFact(v yamldoc.Value, d *source.List) (item, any) {
	it := open(v, d, "a fact", "question", "how", "stage", "answers", "value")
	f := Fact{ID: it.id, Question: it.needText("question"), How: it.text("how"), Span: it.Span()}
	f.Stage = Stage(it.oneOf("stage", string(StageStart), string(StageSafety), string(StageStart), string(StageLog)))
	f.Value = it.value()
	f.Answers = it.answers(f.Value)
	if len(f.Answers) < 2 && it.id != "" {
		d.Error(it.Get("id").Span(), "answers", "a fact needs two answers or more", "answers: [{id: ..., text: ...}, ...]")
	}
	return it, f
}

// requirements reads `{fact: answer, fact: [answer, answer]}`.
func (it item) requirements(v yamldoc.Value, what string) []Is {
	f := v.Fields(it.d, what)
	var out []Is
	for _, k := range f.Keys() {
		is := Is{ID: k, Span: f.KeySpan(k), answerSpan: f.Get(k).Span()}
		for _, a := range f.Get(k).OneOrMore(it.d, "the answers of "+k) {
			is.Answers = append(is.Answers, a.Text(it.d, "an answer of "+k))
		}
		out = append(out, is)
	}
	return out
}

func readCondition(v yamldoc.Value, d *source.List) (item, any) {
	it := open(v, d, "a condition", "title", "mechanism", "rate", "basis")
	e := Event{ID: it.id, Title: it.needText("title"), Mechanism: it.text("mechanism"), Span: it.Span()}
	e.Rate, e.Basis = it.rate(), it.basis()
	return it, e
}

func readCause(v yamldoc.Value, d *source.List) (item, any) {
	it := open(v, d, "a cause", "title", "tree", "mechanism", "rate", "basis", "confirm", "repair",
		"prevent", "cautions", "inseparable")
	e := Event{ID: it.id, Cause: true, Title: it.needText("title"), Tree: it.needText("tree"), Span: it.Span()}
	e.Mechanism, e.Basis = it.needText("mechanism"), it.basis()
	e.Repair, e.Prevent = it.needText("repair"), it.needText("prevent")
	e.Rate, e.Cautions = it.rate(), it.words("cautions")
	e.cautions = it.refs("cautions")
	for _, c := range it.Need(d, "confirm").Items(d, "confirm") {
		e.Confirm = append(e.Confirm, readConfirmation(c, d))
	}
	if it.Get("confirm").IsList() && len(e.Confirm) == 0 {
		d.Error(it.Get("confirm").Span(), "confirm", fmt.Sprintf("cause %s has no confirming measurement", it.id), "confirm: [{measurement: ..., answer: ...}]")
	}
	for _, c := range it.Get("inseparable").Items(d, "inseparable") {
		f := c.Fields(d, "an inseparable rival", "from", "would-separate")
		e.Inseparable = append(e.Inseparable, Inseparable{
			From:          f.Need(d, "from").Text(d, "from"),
			WouldSeparate: oneLine(f.Need(d, "would-separate").Text(d, "would-separate")),
			Span:          f.Get("from").Span(),
		})
	}
	return it, e
}

func readConfirmation(v yamldoc.Value, d *source.List) Confirmation {
	f := v.Fields(d, "a confirming measurement", "measurement", "answer")
	c := Confirmation{Measurement: f.Need(d, "measurement").Text(d, "the measurement"), Span: f.Get("measurement").Span()}
	c.answerSpan = f.Get("answer").Span()
	for _, a := range f.Need(d, "answer").OneOrMore(d, "the confirming answers") {
		c.Answers = append(c.Answers, a.Text(d, "an answer"))
	}
	return c
}

// rate reads a number or rows on facts.
func (it item) rate() Rate {
	v := it.Need(it.d, "rate")
	if !v.IsList() {
		p, _ := v.Number(it.d, "the rate")
		it.probability(v, p, "a rate")
		return Rate{{Rate: p, Span: v.Span()}}
	}
	var out Rate
	rows := v.Items(it.d, "the rate")
	if len(rows) == 0 {
		it.d.Error(v.Span(), "rate", "there is no row to take the rate from", "rate: 0.03, or rows ending in {otherwise: 0.03}")
	}
	for i, row := range rows {
		f := row.Fields(it.d, "a row of the rate", "when", "rate", "otherwise")
		r := RateRow{Span: f.Span()}
		key := "rate"
		if last := i == len(rows)-1; last {
			key = "otherwise"
		} else {
			r.When = it.requirements(f.Need(it.d, "when"), "when")
		}
		n := f.Need(it.d, key)
		r.Rate, _ = n.Number(it.d, "the rate")
		it.probability(n, r.Rate, "a rate")
		out = append(out, r)
	}
	return out
}

func (it item) probability(v yamldoc.Value, p float64, what string) {
	if p < 0 || p > 1 {
		it.d.Error(v.Span(), "probability", fmt.Sprintf("%v is outside 0 to 1", p), what+" between 0 and 1, such as 0.03")
	}
}

func readGate(v yamldoc.Value, d *source.List) (item, any) {
	it := open(v, d, "a gate", "title", "any", "all", "at-least", "unlisted")
	return it, it.gate()
}

func readFailure(v yamldoc.Value, d *source.List) (item, any) {
	it := open(v, d, "a failure", "title", "any", "all", "at-least", "unlisted", "question", "how",
		"shows", "claimed-in-error", "make-safe", "temporary", "never", "place")
	g := it.gate()
	it.Need(d, "unlisted")
	g.Failure = &Failure{
		Question: it.needText("question"), How: it.text("how"),
		Shows: it.share("shows", 0.8), ClaimedInError: it.share("claimed-in-error", 0.01),
		MakeSafe: it.needText("make-safe"), Temporary: it.needText("temporary"), Never: it.needText("never"),
	}
	if it.Has("place") {
		g.Failure.Place, _ = it.Get("place").Whole(d, "the place")
	}
	it.inspection(*g.Failure)
	return it, g
}

// inspection: looking for a failure tells something, and settles nothing for
// certain.
func (it item) inspection(f Failure) {
	for _, x := range []struct {
		key   string
		share float64
	}{{"shows", f.Shows}, {"claimed-in-error", f.ClaimedInError}} {
		if x.share == 0 || x.share == 1 {
			it.d.Error(it.spanOf(x.key), "certain", fmt.Sprintf("%s: %v would let one look settle everything", x.key, x.share), "a share between 0 and 1, such as 0.8 or 0.01")
			return
		}
	}
	if f.Shows <= f.ClaimedInError {
		it.d.Error(it.spanOf("shows"), "inspection", fmt.Sprintf("a failure that is there (%v) must be seen more often than one that is not (%v)", f.Shows, f.ClaimedInError),
			"shows: above claimed-in-error:")
	}
}

// spanOf is where a key's value stands, or the entry when it has no such key.
func (it item) spanOf(key string) source.Span {
	if it.Has(key) {
		return it.Get(key).Span()
	}
	return it.Span()
}

func (it item) share(key string, otherwise float64) float64 {
	if !it.Has(key) {
		return otherwise
	}
	p, ok := it.Get(key).Number(it.d, "the "+key)
	if !ok {
		return otherwise
	}
	it.probability(it.Get(key), p, "a share")
	return p
}

func (it item) gate() Gate {
	g := Gate{ID: it.id, Title: it.needText("title"), Unlisted: it.share("unlisted", 0), Span: it.Span()}
	switch {
	case g.Unlisted == 0 && it.Has("unlisted"):
		it.d.Error(it.Get("unlisted").Span(), "unlisted", "an unlisted share of 0 says that the list is complete", "the share of the times it holds that nothing listed explains, such as 0.06")
	case g.Unlisted >= 1:
		it.d.Error(it.Get("unlisted").Span(), "unlisted", "an unlisted share of 1 leaves nothing to the listed causes", "a share below 1, such as 0.08")
	}
	var kinds []string
	for _, k := range []string{"any", "all", "at-least"} {
		if it.Has(k) {
			kinds = append(kinds, k)
		}
	}
	if len(kinds) != 1 {
		if it.id != "" {
			it.d.Error(it.Get("id").Span(), "gate-kind", fmt.Sprintf("gate %s has %d lists of inputs", it.id, len(kinds)), "exactly one of any, all, at-least")
		}
		return g
	}
	g.Kind = GateKind(kinds[0])
	list := it.Get(kinds[0])
	if g.Kind == AtLeast {
		f := list.Fields(it.d, "at-least", "count", "of")
		g.Count, _ = f.Need(it.d, "count").Whole(it.d, "the count")
		list = f.Need(it.d, "of")
	}
	for _, v := range list.Items(it.d, "the inputs") {
		g.Inputs = append(g.Inputs, it.input(v))
	}
	if g.Kind == AtLeast && (g.Count < 1 || g.Count > len(g.Inputs)) {
		it.d.Error(list.Span(), "count", fmt.Sprintf("at least %d of %d inputs makes no gate", g.Count, len(g.Inputs)), "a count between 1 and the number of inputs")
	}
	return g
}

// input reads an id, or {event: id, chance: number or word}.
func (it item) input(v yamldoc.Value) Input {
	if v.IsText() {
		return Input{ID: v.Text(it.d, "an input"), Chance: 1, Span: v.Span()}
	}
	f := v.Fields(it.d, "an input", "event", "chance")
	in := Input{ID: f.Need(it.d, "event").Text(it.d, "the event"), Span: f.Get("event").Span()}
	p, ok := it.likelihood(f.Need(it.d, "chance"), "the chance")
	in.Chance = p
	if ok && (in.Chance <= 0 || in.Chance > 1) {
		it.d.Error(f.Get("chance").Span(), "probability", "a chance lies above 0 and is at most 1", "a chance such as 0.7")
		in.Chance = 1
	}
	return in
}
