package airlog

import "slices"

const (
	nsHour = int64(3600e9)
	nsDay  = 24 * nsHour
)

// settleDates finds the order of dates such as 03/04/2026 and gives every row
// its reading of the clock.
func (f *file) settleDates() {
	o, ok := f.dateOrder()
	if !ok {
		return
	}
	kept := f.rows[:0]
	for _, r := range f.rows {
		wall, ok := r.stamp.wall(o)
		if !ok {
			f.notes.warn(int(r.line), "not-a-reading", "a date that exists", "line %d has a date that does not exist and was left out", r.line)
			continue
		}
		r.wall = wall
		kept = append(kept, r)
	}
	f.rows = kept
	if len(kept) == 0 {
		f.notes.fail(f.layout.header, "no-readings", "dates such as 2026-03-05", "no reading is left")
		return
	}
	f.checkTwelve()
}

// dateOrder weighs what shows the order: a number over 12, and days that follow
// each other in one order and are months apart in the other.
func (f *file) dateOrder() (order, bool) {
	proof := f.proofs()
	stated := f.opt.Assume.Dates
	switch {
	case proof.open == 0:
		return monthFirst, true
	case proof.day != 0 && proof.month != 0:
		f.notes.fail(proof.month, "date-order", "dates in one order, best as 2026-03-05",
			"line %d can only be read month first and line %d only day first", proof.month, proof.day)
	case proof.day != 0 && stated == MonthFirst:
		f.notes.fail(proof.day, "date-order", "the day first for this file", "the month was said to come first, but line %d can only be read day first", proof.day)
	case proof.month != 0 && stated == DayFirst:
		f.notes.fail(proof.month, "date-order", "the month first for this file", "the day was said to come first, but line %d can only be read month first", proof.month)
	case proof.day != 0 || stated == DayFirst:
		return dayFirst, true
	case proof.month != 0 || stated == MonthFirst:
		return monthFirst, true
	default:
		return f.orderBySteps(proof.open), true
	}
	return monthFirst, false
}

// proofs are lines that show the order of dates, 0 for none.
type proofs struct {
	open       int // has a date whose order is open
	month, day int // can only be read with that first
}

// proofs looks for numbers over 12.
func (f *file) proofs() proofs {
	var p proofs
	note := func(line *int, at int32) {
		if *line == 0 {
			*line = int(at)
		}
	}
	for _, r := range f.rows {
		if r.stamp.order != open {
			continue
		}
		note(&p.open, r.line)
		if r.stamp.first > 12 {
			note(&p.day, r.line)
		}
		if r.stamp.second > 12 {
			note(&p.month, r.line)
		}
	}
	return p
}

// orderBySteps looks at where the date changes: readings that run through
// midnight are a step apart in the right order, and weeks in the wrong one.
// With no sign either way the month is taken first, and said so.
func (f *file) orderBySteps(line int) order {
	votes := map[order]int{}
	for i := 1; i < len(f.rows); i++ {
		a, b := f.rows[i-1].stamp, f.rows[i].stamp
		if a.order != open || b.order != open || a.first == b.first && a.second == b.second {
			continue
		}
		month, day := stepIn(a, b, monthFirst), stepIn(a, b, dayFirst)
		switch {
		case day < 2*nsDay && month > 20*nsDay:
			votes[dayFirst]++
		case month < 2*nsDay && day > 20*nsDay:
			votes[monthFirst]++
		}
	}
	if votes[dayFirst] > 0 && votes[monthFirst] == 0 {
		return dayFirst
	}
	if votes[monthFirst] == 0 || votes[dayFirst] > 0 {
		f.notes.warn(line, "date-order", "day first for the import, if that is how the logger writes dates",
			"nothing shows whether day or month comes first in the dates; the month was taken first")
	}
	return monthFirst
}

// stepIn is how far two stamps are apart in an order, in ns.
func stepIn(a, b stamp, o order) int64 {
	from, _ := a.wall(o)
	to, _ := b.wall(o)
	return max(to-from, from-to)
}

// checkTwelve refuses a 12-hour clock without AM and PM: its hours stay within
// 1 to 12 while it goes back by some 12 hours again and again.
func (f *file) checkTwelve() {
	back := 0
	for i, r := range f.rows {
		if r.stamp.half != unsaid || r.stamp.hour < 1 || r.stamp.hour > 12 {
			return
		}
		if i > 0 && back == 0 {
			if step := r.wall - f.rows[i-1].wall; step < -10*nsHour && step > -13*nsHour {
				back = int(r.line)
			}
		}
	}
	if back != 0 {
		f.notes.fail(back, "twelve-hour", "times with AM and PM, or with hours from 0 to 23",
			"the hours run from 1 to 12 and at line %d start again on the same day: AM and PM are missing", back)
	}
}

// newestFirst turns a file that begins with the last reading.
func (f *file) newestFirst() {
	down := 0
	for i := 1; i < len(f.rows); i++ {
		switch {
		case f.rows[i].wall < f.rows[i-1].wall:
			down++
		case f.rows[i].wall > f.rows[i-1].wall:
			down--
		}
	}
	if down > 0 {
		slices.Reverse(f.rows)
		f.notes.warn(f.layout.header, "newest-first", "nothing; it was turned round", "the file begins with the last reading")
	}
}
