package prompt

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Pick implements Prompter. Items are set line by line, "1 3-5 seen", until
// "done" is typed; an item that was never named keeps the default.
func (p *Plain) Pick(ctx context.Context, k Pick) ([]string, error) {
	if err := k.Check(); err != nil {
		return nil, err
	}
	p.head(k.Progress, k.Caution, k.Title, k.How)
	states := k.Starting()
	p.list(k, states)
	p.Say(k.howToPick())
	hint := k.example() + ` "list" repeats the list.`
	for {
		done, err := p.pickLine(ctx, k, states)
		if done && err == nil {
			return states, nil
		}
		if err = p.complain(err, &hint); err != nil {
			return nil, err
		}
	}
}

// pickLine reads one line and changes states by it.
func (p *Plain) pickLine(ctx context.Context, k Pick, states []string) (done bool, err error) {
	text, err := p.typed(ctx)
	if err != nil {
		return false, err
	}
	switch {
	case same(text, "done"):
		return true, nil
	case text == "":
		return false, unclear(`Type "done" when the list is right.`)
	case isHelp(text):
		p.Say(k.howToPick() + " " + k.example())
		return false, nil
	case same(text, "list"):
		p.list(k, states)
		return false, nil
	}
	items, state, err := k.read(text, states)
	if err != nil {
		return false, err
	}
	for _, i := range items {
		k.Set(states, i, state)
		p.Say(fmt.Sprintf("%s: %s.", k.Items[i].Text, k.stateText(state)))
	}
	return false, nil
}

// list prints the items, with their states once one was changed.
func (p *Plain) list(k Pick, states []string) {
	for i, item := range k.Items {
		text := item.Text
		if states[i] != k.Default {
			text += " (" + k.stateText(states[i]) + ")"
		}
		p.item(fmt.Sprint(i+1), text)
	}
}

// Starting is the state of each item before anything is said.
func (k Pick) Starting() []string {
	if k.Start != nil {
		return slices.Clone(k.Start)
	}
	states := make([]string, len(k.Items))
	for i := range states {
		states[i] = k.Default
	}
	return states
}

// Set gives an item a state and tells that it did.
func (k Pick) Set(states []string, item int, state string) {
	states[item] = state
	if k.Changed != nil {
		k.Changed(item, state)
	}
}

func (k Pick) stateText(id string) string {
	if i := find(k.States, id); i >= 0 {
		return k.States[i].Text
	}
	return id
}

// bare is the state that an item named without a state gets.
func (k Pick) bare() Choice {
	for _, s := range k.States {
		if s.ID != k.Default {
			return s
		}
	}
	return Choice{ID: k.Default, Text: k.stateText(k.Default)}
}

// howToPick says what may be typed.
func (k Pick) howToPick() string {
	var names []string
	for _, s := range k.States {
		if s.ID != k.Default {
			names = append(names, fmt.Sprintf("%q", s.Text))
		}
	}
	rest := `or "rest" and then one of them. `
	if k.Rest != "" {
		rest = fmt.Sprintf(`or "rest" for %s. `, k.RestText())
	}
	return fmt.Sprintf(`Type numbers and then %s, %sNumbers alone mean %q. `+
		`What you do not name stays %q. Type "done" at the end.`,
		strings.Join(names, " or "), rest, k.bare().Text, k.stateText(k.Default))
}

// RestText is the words for giving all items nothing was said about the state
// for the rest.
func (k Pick) RestText() string {
	text := k.stateText(k.Rest)
	first, size := utf8.DecodeRuneInString(text)
	return "all the rest: " + string(unicode.ToLower(first)) + text[size:]
}

func (k Pick) example() string {
	return fmt.Sprintf("For example: 1 %s.", k.bare().Text)
}
