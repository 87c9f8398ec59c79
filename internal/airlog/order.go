package airlog

import (
	"slices"
	"time"

	"filmfault/internal/quantity"
)

// build makes the series: lines of the same time averaged, lines that go back
// in time left out, gaps found and told.
func (f *file) build() {
	readings := f.inOrder()
	if f.notes.failed() {
		return
	}
	s, err := newSeries(readings, f.opt.MaxGap)
	if err != nil {
		f.notes.fail(f.layout.header, "no-readings", "at least one reading of the air", "%s", err)
		return
	}
	f.series = s
	f.noteGaps(readings)
}

// placed is a reading with its line.
type placed struct {
	Reading
	line int32
	n    int32 // how many lines it is the average of
}

// inOrder keeps the rows of which each is later than the one before.
func (f *file) inOrder() []placed {
	out := make([]placed, 0, len(f.rows))
	var same, left []int32 // lines
	var from int64         // instant that the run going back started from
	for _, r := range f.rows {
		last := int64(0)
		if len(out) > 0 {
			last = out[len(out)-1].at
		}
		switch {
		case len(out) == 0 || r.wall > last:
			out = append(out, placed{Reading{at: r.wall, Temperature: r.temp, Humidity: r.hum, DewPoint: r.dew}, r.line, 1})
		case r.wall == last && (len(left) == 0 || from != last):
			out[len(out)-1].add(&r)
			same = append(same, r.line)
		default:
			if len(left) == 0 || from != last {
				f.noteBack(r.line, last-r.wall)
			}
			left = append(left, r.line)
			from = last
		}
	}
	f.noteOrder(same, left)
	return out
}

// add averages another line of the same time into a reading.
func (p *placed) add(r *row) {
	p.n++
	n := float64(p.n)
	p.Temperature += (r.temp - p.Temperature) / n
	p.Humidity += (r.hum - p.Humidity) / n
	p.DewPoint += (r.dew - p.DewPoint) / n
}

// noteBack tells of a clock that goes back.
func (f *file) noteBack(line int32, by int64) {
	f.notes.warn(int(line), "clock-back", "the readings in the order they were taken, with a clock that was not changed",
		"at line %d the clock goes back by %s; lines of a time already logged were left out", line, span(by))
}

// noteOrder tells of repeated lines, and refuses a file most of which is out of
// order.
func (f *file) noteOrder(same, left []int32) {
	if len(left) > len(f.rows)/2 {
		f.notes.fail(int(left[0]), "clock-back", "one log, its readings in the order they were taken",
			"%d of %d lines are earlier than a line before them", len(left), len(f.rows))
	}
	if len(same) > 0 {
		f.notes.warn(int(same[0]), "same-time", "nothing, if the logger writes whole minutes only",
			"%d lines repeat the time of the line before, first line %d; their values were averaged", len(same), same[0])
	}
}

// noteGaps tells where nothing was logged.
func (f *file) noteGaps(readings []placed) {
	const month = 30 * nsDay
	for _, i := range f.series.gaps {
		step := readings[i+1].at - readings[i].at
		line := readings[i+1].line
		if step > month {
			f.notes.warn(int(line), "clock-jump", "the right date on the logger's clock; it falls back to an old one when its battery is changed",
				"before line %d the clock jumps forward by %s", line, span(step))
			continue
		}
		f.notes.warn(int(line), "gap", "nothing; what falls into it counts as not logged",
			"nothing was logged for %s before line %d", span(step), line)
	}
}

// span prints a time in ns.
func span(ns int64) string {
	return quantity.Format(quantity.Duration, time.Duration(ns).Seconds(), quantity.US)
}

// usualGap is the longest step that still counts as covered: 2.5 times the
// usual one, or 1.5 times the one that a twentieth of the steps exceed, for
// loggers that write when something changes.
func usualGap(steps []int64) (usual, gap int64) {
	sorted := slices.Clone(steps)
	slices.Sort(sorted)
	usual = sorted[(len(sorted)-1)/2]
	large := sorted[(len(sorted)-1)*95/100]
	return usual, max(usual/2*5, large/2*3)
}
