package interview

import (
	"context"
	"fmt"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/prompt"
)

// askCoats offers to enter the coats of the log line by line.
func (v *visit) askCoats(ctx context.Context) error {
	if err := v.fillGaps(ctx); err != nil {
		return err
	}
	for v.reason == "" && !v.logLater {
		question := "Enter the coats of the log now, line by line?"
		if n := len(v.file.Coats); n > 0 {
			question = fmt.Sprintf("The log holds %s. Enter another?", coats(n))
		}
		more, err := v.prompter.Confirm(ctx, question)
		if err != nil || !more {
			return err
		}
		at := len(v.file.Coats)
		if err := v.enterCoat(ctx, at); err != nil || at == len(v.file.Coats) {
			return err
		}
	}
	return nil
}

func coats(n int) string {
	if n == 1 {
		return "one coat"
	}
	return fmt.Sprintf("%d coats", n)
}

// enterCoat asks the empty columns of a coat, then shows it and asks whether it
// is right; if not, all columns are asked again.
func (v *visit) enterCoat(ctx context.Context, at int) error {
	for again := false; ; again = true {
		if err := v.askColumns(ctx, at, again); err != nil || at == len(v.file.Coats) || v.reason != "" || v.logLater {
			return err
		}
		right, err := v.prompter.Confirm(ctx, fmt.Sprintf("Coat %d: %s. Right?", at+1, inOneLine(&v.file.Coats[at])))
		if err != nil || right {
			return err
		}
	}
}

// askColumns asks the columns of a coat in their order, each of which may be
// left out, and leaves off at any of them when told to. What was typed stays.
func (v *visit) askColumns(ctx context.Context, at int, all bool) error {
	var asked []column
	for _, col := range columns() {
		if all || at == len(v.file.Coats) || col.value(&v.file.Coats[at]) == "" {
			asked = append(asked, col)
		}
	}
	for i := 0; i >= 0 && i < len(asked); {
		err := v.askColumn(ctx, at, asked[i])
		c, ok := instead(err)
		switch {
		case err == nil:
			i++
		case !ok:
			return err
		case c == prompt.Back:
			i = max(i-1, 0)
		default:
			v.leaveCoat(c)
			return nil
		}
	}
	return nil
}

// leaveCoat does what a command other than "back" means in a coat.
func (v *visit) leaveCoat(c prompt.Command) {
	switch c {
	case prompt.Stop:
		v.stopNow()
	case prompt.Later:
		v.leaveLog()
	}
}

func (v *visit) askColumn(ctx context.Context, at int, col column) error {
	l := prompt.LineAsk{
		ID: "coat-" + col.id, Title: fmt.Sprintf("Coat %d: %s", at+1, col.title), Example: col.example,
		Optional: true, Check: col.accepts, Doubt: col.doubts,
		Why:   "The log shows later what the coat was given: its thickness, its air, and the hours before it was closed over.",
		Allow: prompt.Allow{Back: true, Later: true, Stop: true, Done: true},
	}
	if at < len(v.file.Coats) {
		if before := col.value(&v.file.Coats[at]); before != "" {
			l.How = fmt.Sprintf("So far: %s. An empty line keeps it.", before)
		}
	}
	text, err := v.prompter.Line(ctx, l)
	if err == nil && !leftOut(text) {
		v.setCoat(at, col, text)
	}
	return err
}

func (v *visit) setCoat(at int, col column, text string) {
	if at == len(v.file.Coats) {
		v.file.Coats = append(v.file.Coats, casefile.Coat{})
	}
	col.put(&v.file.Coats[at], text)
	v.ev = nil
	v.keep()
}

// fillGaps offers to fill what is missing in the last coat, where an earlier
// visit may have been broken off.
func (v *visit) fillGaps(ctx context.Context) error {
	last := len(v.file.Coats) - 1
	if last < 0 {
		return nil
	}
	var missing []string
	for _, col := range columns() {
		if col.value(&v.file.Coats[last]) == "" {
			missing = append(missing, col.name)
		}
	}
	if len(missing) == 0 {
		return nil
	}
	yes, err := v.prompter.Confirm(ctx, fmt.Sprintf("Coat %d of the log lacks: %s. Fill that in?", last+1, strings.Join(missing, ", ")))
	if err == nil && yes {
		err = v.enterCoat(ctx, last)
	}
	return err
}
