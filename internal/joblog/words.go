package joblog

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"filmfault/internal/physics/material"
	"filmfault/internal/source"
)

// faces reads on which faces something was done: "front", "both", "front and
// edges". Edges dry like the faces beside them and are not followed. Nothing
// said is both.
func (r *reader) faces(text string, span source.Span) []Face {
	var out []Face
	face, edges := false, false
	for w := range strings.FieldsFuncSeq(strings.ToLower(text), func(c rune) bool { return strings.ContainsRune(" ,./&+", c) }) {
		switch w {
		case "face":
			face = true
		case "front":
			out = append(out, Front)
		case "back", "rear", "reverse":
			out = append(out, Back)
		case "both", "all", "faces", "everywhere":
			out = append(out, Front, Back)
		case "edge", "edges", "sides":
			edges = true
		case "and":
		default:
			r.fail(span, "face", fmt.Sprintf("%q is no face of a panel", w), "front, back, both or edges")
		}
	}
	switch {
	case text == "":
		return []Face{Front, Back}
	case face && len(out) == 0:
		return []Face{Front}
	case edges && len(out) == 0:
		r.note("What was done to the edges alone is not followed.")
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
		if hasWords(text, c.word) {
			if c.id == material.HighBuildPrimer && hasAny(text, "epoxy", "oil", "alkyd", "urethane", "two-part", "2-part", "lacquer", "shellac") {
				r.note("%q is followed as waterborne high-build primer; a primer that dries by solvent or reaction is not.", text)
			}
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

// hasWords reports whether a text holds a word, or words that follow each other,
// whole.
func hasWords(text, words string) bool {
	split := func(s string) string {
		return " " + strings.Join(strings.FieldsFunc(strings.ToLower(s), func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) }), " ") + " "
	}
	return strings.Contains(split(text), split(words))
}

func hasAny(text string, words ...string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return hasWords(text, w) })
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
