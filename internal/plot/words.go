package plot

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// clean makes text fit for one line: no control characters, no marks that turn
// the direction of writing, single blanks.
func clean(s string) string {
	keep := func(r rune) rune {
		switch {
		case r == utf8.RuneError:
			return '?'
		case unicode.IsControl(r), r == '\u2028', r == '\u2029':
			return ' '
		case r >= '\u200b' && r <= '\u200f', r >= '\u202a' && r <= '\u202e', r >= '\u2060' && r <= '\u206f', r == '\ufeff':
			return -1
		}
		return r
	}
	return strings.Join(strings.Fields(strings.Map(keep, s)), " ")
}

// ascii writes text in printable ASCII: signs become words or their likes,
// letters lose their accents, anything else becomes a question mark.
func ascii(s string) string {
	signs := strings.NewReplacer("\u00b0", "", "\u00b1", "+/-", "\u00d7", "x", "\u00bd", " 1/2", "\u00bc", " 1/4", "\u00be", " 3/4",
		"\u00b5", "u", "\u00b2", "2", "\u00b3", "3", "\u00b7", ".", "\u2010", "-", "\u2011", "-", "\u2013", "-", "\u2014", "-", "\u2212", "-",
		"\u2018", "'", "\u2019", "'", "\u201c", `"`, "\u201d", `"`, "\u2032", "'", "\u2033", `"`, "\u2026", "...", "\u00df", "ss", "\u2103", "C", "\u2109", "F")
	var b strings.Builder
	for _, r := range signs.Replace(clean(s)) {
		switch {
		case r >= ' ' && r <= '~':
			b.WriteRune(r)
		case unicode.Is(unicode.Mn, r):
		default:
			b.WriteByte(withoutAccent(r))
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// withoutAccent is the plain letter of a Latin letter with an accent.
func withoutAccent(r rune) byte {
	const accented = "\u00c0\u00c1\u00c2\u00c3\u00c4\u00c5\u00c7\u00c8\u00c9\u00ca\u00cb\u00cc\u00cd\u00ce\u00cf\u00d1\u00d2\u00d3\u00d4\u00d5\u00d6\u00d8\u00d9\u00da\u00db\u00dc\u00dd"
	const plain = "AAAAAACEEEEIIIINOOOOOOUUUUY"
	upper := unicode.ToUpper(r)
	i := 0
	for _, a := range accented {
		if a == upper && a == r {
			return plain[i]
		}
		if a == upper {
			return plain[i] - 'A' + 'a'
		}
		i++
	}
	return '?'
}

// cells is how many columns of a terminal a character fills at most. It may
// say too many, never too few.
func cells(r rune) int {
	switch {
	case r >= 0x300 && r <= 0x36f:
		return 0
	case r < 0x1100, r >= 0x1e00 && r <= 0x22ff, r >= 0x2500 && r <= 0x259f, r >= 0x2800 && r <= 0x28ff:
		return 1
	}
	return 2
}
