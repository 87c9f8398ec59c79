package prompt

import (
	"fmt"
	"strings"
)

// doubt is a typed value that is asked about once before it is taken: one that
// is hard to believe, or that might have been meant as the number of a line.
type doubt struct {
	typed string // the whole line, "" while nothing was doubted
	text  string // the value in it
	line  string // the label of the line it might have meant
	why   string
}

// about says whether a reply is to be asked about first, and keeps it then.
func (d *doubt) about(a Ask, r Reply, typed string) bool {
	if r.Value == "" || d.typed != "" || a.Value == nil || a.Value.Multiline {
		return false
	}
	line, why := a.lineMeant(r.Value), ""
	if a.Value.Doubt != nil {
		why = a.Value.Doubt(r.Value)
	}
	if line == "" && why == "" {
		return false
	}
	*d = doubt{typed: typed, text: r.Value, line: line, why: why}
	if a.Value.Reading != nil && line != "" {
		d.why = fmt.Sprintf("%s as a figure, or line %s", a.Value.Reading(r.Value), r.Value)
	}
	return true
}

// lineMeant is the label of the choice whose number a bare value is.
func (a Ask) lineMeant(value string) string {
	if n, ok := wholeNumber(value); ok && n >= 1 && n <= len(a.Choices) {
		return a.label(n - 1)
	}
	return ""
}

// question is what is asked about the value.
func (d *doubt) question() error {
	if d.line == "" {
		return unclear(fmt.Sprintf("Is that right? %s. Type yes to keep it, or the answer anew.", strings.TrimRight(d.why, ".")))
	}
	why := d.why
	if why == "" {
		why = fmt.Sprintf("%s as typed, or line %s", d.text, d.text)
	}
	return unclear(fmt.Sprintf("%s? Type yes for the first, %s for the line, or the answer anew.", why, d.line))
}

// answer is the line as it is to be read once a value was doubted: "yes" and
// "figure" mean the value as it was typed, "line" the line.
func (d *doubt) answer(a Ask, text string) string {
	switch {
	case d.typed == "" || find(a.Choices, text) >= 0:
		return text
	case same(text, "yes"), same(text, "y"), same(text, "figure"):
		return d.typed
	case d.line != "" && (same(text, "line") || same(text, "line "+d.text)):
		return d.line
	}
	return text
}
