package export

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"filmfault/internal/book/review"
	"filmfault/internal/casefile"
)

// column is one column of the table.
type column struct {
	name string
	cell func(*line) string
}

// line is a case as the columns read it: its answers under the ids of the rules.
type line struct {
	c                         *casefile.Case
	id                        string
	facts, failures, findings map[string]string
	told, doubt, others       []string
}

// Columns is the header of the table.
func (x *Exporter) Columns() []string {
	out := make([]string, len(x.columns))
	for i, c := range x.columns {
		out[i] = c.name
	}
	return out
}

// Row is a case as a row of the table, one cell a column.
func (x *Exporter) Row(o Opened) []string {
	l := x.line(o.c, o.ID)
	out := make([]string, len(x.columns))
	for i, c := range x.columns {
		out[i] = guard(c.cell(l))
	}
	return out
}

var numberForm = regexp.MustCompile(`^[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?$`)

// guard keeps a spreadsheet from taking a cell for a formula. Some take the signs
// in full width for the plain ones, and trim what cannot be seen.
func guard(cell string) string {
	for i, r := range cell {
		switch {
		case strings.ContainsRune("=+-@＝＋－＠\t\r\n", r):
			if numberForm.MatchString(cell[i:]) {
				return cell
			}
			return "'" + cell
		case !unicode.IsSpace(r) && !unicode.In(r, unicode.Zs, unicode.Cc, unicode.Cf):
			return cell
		}
	}
	return cell
}

func (x *Exporter) allColumns() []column {
	out := append(x.head(), x.job()...)
	out = append(out, verdictColumns()...)
	for _, g := range x.base.Failures() {
		out = append(out, column{"failure." + g.ID, func(l *line) string { return l.failures[g.ID] }})
	}
	for _, f := range x.base.Facts {
		out = append(out, column{"fact." + f.ID, func(l *line) string { return l.facts[f.ID] }})
	}
	if x.options.Findings {
		for _, f := range x.base.Findings {
			out = append(out, column{"finding." + f.ID, func(l *line) string { return l.findings[f.ID] }})
		}
	}
	return append(out,
		column{"findings", func(l *line) string { return joined(l.told) }},
		column{"in_doubt", func(l *line) string { return joined(l.doubt) }},
		column{"other_answers", func(l *line) string { return joined(l.others) }},
		column{"photos", func(l *line) string {
			return joined(each(l.c.Photos, func(p casefile.Photo) string { return p.File }))
		}},
		column{"rules", func(l *line) string { return l.c.Rules.Digest }},
		column{"notes", func(l *line) string { return l.c.Notes }})
}

func (x *Exporter) head() []column {
	return []column{
		{"schema", func(*line) string { return strconv.Itoa(Schema) }},
		{"case", func(l *line) string { return l.id }},
		{"title", func(l *line) string { return l.c.Title }},
		{"invented", func(l *line) string { return yes(l.c.Invented) }},
		{"started", func(l *line) string { return l.c.Started }},
	}
}

func (x *Exporter) job() []column {
	out := []column{
		{"job_number", func(l *line) string { return l.c.Job.Number }},
		{"finished", func(l *line) string { return l.c.Job.Finished }},
		{"seen", func(l *line) string { return l.c.Job.Seen }},
		{"board", func(l *line) string { return l.c.Job.Board }},
		{"board_lot", func(l *line) string { return l.c.Job.BoardLot }},
		{"primer_lot", func(l *line) string { return l.c.Job.PrimerLot }},
		{"paint_lot", func(l *line) string { return l.c.Job.PaintLot }},
		{"drying", func(l *line) string { return l.c.Job.Drying }},
		{"job_note", func(l *line) string { return l.c.Job.Note }},
	}
	if !x.options.Private {
		return out
	}
	return append(out,
		column{"customer", func(l *line) string { return l.c.Job.Customer }},
		column{"address", func(l *line) string { return l.c.Job.Address }},
		column{"contact", func(l *line) string { return l.c.Job.Contact }},
		column{"painter", func(l *line) string { return l.c.Job.Painter }})
}

func verdictColumns() []column {
	of := func(name string, cell func(*casefile.Verdict) string) column {
		return column{name, func(l *line) string {
			if l.c.Verdict == nil {
				return ""
			}
			return cell(l.c.Verdict)
		}}
	}
	state := column{"state", func(l *line) string {
		if l.c.Verdict == nil {
			return "open"
		}
		return "settled"
	}}
	return []column{
		state,
		of("settled", func(v *casefile.Verdict) string { return v.Settled }),
		of("settled_by", func(v *casefile.Verdict) string { return v.By }),
		of("confirmed", func(v *casefile.Verdict) string { return causes(v, casefile.Confirmed, false) }),
		of("confirmed_by", func(v *casefile.Verdict) string { return causes(v, casefile.Confirmed, true) }),
		of("ruled_out", func(v *casefile.Verdict) string { return causes(v, casefile.RuledOut, false) }),
		of("not_examined", func(v *casefile.Verdict) string { return causes(v, casefile.NotExamined, false) }),
		of("no_fault", func(v *casefile.Verdict) string { return yes(v.NoFault) }),
		of("unlisted", func(v *casefile.Verdict) string { return yes(v.Unlisted) }),
		of("pays", func(v *casefile.Verdict) string { return v.Pays }),
		of("changed", func(v *casefile.Verdict) string { return v.Changed }),
		of("cost", func(v *casefile.Verdict) string { sum, _ := total(v.Costs); return sum }),
		of("currency", func(v *casefile.Verdict) string { _, of := total(v.Costs); return of }),
		of("costs", func(v *casefile.Verdict) string {
			return joined(each(v.Costs, func(c casefile.Cost) string { return strings.TrimSpace(c.What + " " + c.Amount) }))
		}),
		of("verdict_note", func(v *casefile.Verdict) string { return v.Note }),
		of("expected", func(v *casefile.Verdict) string { first, _ := expected(v); return first }),
		of("expected_chance", func(v *casefile.Verdict) string { _, chance := expected(v); return chance }),
	}
}

// causes lists the causes in a state, or the measurements that said so.
func causes(v *casefile.Verdict, state string, by bool) string {
	var out []string
	for _, x := range v.Causes {
		switch {
		case x.State != state, by && x.By == "":
		case by:
			out = append(out, x.By)
		default:
			out = append(out, x.Cause)
		}
	}
	return joined(out)
}

// total adds up costs that are all in one currency and can all be read; nothing
// otherwise, since half a sum would be taken for the whole. A figure without a
// currency is taken to be in that of the others, as a review takes it.
func total(costs []casefile.Cost) (sum, currency string) {
	cents := review.Cents(0)
	for _, c := range costs {
		a, err := review.ParseMoney(c.Amount)
		if err != nil || a.Currency != "" && currency != "" && a.Currency != currency {
			return "", ""
		}
		cents += a.Amount
		if a.Currency != "" {
			currency = a.Currency
		}
	}
	if len(costs) == 0 {
		return "", ""
	}
	return strconv.FormatFloat(float64(cents)/100, 'f', -1, 64), currency
}

// expected is the first place of the ranking as it stood.
func expected(v *casefile.Verdict) (cause, chance string) {
	if len(v.Ranking) == 0 {
		return "", ""
	}
	first := v.Ranking[0]
	return first.Cause, strconv.FormatFloat(math.Round(first.Contributed*1e4)/1e4, 'f', -1, 64)
}

func joined(list []string) string { return strings.Join(list, "; ") }

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// line reads the answers of a case under the ids of the rules.
func (x *Exporter) line(c *casefile.Case, id string) *line {
	l := &line{c: c, id: id, facts: map[string]string{}, failures: map[string]string{}, findings: map[string]string{}}
	for _, list := range []struct {
		entries []casefile.Entry
		in      map[string]string
		known   func(string) bool
		told    *[]string
	}{
		{c.Facts, l.facts, func(id string) bool { _, ok := x.base.Fact(id); return ok }, nil},
		{c.Failures, l.failures, func(id string) bool { g, ok := x.base.Gate(id); return ok && g.Failure != nil }, nil},
		{c.Findings, l.findings, func(id string) bool { _, ok := x.base.Finding(id); return ok }, &l.told},
	} {
		for _, e := range list.entries {
			now := x.base.Current(e.ID)
			if e.Sure != "" || e.Source == "remembered" || e.Source == "assumed" {
				l.doubt = append(l.doubt, now)
			}
			if !list.known(now) {
				l.others = append(l.others, now+"="+said(e))
				continue
			}
			list.in[now] = said(e)
			if list.told != nil {
				*list.told = append(*list.told, now+"="+said(e))
			}
		}
	}
	return l
}

// said is what was answered: an answer's id or a figure as typed.
func said(e casefile.Entry) string {
	if e.NotChecked {
		return "not-checked"
	}
	return e.Answer + e.Value
}
