package rulebase

import (
	"fmt"
	"math"
	"strings"

	"filmfault/internal/quantity"
	"filmfault/internal/source"
	"filmfault/internal/yamldoc"
)

// likelihoodWords is the fixed table of words for likelihoods.
func likelihoodWords() map[string]float64 {
	return map[string]float64{
		"always": 0.99, "nearly always": 0.95, "usually": 0.80, "often": 0.65, "even": 0.50,
		"sometimes": 0.35, "seldom": 0.20, "rarely": 0.05, "never": 0.01,
	}
}

// likelihood reads a number or one of the words.
func (it item) likelihood(v yamldoc.Value, what string) (float64, bool) {
	if !v.IsText() {
		v.Text(it.d, what)
		return 0, false
	}
	text := v.TextOr("")
	if p, ok := likelihoodWords()[text]; ok {
		return p, true
	}
	if text != "" && (text[0] < '+' || text[0] > '9') {
		words := []string{"always", "nearly always", "usually", "often", "even", "sometimes", "seldom", "rarely", "never"}
		it.among(v, "likelihood", text, words)
		return 0, false
	}
	p, ok := v.Number(it.d, what)
	if ok {
		it.probability(v, p, "a likelihood")
	}
	return p, ok
}

// findingKeys lists the keys of a finding, and more that its kind has.
func findingKeys(more ...string) []string {
	return append(more, "question", "how", "why", "stage", "where", "minutes", "damage", "tools",
		"cautions", "needs", "needs-any", "label", "group", "value", "answers", "rows", "any-of", "background", "basis", "from-log")
}

func readFinding(v yamldoc.Value, d *source.List) (item, any) {
	it := open(v, d, "a finding", findingKeys()...)
	return it, it.finding()
}

func readMeasurement(v yamldoc.Value, d *source.List) (item, any) {
	it := open(v, d, "a measurement", findingKeys("method", "decides")...)
	f := it.finding()
	f.Measurement = &Measurement{Method: it.needText("method"), Decides: it.needText("decides")}
	return it, f
}

func (it item) finding() Finding {
	f := Finding{
		ID: it.id, Question: it.needText("question"), How: it.text("how"), Why: it.needText("why"),
		Tools: it.words("tools"), Cautions: it.words("cautions"), Group: it.text("group"),
		Basis: it.text("basis"), Span: it.Span(), cautions: it.refs("cautions"),
	}
	if it.Has("basis") || it.Has("any-of") {
		it.basis()
	}
	stages := []string{string(StageLook), string(StageTouch), string(StageCut), string(StageLog)}
	it.Need(it.d, "stage")
	f.Stage = Stage(it.oneOf("stage", string(StageLook), stages...))
	f.Damage = it.oneOf("damage", "none", "none", "mark", "pin-hole", "coin", "cut")
	minutes, ok := it.Need(it.d, "minutes").Number(it.d, "the minutes")
	f.Minutes = minutes
	if ok && !(f.Minutes > 0) {
		it.d.Error(it.Get("minutes").Span(), "minutes", "a question takes some time", "minutes above 0, such as 1")
		f.Minutes = 1
	}
	f.Where = it.words("where")
	for i, v := range it.Need(it.d, "where").OneOrMore(it.d, "where") {
		it.among(v, "place", f.Where[i], []string{AtSign, AtDesk, ByPhone})
	}
	f.Needs, f.NeedsAny = it.requirements(it.Get("needs"), "needs"), it.words("needs-any")
	if f.Label = it.text("label"); f.Label == "" {
		f.Label = strings.ReplaceAll(it.id, "-", " ")
	}
	f.Value = it.value()
	f.Answers = it.answers(f.Value)
	if len(f.Answers) == 1 {
		it.d.Error(it.Get("answers").Span(), "answers", fmt.Sprintf("finding %s has one answer only, so it tells nothing", it.id), "two answers or more")
	}
	if len(f.Answers) == 0 {
		if f.Value != nil {
			it.d.Error(it.Get("value").Span(), "bands", "a figure is asked for, and no band says what it means", "answers: with from: and below:")
		}
		f.Answers = []Answer{{ID: "yes", Text: "Yes", Span: f.Span}, {ID: "no", Text: "No", Span: f.Span}}
	}
	f.FromLog = it.fromLog(f)
	it.evidence(&f)
	return f
}

// evidence reads rows, or any-of with its background.
func (it item) evidence(f *Finding) {
	if it.Has("any-of") == it.Has("rows") && it.id != "" {
		it.d.Error(it.Get("id").Span(), "rows", fmt.Sprintf("finding %s needs rows or any-of, one of the two", it.id), "rows: [...] ending in {otherwise: {...}}")
		return
	}
	if it.Has("any-of") {
		for _, v := range it.Get("any-of").Items(it.d, "any-of") {
			f.AnyOf = append(f.AnyOf, it.input(v))
		}
		p, ok := it.likelihood(it.Need(it.d, "background"), "the background")
		if f.Background = p; ok && (p == 0 || p == 1) {
			it.d.Error(it.Get("background").Span(), "certain", fmt.Sprintf("a background of %v would let one answer settle everything", p), "a background between 0 and 1, such as rarely")
		}
		return
	}
	rows := it.Get("rows").Items(it.d, "the rows")
	if it.Get("rows").IsList() && len(rows) == 0 {
		it.d.Error(it.Get("rows").Span(), "rows", fmt.Sprintf("finding %s has no rows", it.id), "rows: [...] ending in {otherwise: {...}}")
	}
	for i, v := range rows {
		f.Rows = append(f.Rows, it.row(v, *f, i == len(rows)-1))
	}
}

func (it item) row(v yamldoc.Value, f Finding, last bool) Row {
	m := v.Fields(it.d, "a row", "if", "when", "say", "otherwise", "basis")
	r := Row{Basis: oneLine(m.Get("basis").TextOr(f.Basis)), Span: m.Span()}
	if m.Has("basis") {
		it.restsOn(r.Basis, m.Get("basis").Span())
	}
	if r.Basis == "" && v.IsMap() {
		it.d.Error(m.Span(), "basis", "this row does not say what its figures rest on",
			"basis: judgement (or common practice, or published: SOURCE), here or on the finding")
	}
	if last && !m.Has("otherwise") && v.IsMap() {
		it.d.Error(m.Span(), "otherwise", "the last row must say what is seen when nothing above holds", "- {otherwise: {answer: likelihood}}")
	}
	if m.Has("otherwise") && (m.Has("if") || m.Has("when") || m.Has("say")) {
		it.d.Error(m.KeySpan("otherwise"), "otherwise", "a row is either `otherwise` or has its own if, when and say", "two rows, `otherwise` the last")
	}
	if m.Has("otherwise") {
		if !last {
			it.d.Error(m.Span(), "otherwise", "rows after `otherwise` are never reached", "`otherwise` as the last row")
		}
		r.Say = it.say(m.Get("otherwise"), f.Answers)
		return r
	}
	for _, e := range m.Get("if").OneOrMore(it.d, "if") {
		r.If = append(r.If, Ref{e.Text(it.d, "an event"), e.Span()})
	}
	r.When = it.requirements(m.Get("when"), "when")
	if len(r.If) == 0 && len(r.When) == 0 && !last {
		it.d.Error(m.Span(), "row", "this row requires nothing, so no row below is reached", "an `if` or a `when`")
	}
	r.Say = it.say(m.Need(it.d, "say"), f.Answers)
	return r
}

// say reads how often each answer is seen; one answer may be left out.
func (it item) say(v yamldoc.Value, answers []Answer) []float64 {
	ids := make([]string, len(answers))
	for i, a := range answers {
		ids[i] = a.ID
	}
	out := make([]float64, len(answers))
	f := v.Fields(it.d, "the list of likelihoods", ids...)
	sum, missing := 0.0, []int{}
	for i, id := range ids {
		if !f.Has(id) {
			missing = append(missing, i)
			continue
		}
		out[i], _ = it.likelihood(f.Get(id), "a likelihood")
		sum += out[i]
	}
	if !v.IsMap() {
		return out
	}
	return it.completed(v, out, sum, missing, ids)
}

func (it item) completed(v yamldoc.Value, out []float64, sum float64, missing []int, ids []string) []float64 {
	switch {
	case len(missing) > 1:
		it.d.Error(v.Span(), "row-sum", fmt.Sprintf("%d answers are left out, one of them %s", len(missing), ids[missing[1]]),
			"a likelihood for every answer but one")
	case len(missing) == 1 && sum <= 1+1e-9:
		out[missing[0]] = math.Max(0, round(1-sum))
	case math.Abs(sum-1) > 1e-9:
		it.d.Error(v.Span(), "row-sum", fmt.Sprintf("the likelihoods sum to %.4g, not 1", sum), "figures that sum to 1, or leave one answer out to take the rest")
	}
	return out
}

// round drops the binary noise of a remainder: 1-0.9 is meant as 0.1.
func round(x float64) float64 { return math.Round(x*1e12) / 1e12 }

func (it item) value() *Value {
	if !it.Has("value") {
		return nil
	}
	f := it.Get("value").Fields(it.d, "a value", "kind", "unit")
	word := f.Need(it.d, "kind").Text(it.d, "the kind")
	kind, ok := quantity.KindNamed(word)
	if !ok {
		var names []string
		for _, k := range quantity.Kinds() {
			names = append(names, k.ID())
		}
		it.among(f.Get("kind"), "kind of quantity", word, names)
		return nil
	}
	unit := f.Get("unit").TextOr("")
	if _, err := quantity.Convert(kind, 1, unit); err != nil && kind != quantity.Number {
		span := f.Span()
		if f.Has("unit") {
			span = f.Get("unit").Span()
		}
		it.d.Error(span, "unit", err.Error(), "a unit of "+kind.String())
	}
	return &Value{Kind: kind, Unit: unit}
}

func (it item) answers(value *Value) []Answer {
	var out []Answer
	whole := true // every bound could be read
	seen := map[string]bool{}
	for _, v := range it.Get("answers").Items(it.d, "the answers") {
		sub := item{d: it.d, id: it.id}
		sub.Fields = v.Fields(it.d, "an answer", "id", "text", "from", "below", "cautions")
		a := Answer{ID: sub.needText("id"), Text: sub.needText("text"), Cautions: sub.words("cautions"), Span: sub.Span(), cautions: sub.refs("cautions")}
		a.From, a.Below = it.bound(sub, "from", value), it.bound(sub, "below", value)
		whole = whole && (a.From != nil) == sub.Has("from") && (a.Below != nil) == sub.Has("below")
		if a.ID != "" && (!isID(a.ID) || seen[a.ID]) {
			it.d.Error(v.Span(), "id", fmt.Sprintf("%q cannot be an answer's id here", a.ID), "another id: "+idRemedy)
		}
		seen[a.ID] = true
		out = append(out, a)
	}
	if value != nil && whole {
		it.bands(out)
	}
	return out
}

// bound reads a bound of an answer of the entry.
func (it item) bound(answer item, key string, value *Value) *float64 {
	if !answer.Has(key) {
		return nil
	}
	v := answer.Get(key)
	if value == nil && it.Has("value") {
		return nil // what is wrong with the value has been said
	}
	if value == nil {
		it.d.Error(v.Span(), "bands", "a bound needs a value to bound", "value: {kind: film, unit: mil} in this entry")
		return nil
	}
	q, err := quantity.Parse(value.Kind, v.TextOr(""), value.Unit)
	if err != nil {
		it.d.Error(v.Span(), "unit", err.Error(), "a bound such as "+value.Kind.Example())
		return nil
	}
	if !q.IsExact() {
		it.d.Error(v.Span(), "bands", "a bound is one figure, not a range", "a bound such as "+value.Kind.Example())
	}
	return &q.Low
}

// bands checks that answers cover every value once, in ascending order.
func (it item) bands(a []Answer) {
	for i := range a {
		first, last := i == 0, i == len(a)-1
		switch {
		case first && a[i].From != nil, last && a[i].Below != nil:
			it.d.Error(a[i].Span, "bands", "the bands leave values beyond this one out", "an open end on the first and the last band")
		case !first && a[i].From == nil, !last && a[i].Below == nil:
			it.d.Error(a[i].Span, "bands", "this band overlaps its neighbour", "from: and below: on every inner band, in ascending order")
		case !first && a[i-1].Below != nil && *a[i].From < *a[i-1].Below:
			it.d.Error(a[i].Span, "bands", "this band begins inside the one before it", "from: the figure where the band before ends")
		case !first && a[i-1].Below != nil && *a[i].From > *a[i-1].Below:
			it.d.Error(a[i].Span, "bands", "there is a gap between this band and the one before it", "from: the figure where the band before ends")
		case a[i].From != nil && a[i].Below != nil && *a[i].From >= *a[i].Below:
			it.d.Error(a[i].Span, "bands", "this band is empty", "a from: below its below:")
		}
	}
}
