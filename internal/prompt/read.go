package prompt

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// unclear is why typed text is no answer, in words for the person who typed it.
type unclear string

// Error implements error.
func (u unclear) Error() string { return string(u) }

// readable refuses text that no keyboard should give.
func readable(text string) (string, error) {
	text = strings.TrimPrefix(text, "\ufeff") // some editors start a file with it
	if !utf8.ValidString(text) {
		return "", unclear("That line has letters this program cannot read (it reads UTF-8). Type it again.")
	}
	if strings.ContainsFunc(text, isControlKey) {
		return "", unclear("That line has keys in it that are not text, such as arrow keys. Type it again.")
	}
	return strings.TrimSpace(text), nil
}

func isControlKey(r rune) bool { return unicode.IsControl(r) && r != '\t' }

// read makes a reply of typed text. The whole text is tried first, so that a
// "#" or "?" inside a free text stays there; only then is a note, and after it
// a "probably", taken off.
func (a Ask) read(text string) (Reply, error) {
	if text == "" {
		return Reply{}, a.emptyLine()
	}
	if r, ok, err := a.match(text); ok || err != nil {
		return r, err
	}
	body, note := splitNote(text)
	if note != "" && !a.Allow.Note {
		return Reply{}, unclear("A note cannot be added here.")
	}
	r, err := a.readBody(body)
	r.Note = note
	return r, err
}

func (a Ask) emptyLine() error {
	if a.Allow.NotChecked {
		return unclear(`An empty line is no answer. Type "-" if you did not check.`)
	}
	return unclear("An empty line is no answer.")
}

// readBody reads an answer from which the note was taken off.
func (a Ask) readBody(body string) (Reply, error) {
	if r, ok, err := a.match(body); ok || err != nil {
		return r, err
	}
	bare, probably := splitProbably(body)
	r, ok, err := a.match(bare)
	if !ok && err == nil {
		r.Choice, err = a.beginning(bare)
	}
	if err != nil {
		return Reply{}, err
	}
	if probably && r.Command == None {
		r.Probably = true
	}
	if r.Probably && !a.Allow.Probably {
		return Reply{}, unclear(`"Probably" is not possible here. Type the answer alone.`)
	}
	return r, nil
}

// match reads text that is, as a whole, a command, a choice or a value.
func (a Ask) match(text string) (r Reply, ok bool, err error) {
	if c, ok := a.command(text); ok {
		if !a.Allow.Permits(c) {
			return Reply{}, false, unclear(fmt.Sprintf("%q is not possible here.", c))
		}
		return Reply{Command: c}, true, nil
	}
	if id, ok, err := a.exact(text); ok || err != nil {
		return Reply{Choice: id}, ok, err
	}
	if a.Value != nil && text != "" && a.Value.check(text) == nil {
		return Reply{Value: text}, true, nil
	}
	return Reply{}, false, nil
}

// exact finds the choice with this number, id or full text.
func (a Ask) exact(text string) (id string, ok bool, err error) {
	if n, isNumber := a.number(text); isNumber && len(a.Choices) > 0 {
		if n < 1 || n > len(a.Choices) {
			return "", false, unclear(fmt.Sprintf("There is no line %s; they go from %s to %s.",
				text, a.label(0), a.label(len(a.Choices)-1)))
		}
		return a.Choices[n-1].ID, true, nil
	}
	for _, c := range a.Choices {
		if same(text, c.ID) || same(text, c.Text) {
			return c.ID, true, nil
		}
	}
	if noes := a.noes(); same(text, "n") && len(noes) == 1 {
		return noes[0].ID, true, nil
	}
	return "", false, nil
}

// number reads the label of a choice: 2 (or 2. or 2), or p2 beside a value.
func (a Ask) number(text string) (int, bool) {
	if a.Value != nil {
		rest, ok := cutFold(text, "pick ")
		if !ok {
			rest, ok = cutFold(text, "p")
		}
		if !ok {
			return 0, false
		}
		text = rest
	}
	return wholeNumber(strings.TrimRight(strings.TrimSpace(text), ".)"))
}

func wholeNumber(text string) (int, bool) {
	n, err := strconv.Atoi(text)
	return n, err == nil && unicode.IsDigit(rune(text[0]))
}

// beginning finds the one choice whose text starts with text.
func (a Ask) beginning(text string) (id string, err error) {
	var found, names []string
	for _, c := range a.Choices {
		if begins(c.Text, text) {
			found, names = append(found, c.ID), append(names, c.Text)
		}
	}
	switch {
	case len(found) == 0:
		return "", a.unknown(text)
	case len(found) == 1 && !a.beginsCommand(text):
		return found[0], nil
	case len(found) == 1:
		return "", unclear(fmt.Sprintf("%q is too short to tell the answer from a command. Type more of it.", text))
	}
	return "", unclear(fmt.Sprintf("%q could be %d of the answers: %s.", text, len(found), strings.Join(names, "; ")))
}

func (a Ask) beginsCommand(text string) bool {
	for _, w := range commandWords() {
		if a.Allow.Permits(w.command) && begins(w.word, text) {
			return true
		}
	}
	return false
}

// unknown says why text fits nothing.
func (a Ask) unknown(text string) error {
	if text == "" {
		return unclear("The answer itself is missing. Put it on the same line.")
	}
	if a.Value != nil {
		if err := a.Value.check(text); err != nil {
			return unclear("Not taken: " + err.Error() + ".")
		}
	}
	return unclear(fmt.Sprintf("%q is none of the answers.", shorten(text)))
}

// splitNote takes "# words" or "note: words" off the end of an answer.
func splitNote(text string) (body, note string) {
	for _, mark := range []string{" #", "\t#", " note:", " Note:"} {
		if before, after, ok := strings.Cut(text, mark); ok {
			return strings.TrimSpace(before), strings.TrimSpace(after)
		}
	}
	return text, ""
}

// noteAlone reads a line that is only a note, to be kept until the answer.
func noteAlone(text string) (note string, ok bool) {
	if rest, ok := cutFold(text, "#"); ok {
		return strings.TrimSpace(rest), true
	}
	rest, ok := cutFold(text, "note")
	if !ok || rest != "" && !strings.ContainsAny(rest[:1], " \t:") {
		return "", false
	}
	return strings.TrimSpace(strings.TrimLeft(rest, " \t:")), true
}

// splitProbably takes a "?" or a "probably" off an answer.
func splitProbably(text string) (bare string, probably bool) {
	bare = strings.TrimSpace(strings.TrimRight(text, "?"))
	probably = bare != strings.TrimSpace(text)
	const word = "probably"
	if rest, ok := cutFold(bare, word); ok && (rest == "" || !unicode.IsLetter(rune(rest[0]))) {
		bare, probably = strings.TrimLeft(rest, " ,:"), true
	}
	if n := len(bare) - len(word); n > 0 && strings.EqualFold(bare[n:], word) && !unicode.IsLetter(rune(bare[n-1])) {
		bare, probably = strings.TrimRight(bare[:n], " ,("), true
	}
	return bare, probably
}

// begins says whether the words of full start with text. A bare "yes" or "no"
// must be a whole word, lest "no" choose "Not sure".
func begins(full, text string) bool {
	rest, ok := cutFold(squeeze(full), squeeze(text))
	if !ok || squeeze(text) == "" {
		return false
	}
	if same(text, "yes") || same(text, "no") {
		next, _ := utf8.DecodeRuneInString(rest)
		return !unicode.IsLetter(next)
	}
	return true
}

// same compares texts as a person would: by words, not by case, spaces or a
// full stop at the end.
func same(a, b string) bool {
	a, b = strings.TrimRight(squeeze(a), "."), strings.TrimRight(squeeze(b), ".")
	return a != "" && strings.EqualFold(a, b)
}

func squeeze(s string) string { return strings.Join(strings.Fields(s), " ") }

// cutFold is strings.CutPrefix that does not care about case.
func cutFold(s, prefix string) (rest string, ok bool) {
	if len(s) < len(prefix) || !strings.EqualFold(s[:len(prefix)], prefix) {
		return s, false
	}
	return s[len(prefix):], true
}

// shorten keeps a message that repeats typed text to one line.
func shorten(text string) string {
	const most = 40
	if r := []rune(text); len(r) > most {
		return string(r[:most]) + "..."
	}
	return text
}
