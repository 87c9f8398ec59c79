package prompt

import (
	"context"
	"errors"
	"fmt"
)

// Line implements Prompter.
func (p *Plain) Line(ctx context.Context, l LineAsk) (string, error) {
	p.head("", "", l.Title, l.How)
	if text := l.howToType(); text != "" {
		p.Say(text)
	}
	hint := ""
	for {
		text, err := p.typed(ctx)
		if err == nil {
			if err = l.refuse(text); err == nil {
				return text, nil
			}
		}
		if err = p.complain(err, &hint); err != nil {
			return "", err
		}
	}
}

func (l LineAsk) howToType() string {
	text := ""
	if l.Example != "" {
		text = fmt.Sprintf("For example: %s. ", l.Example)
	}
	if l.Optional {
		text += "An empty line leaves it out."
	}
	return text
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
	p.Say("Type yes or no.")
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
	switch {
	case same(text, "yes"), same(text, "y"):
		return true, nil
	case same(text, "no"), same(text, "n"):
		return false, nil
	}
	return false, unclear("Type yes or no.")
}
