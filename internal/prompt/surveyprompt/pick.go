package surveyprompt

import (
	"context"
	"fmt"

	"filmfault/internal/console"
	"filmfault/internal/prompt"
)

// finished is the first option of a pick: all it can do is leave the states as
// they are, and those never named are non-answers.
const finished = "(the list is right)"

// Pick implements prompt.Prompter. Enter on an item gives it the next state;
// the list stays until its first line is picked.
func (p *prompter) Pick(ctx context.Context, k prompt.Pick) ([]string, error) {
	if err := k.Check(); err != nil {
		return nil, err
	}
	p.head(k.Progress, k.Caution, k.Title, k.How)
	p.Say(howToPick(k))
	states := k.Starting()
	if err := p.change(ctx, k, states); err != nil {
		return nil, err
	}
	p.tellPicked(k, states)
	return states, nil
}

// change shows the list again and again, with one state changed each time.
func (p *prompter) change(ctx context.Context, k prompt.Pick, states []string) error {
	defer p.hold(ctx)()
	m := menu{label: "Enter changes a line", quiet: true, first: []string{"done"}, words: pickWords(k)}
	for {
		m.options = p.pickOptions(k, states)
		var err error
		if m.start, err = p.choose(ctx, m); err != nil || m.start == 0 {
			return err
		}
		if item := m.start - 1; item < len(k.Items) {
			k.Set(states, item, nextState(k, states[item]))
			continue
		}
		for _, item := range k.Untouched(states) {
			k.Set(states, item, k.Rest)
		}
	}
}

// pickWords is what typed letters are held against: the whole texts, cut or not.
func pickWords(k prompt.Pick) []string {
	words := []string{finished}
	for _, item := range k.Items {
		words = append(words, item.Text)
	}
	if k.Rest != "" {
		words = append(words, restLine(k))
	}
	return words
}

func restLine(k prompt.Pick) string { return "(" + k.RestText() + ")" }

func howToPick(k prompt.Pick) string {
	text := "Move with the arrow keys. Enter on a line changes it, in turn: "
	for _, s := range k.States {
		if s.ID != k.Default {
			text += fmt.Sprintf("%q, ", s.Text)
		}
	}
	return text + fmt.Sprintf("and back to %q. Enter on the first line ends the list.", stateText(k, k.Default))
}

// pickOptions is the list with the states so far.
func (p *prompter) pickOptions(k prompt.Pick, states []string) []string {
	options := []string{finished}
	for i, item := range k.Items {
		mark := ""
		if states[i] != k.Default {
			mark = marked(stateText(k, states[i]))
		}
		options = append(options, p.beside(mark, item.Text))
	}
	if k.Rest != "" {
		options = append(options, restLine(k))
	}
	return options
}

// beside cuts text to the room that mark leaves: the state must stay in view.
// Where that is too little to know the item by, the mark gives way too.
func (p *prompter) beside(mark, text string) string {
	const least = 12
	width, _ := p.window()
	room := width - margin
	text = p.cut(text, max(least, room-console.DisplayWidth(mark)))
	return text + p.cut(mark, room-console.DisplayWidth(text))
}

func marked(state string) string { return ": " + state }

func stateText(k prompt.Pick, id string) string {
	for _, s := range k.States {
		if s.ID == id {
			return s.Text
		}
	}
	return id
}

// nextState is the state after id, the first one after the last.
func nextState(k prompt.Pick, id string) string {
	for i, s := range k.States {
		if s.ID == id {
			return k.States[(i+1)%len(k.States)].ID
		}
	}
	return k.Default
}

// tellPicked leaves on the screen what was set, as the list itself is gone.
func (p *prompter) tellPicked(k prompt.Pick, states []string) {
	for i, item := range k.Items {
		if states[i] != k.Default {
			p.item("-", item.Text+marked(stateText(k, states[i])))
		}
	}
}
