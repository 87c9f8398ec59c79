package source

import (
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
)

// longestName is the number of characters past which a name is taken for
// prose and not compared: the cost of an edit distance grows with the product
// of both lengths.
const longestName = 200

// Nearest gives the known name that a mistyped name most likely stands for,
// and false when none is near. Nearness is the edit distance in characters,
// after upper case, spaces and underscores have been read as lower case and
// hyphens. At most a third of the characters may differ, with two always
// allowed, and at least one character must agree. Among equally near names the
// alphabetically first is given.
func Nearest(name string, known []string) (string, bool) {
	typed := fold(name)
	length := utf8.RuneCountInString(typed)
	if length == 0 || length > longestName {
		return "", false
	}
	limit := min(max(2, length/3), length-1)
	best, found := "", false
	for _, candidate := range known {
		distance, near := within(typed, fold(candidate), limit)
		if !near || found && distance == limit && candidate >= best {
			continue
		}
		best, found, limit = candidate, true, distance
	}
	return best, found
}

// within gives the edit distance of two folded names when it is not over the
// limit. Names of too different a length are passed over without computing.
func within(a, b string, limit int) (int, bool) {
	gap := utf8.RuneCountInString(a) - utf8.RuneCountInString(b)
	if gap > limit || -gap > limit {
		return 0, false
	}
	distance := levenshtein.ComputeDistance(a, b)
	return distance, distance <= limit
}

// fold reads a name the way ids are written: lower case, with hyphens.
func fold(name string) string {
	name = strings.ToLower(strings.TrimSpace(name))
	return strings.Map(func(r rune) rune {
		if r == ' ' || r == '_' {
			return '-'
		}
		return r
	}, name)
}
