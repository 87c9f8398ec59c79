package console_test

import (
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"filmfault/internal/console"
)

func TestWrap(t *testing.T) {
	for _, row := range []struct {
		name            string
		text            string
		width           int
		indent, hanging string
		want            string
	}{
		{"short", "primer lifts", 20, "", "", "primer lifts"},
		{"exactly full", "primer lifts", 12, "", "", "primer lifts"},
		{"one too many", "primer lifts", 11, "", "", "primer\nlifts"},
		{"indents", "one two three", 10, "1. ", "   ", "1. one two\n   three"},
		{"line ends stay", "one\n\ntwo", 20, "- ", "  ", "- one\n\n  two"},
		{"spaces become one", "a  b \t c ", 20, "", "", "a b c"},
		{"empty", "", 20, "", "", ""},
		{"a long word stays whole", "at https://x.y/abcdefgh now", 20, "", "", "at\nhttps://x.y/abcdefgh\nnow"},
		{"wide letters count twice", "日本 日本", 8, "", "", "日本\n日本"},
		{"a word wider than a line", "abcdefgh", 5, "", "  ", "abcde\n  fgh"},
		{"an accent stays with its letter", "aaaae\u0301b", 5, "", "", "aaaae\u0301\nb"},
		{"a number and its unit stay together", "film of 3\u00a0mil", 9, "", "", "film of\n3\u00a0mil"},
		{"no room at all", "ab", 1, ">>>", ">>>", ">>>a\n>>>b"},
	} {
		t.Run(row.name, func(t *testing.T) {
			require.Equal(t, row.want, console.Wrap(row.text, row.width, row.indent, row.hanging))
		})
	}
}

// letters drops everything a line break may change.
func letters(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		return r
	}, s)
}

func TestWrapLosesNothingAndFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.OneOf(
			rapid.RuneFrom([]rune("ab  \n日é️👍🏽\u0301\u00a0")), rapid.Rune())).Draw(t, "text")
		text = strings.ToValidUTF8(text, "")
		width := rapid.IntRange(4, 40).Draw(t, "width")
		wrapped := console.Wrap(text, width, "", "  ")
		if letters(text) != letters(wrapped) {
			t.Fatalf("text changed: %q became %q", text, wrapped)
		}
		for line := range strings.SplitSeq(wrapped, "\n") {
			if w := console.DisplayWidth(line); w > width {
				t.Fatalf("a line of %d columns in %d: %q", w, width, line)
			}
		}
		if got := strings.Count(wrapped, "\n"); got < strings.Count(text, "\n") {
			t.Fatalf("line ends lost: %q became %q", text, wrapped)
		}
	})
}

func TestWrapBreaksNoWordThatFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOf(rapid.StringMatching(`[a-zäß]{1,10}`)).Draw(t, "words")
		wrapped := console.Wrap(strings.Join(words, " "), rapid.IntRange(10, 60).Draw(t, "width"), "", "")
		if got := strings.Fields(wrapped); strings.Join(got, " ") != strings.Join(words, " ") {
			t.Fatalf("%q became %q", words, got)
		}
	})
}

func TestCut(t *testing.T) {
	for _, row := range []struct {
		text  string
		width int
		want  string
	}{
		{"primer", 6, "primer"},
		{"primer", 5, "prim…"},
		{"the primer", 5, "the…"},
		{"日本日本", 6, "日本…"},
		{"日", 1, "…"},
		{"e\u0301e\u0301e\u0301", 2, "e\u0301…"},
		{"", 0, ""},
	} {
		got := console.Cut(row.text, row.width, "…")
		require.Equal(t, row.want, got)
	}
}

func TestCutFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		width := rapid.IntRange(3, 30).Draw(t, "width")
		if w := console.DisplayWidth(console.Cut(text, width, "...")); w > width {
			t.Fatalf("%d columns, %d wanted", w, width)
		}
	})
}

func TestPrintableTakesTheSwitchesOut(t *testing.T) {
	require.Equal(t, "?[31mred?", console.Printable("\x1b[31mred\a"))
	require.Equal(t, "?2J", console.Printable("\u009b2J"), "the one-character form of the same")
	require.Equal(t, "a b\nc", console.Printable("a\tb\nc"))
	require.Equal(t, "??", console.Printable("\xff\r"))
	require.Equal(t, "ünïcode 日本", console.Printable("ünïcode 日本"))
}
