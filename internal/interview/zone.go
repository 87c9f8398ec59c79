package interview

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
)

// checkZone returns an error when a text names no time zone.
func checkZone(text string) error {
	if isZone(text) {
		return nil
	}
	return fmt.Errorf("%q is no time zone that is known; write %s", text, zoneMeant(text))
}

// isZone leaves out "Local", which is another zone on every machine.
func isZone(name string) bool {
	_, err := time.LoadLocation(name)
	return err == nil && name != "" && !strings.EqualFold(name, "local")
}

// doubtZone speaks up at the zones of winter time alone, which a shop's clock
// hardly keeps.
func doubtZone(text string) string {
	if slices.Contains([]string{"EST", "MST", "HST"}, text) {
		return fmt.Sprintf("%s keeps winter time all year; a place such as %s keeps summer time too", text, zoneMeant(text))
	}
	return ""
}

// zoneMeant is the zone that a text may mean: by the words people have for it,
// or by a city of it.
func zoneMeant(text string) string {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) })
	for _, z := range []struct{ name, words string }{
		{"America/New_York", "eastern est edt"}, {"America/Chicago", "central cst cdt"}, {"America/Denver", "mountain mst mdt"},
		{"America/Los_Angeles", "pacific pst pdt"}, {"America/Anchorage", "alaska"}, {"Pacific/Honolulu", "hawaii hst"},
	} {
		if slices.ContainsFunc(words, func(w string) bool { return slices.Contains(strings.Fields(z.words), w) }) {
			return z.name
		}
	}
	for i, w := range words {
		letters := []rune(w)
		words[i] = string(unicode.ToUpper(letters[0])) + string(letters[1:])
	}
	city := strings.Join(words, "_")
	for _, part := range []string{"America", "Europe", "Australia", "Asia", "Africa", "Pacific"} {
		for _, name := range []string{part + "/" + city, part + "/" + strings.TrimPrefix(city, part+"_")} {
			if city != "" && isZone(name) {
				return name
			}
		}
	}
	return "a place of the zone, such as America/Chicago"
}
