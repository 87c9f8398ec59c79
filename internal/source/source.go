// Package source says where in a user's file something is, and what is wrong
// there.
//
// It holds positions, diagnostics and the printing of diagnostics with the
// source line underneath. It sits at the bottom: it knows nothing of YAML, of
// rules or of paint. A diagnostic is a value that describes a file somebody
// wrote; it is never a Go error, and this package refuses to turn one into the
// other, so that "the file is wrong" and "the program could not read the file"
// stay apart.
package source

import (
	"cmp"
	"fmt"
	"slices"
)

// Pos is a place in a text. Line and Column count from 1; Column counts
// characters (Unicode code points), not bytes. The zero Pos means "no place".
type Pos struct {
	Line, Column int
}

// Before reports whether p lies strictly before q in reading order.
func (p Pos) Before(q Pos) bool {
	if p.Line != q.Line {
		return p.Line < q.Line
	}
	return p.Column < q.Column
}

// Span is a stretch of a file. End is the place just after the last character;
// a zero End means that only the start is known. A zero Start means the span
// is the file as a whole.
type Span struct {
	File       string
	Start, End Pos
}

// String gives "rules/x.yaml:14:7", "rules/x.yaml:14" when the column is not
// known, and the bare file name when the line is not known either.
func (s Span) String() string {
	switch {
	case s.Start.Line <= 0:
		return s.File
	case s.Start.Column <= 0:
		return fmt.Sprintf("%s:%d", s.File, s.Start.Line)
	default:
		return fmt.Sprintf("%s:%d:%d", s.File, s.Start.Line, s.Start.Column)
	}
}

// Severity says how bad a diagnostic is.
type Severity int

// The severities. Error is the zero value: what is not said to be a warning
// stops the work.
const (
	Error Severity = iota
	Warning
)

// String gives "error" or "warning".
func (s Severity) String() string {
	if s == Warning {
		return "warning"
	}
	return "error"
}

// Diagnostic is one thing wrong with a file a user wrote.
type Diagnostic struct {
	// Span is where it is.
	Span Span
	// Severity is Error or Warning.
	Severity Severity
	// Check is the name of the check that found it, such as "unknown-id".
	Check string
	// Summary says in one sentence what is wrong.
	Summary string
	// Remedy says what to write instead.
	Remedy string
}

// String gives one line: "file:line:column: summary [check]; write instead:
// remedy". A warning has "warning: " before its summary.
func (d Diagnostic) String() string {
	text := d.headline()
	if d.Remedy != "" {
		text += "; write instead: " + oneLine(d.Remedy)
	}
	return text
}

// headline is the diagnostic without its remedy, on one line.
func (d Diagnostic) headline() string {
	text := d.summary()
	if place := oneLine(d.Span.String()); place != "" {
		text = place + ": " + text
	}
	return text
}

// summary is the summary with its severity and check, without the place.
func (d Diagnostic) summary() string {
	text := oneLine(d.Summary)
	if d.Severity == Warning {
		text = "warning: " + text
	}
	if d.Check != "" {
		text += " [" + d.Check + "]"
	}
	return text
}

// List is the diagnostics of a piece of work, in the order they were found.
type List []Diagnostic

// Error adds an error: where, which check, what is wrong, what to write
// instead.
func (l *List) Error(span Span, check, summary, remedy string) {
	*l = append(*l, Diagnostic{span, Error, check, summary, remedy})
}

// Warn adds a warning: where, which check, what is doubtful, what to write
// instead.
func (l *List) Warn(span Span, check, summary, remedy string) {
	*l = append(*l, Diagnostic{span, Warning, check, summary, remedy})
}

// Sort puts the list in the order of file, line, column and check. What is
// equal in all four keeps the order in which it was found.
func (l List) Sort() {
	slices.SortStableFunc(l, func(a, b Diagnostic) int {
		return cmp.Or(
			cmp.Compare(a.Span.File, b.Span.File),
			cmp.Compare(a.Span.Start.Line, b.Span.Start.Line),
			cmp.Compare(a.Span.Start.Column, b.Span.Start.Column),
			cmp.Compare(a.Check, b.Check),
		)
	})
}

// HasErrors reports whether the list holds at least one error; warnings alone
// do not count.
func (l List) HasErrors() bool { return l.Errors() > 0 }

// Errors counts the errors, leaving warnings out.
func (l List) Errors() int {
	n := 0
	for _, d := range l {
		if d.Severity == Error {
			n++
		}
	}
	return n
}
