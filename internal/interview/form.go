package interview

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"filmfault/internal/prompt"
)

// form asks one line of the log column by column, such as a coat, a step or the
// panel, and puts each answer into the case at once.
type form[T any] struct {
	v        *visit
	id, name string // "coat" begins the ids of its questions, "Coat 3" their titles; "" for none
	why      string
	columns  func(*T) []column[T] // those that make sense with what the line holds
	line     func() *T            // the line in the case, nil while there is none
	begin    func() *T            // puts an empty line into the case
	takeOut  func()               // takes the line out of the case; nil: it stays
	opening  bool                 // nothing more is asked when the first column is left empty
	shown    bool                 // the line is shown at the end, to be confirmed
	remark   func(*T) string      // what to say of a line as it stands; nil: nothing
}

// ending says how a line or a part of the log was left.
type ending int

const (
	through   ending = iota // everything was asked
	leftOff                 // "done", "later" or "stop" was said
	wentBack                // "back" was said at the first question
	leftEmpty               // nothing was entered
	passedBy                // there was nothing to ask
)

// errTakenOut says that the person had the line taken out of the case.
var errTakenOut = errors.New("the line was taken out")

// enter asks the empty columns of a line, or all, then shows it and asks whether
// it is right; if not, all columns are asked again.
func (f form[T]) enter(ctx context.Context, all bool) (ending, error) {
	for ; ; all = true {
		e, err := f.ask(ctx, all)
		if err != nil || !f.shown || f.line() == nil || e == wentBack || f.v.leaving() {
			return e, err
		}
		f.sayRemark()
		right, err := f.v.prompter.Confirm(ctx, fmt.Sprintf("%s: %s. Right?", f.name, f.inOneLine()))
		if err != nil || right {
			return e, err
		}
	}
}

func (f form[T]) sayRemark() {
	if f.remark == nil {
		return
	}
	if text := f.remark(f.line()); text != "" {
		f.v.prompter.Say(text)
	}
}

// ask asks the columns of a line in their order, each of which may be left out,
// and leaves off at any of them when told to. What was typed stays. Which
// columns there are is worked out anew after every answer.
func (f form[T]) ask(ctx context.Context, all bool) (ending, error) {
	full, asked := f.full(all), []string(nil)
	for {
		col, ok := f.next(full, asked)
		if !ok {
			return f.end(through), nil
		}
		err := f.askColumn(ctx, col)
		c, command := instead(err)
		switch {
		case err == nil && f.opening && len(asked) == 0 && f.isFirst(col) && f.value(col) == "":
			return leftEmpty, nil
		case err == nil:
			asked = append(asked, col.id)
		case errors.Is(err, errTakenOut):
			return through, nil
		case !command:
			return leftOff, err
		case c != prompt.Back:
			f.v.leavePart(c)
			return f.end(leftOff), nil
		case len(asked) == 0:
			return wentBack, nil
		default:
			asked = asked[:len(asked)-1]
		}
	}
}

// end is leftEmpty where the case still holds no such line.
func (f form[T]) end(e ending) ending {
	if f.line() == nil {
		return leftEmpty
	}
	return e
}

// leavePart does what a command other than "back" means within the log.
func (v *visit) leavePart(c prompt.Command) {
	switch c {
	case prompt.Stop:
		v.stopNow()
	case prompt.Later:
		v.leaveLog()
	}
}

// leaving reports whether the log is not gone on with.
func (v *visit) leaving() bool { return v.reason != "" || v.logLater }

// held is the line as it stands, an empty one while the case holds none.
func (f form[T]) held() *T {
	if x := f.line(); x != nil {
		return x
	}
	return new(T)
}

// full lists the columns that are not asked because they hold something.
func (f form[T]) full(all bool) []string {
	var out []string
	for _, col := range f.columns(f.held()) {
		if !all && f.value(col) != "" {
			out = append(out, col.id)
		}
	}
	return out
}

// next is the first column that is neither full nor asked.
func (f form[T]) next(full, asked []string) (column[T], bool) {
	for _, col := range f.columns(f.held()) {
		if !slices.Contains(full, col.id) && !slices.Contains(asked, col.id) {
			return col, true
		}
	}
	return column[T]{}, false
}

func (f form[T]) isFirst(col column[T]) bool { return f.columns(f.held())[0].id == col.id }

// value is what the line holds in a column, in words; "" when it is empty.
func (f form[T]) value(col column[T]) string { return col.words(f.held()) }

// missing lists the names of the columns that are empty and say nothing by that.
func (f form[T]) missing() []string {
	var out []string
	for _, col := range f.columns(f.held()) {
		if !col.mayLack && f.value(col) == "" {
			out = append(out, col.name)
		}
	}
	return out
}

// inOneLine is the line as it stands.
func (f form[T]) inOneLine() string {
	var parts []string
	for _, col := range f.columns(f.held()) {
		if text := f.value(col); text != "" {
			parts = append(parts, col.told(text))
		}
	}
	return strings.Join(parts, "; ")
}

func (f form[T]) title(col column[T]) string {
	if f.name == "" {
		return col.title
	}
	return f.name + ": " + col.title
}

// allowed is what may be said in place of any column.
func (f form[T]) allowed() prompt.Allow {
	return prompt.Allow{Back: true, Later: true, Stop: true, Done: true}
}

func (f form[T]) askColumn(ctx context.Context, col column[T]) error {
	if len(col.choices) > 0 {
		return f.choose(ctx, col)
	}
	l := prompt.LineAsk{
		ID: f.id + "-" + col.id, Title: f.title(col), How: col.how, Example: col.example,
		Optional: true, Check: col.accepts, Doubt: col.doubts, Why: f.why, Allow: f.allowed(),
	}
	if col.backIsWord {
		l.Allow.Back = false
		l.How = strings.TrimSpace(l.How + ` Here "back" is the face; to go back, type b.`)
	}
	if before := f.value(col); before != "" {
		l.How = strings.TrimSpace(fmt.Sprintf("So far: %s. An empty line keeps it. %s", before, l.How))
	}
	text, err := f.v.prompter.Line(ctx, l)
	switch {
	case err != nil:
		return err
	case col.backIsWord && strings.EqualFold(text, "b"):
		return prompt.Instead{Command: prompt.Back}
	case !col.leavesOut(text):
		f.set(col, text)
	}
	return nil
}

// choose asks a column whose answers are picked from a list.
func (f form[T]) choose(ctx context.Context, col column[T]) error {
	a := prompt.Ask{ID: f.id + "-" + col.id, Title: f.title(col), How: col.how, Choices: col.choices, Allow: f.allowed()}
	a.Allow.NotChecked, a.Allow.Why = true, f.why != ""
	if before := f.value(col); before != "" {
		if at := slices.IndexFunc(col.choices, func(c prompt.Choice) bool { return c.ID == *col.in(f.held()) }); at >= 0 {
			before = col.choices[at].Text
		}
		a.How = strings.TrimSpace(fmt.Sprintf("So far: %s. Skipping keeps it. %s", before, col.how))
	}
	for {
		reply, err := f.v.prompter.Ask(ctx, a)
		switch {
		case err != nil:
			return err
		case reply.Command == prompt.Why:
			f.v.prompter.Say(f.why)
		case reply.Command == prompt.NotChecked, reply.Choice == nothingMore:
			return nil
		case reply.Command != prompt.None:
			return prompt.Instead{Command: reply.Command}
		case reply.Choice == takeOut:
			f.takeOut()
			f.v.keep()
			return errTakenOut
		default:
			f.set(col, reply.Choice)
			return nil
		}
	}
}

// set puts a text into the case and saves it.
func (f form[T]) set(col column[T], text string) {
	x := f.line()
	if x == nil {
		x = f.begin()
	}
	col.enter(x, text)
	f.v.ev = nil
	f.v.keep()
}
