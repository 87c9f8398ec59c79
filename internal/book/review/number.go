package review

import (
	"encoding/json"
	"math"
	"strconv"
)

// Number is printed with four digits after the point at most, so that the same
// book gives the same bytes everywhere.
type Number float64

// MarshalJSON prints the number; what is none, as null.
func (n Number) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(n)) || math.IsInf(float64(n), 0) {
		return []byte("null"), nil
	}
	return json.RawMessage(strconv.FormatFloat(math.Round(float64(n)*1e4)/1e4+0, 'f', -1, 64)), nil
}

// number points to a number, for figures that can be absent.
func number(x float64) *Number {
	n := Number(x)
	return &n
}

// share is a part of a whole, 0 of nothing.
func share(part, whole float64) Number {
	if whole == 0 {
		return 0
	}
	return Number(part / whole)
}
