package redact

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"filmfault/internal/casefile"
	"filmfault/internal/rulebase"
)

// Trade is the words of the trade in lower case: they stay where the program
// reads them, and where a private word is only a part of one.
type Trade map[string]bool

// TradeOf collects the words of the rules in force, and those of job logs.
func TradeOf(b *rulebase.Base) Trade {
	t := Trade{}
	t.add(logWords)
	for _, id := range b.IDs() {
		t.add(id)
	}
	for _, f := range b.Facts {
		t.add(f.Question, f.How)
		t.answers(f.Answers)
	}
	for _, e := range b.Events {
		t.add(e.Title, e.Mechanism, e.Repair, e.Prevent)
	}
	for _, g := range b.Gates {
		t.add(g.Title)
	}
	for _, f := range b.Findings {
		t.add(f.Question, f.How, f.Why, f.Label)
		t.add(f.Tools...)
		t.answers(f.Answers)
	}
	return t
}

func (t Trade) answers(list []rulebase.Answer) {
	for _, a := range list {
		t.add(a.ID, a.Text)
	}
}

func (t Trade) add(texts ...string) {
	for _, text := range texts {
		for _, x := range tokens(text) {
			t[x.lower] = true
		}
	}
}

// logWords are words that a case file has a meaning for, besides those of the
// rules.
const logWords = `seen absent not checked probably measured logged remembered assumed confirmed ruled out examined
	front back both edges face all none rear reverse fan on off sand stand mask blast rout wrap graphics sun hang wet failed
	upright flat primer filler putty urethane two part epoxy enamel alkyd oil stencil tape vinyl acrylic latex paint colour
	color topcoat clear finish coat high build overnight rack bench box brush roller spray
	mil mils in ft mm cm um micron yd lb oz kg g h hr hrs hour hours min minutes day days week weeks month months year years
	fpm mph c f k pct percent america europe asia australia pacific atlantic africa utc`

// common are words that name nobody, and those of the marks themselves.
const common = ` the and for with from not are was our you your his her its who co of at in on to by is it an as or no we us me my
	be do go he if so up
	customer address contact painter phone mail email web person `

// nobody reports whether a word in lower case names nobody by itself.
func nobody(word string) bool {
	for x := range strings.FieldsSeq(common) {
		if x == word {
			return true
		}
	}
	return false
}

// token is a run of letters or of digits.
type token struct {
	lower      string
	folded     string // without accents besides
	start, end int    // in bytes
	digits     bool
	length     int // letters or digits
}

func tokens(text string) []token {
	var out []token
	var open *token
	for i, r := range text {
		letter, digit := unicode.IsLetter(r) || unicode.Is(unicode.M, r), unicode.IsDigit(r)
		if open != nil && (!letter && !digit || digit != open.digits) {
			open = nil
		}
		if open == nil && (letter || digit) {
			out = append(out, token{start: i, digits: digit})
			open = &out[len(out)-1]
		}
		if open != nil {
			open.end = i + utf8.RuneLen(r)
		}
	}
	for i := range out {
		out[i].lower = strings.ToLower(text[out[i].start:out[i].end])
		out[i].folded = fold(out[i].lower)
		out[i].length = utf8.RuneCountInString(out[i].folded)
	}
	return out
}

// fold makes letters comparable: lower case, without accents.
func fold(word string) string {
	var b strings.Builder
	for _, r := range word {
		r = unicode.ToLower(r)
		switch {
		case unicode.Is(unicode.M, r):
			continue
		case r < utf8.RuneSelf:
			b.WriteRune(r)
			continue
		}
		b.WriteString(plain(r))
	}
	return b.String()
}

// plain is a lower-case letter without its accent.
func plain(r rune) string {
	for _, row := range []struct{ with, without string }{
		{"àáâãäåāăą", "a"}, {"çćĉċč", "c"}, {"ďđð", "d"}, {"èéêëēĕėęě", "e"}, {"ĝğġģ", "g"}, {"ĥħ", "h"}, {"ìíîïĩīĭįı", "i"},
		{"ĵ", "j"}, {"ķ", "k"}, {"ĺļľŀł", "l"}, {"ñńņňŉ", "n"}, {"òóôõöøōŏő", "o"}, {"ŕŗř", "r"}, {"śŝşšș", "s"}, {"ţťŧț", "t"},
		{"ùúûüũūŭůűų", "u"}, {"ŵ", "w"}, {"ýÿŷ", "y"}, {"źżž", "z"}, {"ß", "ss"}, {"æ", "ae"}, {"œ", "oe"}, {"þ", "th"},
	} {
		if strings.ContainsRune(row.with, r) {
			return row.without
		}
	}
	return string(r)
}

// names are the private words of one job.
type names struct {
	lines []line            // the private lines as they stand
	words map[string]string // folded word -> mark
	long  []string          // words that are looked for within others

	pieces []piece // what is looked for where words stand without blanks
}

// piece is letters in a row out of a private word.
type piece struct {
	text, mark string
}

// line is a private line as words in a row, and the mark that takes its place.
type line struct {
	words []token
	mark  string
}

// The lengths from which a word goes as part of another, and from which a number
// goes by itself.
const (
	partFrom   = 4
	numberFrom = 4
)

func namesOf(j casefile.Job) names {
	n := names{words: map[string]string{}}
	for _, f := range private(&j) {
		l := line{words: tokens(*f.text), mark: "[" + f.key + "]"}
		n.lines = append(n.lines, l)
		for _, x := range l.words {
			least := 2
			if x.digits {
				least = numberFrom
			}
			if _, known := n.words[x.folded]; known || x.length < least || nobody(x.lower) {
				continue
			}
			n.words[x.folded] = l.mark
			n.part(x, l.mark)
		}
	}
	slices.Sort(n.long)
	return n
}

// part keeps a word as one that is looked for within others.
func (n *names) part(x token, mark string) {
	least := partFrom
	if !latin(x.folded) {
		least = foreignFrom
	}
	found := pieces(x.folded)
	for _, p := range found {
		n.pieces = append(n.pieces, piece{p, mark})
	}
	if !x.digits && len(found) == 0 && x.length >= least {
		n.long = append(n.long, x.folded)
	}
}

// mark is what takes the place of a word, "" when it may stay.
func (n names) mark(x token, k kind, t Trade) string {
	if x.digits && k == read || t[x.lower] && (k == read || x.length < 3) {
		return ""
	}
	if m, ok := n.words[x.folded]; ok {
		return m
	}
	if x.digits || t[x.lower] {
		return ""
	}
	if m, ok := n.shortly(x); ok {
		return m
	}
	for _, w := range n.long {
		if strings.Contains(x.folded, w) {
			return n.words[w]
		}
	}
	return ""
}

// run is how many words from i on stand in a row in a private line, and the mark
// of that line; 0 when the row holds no word that is private by itself.
func (n names) run(text string, list []token, i int, k kind, t Trade) (int, string) {
	best, mark := 0, ""
	for _, l := range n.lines {
		for j := range l.words {
			length, telling := 0, false
			for i+length < len(list) && j+length < len(l.words) && list[i+length].folded == l.words[j+length].folded {
				if length > 0 && !beside(text[list[i+length-1].end:list[i+length].start]) {
					break
				}
				telling = telling || n.mark(list[i+length], k, t) != ""
				length++
			}
			if telling && length > best {
				best, mark = length, l.mark
			}
		}
	}
	return best, mark
}

// beside reports whether what is between two words leaves them one name.
func beside(between string) bool {
	return len(between) <= 4 && strings.Trim(between, " \t\n.,&+'’/_-") == "" && strings.Count(between, "\n") < 2
}
