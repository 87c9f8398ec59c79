package interview

import (
	"context"
	"fmt"
	"slices"
	"strings"
)

// lines asks the lines of one kind in the log, such as its coats: each with the
// same columns, the earliest first.
type lines[T any] struct {
	v             *visit
	id, name, why string // "coat", "Coat"
	in            *[]T   // where the case keeps them
	columns       func(at int, x *T) []column[T]
	opening       bool
	shown         bool
	remark        func(at int, x *T) string
}

// form is the form of the line with a number, counted from 0.
func (l lines[T]) form(at int) form[T] {
	f := form[T]{
		v: l.v, id: l.id, name: fmt.Sprintf("%s %d", l.name, at+1), why: l.why, opening: l.opening, shown: l.shown,
		columns: func(x *T) []column[T] { return l.columns(at, x) },
		line: func() *T {
			if at >= len(*l.in) {
				return nil
			}
			return &(*l.in)[at]
		},
		begin: func() *T {
			*l.in = append(*l.in, *new(T))
			return &(*l.in)[at]
		},
		takeOut: func() { *l.in = slices.Delete(*l.in, at, at+1) },
	}
	if l.remark != nil {
		f.remark = func(x *T) string { return l.remark(at, x) }
	}
	return f
}

// enter asks the empty columns of a line. "Back" at the first of them leads to
// the columns before it, then to the line before.
func (l lines[T]) enter(ctx context.Context, at int) (ending, error) {
	for all := at == len(*l.in); ; all = true {
		e, err := l.form(at).enter(ctx, all)
		switch {
		case err != nil || e != wentBack:
			return e, err
		case all && at == 0:
			return wentBack, nil
		case all:
			at--
		}
	}
}

// fillGaps offers to fill what is missing in the last line, where an earlier
// visit may have been broken off.
func (l lines[T]) fillGaps(ctx context.Context) error {
	last := len(*l.in) - 1
	if last < 0 {
		return nil
	}
	f := l.form(last)
	missing := f.missing()
	if len(missing) == 0 {
		return nil
	}
	which := f.name + " of the log"
	if text := f.inOneLine(); text != "" {
		which += " (" + text + ")"
	}
	yes, err := l.v.prompter.Confirm(ctx, fmt.Sprintf("%s lacks: %s. Fill that in?", which, strings.Join(missing, ", ")))
	if err == nil && yes {
		_, err = l.enter(ctx, last)
	}
	return err
}

// askOn asks further lines until one is left empty. "Back" at the first question
// of all leads out of the lines.
func (l lines[T]) askOn(ctx context.Context) (ending, error) {
	for !l.v.leaving() {
		if e, err := l.enter(ctx, len(*l.in)); err != nil || e == leftEmpty || e == wentBack {
			return e, err
		}
	}
	return leftOff, nil
}
