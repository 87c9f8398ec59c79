package prompt

import (
	"context"
	"errors"
	"fmt"
	"strings"
)

// Line implements Prompter.
func (p *Plain) Line(ctx context.Context, l LineAsk) (string, error) {
	p.head("", "", l.Title, l.How)
	if text := l.howToType(); text != "" {
		p.Say(text)
	}
	hint, doubted := "", ""
	for {
		text, err := p.typed(ctx)
		if err == nil {
			if text, err = p.hearLine(l, text, &doubted); err == nil {
				return text, nil
			}
		}
		if err = p.complain(err, &hint); err != nil {
			return "", err
		}
	}
}

// hearLine deals with one typed line. What is doubted is taken when it is typed
// or confirmed a second time.
func (p *Plain) hearLine(l LineAsk, text string, doubted *string) (string, error) {
	if c, ok := commandFor(text); ok && l.Allow.Permits(c) {
		return "", Instead{c}
	} else if ok && c == Why && l.Why != "" {
		return "", unclear(l.Why)
	}
	if isHelp(text) {
		return "", unclear(l.help())
	}
	if *doubted != "" && (same(text, "yes") || same(text, "y")) {
		return *doubted, nil
	}
	if err := l.refuse(text); err != nil {
		return "", err
	}
	if l.Doubt != nil && *doubted == "" && text != "" {
		if why := l.Doubt(text); why != "" {
			*doubted = text
			return "", unclear(fmt.Sprintf("Is that right? %s. Type yes to keep it, or the answer anew.", strings.TrimRight(why, ".")))
		}
	}
	return text, nil
}

// help is the long explanation.
func (l LineAsk) help() string {
	text := strings.TrimSpace(l.How + " " + l.howToType())
	for _, w := range commandWords() {
		if l.Allow.Permits(w.command) {
			text += fmt.Sprintf(" %s: %s.", w.name(), w.meaning)
		}
	}
	if text == "" {
		return "Type a few words."
	}
	return text
}

func (l LineAsk) howToType() string {
	text := ""
	if l.Example != "" {
		text = fmt.Sprintf("For example: %s. ", l.Example)
	}
	if l.Optional {
		text += "An empty line leaves it out. "
	}
	if l.Allow != (Allow{}) {
		text += l.Allow.also()
	}
	return strings.TrimSpace(text)
}

// Accepts returns an error when text is no possible answer to the line.
func (l LineAsk) Accepts(text string) error {
	switch {
	case text == "" && l.Optional:
		return nil
	case text == "":
		return errors.New("this is needed")
	case l.Check == nil:
		return nil
	}
	return l.Check(text)
}

// refuse is Accepts in words for the person who typed.
func (l LineAsk) refuse(text string) error {
	if err := l.Accepts(text); err != nil {
		return unclear("Not taken: " + err.Error() + ".")
	}
	return nil
}

// Confirm implements Prompter.
func (p *Plain) Confirm(ctx context.Context, question string) (bool, error) {
	p.head("", "", question, "")
	p.Say("Type yes or no (or 1 for yes, 2 for no).")
	hint := ""
	for {
		text, err := p.typed(ctx)
		if err == nil {
			var yes bool
			if yes, err = yesOrNo(text); err == nil {
				return yes, nil
			}
		}
		if err = p.complain(err, &hint); err != nil {
			return false, err
		}
	}
}

func yesOrNo(text string) (bool, error) {
	switch strings.ToLower(strings.TrimRight(text, ".)")) {
	case "yes", "y", "1":
		return true, nil
	case "no", "n", "2":
		return false, nil
	}
	if c, ok := commandFor(text); ok {
		return false, unclear(fmt.Sprintf("%q is for the questions with answers; this one wants yes or no first. "+
			"Ctrl-C breaks off, and what was answered is kept.", c))
	}
	return false, unclear("Type yes or no.")
}
