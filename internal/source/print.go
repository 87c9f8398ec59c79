package source

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode"

	"github.com/mattn/go-runewidth"
)

const (
	defaultWidth = 80
	// narrowest is the width below which a source line can no longer be
	// shown with a caret and its surroundings.
	narrowest = 20
	tabStop   = 4
	margin    = "  "
	cut       = "..."
	remedyTag = "write instead: "
)

// PrintOptions says how Print lays its text out.
type PrintOptions struct {
	// Width is the number of columns of the terminal; 0 means 80, and less
	// than 20 is taken as 20.
	Width int
	// Max is the most diagnostics printed; 0 or less means all of them.
	Max int
	// Color turns on ANSI colours.
	Color bool
}

// Print writes each diagnostic as its place and summary, the source line, a
// caret line under the span and the remedy. sources maps the file name of a
// span to that file's bytes; a file that is not there is printed without its
// line. After opt.Max diagnostics a last line says how many more there are.
// Carets are aligned by the width characters take on a terminal, tabs are
// shown as spaces, and control characters never reach w. The error is the
// first one from w.
func Print(w io.Writer, l List, sources map[string][]byte, opt PrintOptions) error {
	out := bufio.NewWriter(w)
	p := printer{width: max(opt.Width, narrowest), color: opt.Color, sources: sources}
	if opt.Width <= 0 {
		p.width = defaultWidth
	}
	shown := len(l)
	if opt.Max > 0 {
		shown = min(shown, opt.Max)
	}
	for _, d := range l[:shown] {
		// bufio keeps the first error for Flush.
		_, _ = out.WriteString(p.diagnostic(d))
	}
	if rest := len(l) - shown; rest > 0 {
		_, _ = fmt.Fprintf(out, "... and %d more\n", rest)
	}
	return out.Flush()
}

// printer is the layout of one Print call.
type printer struct {
	width   int
	color   bool
	sources map[string][]byte
}

// diagnostic is the whole text of one diagnostic, ending in a line break.
func (p printer) diagnostic(d Diagnostic) string {
	var b strings.Builder
	if place := oneLine(d.Span.String()); place != "" {
		b.WriteString(p.paint("1", place+":") + " ")
	}
	b.WriteString(p.paint(severityCode(d.Severity), d.summary()) + "\n")
	if line, ok := sourceLine(p.sources[d.Span.File], d.Span.Start.Line); ok && line != "" {
		text, lead, length := excerpt(line, d.Span, p.width-len(margin))
		caret := "^" + strings.Repeat("~", length-1)
		b.WriteString(margin + text + "\n")
		b.WriteString(margin + strings.Repeat(" ", lead) + p.paint("32", caret) + "\n")
	}
	if d.Remedy != "" {
		b.WriteString(wrap(remedyTag+clean(d.Remedy), p.width))
	}
	return b.String()
}

// paint wraps text in an ANSI code when colours are on.
func (p printer) paint(code, text string) string {
	if !p.color {
		return text
	}
	return "\x1b[" + code + "m" + text + "\x1b[0m"
}

// severityCode is red for an error, magenta for a warning.
func severityCode(s Severity) string {
	if s == Warning {
		return "35"
	}
	return "31"
}

// sourceLine gives a line of a file, without its line break and without a byte
// order mark; false when the file has no such line.
func sourceLine(data []byte, line int) (string, bool) {
	if line < 1 || len(data) == 0 {
		return "", false
	}
	rest := bytes.TrimPrefix(data, []byte("\ufeff"))
	for ; line > 1; line-- {
		_, after, found := bytes.Cut(rest, []byte("\n"))
		if !found {
			return "", false
		}
		rest = after
	}
	text, _, _ := bytes.Cut(rest, []byte("\n"))
	return string(bytes.TrimSuffix(text, []byte("\r"))), true
}

// excerpt gives the part of a source line that fits into width, the number of
// terminal columns before the caret, and the length of the caret line (at
// least 1).
func excerpt(line string, span Span, width int) (text string, lead, length int) {
	before, marked, after := split(line, span, width)
	if displayWidth(before+marked+after) <= width {
		return before + marked + after, displayWidth(before), max(1, displayWidth(marked))
	}
	before = keepRight(before, width/2)
	lead = displayWidth(before)
	text = before + keepLeft(marked+after, width-lead)
	return text, lead, min(max(1, displayWidth(marked)), width-lead)
}

// split cuts a source line into what is before the span, in it and after it,
// ready for the terminal. Characters so far from the span that they cannot be
// shown are left out, so that a very long line costs no more than a short one.
func split(line string, span Span, width int) (before, marked, after string) {
	runes := []rune(line)
	start := min(max(span.Start.Column-1, 0), len(runes))
	end := start
	switch {
	case span.End.Line == span.Start.Line && span.End.Column > span.Start.Column:
		end = min(max(span.End.Column-1, start), len(runes))
	case span.End.Line > span.Start.Line:
		end = len(runes)
	}
	// The margin of two tabs makes sure that a cut is seen as one.
	far := 2*width + 2*tabStop
	before = expand(runes[max(0, start-far):start], 0)
	marked = expand(runes[start:min(end, start+far)], displayWidth(before))
	after = expand(runes[end:min(len(runes), end+far)], displayWidth(before+marked))
	return before, marked, after
}

// expand makes text safe for a terminal: tabs become spaces up to the next tab
// stop, counted from column at, and control characters a replacement mark.
func expand(runes []rune, at int) string {
	var b strings.Builder
	for _, r := range runes {
		switch {
		case r == '\t':
			pad := tabStop - at%tabStop
			b.WriteString(strings.Repeat(" ", pad))
			at += pad
		default:
			r = visible(r)
			b.WriteRune(r)
			at += terminal().RuneWidth(r)
		}
	}
	return b.String()
}

// keepRight gives the end of text that fits into width, marked when cut.
func keepRight(text string, width int) string {
	if displayWidth(text) <= width {
		return text
	}
	runes := []rune(text)
	for len(runes) > 0 && displayWidth(string(runes)) > width-len(cut) {
		runes = runes[1:]
	}
	return cut + string(runes)
}

// keepLeft gives the start of text that fits into width, marked when cut.
func keepLeft(text string, width int) string {
	return terminal().Truncate(text, width, cut)
}

// wrap breaks text at spaces into lines of at most width columns, the first
// indented by two and the others by four. A word longer than a line is not
// broken: a file name or an id must stay in one piece to be copied.
func wrap(text string, width int) string {
	var b strings.Builder
	line := margin
	for i, word := range strings.Fields(text) {
		switch {
		case i == 0:
			line += word
		case displayWidth(line)+1+displayWidth(word) > width:
			b.WriteString(line + "\n")
			line = margin + margin + word
		default:
			line += " " + word
		}
	}
	return b.String() + line + "\n"
}

// displayWidth is the number of terminal columns of text.
func displayWidth(text string) int { return terminal().StringWidth(text) }

// terminal is the width rule: characters of ambiguous width count as one
// column whatever the environment says, so that output is the same everywhere.
func terminal() *runewidth.Condition {
	return &runewidth.Condition{StrictEmojiNeutral: true}
}

// clean replaces control characters except line breaks and tabs.
func clean(text string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' || r == '\t' {
			return ' '
		}
		return visible(r)
	}, text)
}

// oneLine is text without line breaks or control characters.
func oneLine(text string) string {
	return strings.TrimSpace(clean(strings.ReplaceAll(text, "\r\n", "\n")))
}

// visible replaces what would move the cursor or reorder text on a terminal.
func visible(r rune) rune {
	if unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == '\u2028' || r == '\u2029' {
		return unicode.ReplacementChar
	}
	return r
}
