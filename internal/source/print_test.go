package source

import (
	"errors"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func printed(t *testing.T, l List, text string, opt PrintOptions) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, Print(&b, l, map[string][]byte{"a.yaml": []byte(text)}, opt))
	return b.String()
}

func one(start, end Pos, summary, remedy string) List {
	return List{{Span{"a.yaml", start, end}, Error, "check", summary, remedy}}
}

func TestPrintShowsLineCaretAndRemedy(t *testing.T) {
	text := "\ufefftitle: x\r\ncolour: red\r\n"
	got := printed(t, one(Pos{2, 1}, Pos{2, 7}, "no key \"colour\"", "color"), text, PrintOptions{})
	require.Equal(t, `a.yaml:2:1: no key "colour" [check]
  colour: red
  ^~~~~~
  write instead: color
`, got)
}

func TestPrintAlignsByDisplayWidth(t *testing.T) {
	// U+6F22 takes two columns on a terminal (East Asian Width W, Unicode
	// Standard Annex 11), U+0301 takes none.
	got := printed(t, one(Pos{1, 4}, Pos{1, 5}, "s", ""), "\u6f22\u6f22 \u6f22 x", PrintOptions{})
	require.Equal(t, "a.yaml:1:4: s [check]\n  \u6f22\u6f22 \u6f22 x\n       ^~\n", got)
	got = printed(t, one(Pos{1, 3}, Pos{1, 4}, "s", ""), "e\u0301x", PrintOptions{})
	require.Contains(t, got, "\n   ^\n")
	got = printed(t, one(Pos{1, 3}, Pos{}, "s", ""), "a\tb", PrintOptions{})
	require.Contains(t, got, "\n  a   b\n      ^\n")
}

func TestPrintWindowsLongLines(t *testing.T) {
	line := strings.Repeat("a", 500) + "HERE" + strings.Repeat("b", 500)
	got := printed(t, one(Pos{1, 501}, Pos{1, 505}, "s", ""), line, PrintOptions{Width: 40})
	lines := strings.Split(got, "\n")
	require.Len(t, lines[1], 40)
	require.True(t, strings.HasPrefix(lines[1], "  ...a"))
	require.True(t, strings.HasSuffix(lines[1], "b..."))
	require.Equal(t, strings.Index(lines[1], "HERE"), strings.Index(lines[2], "^~~~"))
}

func TestPrintCopesWithMissingSources(t *testing.T) {
	l := one(Pos{9, 1}, Pos{}, "s", "r")
	require.Equal(t, "a.yaml:9:1: s [check]\n  write instead: r\n", printed(t, l, "one line", PrintOptions{}))
	var b strings.Builder
	require.NoError(t, Print(&b, l, nil, PrintOptions{}))
	require.Equal(t, "a.yaml:9:1: s [check]\n  write instead: r\n", b.String())
}

func TestPrintStopsAtMax(t *testing.T) {
	var l List
	for range 5 {
		l.Warn(Span{File: "a.yaml"}, "c", "s", "")
	}
	got := printed(t, l, "", PrintOptions{Max: 3})
	require.Equal(t, strings.Repeat("a.yaml: warning: s [c]\n", 3)+"... and 2 more\n", got)
	require.NotContains(t, printed(t, l, "", PrintOptions{Max: 5}), "more")
}

func TestPrintWrapsTheRemedy(t *testing.T) {
	got := printed(t, one(Pos{}, Pos{}, "s", "one two three four"), "", PrintOptions{Width: 26})
	require.Equal(t, "a.yaml: s [check]\n  write instead: one two\n    three four\n", got)
}

func TestPrintColors(t *testing.T) {
	l := one(Pos{1, 1}, Pos{1, 2}, "s", "")
	require.Contains(t, printed(t, l, "x", PrintOptions{Color: true}), "\x1b[31ms [check]\x1b[0m")
	require.NotContains(t, printed(t, l, "x", PrintOptions{}), "\x1b")
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errors.New("full") }

func TestPrintReturnsTheErrorOfTheWriter(t *testing.T) {
	require.EqualError(t, Print(failing{}, one(Pos{}, Pos{}, "s", ""), nil, PrintOptions{}), "full")
}

// checkPrinted makes sure that nothing printed can move the cursor and that no
// source or caret line is wider than asked for.
func checkPrinted(t require.TestingT, text, summary, remedy string, start, end Pos, width int) {
	var b strings.Builder
	l := one(start, end, summary, remedy)
	require.NoError(t, Print(&b, l, map[string][]byte{"a.yaml": []byte(text)}, PrintOptions{Width: width}))
	for i, line := range strings.Split(b.String(), "\n") {
		for _, r := range line {
			require.False(t, unicode.IsControl(r), "%q", line)
		}
		if i == 1 && !strings.HasPrefix(line, margin+remedyTag) {
			require.LessOrEqual(t, displayWidth(line), max(width, narrowest), "%q", line)
		}
	}
}

func TestPrintIsSafeForAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		checkPrinted(t, rapid.String().Draw(t, "text"), rapid.String().Draw(t, "summary"), rapid.String().Draw(t, "remedy"),
			Pos{1, rapid.IntRange(-1, 200).Draw(t, "column")},
			Pos{rapid.IntRange(0, 2).Draw(t, "line"), rapid.IntRange(-1, 200).Draw(t, "end")},
			rapid.IntRange(1, 100).Draw(t, "width"))
	})
}

func FuzzPrint(f *testing.F) {
	f.Add("a: \u6f22\tb\r\nc", "s", "r", 1, 3, 1, 5, 40)
	f.Add("\xff\x00", "s\x1b", "", 1, 1, 2, 0, 0)
	f.Fuzz(func(t *testing.T, text, summary, remedy string, line, column, endLine, endColumn, width int) {
		checkPrinted(t, text, summary, remedy, Pos{line, column}, Pos{endLine, endColumn}, min(max(width, 1), 500))
	})
}
