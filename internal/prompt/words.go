package prompt

import (
	"fmt"
	"strings"
)

// commandWord is how a command is typed and explained.
type commandWord struct {
	command Command
	word    string
	letter  string // a short form, may be empty
	meaning string
}

func commandWords() []commandWord {
	return []commandWord{
		{NotChecked, "not checked", "-", "you did not look at this"},
		{Why, "why", "", "hear why this is asked"},
		{Back, "back", "b", "return to the question before"},
		{Ranking, "ranking", "r", "see the ranking so far"},
		{Add, "add", "", "tell something else you saw"},
		{Later, "later", "", "leave this part for later"},
		{Stop, "stop", "", "stop the questions and rank"},
		{Done, "done", "", "that is all here"},
	}
}

// name is the word with its short form, as listed under a question.
func (w commandWord) name() string {
	if w.letter == "" {
		return w.word
	}
	return fmt.Sprintf("%s (%s)", w.letter, w.word)
}

// commandFor finds the command that text is the word or letter for. These
// words are kept for commands even where the command is not possible, so that
// "-" can never mean one thing at one question and another at the next.
func commandFor(text string) (Command, bool) {
	text = strings.TrimRight(text, "?!. ")
	if same(text, "skip") {
		return NotChecked, true
	}
	for _, w := range commandWords() {
		if same(text, w.word) || (w.letter != "" && same(text, w.letter)) {
			return w.command, true
		}
	}
	return None, false
}

// command is commandFor at this question: "n" is short for "not checked" only
// where no answer is a "No".
func (a Ask) command(text string) (Command, bool) {
	if same(strings.TrimRight(text, "?!. "), "n") && len(a.noes()) == 0 {
		return NotChecked, true
	}
	return commandFor(text)
}

// noes lists the answers whose first word is "No".
func (a Ask) noes() []Choice {
	var out []Choice
	for _, c := range a.Choices {
		if begins(c.Text, "no") {
			out = append(out, c)
		}
	}
	return out
}

// also lists, in one sentence, what may be typed instead of an answer.
func (a Allow) also() string {
	var names []string
	for _, w := range commandWords() {
		if a.Permits(w.command) {
			names = append(names, w.name())
		}
	}
	if len(names) == 0 {
		return `"?" explains.`
	}
	return fmt.Sprintf(`Or: %s. "?" explains.`, strings.Join(names, ", "))
}

// howToAnswer says in one sentence how an answer is given.
func (a Ask) howToAnswer() string {
	switch {
	case a.Value == nil:
		return "Type a number, or the first words of an answer."
	case len(a.Choices) == 0:
		return a.Value.howToType()
	}
	return a.Value.howToType() + " Or pick a line with p1, p2 and so on."
}

func (v *ValueAsk) howToType() string {
	text := "Type your answer."
	if v.Example != "" {
		text = fmt.Sprintf("Type your answer, for example: %s.", strings.TrimRight(v.Example, "."))
	}
	if v.Multiline {
		text += " It may have several lines; a line with only a full stop ends it."
	}
	return text
}

// help is the long explanation, one thing to a line.
func (a Ask) help() []string {
	lines := []string{a.howToAnswer()}
	if a.Allow.Probably {
		lines = append(lines, `Only probable? Put "?" after the answer, or "probably" before it.`)
	}
	if a.Allow.Note {
		lines = append(lines, "Add words of your own after #, as in: 2 # seen at the north edge. "+
			"Or first type: note, and your words.")
	}
	for _, w := range commandWords() {
		if a.Allow.Permits(w.command) {
			lines = append(lines, w.name()+": "+w.meaning+".")
		}
	}
	return lines
}

// label is what is typed to pick the i-th choice. Beside a typed value a bare
// number would be the value, so choices are numbered p1, p2, ... there.
func (a Ask) label(i int) string {
	if a.Value != nil {
		return fmt.Sprintf("p%d", i+1)
	}
	return fmt.Sprintf("%d", i+1)
}
