package console

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/mattn/go-runewidth"
)

// Wrap breaks text into lines no wider than width columns. The first line
// starts with indent, every other one with hanging. Line ends in the text are
// kept; other runs of spaces become one. No word is lost, and none is broken
// unless it is too wide for a line of its own. The result has no line end at
// its end.
func Wrap(text string, width int, indent, hanging string) string {
	w := wrapper{width: width, prefix: indent, hanging: hanging}
	for line := range strings.SplitSeq(text, "\n") {
		for _, word := range strings.FieldsFunc(line, isBreak) {
			w.add(word)
		}
		w.endLine()
	}
	return strings.Join(w.lines, "\n")
}

// isBreak says where a line may be broken: not at a no-break space, which is
// there to keep a number and its unit together.
func isBreak(r rune) bool { return unicode.IsSpace(r) && r != '\u00a0' && r != '\u202f' }

type wrapper struct {
	width   int
	prefix  string // what the line being filled starts with
	hanging string
	line    string
	lines   []string
}

// room is how many columns a line has after its prefix, at least one.
func (w *wrapper) room() int { return max(1, w.width-DisplayWidth(w.prefix)) }

func (w *wrapper) add(word string) {
	if w.line != "" {
		if joined := w.line + " " + word; DisplayWidth(joined) <= w.room() {
			w.line = joined
			return
		}
		w.endLine()
	}
	for DisplayWidth(word) > w.room() {
		head, tail := split(word, w.room())
		if tail == "" {
			break
		}
		w.line, word = head, tail
		w.endLine()
	}
	w.line = word
}

func (w *wrapper) endLine() {
	w.lines = append(w.lines, strings.TrimRight(w.prefix+w.line, " "))
	w.line, w.prefix = "", w.hanging
}

// split cuts s so that the head fills at most width columns but holds at least
// one character, and an accent stays with its letter.
func split(s string, width int) (head, tail string) {
	used := 0
	for i, r := range s {
		used += cells(r)
		if i > 0 && used > width && cells(r) > 0 {
			return s[:i], s[i:]
		}
	}
	return s, ""
}

// Cut shortens s to at most width columns, ending it with mark (an ellipsis)
// if anything had to go.
func Cut(s string, width int, mark string) string {
	if DisplayWidth(s) <= width {
		return s
	}
	room := width - DisplayWidth(mark)
	if room < 1 {
		return mark
	}
	head, _ := split(s, room)
	if DisplayWidth(head) > room {
		return mark
	}
	return strings.TrimRight(head, " ") + mark
}

// DisplayWidth is the number of columns s fills on a screen.
func DisplayWidth(s string) int {
	n := 0
	for _, r := range s {
		n += cells(r)
	}
	return n
}

// cells is the number of columns a character fills. It counts character by
// character and never too few, unlike a terminal that joins several into one
// picture: a line too short is harmless, one too long breaks a redrawn list.
func cells(r rune) int {
	if r == '\ufe0f' { // asks for the picture form, which is twice as wide
		return 1
	}
	// The letters of doubtful width are single outside East Asian settings,
	// and asking the environment here would make output depend on it.
	cond := runewidth.Condition{EastAsianWidth: false, StrictEmojiNeutral: true}
	return cond.RuneWidth(r)
}

// Printable makes text safe to show: control characters, which could move the
// cursor or change the screen, and broken bytes become question marks. Line
// ends stay, tabs become spaces.
func Printable(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case r == '\t':
			return ' '
		case unicode.IsControl(r), r == utf8.RuneError:
			return '?'
		}
		return r
	}, text)
}
