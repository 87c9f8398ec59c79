package surveyprompt

import (
	"context"
	"slices"
	"strings"

	"github.com/AlecAivazis/survey/v2"
	"github.com/AlecAivazis/survey/v2/terminal"

	"filmfault/internal/console"
	"filmfault/internal/prompt"
)

const (
	noAnswer = "(no answer yet)"
	hint     = "[Use arrows to move, type to filter]" // survey's own words after the label
	label    = "Your answer"

	margin   = 4  // columns kept free, two of them for survey's mark
	mostRows = 15 // a longer page is harder to scan than to scroll
)

// menu is one list to pick from. Its first option must be a non-answer: should
// an unforeseen key end the list, that is what it stands on.
type menu struct {
	label   string // empty for the usual one
	options []string
	words   []string // per option what typed letters are held against; nil for the options themselves
	first   []string // other names of the first option
	start   int
	quiet   bool // leave no line behind that tells what was picked
}

// choose shows the list and returns the index of the option picked.
func (p *prompter) choose(ctx context.Context, m menu) (int, error) {
	defer p.hold(ctx)()
	if m.label == "" {
		m.label = label
	}
	width, height := p.window()
	s := p.streams(ctx)
	index := 0
	err := survey.AskOne(p.list(m, width, height), &index, survey.WithStdio(s.In, s.Out, s.Err))
	return index, err
}

// streams are the keyboard and the screen as survey gets to see them.
func (p *prompter) streams(ctx context.Context) terminal.Stdio {
	whole := func() int { width, _ := p.console.TerminalSize(); return width }
	screen := &ink{file: p.console.ErrFile(), colour: p.console.TalkColor(), width: whole}
	keyboard := &keys{ctx: ctx, feed: p.feed, file: p.console.InFile()}
	return terminal.Stdio{In: keyboard, Out: screen, Err: screen}
}

// hold switches the terminal's echo and line editing off until release, or
// until ctx ends. Survey does so too, but only after it has drawn the list: a
// key pressed before that is echoed, moves the cursor, and the next redraw
// leaves a doubled line behind. Within a hold further ones do nothing.
func (p *prompter) hold(ctx context.Context) (release func()) {
	if p.held {
		return func() {}
	}
	p.held = true
	restore := p.console.GuardCursor(ctx)
	// A terminal that cannot be switched is left as it is; survey does the same.
	_ = terminal.NewRuneReader(p.streams(ctx)).SetTermMode()
	return func() {
		restore()
		p.held = false
	}
}

func (p *prompter) list(m menu, width, height int) *list {
	short := make([]string, len(m.options))
	for i, o := range m.options {
		short[i] = p.cut(o, width-margin)
	}
	return &list{
		Select: &survey.Select{
			Message:  m.label,
			Options:  short,
			Default:  m.start,
			PageSize: pageSize(m.label, width, height),
			Filter:   func(typed, _ string, i int) bool { return m.keeps(typed, i) },
		},
		quiet: m.quiet,
		width: width,
	}
}

// keeps says whether an option stays in the list when letters were typed. Where
// options begin with them, only those stay, lest Enter take another that merely
// holds them. The first option, a non-answer, stays for words of its own alone.
func (m menu) keeps(typed string, i int) bool {
	typed = strings.ToLower(typed)
	if i == 0 {
		return !m.anyBegins(typed) && m.namesFirst(typed)
	}
	if m.anyBegins(typed) {
		return strings.HasPrefix(m.word(i), typed)
	}
	return strings.Contains(m.word(i), typed)
}

// namesFirst says whether letters begin a name of the first option. "n" and "no"
// are no beginning of "not checked": somebody may have meant No.
func (m menu) namesFirst(typed string) bool {
	if strings.HasPrefix(m.word(0), typed) {
		return true
	}
	return len(typed) > len("not") && slices.ContainsFunc(m.first, func(name string) bool { return strings.HasPrefix(name, typed) })
}

func (m menu) word(i int) string {
	if m.words != nil {
		return strings.ToLower(m.words[i])
	}
	return strings.ToLower(m.options[i])
}

// anyBegins says whether an option other than the first begins with the letters.
func (m menu) anyBegins(typed string) bool {
	for i := 1; i < len(m.options); i++ {
		if strings.HasPrefix(m.word(i), typed) {
			return true
		}
	}
	return false
}

// cut shortens an option to one row: survey loses count of the rows it has to
// redraw when an option takes more.
func (p *prompter) cut(text string, width int) string {
	mark := "..."
	if p.console.Unicode() {
		mark = "…"
	}
	text = strings.Join(strings.Fields(console.Printable(text)), " ")
	return console.Cut(text, width, mark)
}

// fits says whether all texts can be shown in a list without being cut.
func (p *prompter) fits(choices []prompt.Choice, room int) bool {
	for _, c := range choices {
		if console.DisplayWidth(c.Text) > room {
			return false
		}
	}
	return true
}

// window is the size lists are laid out for. The true width counts, not only
// the wanted one, as survey redraws by it.
func (p *prompter) window() (width, height int) {
	width, height = p.console.TerminalSize()
	return min(width, p.console.Width()), height
}

// pageSize is how many options fit below the label and its hint with a row to
// spare, and a row for what is typed to filter.
func pageSize(label string, width, height int) int {
	head := (len("? ")+len(label)+len("  ")+len(hint))/width + 1
	return max(3, min(mostRows, height-head-2))
}

// list is survey's Select with a last line of our own: the original repeats
// the label in full and knows nothing of the window's width.
type list struct {
	*survey.Select
	quiet bool
	width int
}

// Cleanup implements survey.Prompt.
func (l *list) Cleanup(_ *survey.PromptConfig, picked any) error {
	if err := l.NewCursor().Restore(); err != nil {
		return err
	}
	answer, ok := picked.(survey.OptionAnswer)
	if !ok || l.quiet {
		return l.Render("", nil)
	}
	line := console.Cut(l.Message+": "+answer.Value, l.width-1, "...")
	return l.Render("{{.}}\n", line)
}
