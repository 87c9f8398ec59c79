package surveyprompt

import (
	"os"
	"regexp"
	"strings"
)

// ink is the screen as survey gets to see it. It puts the colours survey asks
// for right: survey wants bright ones, which vanish on a white screen, and
// takes only its own view of whether colour is wanted at all. Changing its
// templates would do the same for the whole process; this does it for one
// screen.
type ink struct {
	file   *os.File
	colour bool
	width  func() int // of the whole window, as survey reckons with it
}

// Fd lets survey ask for the size of the window.
func (k *ink) Fd() uintptr { return k.file.Fd() }

// Write implements io.Writer. Survey writes colour codes whole.
func (k *ink) Write(p []byte) (int, error) {
	if _, err := k.file.Write(recolour([]byte(rehint(string(p), k.width())), k.colour)); err != nil {
		return 0, err
	}
	return len(p), nil
}

// recolour replaces every colour code in text, or drops it.
func recolour(text []byte, colour bool) []byte {
	code := regexp.MustCompile(`\x1b\[[0-9;]*m`)
	return code.ReplaceAllFunc(text, func(c []byte) []byte {
		if !colour {
			return nil
		}
		return []byte(legible(string(c)))
	})
}

// legible maps a colour code to one that can be read on white and on black:
// bold, red and magenta can, and the text's default colour always.
func legible(code string) string {
	var keep []string
	for part := range strings.SplitSeq(code[2:len(code)-1], ";") {
		switch part {
		case "", "0", "1", "22", "31", "35", "39":
			keep = append(keep, part)
		case "32", "36", "92", "96":
			keep = append(keep, "35")
		case "91":
			keep = append(keep, "31")
		}
	}
	if len(keep) == 0 {
		return ""
	}
	return "\x1b[" + strings.Join(keep, ";") + "m"
}
