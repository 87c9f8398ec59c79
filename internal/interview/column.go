package interview

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"filmfault/internal/prompt"
	"filmfault/internal/quantity"
)

// The choices that stand for no answer of a column.
const (
	nothingMore = "no"    // also what a person types to say so
	takeOut     = "(out)" // the line is a mistake
)

// column is one column of a line of the log: what is asked, how a text is
// judged, and where it goes.
type column[T any] struct {
	id, name, title, example, how string

	in      func(*T) *string
	choices []prompt.Choice // to pick from, instead of typing
	figure  *figure         // what a typed text measures; nil for words

	check func(text string) error  // nil: by the figure
	doubt func(text string) string // nil: by the figure
	put   func(*T, string)         // nil: the text goes in as typed
	value func(*T) string          // nil: what is in is the value
	say   func(text string) string // how a value is told with the others; nil: the name and the value

	mayLack    bool // nothing said says enough
	backIsWord bool // "back" is an answer
	noIsNone   bool // "no" leaves the column out
}

// figure is a kind of quantity, with the unit of a bare number. Without one a
// unit must be typed.
type figure struct {
	kind quantity.Kind
	unit string
}

// leftOut reports whether a text says that there is nothing to say.
func leftOut(text string) bool {
	switch strings.ToLower(text) {
	case "", "-", "skip", "not checked", "not known", "unknown":
		return true
	}
	return false
}

func (c column[T]) leavesOut(text string) bool {
	switch strings.ToLower(text) {
	case "n", "no", "none":
		return c.noIsNone
	}
	return leftOut(text)
}

// accepts returns an error when a text is nothing for the column.
func (c column[T]) accepts(text string) error {
	switch {
	case c.leavesOut(text), c.backIsWord && strings.EqualFold(text, "b"):
		return nil
	case c.check != nil:
		return c.check(text)
	case c.figure != nil:
		return c.figure.check(text)
	}
	return nil
}

// check returns an error, with what to write instead, when a text is no such
// figure.
func (f figure) check(text string) error {
	_, err := quantity.Parse(f.kind, text, f.unit)
	var bad *quantity.ParseError
	if errors.As(err, &bad) {
		return fmt.Errorf("%s; write %s", bad.Problem, bad.Remedy)
	}
	return err
}

// doubts says why a text is hard to believe, "" when it is not.
func (c column[T]) doubts(text string) string {
	switch {
	case c.leavesOut(text), c.backIsWord && strings.EqualFold(text, "b"):
	case c.doubt != nil:
		return c.doubt(text)
	case c.figure != nil:
		if x, err := quantity.Parse(c.figure.kind, text, c.figure.unit); err == nil {
			return x.Doubt()
		}
	}
	return ""
}

// enter puts a text into a line.
func (c column[T]) enter(x *T, text string) {
	if c.put != nil {
		c.put(x, text)
		return
	}
	*c.in(x) = text
}

// words is what a line holds in the column; "" when it is empty.
func (c column[T]) words(x *T) string {
	if c.value != nil {
		return c.value(x)
	}
	return *c.in(x)
}

// told is a value as it stands among the others of its line: with its unit, so
// that a figure meant in another one is noticed.
func (c column[T]) told(text string) string {
	if _, err := strconv.ParseFloat(text, 64); err == nil && c.figure != nil && c.figure.unit != "" {
		text += " " + c.figure.unit
	}
	if c.say != nil {
		return c.say(text)
	}
	return c.name + " " + text
}
