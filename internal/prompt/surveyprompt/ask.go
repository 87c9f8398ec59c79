package surveyprompt

import (
	"context"
	"fmt"
	"strings"

	"filmfault/internal/prompt"
)

// action is what picking an entry leads to.
type action int

const (
	nothing  action = iota // the question stays
	answer                 // a choice
	typeIt                 // type the answer
	probably               // a second list, for a probable answer
	addNote                // type a note, the question stays
	command                // a command
)

// entry is one line of the list under a question.
type entry struct {
	text    string
	words   string // the text without its number
	action  action
	choice  string
	command prompt.Command
}

// Ask implements prompt.Prompter.
func (p *prompter) Ask(ctx context.Context, a prompt.Ask) (prompt.Reply, error) {
	if err := a.Check(); err != nil {
		return prompt.Reply{}, err
	}
	if len(a.Choices) == 0 {
		return p.plain.Ask(ctx, a)
	}
	p.head(a.Progress, a.Caution, a.Title, a.How)
	choices := p.choices(a)
	return p.reply(ctx, a, choices)
}

// choices makes the entries for the choices. When one is too long for its row,
// all are printed in full, and the list refers to them by number.
func (p *prompter) choices(a prompt.Ask) []entry {
	width, _ := p.window()
	numbered := !p.fits(a.Choices, width-margin)
	var entries []entry
	for i, c := range a.Choices {
		text := c.Text
		if numbered {
			text = fmt.Sprintf("%d. %s", i+1, c.Text)
			p.item(fmt.Sprintf(" %2d.", i+1), c.Text)
		}
		entries = append(entries, entry{text: text, words: c.Text, action: answer, choice: c.ID})
	}
	return entries
}

// reply shows lists until one of them gives a reply.
func (p *prompter) reply(ctx context.Context, a prompt.Ask, choices []entry) (prompt.Reply, error) {
	var notes []string
	for {
		e, err := p.entry(ctx, questionEntries(a, choices))
		if err != nil {
			return prompt.Reply{}, err
		}
		r, err := p.follow(ctx, a, e, choices)
		if err != nil {
			return prompt.Reply{}, err
		}
		if r.Note != "" {
			notes = append(notes, r.Note)
		}
		if r.Note = ""; r != (prompt.Reply{}) {
			r.Note = strings.Join(notes, "; ")
			return r, nil
		}
	}
}

func (p *prompter) entry(ctx context.Context, entries []entry) (entry, error) {
	m := menu{first: []string{"not checked", "not looked at"}}
	for _, e := range entries {
		if e.words == "" {
			e.words = e.text
		}
		m.options, m.words = append(m.options, e.text), append(m.words, e.words)
	}
	i, err := p.choose(ctx, m)
	if err != nil {
		return entry{}, err
	}
	return entries[i], nil
}

// skip is the line for a thing that was not looked at.
const skip = "Skip: not looked at"

// questionEntries is the whole list under a question, a non-answer first.
func questionEntries(a prompt.Ask, choices []entry) []entry {
	entries := []entry{{text: noAnswer}}
	if a.Allow.NotChecked {
		entries[0] = entry{text: skip, action: command, command: prompt.NotChecked}
	}
	entries = append(entries, choices...)
	if a.Value != nil {
		entries = append(entries, typeEntry(a))
	}
	if a.Allow.Probably {
		entries = append(entries, entry{text: "Probably ...", action: probably})
	}
	if a.Allow.Note {
		entries = append(entries, entry{text: "Add a note to my answer", action: addNote})
	}
	return append(entries, commandEntries(a.Allow)...)
}

func typeEntry(a prompt.Ask) entry {
	text := "Type the answer"
	if a.Value.Example != "" {
		text += ", for example " + a.Value.Example
	}
	return entry{text: text, action: typeIt}
}

func commandEntries(allow prompt.Allow) []entry {
	all := []entry{
		{text: "Why is this asked?", command: prompt.Why},
		{text: "Go back", command: prompt.Back},
		{text: "Show the ranking so far", command: prompt.Ranking},
		{text: "Add something else I saw", command: prompt.Add},
		{text: "Leave this part for later", command: prompt.Later},
		{text: "Stop and rank", command: prompt.Stop},
	}
	var allowed []entry
	for _, e := range all {
		if allow.Permits(e.command) {
			e.action = command
			allowed = append(allowed, e)
		}
	}
	return allowed
}

// follow does what an entry stands for. It returns a Reply without choice,
// value and command when the question stays.
func (p *prompter) follow(ctx context.Context, a prompt.Ask, e entry, choices []entry) (prompt.Reply, error) {
	switch e.action {
	case answer:
		return prompt.Reply{Choice: e.choice}, nil
	case command:
		return prompt.Reply{Command: e.command}, nil
	case typeIt:
		return p.typed(ctx, a, a.Allow.Probably)
	case probably:
		return p.probable(ctx, a, choices)
	case addNote:
		return p.note(ctx)
	}
	p.Say("Move to your answer with the arrow keys, then press Enter.")
	return prompt.Reply{}, nil
}

// probable shows the second list, of answers that are only probable.
func (p *prompter) probable(ctx context.Context, a prompt.Ask, choices []entry) (prompt.Reply, error) {
	entries := []entry{{text: "(back to the question)"}}
	for _, e := range choices {
		e.text = "Probably: " + e.text // found by the answer's own words
		entries = append(entries, e)
	}
	if a.Value != nil {
		entries = append(entries, typeEntry(a))
	}
	e, err := p.entry(ctx, entries)
	if err != nil || e.action == nothing {
		return prompt.Reply{}, err
	}
	if e.action == answer {
		return prompt.Reply{Choice: e.choice, Probably: true}, nil
	}
	r, err := p.typed(ctx, a, false)
	r.Probably = r.Value != ""
	return r, err
}

// typed reads a typed answer as a plain line; "back" returns to the list.
func (p *prompter) typed(ctx context.Context, a prompt.Ask, mayDoubt bool) (prompt.Reply, error) {
	r, err := p.plain.Ask(ctx, prompt.Ask{
		ID:    a.ID,
		Title: "The answer, typed (or: back, for the list).",
		Value: a.Value,
		Allow: prompt.Allow{Back: true, Note: a.Allow.Note, Probably: mayDoubt},
	})
	if r.Command == prompt.Back {
		r.Command = prompt.None
	}
	return r, err
}

func (p *prompter) note(ctx context.Context) (prompt.Reply, error) {
	text, err := p.plain.Line(ctx, prompt.LineAsk{Title: "Your note, in a few words.", Optional: true})
	if err == nil && text != "" {
		p.Say("Note kept. Now the answer.")
	}
	return prompt.Reply{Note: text}, err
}
