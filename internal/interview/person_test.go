package interview_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"filmfault/internal/prompt"
)

// person answers every question from a table, and breaks off at the question
// with the number at, counted from 1.
type person struct {
	t       *testing.T
	answers map[string]prompt.Reply       // by question, or by its title
	lines   func(id, title string) string // nil leaves every line out
	seen    map[string]string             // states of the failures
	yes     func(question string) bool
	at      int
	err     error
	n       int
	heard   []string // everything put or said, in order
	anyhow  bool     // answers what is not in the table one way or another, and stops early
}

func (p *person) next(what string) error {
	p.n++
	p.heard = append(p.heard, what)
	if p.n == p.at {
		return p.err
	}
	if p.n > 400 {
		return errors.New("this never ends")
	}
	return nil
}

func (p *person) Ask(_ context.Context, a prompt.Ask) (prompt.Reply, error) {
	if a.Caution != "" {
		p.heard = append(p.heard, "caution: "+a.Caution)
	}
	if err := p.next("ask " + a.ID); err != nil {
		return prompt.Reply{}, err
	}
	r, ok := p.answers[a.Title]
	if !ok {
		r, ok = p.answers[a.ID]
	}
	if !ok || p.anyhow && a.Accepts(r) != nil {
		r = prompt.Reply{Command: prompt.NotChecked}
		if !a.Allow.NotChecked || p.anyhow && len(a.ID)%3 != 0 {
			r = prompt.Reply{Choice: a.Choices[len(a.ID)%len(a.Choices)].ID}
		}
	}
	if p.anyhow && a.Allow.Stop && strings.HasPrefix(a.Progress, "looking") && len(a.ID)%4 == 0 {
		r = prompt.Reply{Command: prompt.Stop} // by the question, so that every sitting stops at the same
	}
	if err := errors.Join(a.Check(), a.Accepts(r)); err != nil {
		p.t.Errorf("%s: %v", a.ID, err)
	}
	return r, nil
}

func (p *person) Pick(_ context.Context, k prompt.Pick) ([]string, error) {
	if err := p.next("pick " + k.ID); err != nil {
		return nil, err
	}
	out := k.Starting()
	for i, item := range k.Items {
		if state, ok := p.seen[item.ID]; ok && out[i] != state {
			k.Set(out, i, state)
		}
	}
	return out, k.Accepts(out)
}

func (p *person) Line(_ context.Context, l prompt.LineAsk) (string, error) {
	if err := p.next("line " + l.ID); err != nil {
		return "", err
	}
	text := ""
	if p.lines != nil {
		text = p.lines(l.ID, l.Title)
	}
	if err := l.Accepts(text); err != nil {
		p.t.Errorf("%s: %v", l.ID, err)
	}
	return text, nil
}

func (p *person) Confirm(_ context.Context, question string) (bool, error) {
	err := p.next("confirm " + question)
	return err == nil && p.yes != nil && p.yes(question), err
}

func (p *person) Say(text string) { p.heard = append(p.heard, "say "+text) }

// place is where something containing part was heard, -1 when it was not.
func (p *person) place(part string) int {
	for i, h := range p.heard {
		if strings.Contains(h, part) {
			return i
		}
	}
	return -1
}

func (p *person) log() string {
	return fmt.Sprintf("%d questions:\n%s", p.n, strings.Join(p.heard, "\n"))
}
