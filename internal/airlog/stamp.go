package airlog

import (
	"strings"
	"time"
)

// stamp is a date and time of day as written. The two numbers of a date such
// as 03/04/2026 stay as they are until the order is known.
type stamp struct {
	year          int16
	first, second uint8
	order         order
	// day is the time of day in ns.
	day int64
	// hour is the hour as written, with half telling AM from PM.
	hour uint8
	half half
	// zoned says that the stamp states its zone, offset s east of UTC.
	zoned  bool
	offset int32
}

// order says what is known of the order of the numbers of one date.
type order uint8

const (
	monthFirst order = iota // settled: first is the month
	dayFirst                // settled: first is the day
	open                    // 03/04/2026
)

// half is the half of the day that a 12-hour clock states.
type half uint8

const (
	unsaid half = iota
	am
	pm
)

// readStamp reads a date with a time of day: 2026-03-05 14:05, 3/5/2026 2:05:00
// PM, 05.03.2026 14:05, 5 Mar 2026 14:05, 2026-03-05T14:05:00-05:00, or seconds
// or milliseconds since 1970. Dots put the day first, as they do wherever dates
// are written with dots.
func readStamp(text string) (stamp, bool) {
	const longest = 80 // with weekday, month and zone in words
	c := cursor{rest: text}
	if c.blanks(); len(c.rest) > longest {
		return stamp{}, false
	}
	if s, ok := c.epoch(); ok {
		return s, true
	}
	var s stamp
	if !c.date(&s) || !c.clock(&s) {
		return stamp{}, false
	}
	c.zone(&s)
	c.blanks()
	return s, c.rest == "" && s.plausible()
}

// startsWithDate says that a text begins with a date.
func startsWithDate(text string) bool {
	c := cursor{rest: text[:min(len(text), 80)]}
	c.blanks()
	var s stamp
	return c.date(&s)
}

// plausible refuses what is no date or time of day in any order.
func (s *stamp) plausible() bool {
	low, high := min(s.first, s.second), max(s.first, s.second)
	if low < 1 || high > 31 || s.year < 1970 || s.year > 2200 {
		return false
	}
	switch s.order {
	case monthFirst:
		return s.first <= 12
	case dayFirst:
		return s.second <= 12
	}
	return low <= 12
}

// wall gives the reading of the clock in ns since 1970 as if it were UTC, with
// an order for dates that leave it open; false for a date that does not exist.
func (s *stamp) wall(open order) (int64, bool) {
	month, day := s.first, s.second
	if s.order == dayFirst || s.order != monthFirst && open == dayFirst {
		month, day = day, month
	}
	t := time.Date(int(s.year), time.Month(month), int(day), 0, 0, 0, 0, time.UTC)
	if month > 12 || t.Day() != int(day) {
		return 0, false
	}
	return t.Unix()*1e9 + s.day, true
}

// cursor reads a text from its start.
type cursor struct{ rest string }

// blanks skips blanks, also those that do not break a line.
func (c *cursor) blanks() {
	for {
		c.rest = strings.TrimLeft(c.rest, " \t")
		after, found := strings.CutPrefix(c.rest, "\u00a0")
		if !found {
			after, found = strings.CutPrefix(c.rest, "\u202f")
		}
		if !found {
			return
		}
		c.rest = after
	}
}

// number reads up to most digits.
func (c *cursor) number(most int) (value, digits int) {
	for digits < len(c.rest) && digits < most && isDigit(c.rest[digits]) {
		value = value*10 + int(c.rest[digits]-'0')
		digits++
	}
	c.rest = c.rest[digits:]
	return value, digits
}

// isDigit says that a byte is a decimal digit.
func isDigit(b byte) bool { return b >= '0' && b <= '9' }

// take skips one byte of a set and gives it, or 0.
func (c *cursor) take(set string) byte {
	if c.rest == "" || strings.IndexByte(set, c.rest[0]) < 0 {
		return 0
	}
	b := c.rest[0]
	c.rest = c.rest[1:]
	return b
}

// epoch reads seconds (10 digits) or milliseconds (13) since 1970.
func (c *cursor) epoch() (stamp, bool) {
	at := *c
	value, digits := at.number(14)
	if digits != 10 && digits != 13 || at.rest != "" {
		return stamp{}, false
	}
	ns := int64(value) * 1e9
	if digits == 13 {
		ns = int64(value) * 1e6
	}
	t := time.Unix(0, ns).UTC()
	y, m, d := t.Date()
	s := stamp{year: int16(y), first: uint8(m), second: uint8(d), hour: uint8(t.Hour()), zoned: true,
		day: ns - time.Date(y, m, d, 0, 0, 0, 0, time.UTC).UnixNano()}
	return s, s.plausible()
}

// date reads a date.
func (c *cursor) date(s *stamp) bool {
	c.weekday()
	if month, ok := c.month(); ok { // Mar 5, 2026
		c.take(".")
		c.blanks()
		day, digits := c.number(2)
		c.take(",")
		c.blanks()
		return digits > 0 && c.settle(s, monthFirst, month, day)
	}
	value, digits := c.number(8)
	switch digits {
	case 8: // 20260305
		s.year, s.first, s.second = int16(value/10000), uint8(value/100%100), uint8(value%100)
		return true
	case 4:
		return c.yearFirst(s, value)
	case 1, 2:
		return c.yearLast(s, value)
	}
	return false
}

// yearFirst reads the rest of 2026-03-05 or 2026/3/5.
func (c *cursor) yearFirst(s *stamp, year int) bool {
	separator := c.take("-/.")
	month, digits := c.number(2)
	if separator == 0 || digits == 0 || c.take(string(separator)) == 0 {
		return false
	}
	day, digits := c.number(2)
	s.year, s.first, s.second = int16(year), uint8(month), uint8(day)
	return digits > 0
}

// yearLast reads the rest of 5/3/2026, 05.03.26 or 5-Mar-2026.
func (c *cursor) yearLast(s *stamp, first int) bool {
	separator := c.take("/.-")
	c.blanks()
	if month, ok := c.month(); ok {
		c.take("-/.,")
		c.blanks()
		return c.settle(s, dayFirst, first, month)
	}
	second, digits := c.number(2)
	if separator == 0 || digits == 0 || c.take(string(separator)) == 0 {
		return false
	}
	c.blanks()
	o := open
	if separator == '.' {
		o = dayFirst
	}
	return c.settle(s, o, first, second)
}

// settle reads the year that ends a date. One of two digits is of this century.
func (c *cursor) settle(s *stamp, o order, first, second int) bool {
	year, digits := c.number(4)
	if digits == 2 {
		year += 2000
	}
	s.year, s.first, s.second, s.order = int16(year), uint8(first), uint8(second), o
	return digits == 2 || digits == 4
}

// weekday skips a day of the week; its name says nothing that the date does
// not.
func (c *cursor) weekday() {
	at := *c
	word := at.word()
	if len(word) < 2 || monthNamed(word) != 0 {
		return
	}
	at.take(".,")
	at.take(",")
	at.blanks()
	*c = at
}

// word reads letters.
func (c *cursor) word() string {
	end := 0
	for end < len(c.rest) && (c.rest[end] >= 0x80 || c.rest[end]|0x20 >= 'a' && c.rest[end]|0x20 <= 'z') {
		end++
	}
	word := c.rest[:end]
	c.rest = c.rest[end:]
	return word
}

// month reads the name of a month.
func (c *cursor) month() (int, bool) {
	at := *c
	month := monthNamed(at.word())
	if month == 0 {
		return 0, false
	}
	*c = at
	return month, true
}

// monthNamed knows the months by the beginning of their names in English,
// German, French, Spanish, Italian, Portuguese and Dutch; 0 for another word.
func monthNamed(name string) int {
	if len(name) < 3 {
		return 0
	}
	word := strings.Join(fold(name), "")
	if strings.HasPrefix(word, "mard") || strings.HasPrefix(word, "marte") { // Tuesday
		return 0
	}
	for i, starts := range []string{"jan ene gen", "feb fev", "mar mrz maa", "apr avr abr", "may mai mei mag", "jun juin giu",
		"jul juil lug", "aug aou ago", "sep set", "oct okt out ott", "nov", "dec dez dic"} {
		for start := range strings.FieldsSeq(starts) {
			if strings.HasPrefix(word, start) {
				return i + 1
			}
		}
	}
	return 0
}
