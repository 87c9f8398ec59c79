package airlog

import (
	"fmt"
	"strings"

	"filmfault/internal/source"
)

// mostOfAKind is how many findings of one check are told one by one. A logger
// with a loose battery has thousands.
const mostOfAKind = 10

// notes collects findings, so that one fault repeated down a file does not
// drown the others.
type notes struct {
	name  string
	found source.List
	count map[string]int
	last  map[string]int // index in found of the last one of a check
}

// newNotes starts a collection for a file.
func newNotes(name string) *notes {
	return &notes{name: name, count: map[string]int{}, last: map[string]int{}}
}

// at is a place in the file; column 0 is the line as a whole.
func (n *notes) at(line int) source.Span {
	return source.Span{File: n.name, Start: source.Pos{Line: line}}
}

// fail adds an error.
func (n *notes) fail(line int, check, remedy, summary string, args ...any) {
	n.found.Error(n.at(line), check, fmt.Sprintf(summary, args...), remedy)
}

// warn adds a warning, and only counts it when there are many of its kind.
func (n *notes) warn(line int, check, remedy, summary string, args ...any) {
	n.count[check]++
	if n.count[check] > mostOfAKind {
		return
	}
	n.last[check] = len(n.found)
	n.found.Warn(n.at(line), check, fmt.Sprintf(summary, args...), remedy)
}

// failed says that there is an error.
func (n *notes) failed() bool { return n.found.HasErrors() }

// list gives the findings in the order of the file. The last told of many says
// how many more there are.
func (n *notes) list() source.List {
	for check, count := range n.count {
		if more := count - mostOfAKind; more > 0 {
			n.found[n.last[check]].Summary += fmt.Sprintf(" (and %d more like it)", more)
		}
	}
	n.found.Sort()
	return n.found
}

// short is a cell or line as it is quoted in a message.
func short(text string) string {
	const most = 60
	text = strings.ToValidUTF8(text[:min(len(text), 8*most)], "?")
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most]) + "..."
	}
	return text
}
