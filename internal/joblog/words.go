package joblog

import (
	"fmt"
	"slices"
	"strings"

	"filmfault/internal/physics/material"
	"filmfault/internal/source"
)

// faces reads on which faces something was done: "front", "both", "front and
// edges". Edges dry like the faces beside them and are not followed. Nothing
// said is both.
func (r *reader) faces(text string, span source.Span) []Face {
	var out []Face
	for w := range strings.FieldsFuncSeq(strings.ToLower(text), func(c rune) bool { return strings.ContainsRune(" ,./&+", c) }) {
		switch w {
		case "front", "face":
			out = append(out, Front)
		case "back", "rear", "reverse":
			out = append(out, Back)
		case "both", "all", "faces", "everywhere":
			out = append(out, Front, Back)
		case "edge", "edges", "and", "sides":
		default:
			r.fail(span, "face", fmt.Sprintf("%q is no face of a panel", w), "front, back, both or edges")
		}
	}
	if text == "" {
		return []Face{Front, Back}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// called are the words of the trade for the generic materials, the longest
// first where one holds another.
func called() []struct{ word, id string } {
	return []struct{ word, id string }{
		{"primer", material.HighBuildPrimer}, {"filler", material.Filler}, {"putty", material.Filler},
		{"urethane", material.TwoPartUrethane}, {"two-part", material.TwoPartUrethane}, {"two part", material.TwoPartUrethane},
		{"2-part", material.TwoPartUrethane}, {"epoxy", material.TwoPartUrethane},
		{"enamel", material.AlkydEnamel}, {"alkyd", material.AlkydEnamel}, {"oil", material.AlkydEnamel},
		{"blast mask", material.BlastMask}, {"blast-mask", material.BlastMask}, {"stencil", material.BlastMask},
		{"mask", material.PaintMask}, {"tape", material.PaintMask}, {"vinyl", material.PaintMask},
		{"acrylic", material.AcrylicPaint}, {"latex", material.AcrylicPaint}, {"paint", material.AcrylicPaint},
		{"colour", material.AcrylicPaint}, {"color", material.AcrylicPaint}, {"topcoat", material.AcrylicPaint},
		{"clear", material.AcrylicPaint}, {"finish", material.AcrylicPaint},
	}
}

// material finds the material a text names: an id or a name of the shop's file,
// a generic one, or a word of the trade.
func (r *reader) material(text string, span source.Span) string {
	id := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(text)), " ", "-")
	if _, ok := r.log.Materials[id]; ok {
		return id
	}
	var known []string
	for own, m := range r.log.Materials {
		if strings.EqualFold(m.Name, strings.TrimSpace(text)) {
			return own
		}
		known = append(known, own)
	}
	for _, c := range called() { // the shop's words before the trade's
		if strings.Contains(strings.ToLower(text), c.word) {
			return c.id
		}
	}
	slices.Sort(known)
	remedy := "one of: " + strings.Join(known, ", ")
	words := known
	for _, c := range called() {
		words = append(words, c.word)
	}
	if near, ok := source.Nearest(text, words); ok {
		remedy = near
	}
	r.fail(span, "material", fmt.Sprintf("%q is no material that is known here", text), remedy)
	return ""
}

// isPrimer says whether a material is a primer or filler: what is closed over.
func (l *Log) isPrimer(id string) bool {
	if generic, ok := l.like[id]; ok {
		id = generic
	}
	return id == material.HighBuildPrimer || id == material.Filler
}

// Primes says whether a coat is primer or filler, not colour.
func (l *Log) Primes(s Step) bool { return s.Kind == Coat && l.isPrimer(s.Material) }
