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
	Costs    []review.Amount `json:"costs"` // one for each currency
	Unread   int             `json:"costs_unread"`
}

// season is the fact that says when a piece was painted.
const season = "season"

// Pick reads a case into a row; false when the filter does not let it through.
func Pick(b *rulebase.Base, it book.Item, f review.Filter) (Row, bool) {
	r := review.Take(b, it).Record
	if r == nil {
		return Row{}, false
	}
	r.Finished = day(r, it.Case)
	if !f.Keeps(*r) {
		return Row{}, false
	}
	row := Row{
		Case: it.ID, File: it.Shown(), Title: it.Case.Title, Invented: it.Case.Invented, Date: r.Finished.String(),
		Season: r.Trait(season), Failures: orNone(r.Failures), State: Open, Causes: []string{}, Costs: sums(r.Costs),
	}
	for _, u := range r.Unread {
		if u.What == "amount" {
			row.Unread++
		}
	}
	if v := r.Verdict; v != nil {
		row.State, row.Causes, row.NoFault, row.Unlisted = Settled, orNone(v.Confirmed), v.NoFault, v.Unlisted
	}
	return row, true
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

// sums adds up amounts by currency, in the order of the currencies' names.
func sums(list []review.Amount) []review.Amount {
	out := []review.Amount{}
	for _, a := range list {
		i := slices.IndexFunc(out, func(x review.Amount) bool { return x.Currency == a.Currency })
		if i < 0 {
			out = append(out, a)
			continue
		}
		out[i].Amount += a.Amount
	}
	slices.SortFunc(out, func(x, y review.Amount) int { return cmp.Compare(x.Currency, y.Currency) })
	return out
}

// The orders of a list.
const (
	ByID      = "id"
	ByDate    = "date"    // the oldest first, cases without a day last
	ByFailure = "failure" // by the first failure seen, in alphabetical order
	ByCause   = "cause"   // by the first cause confirmed; open cases last
	ByCost    = "cost"    // the dearest first, a currency at a time; cases without costs last
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

// New puts rows in order. of is how many cases were read, unreadable how many
// files could not be. Equals are in order of their ids.
func New(rows []Row, order string, of, unreadable int) (*List, error) {
	by := map[string]func(a, b Row) int{
		ByID:      func(Row, Row) int { return 0 },
		ByDate:    func(a, b Row) int { return knownFirst(a.Date, b.Date) },
		ByFailure: func(a, b Row) int { return knownFirst(first(a.Failures), first(b.Failures)) },
		ByCause:   func(a, b Row) int { return knownFirst(a.outcome(), b.outcome()) },
		ByCost:    dearest,
	}[order]
	if by == nil {
		return nil, fmt.Errorf("%q: %w", order, ErrOrder)
	}
	rows = slices.Clone(rows)
	slices.SortStableFunc(rows, func(a, b Row) int {
		return cmp.Or(by(a, b), cmp.Compare(a.Case, b.Case), cmp.Compare(a.File, b.File))
	})
	if rows == nil {
		rows = []Row{}
	}
	return &List{Schema: Schema, Shown: len(rows), Of: of, Unreadable: unreadable, Order: order, Cases: rows}, nil
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

func dearest(a, b Row) int {
	if len(a.Costs) == 0 || len(b.Costs) == 0 {
		return cmp.Compare(len(b.Costs), len(a.Costs))
	}
	x, y := a.Costs[0], b.Costs[0]
	return cmp.Or(cmp.Compare(x.Currency, y.Currency), cmp.Compare(y.Amount, x.Amount))
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
