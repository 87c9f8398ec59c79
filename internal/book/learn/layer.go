package learn

import (
	"fmt"
	"strconv"
	"strings"

	"filmfault/internal/rulebase"
	"filmfault/internal/yamldoc"
)

// Layer writes the rates that move as a rule file to be read over the rules they
// were learned under, in the order of the base. Each stands under a comment with
// its counts, what was written and the interval.
func (l *Learned) Layer() ([]byte, error) {
	m := yamldoc.NewMap()
	m.Set("schema", 1)
	m.Set("title", "Rates from our own settled cases")
	var list []*yamldoc.Map
	comments := map[string]string{}
	for _, x := range l.inOrder() {
		line := yamldoc.NewMap()
		line.Set("cause", x.Cause.ID)
		line.Set("rate", rateValue(x.Rate))
		line.Set("basis", l.basis(x))
		list = append(list, line)
		comments["  - cause: "+x.Cause.ID] = "  # " + l.comment(x)
	}
	m.Set("rates", list)
	data, err := yamldoc.Render(m, yamldoc.Value{})
	if err != nil {
		return nil, err
	}
	return []byte(l.head() + withComments(string(data), comments)), nil
}

// inOrder is the moves that change a rate, in the order of the base.
func (l *Learned) inOrder() []Move {
	at := map[string]Move{}
	for _, m := range l.Moves {
		if m.Moved() {
			at[m.Cause.ID] = m
		}
	}
	var out []Move
	for _, e := range l.base.Events {
		if m, ok := at[e.ID]; ok {
			out = append(out, m)
		}
	}
	return out
}

func rateValue(r rulebase.Rate) any {
	if len(r) == 1 {
		return r[0].Rate
	}
	var rows []*yamldoc.Map
	for _, row := range r {
		line := yamldoc.NewMap()
		key := "otherwise"
		if len(row.When) > 0 {
			when := yamldoc.NewMap()
			for _, w := range row.When {
				when.Set(w.ID, w.Answers)
			}
			line.Set("when", when)
			key = "rate"
		}
		line.Set(key, row.Rate)
		rows = append(rows, line)
	}
	return rows
}

// basis says what a rate rests on.
func (l *Learned) basis(m Move) string {
	switch {
	case !m.Examined():
		return rulebase.OwnCases + ": makes room for other causes of " + m.Home
	case l.Jobs > 0:
		return fmt.Sprintf("%s: confirmed in %d of the %d that examined it, %d jobs done", rulebase.OwnCases, m.Confirmed, m.examined(), l.Jobs)
	}
	return fmt.Sprintf("%s: confirmed in %d of the %d that examined it, odds alone", rulebase.OwnCases, m.Confirmed, m.examined())
}

func (l *Learned) comment(m Move) string {
	return fmt.Sprintf("confirmed %d, ruled out %d, not examined %d; written %s, now %s, 90 %% from %s to %s",
		m.Confirmed, m.RuledOut, m.NotExamined, Figure(m.Written), Figure(m.After), Figure(m.Low), Figure(m.High))
}

// Figure writes a rate with three digits and never with a power of ten; what is
// below a millionth is 0 to anyone.
func Figure(x float64) string {
	if x < 1e-6 {
		return "0"
	}
	r, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 2, 64), 64)
	if err != nil {
		r = x // not reached: what was formatted is a number
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}

// head is the comment above the file.
func (l *Learned) head() string {
	lines := []string{
		"Rates learned from our own settled cases, to be read over the rules below them with --rules.",
		fmt.Sprintf("Learned under rules %s (%s); the written rates weigh as much as %s jobs.",
			l.base.Digest, strings.Join(l.base.Layers, " + "), strconv.FormatFloat(l.Strength, 'f', -1, 64)),
	}
	lines = append(lines, l.Notes()...)
	var b strings.Builder
	for _, s := range lines {
		b.WriteString(asComment(s))
	}
	return b.String()
}

// commentWidth is how wide a comment becomes at most.
const commentWidth = 110

// asComment writes a sentence as lines of comment.
func asComment(text string) string {
	var b strings.Builder
	line := "#"
	for _, word := range strings.Fields(text) {
		if len(line)+1+len(word) > commentWidth {
			b.WriteString(line + "\n")
			line = "#  "
		}
		line += " " + word
	}
	return b.String() + line + "\n"
}

// withComments puts each comment above the line that it belongs to.
func withComments(text string, comments map[string]string) string {
	var b strings.Builder
	for line := range strings.Lines(text) {
		if c, ok := comments[strings.TrimSuffix(line, "\n")]; ok {
			b.WriteString(c + "\n")
		}
		b.WriteString(line)
	}
	return b.String()
}
