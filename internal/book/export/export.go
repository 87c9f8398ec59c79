// Package export turns cases into lines of JSON (one case a line) and into rows of
// a table (CSV), for a spreadsheet or a database. It is pure and works a case at a
// time, so that memory stays flat over any number of cases. The names below stay;
// one that changes gets a new schema number.
//
// The customer, the address, the contact and the painter are only there when they
// are asked for (Options.Private). Without that every text is that of a redacted
// copy (package redact), the case's id included, and who signed a verdict is left
// empty. Cases that come out of that with one id are numbered in the order of the
// book: [customer], [customer]-2.
//
// # JSON Lines
//
// Each line is a Record; its JSON names are those in the types of this package.
// Lists are [] and never null; a case without a log or a verdict has null there.
// Figures and answers are as they were typed. An answer has one of `answer`,
// `value` and `not_checked`.
//
// # CSV
//
// RFC 4180 (Y. Shafranovich, Common format and MIME type for comma-separated
// values files, 2005): a header, commas, quotes where needed, CR and LF at line
// ends, UTF-8, with a byte order mark if asked for. The columns, in their order:
//
//	schema           1
//	case             id of the case: its file's name without the ending
//	title, notes     as written; notes stand last
//	invented         yes for a demonstration, else no
//	started          when the interview began
//	job_number, finished, seen, board, board_lot, primer_lot, paint_lot,
//	drying, job_note lines of the job
//	customer, address, contact, painter   only when private lines are asked for
//	state            open or settled
//	settled, settled_by, confirmed, confirmed_by, ruled_out, not_examined,
//	no_fault, unlisted, pays, changed, verdict_note   of the verdict
//	cost, currency   what it cost in all, where all is in one currency
//	costs            the lines of it: "lift rental 180; repaint 420"
//	expected, expected_chance   first place of the ranking as it stood, and its chance
//	failure.ID       of every failure of the rules: seen, absent, not-checked or
//	                 nothing where it is not in the case
//	fact.ID          of every fact of the rules: the answer, or the figure as typed
//	finding.ID       the same of every finding, when asked for (Options.Findings)
//	findings         all findings: "id=answer; id=answer"
//	in_doubt         ids of the answers that are not certain, remembered or assumed
//	other_answers    answers to what the rules do not know
//	photos           names of the photographs
//	rules            digest of the rules it was last worked with
//
// Lists are joined by "; ". An id that the rules have renamed stands under its new
// name. A cell that a spreadsheet would take for a formula, one that begins with
// =, +, -, @ (also in full width, and after blanks of any kind), a tab or a line
// end and is no plain number, gets an apostrophe in front.
package export

import (
	"bytes"
	"encoding/json"
	"strconv"
	"strings"

	"filmfault/internal/book"
	"filmfault/internal/book/redact"
	"filmfault/internal/casefile"
	"filmfault/internal/rulebase"
)

// Schema is the version of the names in both formats.
const Schema = 1

// Options says what goes out.
type Options struct {
	Private  bool // customer, address, contact and painter too
	Findings bool // a column for each finding (CSV)
}

// Exporter turns cases into lines and rows. It does not change and may be used by
// several at once.
type Exporter struct {
	base    *rulebase.Base
	trade   redact.Trade
	options Options
	columns []column
}

// New makes an exporter by the rules in force.
func New(b *rulebase.Base, o Options) *Exporter {
	x := &Exporter{base: b, options: o, trade: redact.TradeOf(b)}
	x.columns = x.allColumns()
	return x
}

// Opened is a case as far as it may go out.
type Opened struct {
	ID   string // the name it goes out by
	Look int    // how many of its texts and files a person has to look at
	c    *casefile.Case
}

// Open makes the copy of a case that may go out.
func (x *Exporter) Open(it book.Item) Opened {
	if x.options.Private {
		return Opened{ID: it.ID, c: it.Case}
	}
	r := redact.Case(it.Case, x.trade)
	if r.Case.Verdict != nil {
		r.Case.Verdict.By = "" // it names a person
	}
	return Opened{ID: redact.Name(it.Case.Job, it.ID, x.trade), Look: len(r.Look), c: r.Case}
}

// JSON is a case as one line, with its line end.
func (x *Exporter) JSON(o Opened) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(recordOf(o.c, o.ID, x.options.Private))
	return b.Bytes(), err
}

// IDs keeps the names that cases go out by apart: two customers' cases may have
// one name once the customers are out of it. The zero value is ready.
type IDs struct {
	taken map[string]bool
}

// Next is the name for the next case of the book: the name itself, or with a
// number when an earlier case has it. Names without a mark are those of files,
// which the book keeps apart; they are not held on to.
func (n *IDs) Next(id string) string {
	if !strings.Contains(id, "[") {
		return id
	}
	if n.taken == nil {
		n.taken = map[string]bool{}
	}
	free := id
	for i := 2; n.taken[free]; i++ {
		free = id + "-" + strconv.Itoa(i)
	}
	n.taken[free] = true
	return free
}
