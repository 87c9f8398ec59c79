package listing

import (
	"fmt"
	"io"
	"strings"

	"filmfault/internal/console"
)

// Text writes one case a line, wrapped to width columns, and how many of how many
// are shown. A list by date or cost says both.
func Text(w io.Writer, l *List, width int) error {
	var b strings.Builder
	for _, r := range l.Cases {
		b.WriteString(console.Wrap(oneLine(r.line(l.Order)), width, "", "    "))
		b.WriteByte('\n')
	}
	b.WriteString(console.Wrap(l.Counts(), width, "", "  "))
	b.WriteByte('\n')
	_, err := io.WriteString(w, b.String())
	return err
}

// oneLine keeps a title of several lines from looking like several cases.
func oneLine(s string) string { return strings.ReplaceAll(console.Printable(s), "\n", " ") }

// line is a case in words: "id: title (settled: cause)".
func (r Row) line(order string) string {
	out := r.Case + ": " + r.Title + r.verdict()
	switch {
	case order == ByDate && r.Date != "":
		out += ", " + r.Date
	case order == ByCost && r.cost() != "":
		out += ", " + r.cost()
	case order == ByFailure && len(r.Failures) > 0:
		out += ", " + strings.Join(r.Failures, ", ")
	}
	return out
}

func (r Row) verdict() string {
	if r.State == Open {
		return " (open)"
	}
	return " (settled: " + r.outcome() + ")"
}

// Counts says how many of how many cases are shown.
func (l *List) Counts() string {
	text := fmt.Sprintf("%d of %s shown", l.Shown, cases(l.Of))
	switch {
	case l.Unreadable == 1:
		text += "; 1 file could not be read"
	case l.Unreadable > 1:
		text += fmt.Sprintf("; %d files could not be read", l.Unreadable)
	}
	return text + "."
}

func cases(n int) string {
	if n == 1 {
		return "1 case"
	}
	return fmt.Sprintf("%d cases", n)
}

// Markdown writes the list as a table.
func Markdown(w io.Writer, l *List) error {
	var b strings.Builder
	b.WriteString("| case | title | date | failures | state | found | cost |\n|---|---|---|---|---|---|---|\n")
	for _, r := range l.Cases {
		for _, cell := range []string{r.Case, r.Title, r.Date, strings.Join(r.Failures, ", "), r.State, r.outcome(), r.cost()} {
			b.WriteString("| " + escape(cell) + " ")
		}
		b.WriteString("|\n")
	}
	b.WriteString("\n" + l.Counts() + "\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// escape keeps what a user typed from starting markup.
func escape(s string) string {
	return strings.NewReplacer(`\`, `\\`, "*", `\*`, "_", `\_`, "`", "\\`", "<", "&lt;", "|", `\|`, "[", `\[`).Replace(oneLine(s))
}
