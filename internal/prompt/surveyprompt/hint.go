package surveyprompt

import (
	"fmt"
	"regexp"
	"strings"

	"filmfault/internal/console"
)

// noneFits stands in the hint's place when the letters typed fit no line.
const noneFits = "[nothing fits, Ctrl-U clears]"

// hints are the ways to say how a list is used, the fullest first.
func hints() []string { return []string{hint, "[arrows move, letters filter]"} }

// rehint lays the hint after a list's label out for a window of this width.
// Survey breaks it in the middle of a word where it does not fit, and counts
// rows by its own layout, so the new one must fill as many.
func rehint(text string, width int) string {
	at := regexp.MustCompile(`  ((?:\x1b\[[0-9;]*m)*)` + regexp.QuoteMeta(hint)).FindStringSubmatchIndex(text)
	if at == nil || width < 1 {
		return text
	}
	before, colour, after := text[:at[0]], text[at[2]:at[3]], text[at[1]:]
	words := hints()
	if uncoloured(after) == "\n" {
		words = []string{noneFits}
	}
	label := columns(before[strings.LastIndexByte(before, '\n')+1:])
	whole := label + len("  ") + len(hint)
	switch {
	case whole <= width:
		return before + "  " + colour + fmt.Sprintf("%-*s", len(hint), words[0]) + after
	case label > width:
		return text
	}
	for _, w := range words {
		if len(w) <= width {
			more := strings.Repeat("\n", (whole-1)/width-1)
			return before + "\n" + colour + w + more + after
		}
	}
	return text
}

func uncoloured(text string) string {
	return regexp.MustCompile(`\x1b\[[0-9;?]*[A-Za-z]`).ReplaceAllString(text, "")
}

func columns(text string) int { return console.DisplayWidth(uncoloured(text)) }
