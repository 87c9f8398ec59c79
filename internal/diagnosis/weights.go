package diagnosis

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/inference"
	"filmfault/internal/quantity"
	"filmfault/internal/rulebase"
	"filmfault/internal/source"
)

// weights is what an entry says over the answers.
func (r *resolver) weights(e casefile.Entry, answers []rulebase.Answer, v *rulebase.Value) ([]float64, bool) {
	w, bad := Weights(e, answers, v)
	if bad != nil {
		r.diags.Error(e.AnswerSpan, bad.Check, bad.Summary, bad.Remedy)
		return nil, false
	}
	return w, true
}

// remembered is the confidence in a figure or answer from memory.
const remembered = 0.8

// Weights is what an entry says over the answers of a fact or finding: all on
// one answer when certain, spread when probable or remembered, split in
// proportion when a figure's interval lies across bands. The diagnostic, when
// not nil, has no place.
func Weights(e casefile.Entry, answers []rulebase.Answer, v *rulebase.Value) ([]float64, *source.Diagnostic) {
	c, err := casefile.Confidence(e.Sure)
	if err != nil {
		return nil, &source.Diagnostic{Check: "sure", Summary: err.Error(), Remedy: "sure: probably"}
	}
	if e.Source == "remembered" && e.Sure == "" {
		c = remembered
	}
	if k := len(answers); c <= 1/float64(k) {
		return nil, &source.Diagnostic{Check: "sure", Summary: fmt.Sprintf("a confidence of %v among %d answers says nothing", c, k),
			Remedy: fmt.Sprintf("a confidence above %.2g, or not-checked", 1/float64(k))}
	}
	if e.Value != "" {
		return valueWeights(e, answers, v, c)
	}
	at, ok := rulebase.AnswerIndex(answers, e.Answer)
	if !ok {
		known := ids(answers, func(a rulebase.Answer) string { return a.ID })
		remedy := "one of: " + strings.Join(known, ", ")
		if near, found := source.Nearest(e.Answer, known); found {
			remedy = near
		}
		return nil, &source.Diagnostic{Check: "unknown-answer", Summary: fmt.Sprintf("%q is no answer to %s", e.Answer, e.ID), Remedy: remedy}
	}
	return inference.Held(at, len(answers), c), nil
}

func valueWeights(e casefile.Entry, answers []rulebase.Answer, v *rulebase.Value, c float64) ([]float64, *source.Diagnostic) {
	if v == nil {
		return nil, &source.Diagnostic{Check: "value", Summary: e.ID + " takes an answer, not a figure",
			Remedy: "one of: " + strings.Join(ids(answers, func(a rulebase.Answer) string { return a.ID }), ", ")}
	}
	q, err := quantity.Parse(v.Kind, e.Value, v.Unit)
	if err != nil {
		summary, remedy := unread(err, v.Kind)
		return nil, &source.Diagnostic{Check: "value", Summary: summary, Remedy: remedy}
	}
	share := shares(q, answers)
	out := make([]float64, len(answers))
	for i, s := range share {
		for j, w := range inference.Held(i, len(answers), c) {
			out[j] += s * w
		}
	}
	return out, nil
}

// unread says why a figure cannot be read, and what to write.
func unread(err error, kind quantity.Kind) (summary, remedy string) {
	var bad *quantity.ParseError
	if errors.As(err, &bad) {
		return fmt.Sprintf("%q: %s", bad.Text, bad.Problem), bad.Remedy
	}
	return err.Error(), "a figure such as " + kind.Example()
}

// shares is how much of a quantity's interval lies in each band. "over 4 mil"
// has no upper end: it speaks alike for every band it reaches.
func shares(q quantity.Quantity, answers []rulebase.Answer) []float64 {
	out := make([]float64, len(answers))
	least, most := q.Kind.Plausible()
	oneSided := !q.IsExact() && (q.Low <= least || q.High >= most)
	if q.IsExact() {
		if at, ok := rulebase.Band(answers, q.Low); ok {
			out[at] = 1
		}
		return out
	}
	for i, a := range answers {
		low, high := q.Low, q.High
		if a.From != nil {
			low = math.Max(low, *a.From)
		}
		if a.Below != nil {
			high = math.Min(high, *a.Below)
		}
		out[i] = math.Max(0, high-low) / (q.High - q.Low)
		if oneSided && out[i] > 0 {
			out[i] = 1
		}
	}
	return normalised(out)
}

func normalised(w []float64) []float64 {
	sum := 0.0
	for _, x := range w {
		sum += x
	}
	for i := range w {
		if sum > 0 {
			w[i] /= sum
		}
	}
	return w
}

func largest(w []float64) int {
	at := 0
	for i := range w {
		if w[i] > w[at] {
			at = i
		}
	}
	return at
}
