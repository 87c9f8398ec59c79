package review

import (
	"fmt"
	"strings"
)

// notes gathers what a reader should know of the figures.
func (b *builder) notes() {
	t, notes := b.doc.Totals, []string{}
	add := func(format string, args ...any) { notes = append(notes, fmt.Sprintf(format, args...)) }
	switch {
	case t.Cases > 0 && t.Invented == t.Cases:
		add("All of these cases are invented demonstrations.")
	case t.InventedOut > 0:
		add("%s left out.", plural(t.InventedOut, "invented case is", "invented cases are"))
	}
	notes = append(notes, b.misnamed()...)
	if n := len(b.doc.LeftOut); n > 0 {
		add("%s could not be read and %s left out.", plural(n, "file", "files"), map[bool]string{true: "was", false: "were"}[n == 1])
	}
	if n := t.Unfinished - t.Undated; n > 0 {
		add("%s no day of finishing, neither under job nor in the log; the day of being seen, settled or begun stands for it.", plural(n, "case has", "cases have"))
	}
	if t.Undated > 0 {
		add("%s no day at all and no month.", plural(t.Undated, "case has", "cases have"))
	}
	if list := b.currencies(); len(list) > 1 {
		add("Costs are in several currencies (%s); each is added up by itself, and the tables go by the one with most lines, %s.", strings.Join(list, ", "), named(b.money.main))
	}
	if b.money.unsaid > 0 {
		add("%s typed without a currency and taken to be in %s like the rest of the book.", plural(b.money.unsaid, "amount was", "amounts were"), named(b.money.as[""]))
	}
	if ids := b.unknown(); len(ids) > 0 {
		add("The rules in force have no cause %s; what prevents it is not known.", strings.Join(ids, ", "))
	}
	if b.filter.dated() {
		if n := b.undatedLeft(); n > 0 {
			add("%s left out by --from and --to: no day is known of it.", plural(n, "case is", "cases are"))
		}
	}
	b.doc.Notes = notes
}

// plural counts in words.
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// named is a currency in words.
func named(currency string) string {
	if currency == "" {
		return "none stated"
	}
	return currency
}

func (b *builder) currencies() []string {
	met := map[string]bool{}
	for _, r := range b.kept {
		for _, a := range r.Costs {
			met[named(b.money.as[a.Currency])] = true
		}
	}
	return sorted(met)
}

// unknown lists the causes confirmed that the rules in force do not have.
func (b *builder) unknown() []string {
	met := map[string]bool{}
	for _, r := range b.kept {
		if r.Verdict == nil {
			continue
		}
		for _, id := range r.Verdict.Confirmed {
			if _, ok := b.base.Event(id); !ok {
				met[id] = true
			}
		}
	}
	return sorted(met)
}

// undatedLeft counts the cases that only their lack of a day keeps out.
func (b *builder) undatedLeft() int {
	without := b.filter
	without.From, without.To = 0, 0
	n := 0
	for _, r := range b.all {
		if r.Day() == 0 && without.Keeps(r) {
			n++
		}
	}
	return n
}
