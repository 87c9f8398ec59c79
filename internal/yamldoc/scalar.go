package yamldoc

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"filmfault/internal/source"
)

var (
	decimalForm = regexp.MustCompile(`^[+-]?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?$`)
	wholeForm   = regexp.MustCompile(`^[+-]?(?:0|[1-9][0-9]*)$`)
	commaForm   = regexp.MustCompile(`^[+-]?[0-9]+,[0-9]+$`)
	zeroForm    = regexp.MustCompile(`^[+-]?0+[0-9]+(?:\.[0-9]+)?$`)
	bareDotForm = regexp.MustCompile(`^([+-]?)\.([0-9]+)$`)
)

// Number gives a decimal number: digits, perhaps with a sign and a decimal
// point, or the same with a percent sign, which divides by 100 ("35 %" is
// 0.35). Everything else that YAML readers take for numbers is reported: nan,
// inf, exponents, leading zeros, underscores, decimal commas.
func (v Value) Number(d *source.List, what string) (float64, bool) {
	text, ok := v.scalar(d, what, "a number", "a number such as 12 or 0.5")
	if !ok {
		return 0, false
	}
	digits, percent := strings.CutSuffix(text, "%")
	digits = strings.TrimRight(digits, " ")
	x, err := strconv.ParseFloat(digits, 64)
	if !decimalForm.MatchString(digits) || err != nil || math.IsInf(x, 0) {
		d.Error(v.Span(), "number", what+" must be a number, this is "+strconv.Quote(text), numberRemedy(digits))
		return 0, false
	}
	if percent {
		x /= 100
	}
	return x, true
}

// numberRemedy guesses how a number was meant.
func numberRemedy(text string) string {
	if m := bareDotForm.FindStringSubmatch(text); m != nil {
		return m[1] + "0." + m[2]
	}
	switch {
	case commaForm.MatchString(text):
		return strings.Replace(text, ",", ".", 1) + " with a decimal point; leave out the comma if it parts thousands"
	case zeroForm.MatchString(text):
		return "the number without zeros in front"
	case strings.Contains(text, "_"):
		return strings.ReplaceAll(text, "_", "") + " without underscores"
	}
	return "a number such as 12 or 0.5, in plain digits"
}

// Whole gives a whole number, written in digits with perhaps a sign. It must
// fit into an int; everything else is reported.
func (v Value) Whole(d *source.List, what string) (int, bool) {
	text, ok := v.scalar(d, what, "a whole number", "a whole number such as 3")
	if !ok {
		return 0, false
	}
	n, err := strconv.Atoi(text)
	if !wholeForm.MatchString(text) || err != nil {
		d.Error(v.Span(), "whole", what+" must be a whole number, this is "+strconv.Quote(text),
			"a whole number such as 3, in plain digits")
		return 0, false
	}
	return n, true
}

// Flag gives a yes/no: yes, no, true or false, in upper or lower case.
func (v Value) Flag(d *source.List, what string) (bool, bool) {
	text, ok := v.scalar(d, what, "yes or no", "yes or no")
	if !ok {
		return false, false
	}
	switch strings.ToLower(text) {
	case "yes", "true":
		return true, true
	case "no", "false":
		return false, true
	}
	d.Error(v.Span(), "flag", what+" must be yes or no, this is "+strconv.Quote(text), "yes or no")
	return false, false
}

// scalar gives the text of a scalar without blanks around it.
func (v Value) scalar(d *source.List, what, wanted, remedy string) (string, bool) {
	if !v.IsText() {
		v.refuse(d, what, wanted, remedy)
		return "", false
	}
	return strings.TrimSpace(v.node.Value), true
}
