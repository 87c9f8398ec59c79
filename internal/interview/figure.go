package interview

import (
	"errors"
	"slices"
	"strconv"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/quantity"
	"filmfault/internal/rulebase"
)

// checkValue returns an error when a typed figure cannot be read.
func (q question) checkValue(text string) error {
	_, bad := diagnosis.Weights(casefile.Entry{ID: q.id, Value: text}, q.answers, q.value)
	if bad == nil {
		return nil
	}
	return errors.New(bad.Summary + "; write " + bad.Remedy)
}

// reading is how a typed figure is understood: with its unit, and the band or
// bands it falls into.
func (q question) reading(text string) string {
	weights, bad := diagnosis.Weights(casefile.Entry{ID: q.id, Value: text}, q.answers, q.value)
	if bad != nil {
		return text
	}
	if _, err := strconv.ParseFloat(text, 64); err == nil && q.value.Unit != "" {
		text += " " + q.value.Unit
	}
	var bands []string
	for i, w := range weights {
		if w >= slices.Max(weights)/2 {
			bands = append(bands, strings.TrimRight(q.answers[i].Text, "."))
		}
	}
	return text + " (" + strings.Join(bands, "; or ") + ")"
}

// doubt says why a typed figure is hard to believe, "" when it is not.
func (q question) doubt(text string) string {
	if text == "" || q.value == nil {
		return ""
	}
	x, err := quantity.Parse(q.value.Kind, text, q.value.Unit)
	if err != nil {
		return ""
	}
	return x.Doubt()
}

// example is a figure out of the question's own bands, in the unit that is
// asked for: the middle of a band with two ends, or else the end of one.
func example(v rulebase.Value, answers []rulebase.Answer) string {
	var inner, ends []float64
	for _, a := range answers {
		switch {
		case a.From != nil && a.Below != nil:
			inner = append(inner, (*a.From+*a.Below)/2)
		case a.From != nil:
			ends = append(ends, *a.From)
		case a.Below != nil:
			ends = append(ends, *a.Below)
		}
	}
	if inner = append(inner, ends...); len(inner) == 0 || v.Unit == "" {
		return v.Kind.Example()
	}
	x, err := quantity.FromSI(v.Kind, inner[(len(inner)-len(ends))/2], v.Unit)
	if err != nil {
		return v.Kind.Example()
	}
	return strconv.FormatFloat(x, 'g', 3, 64) + " " + v.Unit
}
