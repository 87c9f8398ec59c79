package prompt

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"filmfault/internal/console"
)

// Plain is the Prompter for plain lines: it prints a question in words and
// reads a typed line. It never moves the cursor and uses no colour, so that it
// works in pipes and over slow links and reads well aloud.
type Plain struct {
	feed  *Feed
	out   io.Writer
	width func() int
	err   error // the first failure to write: a question nobody saw must not be answered
}

// NewPlain makes a Plain that reads lines from in (which may be a *Feed, to
// share what is typed ahead) and writes questions to out, wrapped to width.
func NewPlain(in io.Reader, out io.Writer, width func() int) *Plain {
	feed, ok := in.(*Feed)
	if !ok {
		feed = NewFeed(in)
	}
	return &Plain{feed: feed, out: out, width: width}
}

// Say implements Prompter.
func (p *Plain) Say(text string) { p.print("", "", text) }

// Ask implements Prompter.
func (p *Plain) Ask(ctx context.Context, a Ask) (Reply, error) {
	if err := a.Check(); err != nil {
		return Reply{}, err
	}
	p.head(a.Progress, a.Caution, a.Title, a.How)
	for i, c := range a.Choices {
		p.item(a.label(i), c.Text)
	}
	p.Say(a.howToAnswer() + " " + a.Allow.also())
	return p.answer(ctx, a)
}

// answer reads lines until one of them is a reply.
func (p *Plain) answer(ctx context.Context, a Ask) (Reply, error) {
	var notes []string
	var unsure doubt
	hint := a.howToAnswer() + ` "?" explains.`
	for {
		text, err := p.typed(ctx)
		if err == nil {
			var r Reply
			if r, err = p.hear(ctx, a, unsure.answer(a, text), &notes); err == nil && unsure.about(a, r, text) {
				err = unsure.question()
			}
			if err == nil && r != (Reply{}) {
				r.Note = strings.Join(append(notes, nonEmpty(r.Note)...), "; ")
				p.echo(a, r)
				return r, nil
			}
		}
		if err = p.complain(err, &hint); err != nil {
			return Reply{}, err
		}
	}
}

// hear deals with one line. It returns the zero Reply when the line was of use
// but is no reply yet: a call for help, or a note to keep.
func (p *Plain) hear(ctx context.Context, a Ask, text string, notes *[]string) (Reply, error) {
	if isHelp(text) {
		for _, line := range a.help() {
			p.print("  ", "    ", line)
		}
		return Reply{}, nil
	}
	if note, ok := noteAlone(text); ok && a.Allow.Note {
		if note == "" {
			return Reply{}, unclear("Type the words of the note after it, as in: note seen at the north edge.")
		}
		*notes = append(*notes, note)
		p.Say("Note kept. Now the answer.")
		return Reply{}, nil
	}
	if _, isCommand := a.command(text); a.Value != nil && a.Value.Multiline && text != "" && !isCommand {
		return p.multiline(ctx, a, text)
	}
	return a.read(text)
}

// multiline reads on until a line with only a full stop. An unreadable line
// spoils the whole text, which is better than to record it with a hole.
func (p *Plain) multiline(ctx context.Context, a Ask, first string) (Reply, error) {
	if id, ok, _ := a.exact(first); ok {
		return Reply{Choice: id}, nil
	}
	var lines []string
	var spoiled unclear
	size := 0
	for text := first; text != "."; {
		if size += len(text) + 1; size > maxLine {
			lines, spoiled = nil, "That text is too long to keep."
		}
		lines = append(lines, text)
		var err error
		if text, err = p.typed(ctx); err != nil && !errors.As(err, &spoiled) {
			return Reply{}, err
		}
	}
	if spoiled != "" {
		return Reply{}, spoiled + " Nothing of the text was kept; start again from its first line."
	}
	return a.Value.whole(strings.TrimSpace(strings.Join(lines, "\n")))
}

// whole checks a finished text of several lines.
func (v *ValueAsk) whole(text string) (Reply, error) {
	if text == "" {
		return Reply{}, unclear("An empty text is no answer.")
	}
	if err := v.check(text); err != nil {
		return Reply{}, unclear("Not taken: " + err.Error() + ".")
	}
	return Reply{Value: text}, nil
}

// echo repeats in short what was taken, so that a slip can be heard at once.
func (p *Plain) echo(a Ask, r Reply) {
	what := r.Value
	if a.Value != nil && a.Value.Reading != nil && what != "" {
		what = a.Value.Reading(what)
	}
	switch i := find(a.Choices, r.Choice); {
	case r.Command == NotChecked:
		what = NotChecked.String()
	case r.Command != None:
		return
	case r.Choice != "" && i >= 0:
		what = a.Choices[i].Text
	}
	if r.Probably {
		what = "probably " + what
	}
	if what, _, _ = strings.Cut(what, "\n"); what != "" {
		p.Say("Taken: " + console.Cut(what, 60, "..."))
	}
}

// typed prompts for one line and reads it.
func (p *Plain) typed(ctx context.Context) (string, error) {
	p.write("> ")
	if p.err != nil {
		return "", p.err
	}
	text, err := p.feed.line(ctx)
	if errors.Is(err, errTooLong) {
		return "", unclear(fmt.Sprintf("That line is too long (the most is %d letters). Type it again.", maxLine))
	}
	if err != nil {
		return "", err
	}
	return readable(text)
}

// complain tells why a line was no answer, with the hint the first time only.
// It returns errors that are no fault of the line.
func (p *Plain) complain(err error, hint *string) error {
	var u unclear
	if err != nil && !errors.As(err, &u) {
		p.write("\n") // the prompt's line was left open
		return err
	}
	if err != nil {
		p.Say(strings.TrimSpace(u.Error() + " " + *hint))
		*hint = ""
	}
	return nil
}

// head prints what comes before the answers.
func (p *Plain) head(progress, caution, title, how string) {
	p.write("\n")
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

func (p *Plain) item(label, text string) {
	indent := "  " + label + ". "
	p.print(indent, strings.Repeat(" ", len(indent)), text)
}

func (p *Plain) print(indent, hanging, text string) {
	p.write(console.Wrap(console.Printable(text), p.width(), indent, hanging) + "\n")
}

func (p *Plain) write(text string) {
	if p.err != nil {
		return
	}
	if _, err := io.WriteString(p.out, text); err != nil {
		p.err = fmt.Errorf("showing the question: %w", err)
	}
}

func isHelp(text string) bool {
	return text != "" && strings.Trim(text, "?") == "" || same(text, "help")
}

func nonEmpty(s string) []string {
	if s == "" {
		return nil
	}
	return []string{s}
}
