package cli

import (
	"fmt"
	"io"
	"math"
	"strings"

	"filmfault/internal/book/learn"
	"filmfault/internal/console"
	"filmfault/internal/report"
	"filmfault/internal/report/render"
	"filmfault/internal/rulebase"
)

// tell writes the rule file and what it moves. Where the file goes to standard
// output, the rest is talk.
func (o *bookLearnOptions) tell(b *rulebase.Base, l *learn.Learned, compared []learn.Compared) error {
	layer, err := l.Layer()
	if err != nil {
		return err
	}
	table := o.app.console.Out()
	if o.file != "" {
		if err := writeNew(o.file, layer, o.force); err != nil {
			return err
		}
	} else if o.format.value != "json" {
		if _, err := table.Write(layer); err != nil {
			return err
		}
		table = o.app.talking()
	}
	summary := learn.Summarise(compared)
	if o.format.value == "json" {
		return render.JSON(table, learnedJSON(b, l, summary))
	}
	return o.table(table, l, summary)
}

// table writes what the rates move, for a person.
func (o *bookLearnOptions) table(w io.Writer, l *learn.Learned, s learn.Summary) error {
	var b strings.Builder
	width := min(o.app.console.Width(), 100)
	say := func(format string, args ...any) {
		b.WriteString(console.Wrap(fmt.Sprintf(format, args...), width, "", "  ") + "\n")
	}
	for _, note := range l.Notes() {
		say("%s", note)
	}
	if l.Counts.Settled > 0 {
		b.WriteByte('\n')
		learnedRows(&b, l, width)
		b.WriteByte('\n')
		say("%s", rankedUnder(s))
	}
	b.WriteByte('\n')
	switch {
	case o.file != "":
		say("Nothing is applied yet. The rates are in %s; read them, then use them with --rules and the name of their folder.", o.file)
	default:
		say("Nothing is applied yet. Keep the rates as a file in a folder of their own and use them with --rules and its name.")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// learnedNarrow is the width below which the table is told line by line: its
// figures take fifty columns, and the longest ids thirty.
const learnedNarrow = 80

// learnedRows writes a line for each cause that was examined.
func learnedRows(b *strings.Builder, l *learn.Learned, width int) {
	narrow := width < learnedNarrow
	if !narrow {
		fmt.Fprintf(b, "%-9s%-9s%-23s%-9s%s\n", "written", "now", "90 % interval", "+ - ?", "cause")
	}
	room, least, most := 0, math.Inf(1), 0.0
	for _, m := range l.Moves {
		if !m.Examined() {
			room, least, most = room+1, min(least, m.After/m.Written), max(most, m.After/m.Written)
			continue
		}
		if narrow {
			b.WriteString(console.Wrap(fmt.Sprintf("%s: written %s, now %s, 90 %% from %s to %s; + %d, - %d, ? %d", m.Cause.ID, learn.Figure(m.Written),
				learn.Figure(m.After), learn.Figure(m.Low), learn.Figure(m.High), m.Confirmed, m.RuledOut, m.NotExamined), width, "", "  ") + "\n")
			continue
		}
		left := fmt.Sprintf("%-9s%-9s%-23s%-9s", learn.Figure(m.Written), learn.Figure(m.After), learn.Figure(m.Low)+" to "+learn.Figure(m.High),
			fmt.Sprintf("%d %d %d", m.Confirmed, m.RuledOut, m.NotExamined))
		b.WriteString(console.Wrap(m.Cause.ID, width, left, strings.Repeat(" ", 50)) + "\n")
	}
	b.WriteString(console.Wrap("+ confirmed, - ruled out, ? not examined in a settled case of a failure that the cause leads to.", width, "", "  ") + "\n")
	if room > 0 {
		b.WriteString(console.Wrap(fmt.Sprintf("%d more that no case examined are scaled by %.3g to %.3g, to make room.", room, least, most), width, "", "  ") + "\n")
	}
}

// rankedUnder says what the rates would do to the rankings of settled cases.
func rankedUnder(s learn.Summary) string {
	if s.Cases == 0 {
		return "No settled case could be ranked."
	}
	return fmt.Sprintf("Under these rates %d of %d settled cases would have another first place. The confirmed cause would stand further up in %d, "+
		"further down in %d, and where it stands in %d; in %d no listed cause was confirmed. These are the cases that taught, which flatters the new rates.",
		s.FirstChanged, s.Cases, s.Better, s.Worse, s.Same, s.NoCause)
}

// learnedDocument is what the rates move, as plain data. Its names stay.
type learnedDocument struct {
	Schema       int            `json:"schema"`
	Rules        report.Rules   `json:"rules"`
	Jobs         *int           `json:"jobs"` // null where only odds were learned
	Strength     report.Figure  `json:"strength"`
	MeasuredOnly bool           `json:"measured_only"`
	Cases        learnedCases   `json:"cases"`
	Rates        []learnedRate  `json:"rates"`
	Failures     []learnedTotal `json:"failures"`
	Rankings     rankedTwice    `json:"rankings"`
	Notes        []string       `json:"notes"`
}

type learnedCases struct {
	Settled     int `json:"settled"`
	Open        int `json:"open"`
	Invented    int `json:"invented"`
	Sound       int `json:"sound"`
	Outside     int `json:"outside"`
	Measurement int `json:"by_measurement"`
	Opinion     int `json:"by_opinion"`
}

type learnedRate struct {
	Cause       string        `json:"cause"`
	Title       string        `json:"title"`
	Written     report.Figure `json:"written"`
	After       report.Figure `json:"after"`
	Low         report.Figure `json:"low"`
	High        report.Figure `json:"high"`
	Confirmed   int           `json:"confirmed"`
	RuledOut    int           `json:"ruled_out"`
	NotExamined int           `json:"not_examined"`
	Open        int           `json:"open"`
	Measured    int           `json:"measured"`
	Expected    report.Figure `json:"expected"` // confirmed cases by the written rate
	Home        string        `json:"home"`
}

type learnedTotal struct {
	Failure string        `json:"failure"`
	Written report.Figure `json:"written"`
	After   report.Figure `json:"after"`
	Held    bool          `json:"held"`
}

func learnedJSON(b *rulebase.Base, l *learn.Learned, s learn.Summary) learnedDocument {
	c := l.Counts
	d := learnedDocument{
		Schema: 1, Rules: report.Rules{Digest: b.Digest, Layers: b.Layers}, Strength: report.Figure(l.Strength), MeasuredOnly: l.MeasuredOnly,
		Cases: learnedCases{c.Settled, c.Open, c.Invented, c.Sound, c.Outside, c.Measured, c.Opinion},
		Rates: []learnedRate{}, Failures: []learnedTotal{}, Rankings: rankedJSON(s), Notes: l.Notes(),
	}
	if l.Jobs > 0 {
		d.Jobs = &l.Jobs
	}
	for _, m := range l.Moves {
		d.Rates = append(d.Rates, learnedRate{
			Cause: m.Cause.ID, Title: m.Cause.Title, Written: report.Figure(m.Written), After: report.Figure(m.After),
			Low: report.Figure(m.Low), High: report.Figure(m.High), Confirmed: m.Confirmed, RuledOut: m.RuledOut,
			NotExamined: m.NotExamined, Open: m.Open, Measured: m.Measured, Expected: report.Figure(m.Expected), Home: m.Home,
		})
	}
	for _, t := range l.Totals {
		d.Failures = append(d.Failures, learnedTotal{t.Failure.ID, report.Figure(t.Written), report.Figure(t.After), t.Held})
	}
	return d
}
