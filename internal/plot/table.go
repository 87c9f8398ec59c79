package plot

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"
)

// mostRows is how many regular times a table has at most.
const mostRows = 1000

// Table reads a chart out as plain lines, for a screen reader or a search: one
// line for each mark and each regular time. Regular times are every so far
// apart, on whole steps of the clock where every divides a day; every of 0 or
// less takes a step that gives about 40 lines, and a step that would give more
// than 1000 is made longer. The error is that of the writer.
func Table(w io.Writer, c Chart, every time.Duration) error {
	p := ready(c, clean)
	var b strings.Builder
	for _, line := range p.preface() {
		b.WriteString(line + "\n")
	}
	for _, m := range momentsOf(p, c.Marks, every) {
		b.WriteString(m.text(p) + "\n")
	}
	for _, text := range p.absent {
		if strings.HasPrefix(text, "at an unknown time") {
			b.WriteString("A" + text[1:] + ".\n")
		}
	}
	if _, err := io.WriteString(w, b.String()); err != nil {
		return fmt.Errorf("writing the table: %w", err)
	}
	return nil
}

// preface says what the chart is and what its limits are.
func (p picture) preface() []string {
	var out []string
	if p.title != "" {
		out = append(out, p.title+".")
	}
	for _, s := range p.panels {
		for _, l := range s.limits {
			where := ""
			if s.title != "" {
				where = s.title + ", "
			}
			out = append(out, where+limitText(l, s.unit)+".")
		}
		for _, c := range s.curves {
			if len(c.band) > 0 {
				out = append(out, fmt.Sprintf("In brackets after %s: %s.", c.name, c.bandName))
			}
		}
	}
	if len(p.panels) == 0 {
		out = append(out, "There is nothing to draw.")
	}
	return out
}

// moment is one line of the table.
type moment struct {
	at     float64
	events []string
}

// momentsOf puts marks and regular times in order. What would carry the same
// time on the page is one line.
func momentsOf(p picture, marks []Mark, every time.Duration) []moment {
	var all []moment
	for _, m := range inOrder(marks) {
		if usableTime(m.At) {
			all = append(all, moment{m.At, []string{clean(m.Text)}})
		}
	}
	if len(p.panels) > 0 {
		for _, t := range regularTimes(p, every.Seconds()) {
			all = append(all, moment{at: t})
		}
	}
	slices.SortStableFunc(all, func(a, b moment) int { return cmp.Compare(a.at, b.at) })
	var out []moment
	for _, m := range all {
		if n := len(out); n > 0 && p.clock.moment(out[n-1].at) == p.clock.moment(m.at) && m.at-out[n-1].at < 60 {
			out[n-1].events = append(out[n-1].events, m.events...)
			continue
		}
		out = append(out, m)
	}
	return out
}

func regularTimes(p picture, every float64) []float64 {
	span := p.window.to - p.window.from
	if every <= 0 {
		every = stepFor(span, 40)
	}
	for span/every > mostRows {
		every *= 2
	}
	var out []float64
	if p.clock.start.IsZero() || every < 1 || math.Mod(day, every) != 0 {
		for n := 0; ; n++ {
			t := p.window.from + float64(float64(n)*every)
			if t > p.window.to {
				return out
			}
			out = append(out, t)
		}
	}
	for _, t := range clockTicks(p.clock.start, p.window.from, p.window.to, every) {
		out = append(out, t.At)
	}
	return out
}

// text says what happened at a moment and what the values were.
func (m moment) text(p picture) string {
	head := p.clock.moment(m.at)
	if len(m.events) > 0 {
		head += ", " + strings.Join(m.events, ", ")
	}
	var values []string
	for _, s := range p.panels {
		for _, curve := range s.curves {
			values = append(values, s.reading(curve, m.at))
		}
	}
	if len(values) == 0 {
		return head + "."
	}
	return head + ": " + strings.Join(values, ", ")
}

// reading is the value of a line at a time in words.
func (s strip) reading(c curve, at float64) string {
	k, ok := knotAt(c.points, at)
	if !ok {
		return c.name + " not known"
	}
	decimals := decimalsFor(s.high - s.low)
	text := c.name + " " + withUnit(fixed(k.low, decimals), s.unit)
	if b, ok := knotAt(c.ranges, at); ok {
		text += " (" + fixed(b.low, decimals) + " to " + fixed(b.high, decimals) + ")"
	}
	return text
}
