package report

import (
	"fmt"
	"strings"

	"filmfault/internal/diagnosis"
	"filmfault/internal/implied"
	"filmfault/internal/quantity"
	"filmfault/internal/rulebase"
	"filmfault/internal/uncertain"
)

// FromLog is what a job log implies, for a page.
type FromLog struct {
	Lines      []string // what was left and how likely that was too much
	Departures []string // from the shop's standard, in a word or two each
	Told       []string // labels of answers that tell the same log
	Notes      []string // what was taken for granted
	Assumed    int      // figures that nobody stated
}

// fromLog gathers what was computed of the job log.
func (b *builder) fromLog(log *implied.Log) {
	if log == nil || log.Outcome == nil {
		return
	}
	out := &FromLog{Notes: log.Notes}
	for i, f := range log.Figures {
		b.doc.Calculations = append(b.doc.Calculations, Calculation{
			Name: f.Name, Value: Figure(f.Value.Mid), Unit: f.Unit, Low: Figure(f.Value.Low), High: Figure(f.Value.High),
			Assumed: orEmpty(f.Assumed), Text: inWords(f, log.Units()),
		})
		out.Assumed = max(out.Assumed, len(f.Assumed))
		if line := pageLine(log.Figures, i, log.Units()); line != "" {
			out.Lines = append(out.Lines, line)
		}
	}
	for _, d := range log.Departures {
		out.Departures = append(out.Departures, DepartureName(string(d.Departure)))
	}
	for _, id := range b.e.Sheet.Told {
		f, _ := b.base.Finding(id)
		out.Told = append(out.Told, f.Label)
	}
	b.doc.Log = out
}

// pageLine tells a figure on one line: the water at a step together with the
// chance, which follows it in the list, that it was too much.
func pageLine(list []implied.Figure, i int, sys quantity.System) string {
	f := list[i]
	switch {
	case f.Label != "", f.Minor:
		return ""
	case i+1 < len(list) && list[i+1].Label != "":
		p := list[i+1].Value
		return fmt.Sprintf("%s: %s of water; %s, a chance of %s that it was too wet.", capital(f.Short), inWords(f, sys), list[i+1].Label, Percent(Number(p.Mid)))
	}
	return capital(f.Name) + ": " + inWords(f, sys) + "."
}

// inWords writes a figure with its range; water under nothing is nothing.
func inWords(f implied.Figure, sys quantity.System) string {
	v := f.Value
	if f.Kind == quantity.Share {
		v = uncertain.Range{Mid: max(0, v.Mid), Low: max(0, v.Low), High: max(0, v.High)}
	}
	text := quantity.Format(f.Kind, v.Mid, sys)
	if v.Low != v.High {
		text += " (" + quantity.FormatRange(f.Kind, v.Low, v.High, sys) + ")"
	}
	return text
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// calculation finds a calculation of the rules by its id.
func (b *builder) calculation(id string) rulebase.Calculation {
	for _, c := range b.base.Calculations {
		if c.ID == id {
			return c
		}
	}
	return rulebase.Calculation{}
}

// low and high are the ends of a cause's range; nil when no calculation entered.
func low(spreads map[string]diagnosis.Spread, cause string) *Number {
	return end(spreads, cause, func(s diagnosis.Spread) float64 { return s.Low })
}

func high(spreads map[string]diagnosis.Spread, cause string) *Number {
	return end(spreads, cause, func(s diagnosis.Spread) float64 { return s.High })
}

func end(spreads map[string]diagnosis.Spread, cause string, of func(diagnosis.Spread) float64) *Number {
	s, ok := spreads[cause]
	if !ok {
		return nil
	}
	n := Number(of(s))
	return &n
}
