package render

import (
	"fmt"
	"strings"

	"filmfault/internal/report"
)

// log tells what the job log implies.
func (p *page) log(l *report.FromLog) {
	if l == nil {
		return
	}
	p.heading("What the job log implies")
	for _, line := range logLines(l) {
		p.line("-  ", "   ", "%s", line)
	}
}

// logLines is what a page tells of the log, in the same words everywhere.
func logLines(l *report.FromLog) []string {
	out := append([]string(nil), l.Lines...)
	if len(l.Departures) > 0 {
		out = append(out, "Against the shop's standard: "+strings.Join(l.Departures, ", ")+"; `filmfault butfor` says what was logged and which of it mattered.")
	}
	if len(l.Told) > 0 {
		out = append(out, "Answers set aside, since they tell the same log: "+strings.Join(l.Told, "; ")+".")
	}
	out = append(out, l.Notes...)
	return append(out, fmt.Sprintf("Water is told above what the film holds when dry, as a share of its dry weight. %d figures of paint, air and tools are assumed, and the ranges come from them: weigh a coupon before you rely on it.", l.Assumed))
}
