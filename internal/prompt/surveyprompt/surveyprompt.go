// Package surveyprompt asks the interview's questions as lists to move through
// with the arrow keys, on terminals that can redraw a few lines.
//
// It refuses to use the survey library's typed prompts (Input, Confirm,
// Password, Editor). They ask the terminal where the cursor is and wait for
// the reply for ever, with Ctrl-C switched off, on terminals that do not
// reply. Typed text is read as plain lines instead, with the terminal's own
// line editing, and yes-or-no questions are lists.
//
// It sits beside the plain Prompter of package prompt, uses it for all typed
// text, and is the only package that imports survey.
package surveyprompt

import (
	"context"
	"io"
	"runtime"

	"filmfault/internal/console"
	"filmfault/internal/prompt"
)

const (
	minWidth  = 30 // below it the hint line takes half the window
	minHeight = 10 // below it the shortest list could scroll away
)

// Usable says whether lists can be shown: keyboard and screen are a terminal
// of known size that can redraw, large enough, and nobody asked for plain
// lines. On Windows survey does not read keys through the file it is given, so
// the guard against Ctrl-D has nothing to hold on to: plain lines serve there.
func Usable(c *console.Console) bool {
	if runtime.GOOS == "windows" || c.Plain() || c.InFile() == nil || c.ErrFile() == nil {
		return false
	}
	width, height := c.TerminalSize()
	return width >= minWidth && c.Width() >= minWidth && height >= minHeight
}

// New makes a Prompter that shows lists on the console's terminal. Where
// Usable says no, it makes a plain one.
func New(c *console.Console) prompt.Prompter {
	if !Usable(c) {
		return prompt.NewPlain(c.In(), c.Err(), c.Width)
	}
	feed := prompt.NewFeed(c.In())
	return &prompter{
		console: c,
		feed:    feed,
		plain:   prompt.NewPlain(feed, c.Err(), c.Width),
	}
}

type prompter struct {
	console *console.Console
	feed    *prompt.Feed
	plain   *prompt.Plain // reads all typed text
	held    bool          // the terminal is switched for a list
}

// Say implements prompt.Prompter.
func (p *prompter) Say(text string) { p.plain.Say(text) }

// Line implements prompt.Prompter.
func (p *prompter) Line(ctx context.Context, l prompt.LineAsk) (string, error) {
	return p.plain.Line(ctx, l)
}

// Confirm implements prompt.Prompter.
func (p *prompter) Confirm(ctx context.Context, question string) (bool, error) {
	p.head("", "", question, "")
	for {
		i, err := p.choose(ctx, menu{options: []string{noAnswer, "Yes", "No"}})
		if err != nil {
			return false, err
		}
		if i > 0 {
			return i == 1, nil
		}
		p.Say("Move to Yes or No with the arrow keys, then press Enter.")
	}
}

// head prints what comes before a list.
func (p *prompter) head(progress, caution, title, how string) {
	p.Say("")
	if progress != "" {
		p.Say("(" + progress + ")")
	}
	if caution != "" {
		p.Say("Caution: " + caution)
	}
	p.Say(title)
	if how != "" {
		p.Say(how)
	}
}

// item prints one numbered text in full.
func (p *prompter) item(label, text string) {
	const hanging = "     "
	text = console.Wrap(console.Printable(text), p.console.Width(), label+" ", hanging)
	_, _ = io.WriteString(p.console.Err(), text+"\n")
}
