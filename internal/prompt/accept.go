package prompt

import (
	"errors"
	"fmt"
)

// Permits says whether the command makes sense at this question.
func (a Allow) Permits(c Command) bool {
	switch c {
	case NotChecked:
		return a.NotChecked
	case Why:
		return a.Why
	case Back:
		return a.Back
	case Ranking:
		return a.Ranking
	case Add:
		return a.Add
	case Later:
		return a.Later
	case Stop:
		return a.Stop
	case Done:
		return a.Done
	}
	return false
}

// Accepts returns an error when r is no possible reply to the question. Every
// Prompter keeps to it; tests and callers may check that.
func (a Ask) Accepts(r Reply) error {
	if err := a.acceptsKind(r); err != nil {
		return err
	}
	if r.Probably && (!a.Allow.Probably || r.Command != None) {
		return errors.New("probably is not possible here")
	}
	if r.Note != "" && !a.Allow.Note {
		return errors.New("a note is not possible here")
	}
	return nil
}

func (a Ask) acceptsKind(r Reply) error {
	switch {
	case count(r.Choice != "", r.Value != "", r.Command != None) != 1:
		return errors.New("a reply is one of choice, value and command")
	case r.Command != None:
		if !a.Allow.Permits(r.Command) {
			return fmt.Errorf("%q is not possible here", r.Command)
		}
	case r.Choice != "":
		if find(a.Choices, r.Choice) < 0 {
			return fmt.Errorf("%q is none of the choices", r.Choice)
		}
	case a.Value == nil:
		return errors.New("nothing can be typed here, only picked")
	default:
		return a.Value.check(r.Value)
	}
	return nil
}

// Accepts returns an error when states is no possible result of the pick.
func (k Pick) Accepts(states []string) error {
	if len(states) != len(k.Items) {
		return fmt.Errorf("%d states for %d items", len(states), len(k.Items))
	}
	for i, s := range states {
		if find(k.States, s) < 0 {
			return fmt.Errorf("%q is no state of %q", s, k.Items[i].ID)
		}
	}
	return nil
}

// Check returns an error when the pick cannot be asked: no items, or a default
// that is none of the states. It marks a mistake in the program.
func (k Pick) Check() error {
	if len(k.Items) == 0 {
		return fmt.Errorf("list %q is empty", k.ID)
	}
	if find(k.States, k.Default) < 0 {
		return fmt.Errorf("the default %q is none of the states", k.Default)
	}
	if k.Rest != "" && find(k.States, k.Rest) < 0 {
		return fmt.Errorf("the state for the rest, %q, is none of the states", k.Rest)
	}
	if k.Start != nil {
		return k.Accepts(k.Start)
	}
	return nil
}

// Check returns an error when the question cannot be answered: neither choices
// nor a value, or a choice without an id. It marks a mistake in the program.
func (a Ask) Check() error {
	if len(a.Choices) == 0 && a.Value == nil {
		return fmt.Errorf("question %q has neither choices nor a value", a.ID)
	}
	if find(a.Choices, "") >= 0 {
		return fmt.Errorf("question %q has a choice without an id", a.ID)
	}
	return nil
}

// find is the index of the choice with this id, or -1.
func find(choices []Choice, id string) int {
	for i, c := range choices {
		if c.ID == id {
			return i
		}
	}
	return -1
}

func count(conditions ...bool) int {
	n := 0
	for _, c := range conditions {
		if c {
			n++
		}
	}
	return n
}
