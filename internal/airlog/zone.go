package airlog

import (
	"math"
	"time"
)

// settleInstants puts the rows in order of time and gives each its instant: the
// clock's reading in its zone, less what the clock was ahead.
func (f *file) settleInstants() {
	f.newestFirst()
	loc, ok := f.zone()
	if !ok {
		return
	}
	d := dial{loc: loc, until: math.MinInt64}
	for i := range f.rows {
		r := &f.rows[i]
		if r.stamp.zoned {
			r.wall -= int64(r.stamp.offset) * 1e9
		} else {
			f.noteDial(r, d.read(r.wall))
			r.wall = d.last
		}
	}
	for i := range f.rows {
		f.rows[i].wall -= int64(f.opt.ClockAhead)
	}
}

// zone is the zone of the readings that do not state one; false when it is
// needed and nothing states it.
func (f *file) zone() (*time.Location, bool) {
	bare := 0
	for _, r := range f.rows {
		if !r.stamp.zoned {
			bare = int(r.line)
			break
		}
	}
	loc, header := f.opt.Location, f.layout.zone
	switch {
	case bare == 0:
		return time.UTC, true
	case header == nil && loc == nil:
		f.notes.fail(f.layout.header, "time-zone", "the zone the logger's clock was set to, such as America/Chicago",
			"nothing says in which time zone the logger's clock was; line %d has no zone", bare)
		return nil, false
	case header == nil:
		return loc, true
	}
	if loc != nil && f.differ(loc, header) {
		f.notes.warn(f.layout.header, "time-zone", "the zone right in the file, if it is wrong there",
			"the header says %s, which differs from the zone that was stated; the header's was used", header)
	}
	return header, true
}

// differ says that two zones differ at the first reading.
func (f *file) differ(a, b *time.Location) bool {
	t := time.Unix(0, f.rows[0].wall)
	_, x := t.In(a).Zone()
	_, y := t.In(b).Zone()
	return x != y
}

// turn says what happened to the clock at a reading.
type turn int

const (
	steady  turn = iota
	turned       // the zone's clocks were changed before this reading
	skipped      // the reading lies in an hour that the zone left out
)

// dial turns readings of a clock into instants, in order. Where the zone's
// clocks are put back, an hour is read twice: a reading that would be before
// the last one is taken to be of the second time.
type dial struct {
	loc  *time.Location
	last int64 // instant of the reading before, in ns
	// offset is that of the reading before, in ns east of UTC.
	offset  int64
	started bool
	// fixed is set when the clock turned out not to follow the zone's changes.
	fixed bool
	// From since to until, in ns on the clock, only offset is possible.
	since, until int64
}

// read gives the instant of one reading in last.
func (d *dial) read(wall int64) turn {
	if d.fixed || wall >= d.since && wall < d.until {
		d.last = wall - d.offset
		return steady
	}
	offset, skip := d.find(wall)
	d.last = wall - offset
	changed := d.started && offset != d.offset
	d.offset, d.started = offset, true
	d.window()
	switch {
	case skip:
		d.fixed = true
		return skipped
	case changed:
		return turned
	}
	return steady
}

// find chooses among the offsets that the zone has about a reading; skip is set
// when the zone has no such hour.
func (d *dial) find(wall int64) (offset int64, skip bool) {
	before, after := d.offsetAt(wall-nsDay), d.offsetAt(wall+nsDay)
	if before == after {
		return before, false
	}
	first, second := d.offsetAt(wall-before) == before, d.offsetAt(wall-after) == after
	switch {
	case first && second && d.started && wall-before < d.last:
		return after, false
	case first:
		return before, false
	case second:
		return after, false
	}
	return before, true
}

// offsetAt is the zone's offset at an instant, both in ns.
func (d *dial) offsetAt(instant int64) int64 {
	_, offset := time.Unix(0, instant).In(d.loc).Zone()
	return int64(offset) * 1e9
}

// window finds how long the offset can stay without a look at the zone: until a
// day before the next change, which spares most readings the search.
func (d *dial) window() {
	from, to := time.Unix(0, d.last).In(d.loc).ZoneBounds()
	d.since, d.until = math.MinInt64, math.MaxInt64
	if !from.IsZero() {
		d.since = from.Unix()*1e9 + d.offset + nsDay
	}
	if !to.IsZero() {
		d.until = to.Unix()*1e9 + d.offset - nsDay
	}
}

// noteDial tells of a change of the clock.
func (f *file) noteDial(r *row, t turn) {
	const remedy = "nothing, if the logger's clock follows summer time; else a zone without it, such as Etc/GMT+6"
	switch t {
	case turned:
		f.notes.warn(int(r.line), "summer-time", remedy,
			"the zone's clocks were changed before line %d, and the readings were taken to follow them", r.line)
	case skipped:
		f.notes.warn(int(r.line), "summer-time", "a zone without summer time, such as Etc/GMT+6",
			"line %d is in an hour that the zone skips: the logger's clock does not follow summer time, and was read so from there on", r.line)
	}
}
