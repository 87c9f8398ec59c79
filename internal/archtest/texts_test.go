package archtest

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// shipped lists everything that a user gets to read: code, rules, cases, guides
// and the stories under testdata.
func shipped(t *testing.T) []string {
	t.Helper()
	var out []string
	for _, name := range filesWith(t, ".go", ".yaml", ".md", ".txt", ".txtar") {
		if !strings.HasPrefix(name, "internal/archtest/") && !strings.Contains(name, "testdata/fuzz/") {
			out = append(out, name)
		}
	}
	return out
}

// TestNothingIsLeftOver wants no mark of unfinished work and no path of
// somebody's machine in anything shipped.
func TestNothingIsLeftOver(t *testing.T) {
	left := regexp.MustCompile(`\b(TODO|FIXME|XXX|HACK|WIP)\b|/home/[a-z]+/|/Users/[A-Za-z]+/|/work/|/root/|[A-Z]:\\Users\\|\blorem ipsum\b`)
	for _, name := range shipped(t) {
		data, err := os.ReadFile(filepath.Join(root, name))
		require.NoError(t, err)
		for i, line := range strings.Split(string(data), "\n") {
			if m := left.FindString(line); m != "" {
				t.Errorf("%s:%d: %q is left over", name, i+1, m)
			}
		}
	}
}

// TestRulesNeverSay wants none of the words in the rules and the casebook that
// a result must not have: they reach the page from there.
func TestRulesNeverSay(t *testing.T) {
	never := regexp.MustCompile(`(?i)safe to hang|no structural risk|defective product|just retouch|\bper (ASTM|ISO|SSPC|NACE)\b|according to (ASTM|ISO|SSPC)`)
	for _, name := range filesWith(t, ".yaml") {
		if !strings.HasPrefix(name, "rules/") && !strings.HasPrefix(name, "casebook/") {
			continue
		}
		data, err := os.ReadFile(filepath.Join(root, name))
		require.NoError(t, err)
		for i, line := range strings.Split(string(data), "\n") {
			if m := never.FindString(line); m != "" {
				t.Errorf("%s:%d says %q", name, i+1, m)
			}
		}
	}
}

// TestLinesEndAsTheyShould wants Unix line ends, no blanks before them, and one
// at the end of each file of code, rules and cases.
func TestLinesEndAsTheyShould(t *testing.T) {
	for _, name := range filesWith(t, ".go", ".yaml", ".md") {
		if strings.Contains(name, "testdata/") {
			continue
		}
		data, err := os.ReadFile(filepath.Join(root, name))
		require.NoError(t, err)
		text := string(data)
		require.NotContains(t, text, "\r", name)
		require.True(t, strings.HasSuffix(text, "\n"), "%s has no line end at its end", name)
		for i, line := range strings.Split(text, "\n") {
			if strings.HasSuffix(line, " ") || strings.HasSuffix(line, "\t") {
				t.Errorf("%s:%d ends in blanks", name, i+1)
			}
		}
	}
}
