package airlog

import (
	"regexp"
	"strconv"
	"strings"
	"time"
)

// clock reads the time of day that follows a date.
func (c *cursor) clock(s *stamp) bool {
	c.blanks()
	c.take("T,")
	c.blanks()
	hour, digits := c.number(6)
	minute, second := 0, 0
	switch digits {
	case 4: // 1405, ISO basic
		hour, minute = hour/100, hour%100
	case 6:
		hour, minute, second = hour/10000, hour/100%100, hour%100
	case 1, 2:
		var ok bool
		if minute, second, ok = c.minutes(); !ok {
			return false
		}
	default:
		return false
	}
	fraction := c.fraction()
	if hour > 23 || minute > 59 || second > 59 {
		return false
	}
	s.hour = uint8(hour)
	s.day = int64(hour*3600+minute*60+second)*1e9 + fraction
	return c.halfDay(s)
}

// minutes reads ":05" or ":05:30", also with h, min and dots.
func (c *cursor) minutes() (minute, second int, ok bool) {
	separator := c.take(":h.")
	if separator == 0 {
		return 0, 0, false
	}
	minute, digits := c.number(2)
	if digits != 2 {
		return 0, 0, false
	}
	at := *c
	if at.take(string(separator)) == 0 {
		return minute, 0, true
	}
	if second, digits = at.number(2); digits != 2 {
		return minute, 0, true
	}
	*c = at
	return minute, second, true
}

// fraction reads a part of a second, in ns.
func (c *cursor) fraction() int64 {
	at := *c
	if at.take(".,") == 0 {
		return 0
	}
	value, digits := at.number(9)
	if digits == 0 {
		return 0
	}
	for range 9 - digits {
		value *= 10
	}
	at.number(20) // finer than a ns
	*c = at
	return int64(value)
}

// halfDay reads AM or PM, in any spelling, and puts the hour right; "Uhr" and
// "h" are skipped.
func (c *cursor) halfDay(s *stamp) bool {
	c.blanks()
	at := *c
	switch strings.ToLower(at.word()) {
	case "am":
		s.half = am
	case "pm":
		s.half = pm
	case "a":
		s.half = am
		at.dottedM()
	case "p":
		s.half = pm
		at.dottedM()
	case "uhr", "h":
	default:
		return true
	}
	*c = at
	if s.half == unsaid {
		return true
	}
	return s.put12()
}

// dottedM skips the rest of "a. m."
func (c *cursor) dottedM() {
	c.take(".")
	c.blanks()
	if c.take("mM") != 0 {
		c.take(".")
	}
}

// put12 turns an hour of a 12-hour clock into one of 24; false for an hour it
// does not have.
func (s *stamp) put12() bool {
	const hour = int64(3600e9)
	switch {
	case s.hour > 12 || s.hour == 0 && s.half == pm:
		return s.half == pm && s.hour > 12 // "14:05 PM", as some devices write
	case s.half == am && s.hour == 12:
		s.day -= 12 * hour
	case s.half == pm && s.hour != 12:
		s.day += 12 * hour
	}
	return true
}

// zone reads the zone after a time of day: Z, -05:00, GMT+1, EST.
func (c *cursor) zone(s *stamp) {
	c.blanks()
	at := *c
	word := strings.ToUpper(at.word())
	offset, named := abbreviation(word)
	if word != "" && !named {
		return
	}
	sign := at.take("+-")
	if sign == 0 && !named {
		return
	}
	if sign != 0 {
		hours, digits := at.number(2)
		at.take(":")
		minutes, _ := at.number(2)
		if digits == 0 || hours > 14 || minutes > 59 {
			return
		}
		offset = int32(hours*3600 + minutes*60)
		if sign == '-' {
			offset = -offset
		}
	}
	*c = at
	s.zoned, s.offset = true, offset
}

// abbreviation knows the zones that exports name by letters, in s east of UTC.
// CST is that of North America.
func abbreviation(word string) (int32, bool) {
	const hour = 3600
	switch word {
	case "Z", "UTC", "GMT", "WET":
		return 0, true
	case "BST", "WEST", "CET", "MEZ":
		return hour, true
	case "CEST", "MESZ":
		return 2 * hour, true
	case "EST", "CDT":
		return -5 * hour, true
	case "EDT":
		return -4 * hour, true
	case "CST", "MDT":
		return -6 * hour, true
	case "MST", "PDT":
		return -7 * hour, true
	case "PST", "AKDT":
		return -8 * hour, true
	case "AKST":
		return -9 * hour, true
	case "HST":
		return -10 * hour, true
	}
	return 0, false
}

// zoneOf finds the zone that the header of the time column states, such as
// "Date Time, GMT-04:00" or "Time (UTC)"; nil when it states none.
func zoneOf(text string) *time.Location {
	m := regexp.MustCompile(`(?i)\b(?:GMT|UTC)\s*(?:([+-])\s*(\d{1,2})(?::?(\d\d))?)?`).FindStringSubmatch(text)
	if m == nil {
		for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r < 'A' || r > 'Z' }) {
			if offset, named := abbreviation(word); named && len(word) > 1 {
				return time.FixedZone(word, int(offset))
			}
		}
		return nil
	}
	if m[1] == "" {
		return time.UTC
	}
	hours, _ := strconv.Atoi(m[2])
	minutes, _ := strconv.Atoi("0" + m[3])
	offset := hours*3600 + minutes*60
	if m[1] == "-" {
		offset = -offset
	}
	return time.FixedZone(m[0], offset)
}
