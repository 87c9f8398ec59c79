package redact

import (
	"regexp"
	"strconv"
	"strings"
)

// What stands around figures tells readings from a number to ring.
var (
	unitAfter = regexp.MustCompile(`(?i)^\s?-?(?:[%°µ$€£]|(?:mils?|[uµ]m|microns?|mm|cm|m|km|in|inch(?:es)?|ft|feet|yds?|thou|kg|g|gsm|lbs?|oz|ml|l|gal|` +
		`f|c|k|rh|pct|percent|s|sec(?:onds)?|min(?:utes)?|h|hrs?|hours?|days?|weeks?|months?|years?|psi|k?pa|hpa|bar|fpm|mph|rpm|eur|usd|gbp|lux|ppm|cp|grit)\b)`)
	readBefore = regexp.MustCompile(`(?i)(?:[$€£#]|\b(?:read|reads|reading|readings|film|gauge|meter|probe|measured|measures|thickness|depth|coats?|` +
		`faces?|front|back|edges?|corners?|groove|spots?|panel|mils?|microns?|lots?|batch|job|order|invoice|serial|no|nr)\b)[^.;\n]{0,30}$`)
	callBefore = regexp.MustCompile(`(?i)\b(?:call|calls|called|ring|rang|phone|phoned|telephone|tel|mobile|mob|cell|fax|text|reach|dial)\b[^;\n]{0,24}$`)
	dayForm    = regexp.MustCompile(`^(?:19|20)\d\d(?:0[1-9]|1[0-2])(?:0[1-9]|[12]\d|3[01])$`)
)

// chance is how sure it is that figures are a phone number.
type chance int

const (
	none chance = iota
	unsure
	sure
)

// call tells a phone number from readings in a row, by its form and by the words
// around it.
func call(text string, start, end int) chance {
	number := text[start:end]
	switch {
	case isCall(number):
		return sure
	case !mayBeCall(number) || unitAfter.MatchString(text[end:]):
		return none
	case callBefore.MatchString(text[:start]):
		return sure
	case readBefore.MatchString(text[:start]):
		return none
	}
	return unsure
}

// isCall tells a phone number by its form alone. A number has seven to fifteen
// digits (Recommendation ITU-T E.164 allows fifteen) and begins with a plus, a
// bracket or a zero that is no reading's, or ends in three and four digits, or is
// nine digits or more in one.
func isCall(text string) bool {
	groups := digitGroups(text)
	digits := len(strings.Join(groups, ""))
	if digits < 7 || digits > 15 {
		return false
	}
	last := len(groups) - 1
	switch {
	case text[0] == '+', text[0] == '(', text[0] == '0' && len(groups[0]) > 1:
		return true
	case last == 0:
		return digits >= 9
	}
	return len(groups[last]) == 4 && len(groups[last-1]) == 3
}

// mayBeCall knows the forms that readings have too: 3-3-3, 2-2-2-2, and seven or
// eight digits in one that are no day.
func mayBeCall(text string) bool {
	groups := digitGroups(text)
	var lengths strings.Builder
	for _, g := range groups {
		lengths.WriteByte(byte('0' + min(len(g), 9)))
	}
	switch lengths.String() {
	case "333", "2222":
		return oneSeparator(text)
	case "7":
		return true
	case "8":
		return !dayForm.MatchString(text)
	}
	return false
}

// oneSeparator is false for readings with a decimal point: 12.50 13.25.
func oneSeparator(text string) bool {
	between := strings.FieldsFunc(text, isDigit)
	for _, s := range between {
		if s != between[0] {
			return false
		}
	}
	return true
}

func digitGroups(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return !isDigit(r) })
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

// calls finds phone numbers, and says whether one of them may be readings.
func calls(text string) (out []span, doubt bool) {
	undated := withoutDays(text)
	for _, m := range callForm.FindAllStringIndex(undated, -1) {
		c := call(undated, m[0], m[1])
		if c != none {
			out = append(out, span{m[0], m[1], "[phone]"})
		}
		doubt = doubt || c == unsure
	}
	return out, doubt
}

// withoutDays puts letters in the place of dates, so that they are no numbers to
// ring; two and two digits that no calendar has are left, and four times two.
func withoutDays(text string) string {
	var b strings.Builder
	at := 0
	for _, m := range dateForm.FindAllStringIndex(text, -1) {
		b.WriteString(text[at:m[0]])
		at = m[1]
		if day := text[m[0]:m[1]]; goesOn(day, text[m[1]:]) || !inCalendar(digitGroups(day)) {
			b.WriteString(day)
			continue
		}
		b.WriteString(strings.Repeat("x", m[1]-m[0]))
	}
	return b.String() + text[at:]
}

// goesOn reports whether another group follows by the separator of the date.
func goesOn(day, rest string) bool {
	separator := strings.IndexFunc(day, func(r rune) bool { return !isDigit(r) })
	return len(rest) > 1 && rest[0] == day[separator] && isDigit(rune(rest[1]))
}

func inCalendar(groups []string) bool {
	if len(groups[0]) == 4 {
		return true
	}
	first, _ := strconv.Atoi(groups[0])
	second, _ := strconv.Atoi(groups[1])
	return min(first, second) <= 12 && max(first, second) <= 31
}
