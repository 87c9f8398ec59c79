package airlog

import (
	"math"
	"strconv"
	"strings"
)

// row is one line of readings, the values as written.
type row struct {
	line           int32
	stamp          stamp
	wall           int64 // ns since 1970 on the logger's clock
	temp, hum, dew float64
	// unit and dewUnit are those of the line's own cells, 0 for none.
	unit, dewUnit byte
}

// readRows reads all lines below the header. Lines that hold no reading are
// told together: one of a summary at the end is no fault, one in the middle may
// be.
func (f *file) readRows() {
	var cells []string
	var strange, empty []int // lines
	at := f.layout.body
	f.rows = make([]row, 0, strings.Count(at.text, "\n")+1)
	for {
		line, ok := at.next()
		if !ok {
			break
		}
		if strings.TrimSpace(line) == "" {
			continue
		}
		cells = split(line, f.layout.delimiter, cells)
		r := row{line: int32(at.number)}
		switch {
		case f.commaTwice(cells, at.number):
			return
		case f.isUnits(cells, at.number):
		case !r.read(&f.layout, cells):
			strange = append(strange, at.number)
		case math.IsNaN(r.temp) || math.IsNaN(r.hum) && math.IsNaN(r.dew):
			empty = append(empty, at.number)
		default:
			f.rows = append(f.rows, r)
		}
	}
	f.noteStrange(strange)
	f.noteEmpty(empty)
}

// read reads a line; false when it does not begin with a date and time.
func (r *row) read(l *layout, cells []string) (ok bool) {
	if r.stamp, ok = readStamp(l.when(cells)); !ok {
		return false
	}
	r.temp, r.unit = readValue(cell(cells, l.temp))
	r.dew, r.dewUnit = readValue(cell(cells, l.dew))
	r.hum, _ = readValue(cell(cells, l.hum))
	if u := unitCell(cells, l.tempUnit); u != 0 {
		r.unit = u
	}
	if u := unitCell(cells, l.dewUnit); u != 0 {
		r.dewUnit = u
	}
	return true
}

// unitCell reads a cell that holds a unit of temperature, 0 for none.
func unitCell(cells []string, i int) byte {
	text := cell(cells, i)
	if text == "" {
		return 0
	}
	if unit := degreesOf(fold(text)); unit != "" {
		return unit[0]
	}
	return 0
}

// readValue reads a number, with a decimal point or comma, and the letter of
// the temperature unit behind it, if any. NaN is for what is no number: a
// sensor fault, "---", an empty cell.
func readValue(text string) (value float64, unit byte) {
	end := 0
	for end < len(text) && (isDigit(text[end]) || strings.IndexByte("+-.,eE", text[end]) >= 0) {
		end++
	}
	number, rest := text[:end], strings.TrimSpace(text[end:])
	if strings.IndexByte(number, ',') >= 0 {
		if strings.Count(number, ",") > 1 || strings.IndexByte(number, '.') >= 0 {
			return math.NaN(), 0
		}
		number = strings.Replace(number, ",", ".", 1)
	}
	value, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsInf(value, 0) {
		return math.NaN(), 0
	}
	if rest == "" || rest[0] == '%' {
		return value, 0
	}
	if u := degreesOf(fold(rest)); u != "" {
		return value, u[0]
	}
	return value, 0
}

// isUnits says that a line below the header states the units of its columns,
// and keeps what it says. Only a line before the first reading can.
func (f *file) isUnits(cells []string, line int) bool {
	l := &f.layout
	if _, ok := readStamp(l.when(cells)); ok || len(f.rows) > 0 || line > l.header+3 {
		return false
	}
	units := unitCell(cells, l.temp)
	if units == 0 {
		return false
	}
	l.tempSaid = string(units)
	if u := unitCell(cells, l.dew); u != 0 {
		l.dewSaid = string(u)
	}
	if strings.Contains(cell(cells, l.hum), "%") {
		l.humSaid = "%"
	}
	return true
}

// commaTwice finds a file in which the comma parts both the columns and the
// decimals, which cannot be told apart.
func (f *file) commaTwice(cells []string, line int) bool {
	extra := len(cells) - len(f.layout.cells)
	if f.layout.delimiter != ',' || extra <= 0 {
		return false
	}
	for _, c := range cells[len(f.layout.cells):] {
		if c == "" {
			return false
		}
	}
	if _, ok := readStamp(f.layout.when(cells)); !ok {
		return false
	}
	f.notes.fail(line, "comma", "the export with semicolons or tabs between columns, or with decimal points",
		"line %d has %d values under %d column names: the comma seems to part both columns and decimals", line, len(cells), len(f.layout.cells))
	return true
}

// noteStrange tells of lines without a date and time.
func (f *file) noteStrange(numbers []int) {
	if len(numbers) == 0 {
		return
	}
	last := 0
	if len(f.rows) > 0 {
		last = int(f.rows[len(f.rows)-1].line)
	}
	const remedy = "a date and time at the place the header says, such as 2026-03-05 14:05"
	if len(numbers) > len(f.rows) {
		f.notes.fail(numbers[0], "no-readings", remedy,
			"%d of %d lines have no date and time that can be read", len(numbers), len(numbers)+len(f.rows))
		return
	}
	tail := 0
	for _, n := range numbers {
		if n > last {
			tail++
			continue
		}
		f.notes.warn(n, "not-a-reading", remedy, "line %d has no date and time that can be read and was left out", n)
	}
	if tail > 0 {
		first := numbers[len(numbers)-tail]
		f.notes.warn(first, "after-the-readings", "nothing, if they are the logger's summary",
			"%d lines after the last reading hold no date and time and were left out", tail)
	}
}

// noteEmpty tells of lines with a time but without values.
func (f *file) noteEmpty(numbers []int) {
	switch {
	case len(numbers) == 0:
	case len(f.rows) == 0:
		f.notes.fail(numbers[0], "no-readings", "numbers under the columns of temperature and humidity",
			"none of %d lines has a temperature with a humidity or dew point", len(numbers))
	default:
		f.notes.warn(numbers[0], "no-values", "nothing, if the logger notes its own events so; else see whether the sensor failed",
			"%d lines from line %d on have a time but not both values, and were left out", len(numbers), numbers[0])
	}
}
