package plot

import (
	"strings"
	"testing"

	"github.com/mattn/go-runewidth"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestCleanKeepsALineALine(t *testing.T) {
	require.Equal(t, "fan on [31m loud", clean(" fan\non \x1b[31m\tloud\u202e "))
	require.Equal(t, "?", clean("\xff"))
}

func TestASCII(t *testing.T) {
	require.Equal(t, `72 F, 3 1/2", naive Cafe, +/-2 - ??`, ascii("72 \u00b0F, 3\u00bd\u2033, na\u00efve Caf\u00e9, \u00b12 \u2013 \u6f06\u55b7"))
	rapid.Check(t, func(t *rapid.T) {
		for _, r := range ascii(rapid.String().Draw(t, "s")) {
			require.True(t, r >= ' ' && r <= '~', "%q", r)
		}
	})
}

// display measures as a terminal does that is not set to an East Asian width.
func display(s string) int {
	return (&runewidth.Condition{}).StringWidth(s)
}

func TestWidthIsNeverTooSmall(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := clean(rapid.String().Draw(t, "s"))
		require.GreaterOrEqual(t, textWidth(s), display(s), "%q", s)
	})
	require.Equal(t, 4, textWidth("\u6f06\u55b7"))
	require.Equal(t, 4, textWidth("cafe\u0301"))
}

func TestCut(t *testing.T) {
	require.Equal(t, "film surface", terminal().cut("film surface", 12))
	require.Equal(t, "film...", terminal().cut("film surface", 8))
	require.Equal(t, "..", terminal().cut("film", 2))
	require.Equal(t, "", terminal().cut("film", 0))
}

func TestWrapLosesNothing(t *testing.T) {
	require.Equal(t, []string{"a bc", "defgh", "ij"}, terminal().wrap("a bc defghij", 5))
	rapid.Check(t, func(t *rapid.T) {
		s := clean(words().Draw(t, "s"))
		width := rapid.IntRange(2, 40).Draw(t, "width")
		lines := terminal().wrap(s, float64(width))
		for _, line := range lines {
			require.LessOrEqual(t, textWidth(line), width)
			require.NotEmpty(t, line)
		}
		require.Equal(t, strings.ReplaceAll(s, " ", ""), strings.ReplaceAll(strings.Join(lines, ""), " ", ""))
	})
}

// TestWrapWithNoRoom: a character that is wider than the line still comes out.
func TestWrapWithNoRoom(t *testing.T) {
	require.Equal(t, []string{"a", "b"}, face(10).wrap("ab", 1))
}
