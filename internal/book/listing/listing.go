// Package listing makes the list of a casebook: which cases are shown, in which
// order, and how they are laid out: one case a line, a Markdown table, or JSON
// with names that stay. It is pure and judges nothing. Filters are those of
// package review, so that a list and a review of the same filter have the same
// cases; only the day of a case is found more freely here (see Row.Date).
package listing

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"filmfault/internal/book"
	"filmfault/internal/book/review"
	"filmfault/internal/casefile"
	"filmfault/internal/rulebase"
)

// Schema is the version of the list's JSON; a name of it that changes gets a new
// number.
const Schema = 1

// The states of a case.
const (
	Open    = "open"
	Settled = "settled"
)

// Row is one case of the list; ids are those of the rules in force where they
// know them.
type Row struct {
	Case     string `json:"case"` // id: the file's name without its ending
	File     string `json:"file"`
	Title    string `json:"title"`
	Invented bool   `json:"invented"`
	// Date is the day the job was finished; where that is not known the day the
	// failure was first seen, else the day the case was settled, else the day the
	// interview began. "" where none is known.
	Date     string          `json:"date"`
	Season   string          `json:"season"` // in which it was primed and painted, "" if not known
	Failures []string        `json:"failures"`
	State    string          `json:"state"`
	Causes   []string        `json:"causes"` // confirmed
	NoFault  bool            `json:"no_fault"`
	Unlisted bool            `json:"unlisted"`
	Costs    []review.Amount `json:"costs"` // one for each currency, counted as a review does
	Unread   int             `json:"costs_unread"`

	paid review.Record // only what tells of money
	left bool          // out of the list
}

// season is the fact that says when a piece was painted.
const season = "season"

// Pick reads a case into a row. One that the filter does not let through is left
// out of the list, but what it cost still tells in which currencies the book is.
func Pick(b *rulebase.Base, it book.Item, f review.Filter) Row {
	r := review.Take(b, it).Record
	if r == nil {
		return Row{left: true}
	}
	paid := review.Record{Invented: r.Invented, Costs: r.Costs}
	r.Finished = day(r, it.Case)
	if !f.Keeps(*r) {
		return Row{left: true, paid: paid}
	}
	row := Row{
		Case: it.ID, File: it.Shown(), Title: it.Case.Title, Invented: it.Case.Invented, Date: r.Finished.String(),
		Season: r.Trait(season), Failures: orNone(r.Failures), State: Open, Causes: []string{}, Costs: []review.Amount{}, paid: paid,
	}
	for _, u := range r.Unread {
		if u.What == "amount" {
			row.Unread++
		}
	}
	if v := r.Verdict; v != nil {
		row.State, row.Causes, row.NoFault, row.Unlisted = Settled, orNone(v.Confirmed), v.NoFault, v.Unlisted
	}
	return row
}

// day is the first day that is known of a case.
func day(r *review.Record, c *casefile.Case) review.Day {
	days := []review.Day{r.Finished, r.Seen}
	if r.Verdict != nil {
		days = append(days, r.Verdict.Settled)
	}
	for _, d := range days {
		if d != 0 {
			return d
		}
	}
	d, err := review.ParseDay(c.Started)
	if err != nil {
		return 0
	}
	return d
}

func orNone(ids []string) []string {
	if ids == nil {
		return []string{}
	}
	return ids
}

// The orders of a list.
const (
	ByID      = "id"
	ByDate    = "date"    // the oldest first, cases without a day last
	ByFailure = "failure" // by the first failure seen, in alphabetical order
	ByCause   = "cause"   // by the first cause confirmed; open cases last
	ByCost    = "cost"    // as review.Money has it: the dearest first, a currency at a time
)

// Orders lists the orders of a list.
func Orders() []string { return []string{ByID, ByDate, ByFailure, ByCause, ByCost} }

// List is a list of cases, as it is printed.
type List struct {
	Schema     int    `json:"schema"`
	Shown      int    `json:"shown"`
	Of         int    `json:"of"` // cases that could be read
	Unreadable int    `json:"unreadable"`
	Order      string `json:"order"`
	Cases      []Row  `json:"cases"`
}

// ErrOrder says that there is no such order.
var ErrOrder = errors.New("there is no such order")

// New puts the rows that are kept in order; all is what Pick gave for each case
// of the book. of is how many cases were read, unreadable how many
// files could not be. Equals are in order of their ids.
func New(all []Row, order string, of, unreadable int) (*List, error) {
	rows, money := counted(all)
	by := map[string]func(a, b Row) int{
		ByID:      func(Row, Row) int { return 0 },
		ByDate:    func(a, b Row) int { return knownFirst(a.Date, b.Date) },
		ByFailure: func(a, b Row) int { return knownFirst(first(a.Failures), first(b.Failures)) },
		ByCause:   func(a, b Row) int { return knownFirst(a.outcome(), b.outcome()) },
		ByCost:    func(a, b Row) int { return money.Dearer(a.Costs, b.Costs) },
	}[order]
	if by == nil {
		return nil, fmt.Errorf("%q: %w", order, ErrOrder)
	}
	slices.SortStableFunc(rows, func(a, b Row) int {
		return cmp.Or(by(a, b), cmp.Compare(a.Case, b.Case), cmp.Compare(a.File, b.File))
	})
	return &List{Schema: Schema, Shown: len(rows), Of: of, Unreadable: unreadable, Order: order, Cases: rows}, nil
}

// counted is the rows that are kept, with what they cost as a review of the book
// counts it.
func counted(all []Row) ([]Row, review.Money) {
	rows := []Row{}
	var paid, shown []review.Record
	for _, r := range all {
		if len(r.paid.Costs) > 0 {
			paid = append(paid, r.paid)
		}
		if !r.left {
			rows, shown = append(rows, r), append(shown, r.paid)
		}
	}
	money := review.MoneyOf(paid, shown)
	for i := range rows {
		rows[i].Costs = money.Costs(rows[i].paid)
	}
	return rows, money
}

// knownFirst orders texts, nothing after everything else.
func knownFirst(a, b string) int {
	if (a == "") != (b == "") {
		return cmp.Compare(b, a)
	}
	return cmp.Compare(a, b)
}

func first(list []string) string {
	if len(list) == 0 {
		return ""
	}
	return list[0]
}

// outcome says the verdict in a few words, "" for an open case.
func (r Row) outcome() string {
	switch {
	case r.State == Open:
		return ""
	case r.NoFault:
		return "no fault"
	case r.Unlisted:
		return "something the rules do not list"
	case len(r.Causes) == 0:
		return "no cause confirmed"
	}
	return strings.Join(r.Causes, ", ")
}

// cost says what a case cost, "" where nothing is known.
func (r Row) cost() string {
	parts := make([]string, len(r.Costs))
	for i, c := range r.Costs {
		parts[i] = c.String()
	}
	text := strings.Join(parts, " and ")
	if r.Unread > 0 && text != "" {
		text += " and more that cannot be read"
	}
	return text
}
