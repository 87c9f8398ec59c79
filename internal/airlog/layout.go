package airlog

import (
	"fmt"
	"iter"
	"strings"
	"time"
)

// layout is where in the file what stands.
type layout struct {
	delimiter byte
	header    int // line of the header
	cells     []heading
	// Columns by index, -1 for one that is not there.
	day, clock, temp, hum, dew int
	// Columns that hold the unit of the values beside them, -1 for none.
	tempUnit, dewUnit int
	// Units as the header or the lines above it state them, "" for not at all.
	tempSaid, dewSaid, humSaid string
	// zone is the zone that the header states.
	zone *time.Location
	// body is the text after the header, its lines counting on.
	body lines
}

const (
	// searched is how many lines may stand above the header.
	searched = 200
	// longest is how long a header can be; a longer line is no header.
	longest = 8 << 10
	// tried is how many lines below a header are read to see whether it is one.
	tried = 30
)

// findLayout looks for the line that names the columns, with each delimiter in
// turn, and takes the one that names most of them above lines with a time.
func (f *file) findLayout() {
	var best layout
	score := 0
	for _, l := range f.headers() {
		if s := l.score(); s > score && l.hasTimes() {
			best, score = l, s
		}
	}
	if score == 0 {
		f.noHeader()
		return
	}
	f.layout = best
	f.layout.readPreamble(f.text)
	f.noteColumns()
}

// headers gives each line that could name the columns, read as a header with
// each delimiter in turn.
func (f *file) headers() iter.Seq2[string, layout] {
	return func(yield func(string, layout) bool) {
		for _, delimiter := range []byte{'\t', ';', ',', '|'} {
			at := lines{text: f.text}
			for range searched {
				line, ok := at.next()
				if !ok {
					break
				}
				if len(line) > longest {
					continue
				}
				l := f.layoutOf(split(line, delimiter, nil), delimiter, at)
				if !yield(line, l) {
					return
				}
			}
		}
	}
}

// layoutOf reads the cells of a line as a header.
func (f *file) layoutOf(cells []string, delimiter byte, at lines) layout {
	l := layout{delimiter: delimiter, header: at.number, body: at,
		day: -1, clock: -1, temp: -1, hum: -1, dew: -1, tempUnit: -1, dewUnit: -1}
	for i, cell := range cells {
		h := readHeading(cell)
		f.rename(&h)
		l.cells = append(l.cells, h)
		l.place(i, h)
	}
	return l
}

// rename gives a column that was named in the options its role, and takes it
// from the others.
func (f *file) rename(h *heading) {
	for _, c := range []struct {
		name string
		role role
	}{{f.opt.Columns.Temperature, temperature}, {f.opt.Columns.Humidity, humidity}, {f.opt.Columns.DewPoint, dewPoint}} {
		switch {
		case c.name == "":
		case strings.EqualFold(strings.TrimSpace(c.name), h.text):
			h.role = c.role
			if c.role != humidity {
				h.unit = degreesOf(fold(h.text))
			}
		case h.role == c.role:
			h.role = none
		}
	}
}

// place puts a column where it belongs; the first of a kind stays.
func (l *layout) place(i int, h heading) {
	first := func(column *int) bool {
		if *column >= 0 {
			return false
		}
		*column = i
		return true
	}
	switch h.role {
	case dateOnly:
		first(&l.day)
	case timeOnly, dateAndTime:
		if first(&l.clock) {
			l.zone = zoneOf(h.text)
		}
	case temperature:
		if first(&l.temp) {
			l.tempSaid = h.unit
		}
	case humidity:
		if first(&l.hum) {
			l.humSaid = h.unit
		}
	case dewPoint:
		if first(&l.dew) {
			l.dewSaid = h.unit
		}
	case unitOf:
		l.placeUnit(i)
	}
}

// placeUnit binds a column of units to the column before it, or to the one that
// its own name holds ("Temperature unit").
func (l *layout) placeUnit(i int) {
	words := fold(l.cells[i].text)
	switch {
	case hasStem(words, "humid", "feucht", "humed"):
	case hasStem(words, "temperatu") || has(words, "temp"):
		l.tempUnit = i
	case i > 0 && i-1 == l.temp:
		l.tempUnit = i
	case i > 0 && i-1 == l.dew:
		l.dewUnit = i
	}
}

// score is how many columns a header names; 0 when it names no time or nothing
// of the air.
func (l *layout) score() int {
	n := 0
	for _, column := range []int{l.temp, l.hum, l.dew} {
		if column >= 0 {
			n++
		}
	}
	if n == 0 || l.clock < 0 && l.day < 0 {
		return 0
	}
	if l.clock >= 0 && l.day >= 0 {
		n++
	}
	return n
}

// hasTimes says that a time can be read in one of the lines below the header.
func (l *layout) hasTimes() bool {
	at := l.body
	var cells []string
	for range tried {
		line, ok := at.next()
		if !ok {
			return false
		}
		cells = split(line, l.delimiter, cells)
		if _, ok := readStamp(l.when(cells)); ok {
			return true
		}
	}
	return false
}

// when gives the day and time of a line as one text: from one column or two.
func (l *layout) when(cells []string) string {
	const shortest = len("1/1/26 1:00")
	clock, day := cell(cells, l.clock), cell(cells, l.day)
	switch {
	case l.day < 0 || day == "" || len(clock) >= shortest && startsWithDate(clock):
		return clock
	case clock == "":
		return day
	}
	return day + " " + clock
}

// cell gives a cell, or "" for one that is not there.
func cell(cells []string, i int) string {
	if i < 0 || i >= len(cells) {
		return ""
	}
	return cells[i]
}

// readPreamble looks above the header for a line that states the unit of
// temperature, such as "Temperature unit: F".
func (l *layout) readPreamble(text string) {
	at := lines{text: text}
	for at.number < l.header-1 {
		line, ok := at.next()
		if !ok {
			return
		}
		words := fold(line[:min(len(line), longest)])
		aboutUnit := has(words, "unit", "units", "einheit", "einheiten", "unite", "unites", "unidad", "unidades")
		if unit := degreesOf(words); aboutUnit && unit != "" && l.tempSaid == "" && !hasStem(words, "feucht", "humid") {
			l.tempSaid = unit
		}
	}
}

// noHeader says what was found in place of a header.
func (f *file) noHeader() {
	at := lines{text: f.text}
	first, ok := at.next()
	for ok && strings.TrimSpace(first) == "" {
		first, ok = at.next()
	}
	if !ok {
		f.notes.fail(0, "no-readings", "a file with a line of column names and readings below it", "the file is empty")
		return
	}
	const remedy = "a line that names the columns, such as: Time,Temperature (F),Humidity (%), with readings such as 2026-03-05 14:05,71.5,48"
	if line, header, when := f.headerWithoutTimes(); header != "" {
		f.notes.fail(line, "no-readings", remedy,
			"line %d names the columns (%q), but in no line below it could a date and time be read; the first says %q",
			line, short(header), short(when))
		return
	}
	f.notes.fail(at.number, "no-header", remedy,
		"no line names a column for the time and one for temperature or humidity; the file begins with %q", short(first))
}

// headerWithoutTimes finds a line that names columns but has no times below it,
// and what stands where the first should be.
func (f *file) headerWithoutTimes() (number int, header, when string) {
	for line, l := range f.headers() {
		if l.score() > 0 {
			below, _ := l.body.next()
			return l.header, line, l.when(split(below, l.delimiter, nil))
		}
	}
	return 0, "", ""
}

// noteColumns fails when a column is missing and warns when one of several was
// taken.
func (f *file) noteColumns() {
	l := &f.layout
	if l.temp < 0 {
		f.notes.fail(l.header, "no-temperature", "a column named Temperature (F) or Temperature (C)",
			"no column is named as the temperature of the air; the columns are %s", l.names())
	}
	if l.hum < 0 && l.dew < 0 {
		f.notes.fail(l.header, "no-humidity", "a column named Humidity (%) or Dew point (F)",
			"no column is named as humidity or dew point; the columns are %s", l.names())
	}
	for _, c := range []struct {
		role   role
		column int
		what   string
	}{{temperature, l.temp, "temperature"}, {humidity, l.hum, "humidity"}, {dewPoint, l.dew, "dew point"}} {
		if others := l.others(c.role, c.column); others != "" {
			f.notes.warn(l.header, "several-columns", "the name of the column to use, if it is another",
				"%q was read as the %s; there is also %s", short(l.cells[c.column].text), c.what, others)
		}
	}
}

// names lists the columns for a message.
func (l *layout) names() string {
	var names []string
	for _, c := range l.cells[:min(len(l.cells), 12)] {
		names = append(names, fmt.Sprintf("%q", short(c.text)))
	}
	return strings.Join(names, ", ")
}

// others lists the further columns of a role.
func (l *layout) others(r role, taken int) string {
	var names []string
	for i, c := range l.cells {
		if c.role == r && i != taken && len(names) < 5 {
			names = append(names, fmt.Sprintf("%q", short(c.text)))
		}
	}
	return strings.Join(names, ", ")
}
