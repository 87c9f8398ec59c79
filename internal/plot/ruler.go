package plot

import (
	"strings"
	"unicode"
)

// ruler says how wide a character is.
type ruler func(r rune) float64

// terminal measures in columns.
func terminal() ruler { return func(r rune) float64 { return float64(cells(r)) } }

// face measures a sans-serif face of a size, after the widest of the common
// ones, so that words seldom need more than it says.
func face(size float64) ruler {
	return func(r rune) float64 { return float64(ems(r) * size) }
}

func ems(r rune) float64 {
	switch {
	case cells(r) != 1:
		return float64(cells(r)) * 0.6
	case strings.ContainsRune("ijl.,:;'| !I", r):
		return 0.36
	case strings.ContainsRune("ftr()[]-/", r):
		return 0.43
	case strings.ContainsRune("mwMW%@", r):
		return 0.98
	case unicode.IsUpper(r):
		return 0.74
	}
	return 0.62
}

func (m ruler) width(s string) float64 {
	sum := 0.0
	for _, r := range s {
		sum += m(r)
	}
	return sum
}

// cut shortens s to a width, with dots where it was longer.
func (m ruler) cut(s string, width float64) string {
	if m.width(s) <= width {
		return s
	}
	dots := "..."
	for dots != "" && m.width(dots) > width {
		dots = dots[1:]
	}
	head, _ := m.split(s, width-m.width(dots))
	return strings.TrimRight(head, " ") + dots
}

// split divides s so that the head is no wider than width.
func (m ruler) split(s string, width float64) (head, tail string) {
	used := 0.0
	for i, r := range s {
		if used += m(r); used > width {
			return s[:i], s[i:]
		}
	}
	return s, ""
}

// wrap breaks text into lines of at most a width, at blanks where it can. A
// character wider than that gets a line of its own.
func (m ruler) wrap(s string, width float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		if line != "" && m.width(line+" "+word) <= width {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for m.width(word) > width {
			head, tail := m.split(word, width)
			if head == "" {
				first := []rune(word)[0]
				head, tail = string(first), word[len(string(first)):]
			}
			if tail == "" {
				break
			}
			lines = append(lines, head)
			word = tail
		}
		line = word
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// textWidth is how many columns of a terminal text fills at most.
func textWidth(s string) int { return int(terminal().width(s)) }
