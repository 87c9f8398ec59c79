package cli

import (
	"fmt"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/console"
	"filmfault/internal/report"
	"filmfault/internal/report/render"
)

// settled is what was recorded, as JSON has it. The names are fixed: a change
// needs a new schema number.
type settled struct {
	Schema      int            `json:"schema"`
	Case        string         `json:"case"`
	File        string         `json:"file"`
	Settled     string         `json:"settled"`
	By          string         `json:"by"`
	Causes      []settledCause `json:"causes"`
	Unlisted    bool           `json:"unlisted"`
	NoFault     bool           `json:"no_fault"`
	Pays        string         `json:"pays"`
	Costs       []settledCost  `json:"costs"`
	Changed     string         `json:"changed"`
	Note        string         `json:"note"`
	Ranking     []settledPlace `json:"ranking"`
	RankedWith  string         `json:"ranked_with"`
	RankingKept bool           `json:"ranking_kept"` // of an earlier settlement
	Warnings    []string       `json:"warnings"`
}

type settledCause struct {
	Cause string `json:"cause"`
	State string `json:"state"`
	By    string `json:"by"`
}

type settledCost struct {
	What   string `json:"what"`
	Amount string `json:"amount"`
}

type settledPlace struct {
	Cause       string        `json:"cause"`
	Contributed report.Number `json:"contributed"`
}

// settledSchema is the version of the JSON.
const settledSchema = 1

// tell prints what was recorded.
func (s *settling) tell(c opened) error {
	s.tellWhere(c)
	if s.o.format.value == "json" {
		return render.JSON(s.o.app.console.Out(), s.document(c))
	}
	var lines []string
	for _, state := range []struct{ state, word string }{
		{casefile.Confirmed, "Confirmed"}, {casefile.RuledOut, "Ruled out"}, {casefile.NotExamined, "Not examined"},
	} {
		for _, x := range s.v.Causes {
			if x.State == state.state {
				lines = append(lines, state.word+": "+s.cause(x))
			}
		}
	}
	lines = append(s.head(c), append(lines, s.rest()...)...)
	width := min(s.o.app.console.Width(), 100)
	for _, line := range lines {
		if _, err := fmt.Fprintln(s.o.app.console.Out(), console.Wrap(console.Printable(line), width, "", "   ")); err != nil {
			return err
		}
	}
	return nil
}

// stateWord is the state of a cause as it is said.
func stateWord(state string) string { return strings.ReplaceAll(state, "-", " ") }

// tellWhere says where the verdict stands, and what it took the place of, so that
// an earlier one is not lost without a word.
func (s *settling) tellWhere(c opened) {
	w := s.o.app.console.Err()
	fmt.Fprintf(w, "Recorded in %s.\n", c.store.Path)
	if s.old != nil {
		text := "It takes the place of the verdict" + settledWhen(s.old) + ": " + s.said(s.old) + "."
		fmt.Fprintln(w, console.Wrap(console.Printable(text), s.o.app.console.Width(), "", "  "))
	}
}

// said is a verdict in one line.
func (*settling) said(v *casefile.Verdict) string {
	var parts []string
	for _, x := range v.Causes {
		text := stateWord(x.State) + " " + x.Cause
		if x.By != "" {
			text += " by " + x.By
		}
		parts = append(parts, text)
	}
	if v.Unlisted {
		parts = append(parts, "something the rules do not list")
	}
	if v.NoFault {
		parts = append(parts, "no fault")
	}
	for _, x := range v.Costs {
		parts = append(parts, x.What+" "+x.Amount)
	}
	for _, x := range []struct{ label, text string }{{"settled by ", v.By}, {"pays: ", v.Pays}, {"changed: ", v.Changed}, {"note: ", v.Note}} {
		if x.text != "" {
			parts = append(parts, x.label+strings.TrimSuffix(x.text, "."))
		}
	}
	return strings.Join(parts, "; ")
}

func (s *settling) head(c opened) []string {
	head := s.called(c) + ": settled " + s.v.Settled
	if s.v.By != "" {
		head += " by " + s.v.By
	}
	lines := []string{head}
	if s.v.Unlisted {
		lines = append(lines, "Something that the rules do not list.")
	}
	if s.v.NoFault {
		lines = append(lines, "There was no fault.")
	}
	return lines
}

// called is the name of the case.
func (s *settling) called(c opened) string {
	if c.c.ID != "" {
		return c.c.ID
	}
	return s.o.name
}

func (s *settling) cause(x casefile.Finding) string {
	b := s.rules.Base
	text := x.Cause
	if ev, ok := b.Event(b.Current(x.Cause)); ok {
		text = ev.Title + " (" + x.Cause + ")"
	}
	if x.By != "" {
		text += ", by " + x.By
	}
	return text
}

func (s *settling) rest() []string {
	var lines, costs []string
	for _, x := range s.v.Costs {
		costs = append(costs, x.What+" "+x.Amount)
	}
	for _, line := range []struct{ word, text string }{
		{"Costs", strings.Join(costs, "; ")}, {"Pays", s.v.Pays}, {"Changed in the shop", s.v.Changed}, {"Note", s.v.Note},
	} {
		if line.text != "" {
			lines = append(lines, line.word+": "+line.text)
		}
	}
	return append(lines, s.ranking()...)
}

// ranking is the ranking that is kept, a line a place.
func (s *settling) ranking() []string {
	if len(s.v.Ranking) == 0 {
		return nil
	}
	head := "The ranking kept with it is that of today, before the readings that decided"
	if s.kept {
		head = "The ranking kept with it is the first one, as it stood when the case was first settled"
	}
	if s.v.Rules != "" {
		head += " (rules " + s.v.Rules + ")"
	}
	lines := []string{head + ":"}
	for i, x := range s.v.Ranking[:min(placesKept, len(s.v.Ranking))] {
		lines = append(lines, fmt.Sprintf("%d. %s, %s", i+1, x.Cause, report.Percent(report.Number(x.Contributed))))
	}
	if more := len(s.v.Ranking) - placesKept; more > 0 {
		lines = append(lines, fmt.Sprintf("and %d more, down to the last cause of the verdict", more))
	}
	return lines
}

func (s *settling) document(c opened) settled {
	v := s.v
	d := settled{
		Schema: settledSchema, Case: s.called(c), File: c.store.Path, Settled: v.Settled, By: v.By, Unlisted: v.Unlisted, NoFault: v.NoFault,
		Pays: v.Pays, Changed: v.Changed, Note: v.Note, RankedWith: v.Rules, RankingKept: s.kept,
		Causes: []settledCause{}, Costs: []settledCost{}, Ranking: []settledPlace{}, Warnings: append([]string{}, s.warnings...),
	}
	for _, x := range v.Causes {
		d.Causes = append(d.Causes, settledCause{x.Cause, x.State, x.By})
	}
	for _, x := range v.Costs {
		d.Costs = append(d.Costs, settledCost{x.What, x.Amount})
	}
	for _, x := range v.Ranking {
		d.Ranking = append(d.Ranking, settledPlace{x.Cause, report.Number(x.Contributed)})
	}
	return d
}
