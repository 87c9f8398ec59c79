package redact

import (
	"slices"
	"strings"
	"unicode"
)

// The lengths from which a word of a script other than Latin is looked for
// within others: where words stand without blanks a name is two letters long.
const (
	foreignFrom = 3
	pieceFrom   = 2
)

// unspaced reports whether a letter is of a script whose words stand without
// blanks between them, or with particles put right to them, as in Korean.
func unspaced(r rune) bool {
	return unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul, unicode.Thai, unicode.Lao, unicode.Khmer, unicode.Myanmar) || r == 'ー'
}

// latin reports whether a folded word has no letter of another script.
func latin(word string) bool {
	return !strings.ContainsFunc(word, func(r rune) bool { return unicode.IsLetter(r) && !unicode.Is(unicode.Latin, r) })
}

// pieces are what is looked for of a word without blanks. Of Han and Hangul, in
// which people are also called by a part of their name, any two letters in a row;
// of other scripts the whole word, where a part would be in half of the language.
func pieces(word string) []string {
	letters := []rune(word)
	if len(letters) < pieceFrom || !strings.ContainsFunc(word, unspaced) {
		return nil
	}
	out := []string{word}
	for i := 0; i+pieceFrom <= len(letters); i++ {
		two := letters[i : i+pieceFrom]
		if unicode.In(two[0], unicode.Han, unicode.Hangul) && unicode.In(two[1], unicode.Han, unicode.Hangul) {
			out = append(out, string(two))
		}
	}
	return out
}

// inside finds the pieces of names within a word; what is around them stays,
// since it may be the rest of a sentence.
func (n names) inside(text string, x token) []span {
	if len(n.pieces) == 0 || latin(x.folded) {
		return nil
	}
	folded, from := foldedFrom(text[x.start:x.end])
	var out []span
	for _, p := range n.pieces {
		for at := 0; ; {
			i := strings.Index(folded[at:], p.text)
			if i < 0 {
				break
			}
			i += at
			out = append(out, span{x.start + from[i], x.start + from[i+len(p.text)], p.mark})
			at = i + 1
		}
	}
	return out
}

// foldedFrom folds a word and tells for each byte of that where in the word it
// comes from; a mark upon a letter goes with the letter.
func foldedFrom(word string) (string, []int) {
	var b strings.Builder
	var from []int
	for i, r := range word {
		f := fold(string(r))
		b.WriteString(f)
		from = append(from, slices.Repeat([]int{i}, len(f))...)
	}
	return b.String(), append(from, len(word))
}

// shortly is the word that x is with a short ending: Orrs of Orr.
func (n names) shortly(x token) (string, bool) {
	if nobody(x.lower) {
		return "", false
	}
	for _, ending := range []string{"s", "es"} {
		if stem, ok := strings.CutSuffix(x.folded, ending); ok && latin(stem) {
			if mark, ok := n.words[stem]; ok {
				return mark, true
			}
		}
	}
	return "", false
}
