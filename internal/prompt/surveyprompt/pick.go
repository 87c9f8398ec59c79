package surveyprompt

import (
	"context"
	"fmt"
	"strings"

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
	numbered := p.fullItems(k)
	states := make([]string, len(k.Items))
	for i := range states {
		states[i] = k.Default
	}
	if err := p.change(ctx, k, states, numbered); err != nil {
		return nil, err
	}
	p.tellPicked(k, states)
	return states, nil
}

// change shows the list again and again, with one state changed each time.
func (p *prompter) change(ctx context.Context, k prompt.Pick, states []string, numbered bool) error {
	defer p.hold(ctx)()
	m := menu{label: "Enter changes a line", quiet: true}
	for {
		m.options = p.pickOptions(k, states, numbered)
		var err error
		if m.start, err = p.choose(ctx, m); err != nil || m.start == 0 {
			return err
		}
		states[m.start-1] = nextState(k, states[m.start-1])
	}
}

func howToPick(k prompt.Pick) string {
	text := "Move with the arrow keys. Enter on a line changes it, in turn: "
	for _, s := range k.States {
		if s.ID != k.Default {
			text += fmt.Sprintf("%q, ", s.Text)
		}
	}
	return text + fmt.Sprintf("and back to %q. Enter on the first line ends the list.", stateText(k, k.Default))
}

// fullItems prints the items in full if one is too long for its row together
// with its longest state, and says whether it did.
func (p *prompter) fullItems(k prompt.Pick) bool {
	width, _ := p.window()
	longest := 0
	for _, s := range k.States {
		longest = max(longest, console.DisplayWidth(marked(s.Text)))
	}
	if p.fits(k.Items, width-margin-longest) {
		return false
	}
	for i, item := range k.Items {
		p.item(fmt.Sprintf(" %2d.", i+1), item.Text)
	}
	return true
}

// pickOptions is the list with the states so far. The state must stay in view,
// so it is the item's own text that is cut to make room.
func (p *prompter) pickOptions(k prompt.Pick, states []string, numbered bool) []string {
	options := []string{finished}
	for i, item := range k.Items {
		text, mark := item.Text, ""
		if numbered {
			text = fmt.Sprintf("%d. %s", i+1, text)
		}
		if states[i] != k.Default {
			mark = marked(stateText(k, states[i]))
		}
		options = append(options, p.beside(mark, text))
	}
	return options
}

// beside cuts text to the room that mark leaves. With little room the item's
// number, which the full list above explains, says more than half a word.
func (p *prompter) beside(mark, text string) string {
	const little = 10
	width, _ := p.window()
	room := width - margin - console.DisplayWidth(mark)
	if room < little && console.DisplayWidth(text) > room {
		number, _, _ := strings.Cut(text, ".")
		return number + mark
	}
	return p.cut(text, room) + mark
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
