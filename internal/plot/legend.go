package plot

import (
	"fmt"
	"strconv"
	"strings"
)

// maxLevels is how many rows of mark numbers may stand above the panels.
const maxLevels = 3

// drawTags writes the numbers of the marks above the first panel.
func (s *sheet) drawTags() {
	at := make([]float64, len(s.marks))
	for i, m := range s.marks {
		at[i] = float64(s.area()+s.markColumn(m.at)) + 0.5
	}
	rule := tagRule{
		shelf:  shelf{left: 0, right: float64(s.Width), gap: 1, whole: true},
		levels: maxLevels,
		width:  func(text string) float64 { return float64(len(text)) },
	}
	tags := rule.tags(at)
	for level := levelsOf(tags) - 1; level >= 0; level-- {
		row := []rune(strings.Repeat(" ", s.Width))
		for _, t := range tags {
			switch {
			case t.level == level:
				copy(row[int(t.left):], []rune(t.text))
			case t.level > level:
				leaders(row, at[t.first:t.last+1], []rune(s.either("\u250a", ":"))[0])
			}
		}
		s.add(string(row))
	}
}

// leaders leads from a number on a higher level down to its marks, where
// nothing stands in the way.
func leaders(row []rune, at []float64, line rune) {
	for _, a := range at {
		if row[int(a)] == ' ' {
			row[int(a)] = line
		}
	}
}

// drawHeading writes the title of a panel and what its signs mean, beside it
// where there is room, else below.
func (s *sheet) drawHeading(strip strip) {
	heading := strip.heading()
	keys := s.keys(strip)
	if oneLine := strings.TrimSpace(heading + "   " + strings.Join(keys, "   ")); textWidth(oneLine) <= s.Width {
		s.add(oneLine)
		return
	}
	s.add(terminal().wrap(heading, float64(s.Width))...)
	line := ""
	for _, key := range keys {
		if line != "" && textWidth(line)+3+textWidth(key) > s.Width {
			s.add(line)
			line = ""
		}
		if line == "" {
			line = "  " + terminal().cut(key, float64(s.Width-2))
			continue
		}
		line += "   " + key
	}
	if line != "" {
		s.add(line)
	}
}

// keys say what the signs in a panel mean.
func (s *sheet) keys(strip strip) []string {
	var out []string
	for i, c := range strip.curves {
		out = append(out, s.lineSample(i, len(strip.curves))+" "+c.name)
	}
	for _, c := range strip.curves {
		if len(c.band) > 0 {
			out = append(out, s.either("\u2591\u2591", "..")+" "+c.bandName)
		}
	}
	for _, l := range strip.limits {
		out = append(out, s.either("\u2508\u2508", "--")+" "+limitText(l, strip.unit))
	}
	return out
}

func (s *sheet) lineSample(line, lines int) string {
	if !s.Unicode {
		return strings.Repeat(string(sign(line)), 2)
	}
	if lines == 1 {
		return "\u2824\u2824"
	}
	return string(letter(line))
}

// drawTimes writes the times below the last panel: the clock, and below it the
// days.
func (s *sheet) drawTimes() {
	clocks, days := newTextRow(s.Width), newTextRow(s.Width)
	for i, t := range s.ticks {
		clocks.put(s.area()+s.markColumn(t.At), t.Text)
		if i > 0 && t.Day != "" {
			days.put(s.area()+s.markColumn(t.At), t.Day)
		}
	}
	// The first day is seldom whole; it takes what room the others leave.
	if len(s.ticks) > 0 {
		for _, text := range shorterDays(s.ticks[0].Day) {
			if days.put(s.area()+s.markColumn(s.ticks[0].At), text) {
				break
			}
		}
	}
	s.add(string(clocks.runes))
	if text := string(days.runes); strings.TrimSpace(text) != "" {
		s.add(text)
	}
}

// shorterDays are ways to write a day, the longest first.
func shorterDays(text string) []string {
	word, _, more := strings.Cut(text, " ")
	if !more {
		return []string{text}
	}
	return []string{text, word}
}

// textRow is a line with labels on it.
type textRow struct {
	shelf
	runes []rune
}

func newTextRow(width int) *textRow {
	return &textRow{shelf{right: float64(width), gap: 1, whole: true}, []rune(strings.Repeat(" ", width))}
}

// put writes text around a column if there is room.
func (r *textRow) put(column int, text string) bool {
	at, ok := r.shelf.put(float64(column)+0.5, float64(len(text)))
	if ok {
		copy(r.runes[int(at):], []rune(text))
	}
	return ok
}

// entry is a line of the list of marks.
type entry struct{ lead, text string }

// drawMarkList says what the numbers of the marks mean, in as many columns as
// the width has room for, read downwards.
func (s *sheet) drawMarkList() {
	widest := 0
	for _, m := range s.marks {
		widest = max(widest, textWidth(m.moment))
	}
	digits := len(strconv.Itoa(len(s.marks)))
	var entries []entry
	for _, m := range s.marks {
		lead := fmt.Sprintf("%*d  %s%s", digits, m.number, m.moment, strings.Repeat(" ", widest+2-textWidth(m.moment)))
		entries = append(entries, entry{lead, m.text})
	}
	if len(entries) > 0 {
		s.add("")
	}
	s.add(inColumns(entries, s.Width)...)
	for _, text := range s.absent {
		s.add(hanging(entry{"", "Not in the picture: " + text}, s.Width)...)
	}
}

func inColumns(entries []entry, width int) []string {
	widest := 0
	for _, e := range entries {
		widest = max(widest, textWidth(e.lead+e.text))
	}
	columns := max(1, (width+3)/(widest+3))
	var out []string
	if columns == 1 {
		for _, e := range entries {
			out = append(out, hanging(e, width)...)
		}
		return out
	}
	rows := (len(entries) + columns - 1) / columns
	for row := range rows {
		line := ""
		for i := row; i < len(entries); i += rows {
			cell := entries[i].lead + entries[i].text
			line += cell + strings.Repeat(" ", widest+3-textWidth(cell))
		}
		out = append(out, strings.TrimRight(line, " "))
	}
	return out
}

// hanging wraps an entry with every line but the first set in below its text.
func hanging(e entry, width int) []string {
	in := textWidth(e.lead)
	if in > width/2 {
		return hanging(entry{"", e.lead + e.text}, width)
	}
	lines := terminal().wrap(e.text, float64(width-max(in, 2)))
	for i := range lines {
		switch {
		case i == 0:
			lines[i] = e.lead + lines[i]
		default:
			lines[i] = strings.Repeat(" ", max(in, 2)) + lines[i]
		}
	}
	if len(lines) == 0 {
		return []string{e.lead}
	}
	return lines
}
