package redact

import (
	"regexp"
	"slices"
	"strings"
)

// kind is what is looked for in a text.
type kind int

const (
	running kind = iota // names, and patterns of addresses and phone numbers
	given               // names
	read                // names, but for words of the trade
)

// span is a stretch of a text that goes.
type span struct {
	start, end int
	mark       string
}

// clean is a text without what is private, and the marks that were put in.
func (n names) clean(text string, k kind, t Trade) (string, []string) {
	var spans []span
	if k != running && len(n.words) == 0 {
		return text, nil
	}
	if k == running {
		spans = patterns(text)
	}
	list := tokens(text)
	for i := 0; i < len(list); i++ {
		length, mark := n.run(text, list, i, k, t)
		if length == 0 {
			if mark = n.mark(list[i], k, t); mark == "" {
				spans = append(spans, n.inside(text, list[i])...)
				continue
			}
			length = 1
		}
		spans = append(spans, span{list[i].start, list[i+length-1].end, mark})
		i += length - 1
	}
	if len(spans) == 0 {
		return text, nil
	}
	var b strings.Builder
	var marks []string
	at := 0
	for _, s := range joined(text, spans) {
		b.WriteString(text[at:s.start] + s.mark)
		marks = append(marks, s.mark)
		at = s.end
	}
	return b.String() + text[at:], marks
}

// joined puts spans in order and makes one of those that overlap, and of
// neighbours of one mark.
func joined(text string, spans []span) []span {
	slices.SortStableFunc(spans, func(a, b span) int {
		if a.start != b.start {
			return a.start - b.start
		}
		return b.end - a.end
	})
	var out []span
	for _, s := range spans {
		if len(out) > 0 {
			last := &out[len(out)-1]
			neighbour := s.start >= last.end && s.mark == last.mark && beside(text[last.end:s.start])
			if s.start < last.end || neighbour {
				last.end = max(last.end, s.end)
				continue
			}
		}
		out = append(out, s)
	}
	return out
}

// The forms that give a person away in running text. Dates are told from phone
// numbers by their form.
var (
	mailForm = regexp.MustCompile(`[\pL\pN._%+'-]+@[\pL\pN.-]*[\pL\pN]`)
	webForm  = regexp.MustCompile(`(?i)(?:https?://|www\.)[^\s<>"')\]]*[^\s<>"')\].,;:!?]`)
	dateForm = regexp.MustCompile(`\b(?:\d{4}-\d{1,2}-\d{1,2}|\d{1,2}[./-]\d{1,2}[./-](?:\d{4}|\d{2}))\b`)
	callForm = regexp.MustCompile(`[+(]{0,2}\d+(?:[\s().-]{1,3}\d+)*`)

	streetForm = regexp.MustCompile(`\b\d{1,5}[a-zA-Z]?,?\s+(?:\p{Lu}[\pL\pN'’.-]*\s+){1,4}` +
		`(?i:street|str|st|road|rd|avenue|ave|av|lane|ln|drive|dr|boulevard|blvd|court|ct|square|sq|place|pl|terrace|way|close|` +
		`crescent|row|quay|highway|hwy|parkway|pkwy|mews|hill|gardens|wharf|parade|pike|route)\b\.?`)
	lowerForm = regexp.MustCompile(`(?i)\b\d{1,5}[a-z]?\s+[\pL'’-]{3,}\s+(?:street|road|avenue|lane)\b`)
	afterForm = regexp.MustCompile(`(?i)[\pL.-]{2,}(?:straße|strasse|str\.|weg|gasse|allee|platz)\s+\d{1,4}[a-z]?\b`)
	rueForm   = regexp.MustCompile(`(?i)\b\d{1,4}[a-z]?,?\s+(?:rue|chemin|quai)\s+(?:\pL[\pL'’.-]*\s*){1,4}`)
	boxForm   = regexp.MustCompile(`(?i)\bp\.?\s?o\.?\s?box\s+\d+`)
)

// patterns finds what looks like a way to reach somebody.
func patterns(text string) []span {
	if !strings.ContainsAny(text, "0123456789@") && !strings.Contains(text, "//") && !strings.Contains(fold(text), "www.") {
		return nil // most texts, told at once
	}
	var out []span
	for _, p := range []struct {
		form *regexp.Regexp
		mark string
	}{
		{mailForm, "[e-mail]"}, {webForm, "[web]"}, {streetForm, "[address]"}, {lowerForm, "[address]"},
		{afterForm, "[address]"}, {rueForm, "[address]"}, {boxForm, "[address]"},
	} {
		for _, m := range p.form.FindAllStringIndex(text, -1) {
			out = append(out, span{m[0], m[1], p.mark})
		}
	}
	found, _ := calls(text)
	return append(out, found...)
}
