// Package prompt asks a person questions, in the verbs of the interview: which
// answer, which state each item is in, a short text, yes or no.
//
// It refuses to know what the questions mean, to choose the next one, and
// above all to invent an answer: an empty line, an end of input, an interrupt
// or an unclear word is never taken for one.
//
// It sits below the interview and above package console. The Prompter here
// speaks in plain lines, for pipes, screen readers, slow links and terminals
// that cannot move the cursor; package surveyprompt shows lists to pick from
// with the arrow keys; package prompttest is a script for tests.
package prompt

import (
	"context"
	"errors"
	"fmt"

	"filmfault/internal/console"
)

// ErrInterrupted is returned when the person pressed Ctrl-C, or when the
// context ended while a question was open. In the second case the context's
// cause is wrapped as well, unless it is ErrInterrupted itself.
var ErrInterrupted = console.ErrInterrupted

// ErrEndOfInput is returned when the input ended (Ctrl-D, or the end of a
// pipe) while a question was open. It is never an answer.
var ErrEndOfInput = errors.New("the input ended before the question was answered")

// Prompter asks questions. Every method but Say returns ErrInterrupted,
// ErrEndOfInput or another error when there was no answer. A Prompter serves
// one conversation and must not be used from several goroutines at once.
type Prompter interface {
	// Ask puts one question and returns what was said.
	Ask(ctx context.Context, a Ask) (Reply, error)
	// Pick settles the state of each of many items in one go. It returns one
	// state id for each item, in the order of the items.
	Pick(ctx context.Context, p Pick) ([]string, error)
	// Line asks for a short free text, such as the name of the sign. It returns
	// an Instead when a command was typed that l.Allow permits.
	Line(ctx context.Context, l LineAsk) (string, error)
	// Confirm asks a yes-or-no question. There is no default.
	Confirm(ctx context.Context, question string) (bool, error)
	// Say shows text that wants no answer, wrapped to the width of the screen.
	Say(text string)
}

// Choice is one possible answer, item or state.
type Choice struct {
	ID   string // what is recorded
	Text string // what is shown
}

// Ask is one question as shown.
type Ask struct {
	ID       string    // id of the finding or fact
	Title    string    // the question in one plain sentence: what to look at and how
	How      string    // optional more: how to look
	Caution  string    // shown before the question; may be empty
	Choices  []Choice  // empty when a value is typed
	Value    *ValueAsk // set when something is typed; together with Choices: type it or pick
	Allow    Allow     // which of the commands make sense here
	Progress string    // for example "looking, nothing touched"
}

// ValueAsk says what may be typed for an answer.
type ValueAsk struct {
	Example   string                  // for example "3.5 mil"
	Check     func(text string) error // nil accepts any text; an error is shown and the question stays
	Multiline bool                    // several lines, ended by a line with only a full stop

	Reading func(text string) string // how the text is understood, for the echo; nil echoes it as typed
	Doubt   func(text string) string // why the text is hard to believe, "" when it is not; nil never doubts
}

// check applies Check, which may be nil.
func (v *ValueAsk) check(text string) error {
	if v.Check == nil {
		return nil
	}
	return v.Check(text)
}

// Allow says which commands and additions make sense at a question.
type Allow struct {
	NotChecked bool // "I did not look"
	Probably   bool // an answer may be given as only probable
	Note       bool // words may be added to an answer
	Why        bool // why this is asked
	Back       bool // return to the question before
	Ranking    bool // show the ranking so far
	Add        bool // add something else that was seen
	Later      bool // leave this part for later
	Stop       bool // stop asking and rank
	Done       bool // leave what is being entered, as it is
}

// Command is something said instead of an answer.
type Command int

// The commands. None is the absence of a command.
const (
	None       Command = iota
	NotChecked         // not looked at, which is not the same as "no"
	Why                // why is this asked?
	Back               // return to the question before
	Ranking            // show the ranking so far
	Add                // add something else that was seen
	Later              // leave this part for later
	Stop               // stop asking and rank
	Done               // that is all here
)

// String is the word that is typed for the command.
func (c Command) String() string {
	for _, w := range commandWords() {
		if w.command == c {
			return w.word
		}
	}
	return "none"
}

// Reply is what the person said. Exactly one of Choice, Value and Command is
// set; Probably and Note qualify it. A Note may come with a command too ("n #
// could not reach it") and must not be dropped then.
type Reply struct {
	Choice   string
	Value    string
	Probably bool
	Note     string
	Command  Command
}

// Pick is a list of items, each of which gets one of a few states.
type Pick struct {
	ID       string
	Title    string
	How      string
	Caution  string
	Progress string
	Items    []Choice
	States   []Choice // the first one that is not Default is what a bare item means
	Default  string   // id of the state an item starts in where Start does not say: the non-answer
	Start    []string // the state of each item so far; nil means Default for all
	Rest     string   // state offered for all items nothing was said about; "" offers none

	// Changed is told every change as it is made, so that it can be saved before
	// the list is done. It may be nil.
	Changed func(item int, state string)
}

// LineAsk asks for a short free text.
type LineAsk struct {
	ID       string
	Title    string
	How      string
	Example  string
	Optional bool                     // an empty line is then a choice, and returns ""
	Check    func(text string) error  // nil accepts any text
	Doubt    func(text string) string // as in ValueAsk: what is doubted is asked once more
	Why      string                   // said when "why" is typed; "" does not offer it
	Allow    Allow                    // which commands may be typed instead; Back, Later, Stop and Done make sense
}

// Instead is the error of a Line at which a command was typed.
type Instead struct{ Command Command }

// Error names the command.
func (i Instead) Error() string { return i.Command.String() + " was typed" }

// stopped is the error for a context that ended while a question was open.
func stopped(ctx context.Context) error {
	cause := context.Cause(ctx)
	if errors.Is(cause, ErrInterrupted) {
		return ErrInterrupted
	}
	return fmt.Errorf("%w: %w", ErrInterrupted, cause)
}
