// Package export turns cases into lines of JSON (one case a line) and into rows of
// a table (CSV), for a spreadsheet or a database. It is pure and works a case at a
// time, so that memory stays flat over any number of cases. The names below stay;
// one that changes gets a new schema number.
//
// The customer, the address, the contact and the painter are only there when they
// are asked for (Options.Private). Without that every text is that of a redacted
// copy (package redact), the case's id included.
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
// =, +, -, @, a tab or a line end and is no plain number, gets an apostrophe in
// front.
package export

import (
	"bytes"
	"encoding/json"

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

// open is a case as far as it may go out, and the name it goes out by.
func (x *Exporter) open(it book.Item) (*casefile.Case, string) {
	if x.options.Private {
		return it.Case, it.ID
	}
	return redact.Case(it.Case, x.trade).Case, redact.Name(it.Case.Job, it.ID, x.trade)
}

// JSON is a case as one line, with its line end.
func (x *Exporter) JSON(it book.Item) ([]byte, error) {
	c, id := x.open(it)
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(recordOf(c, id, x.options.Private))
	return b.Bytes(), err
}
