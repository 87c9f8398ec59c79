package rulebase_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"filmfault/internal/rulebase"
	"filmfault/internal/source"
)

var update = flag.Bool("update", false, "write the expected texts in testdata/bad anew")

const badFolder = "../../testdata/bad/rules"

// sound is the small rule base that broken files are read together with.
func sound(t testing.TB) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(badFolder, "sound", "sound.yaml"))
	require.NoError(t, err)
	return data
}

// load reads files as one layer without a name, as `rules check` does.
func load(t testing.TB, files map[string]string) rulebase.Loaded {
	t.Helper()
	folder := fstest.MapFS{}
	for name, text := range files {
		folder[name] = &fstest.MapFile{Data: []byte(text)}
	}
	l, err := rulebase.Load(rulebase.Layer{FS: folder})
	require.NoError(t, err)
	if l.Base != nil {
		l.Diagnostics = append(l.Diagnostics, l.Base.Separation()...)
	}
	return l
}

func TestSoundBaseIsSound(t *testing.T) {
	l := load(t, map[string]string{"sound.yaml": string(sound(t))})
	require.Empty(t, l.Diagnostics)
	require.NotNil(t, l.Base)
}

// TestBadRules reads each broken file together with the sound base and compares
// what is printed, to the letter: place, what is wrong, the line with a caret,
// what to write instead.
func TestBadRules(t *testing.T) {
	names, err := filepath.Glob(filepath.Join(badFolder, "*.yaml"))
	require.NoError(t, err)
	require.Greater(t, len(names), 60)
	for _, path := range names {
		name := filepath.Base(path)
		t.Run(strings.TrimSuffix(name, ".yaml"), func(t *testing.T) {
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			l := load(t, map[string]string{"sound.yaml": string(sound(t)), name: string(data)})
			require.NotEmpty(t, l.Diagnostics)
			for _, d := range l.Diagnostics {
				requireUseful(t, d)
			}
			var text strings.Builder
			require.NoError(t, source.Print(&text, l.Diagnostics, l.Sources, source.PrintOptions{}))
			compareWith(t, strings.TrimSuffix(path, ".yaml")+".txt", text.String())
		})
	}
}

// requireUseful wants what every diagnostic has: a file and a check, a summary,
// a remedy.
func requireUseful(t testing.TB, d source.Diagnostic) {
	t.Helper()
	require.NotEmpty(t, d.Span.File, d.String())
	require.NotEmpty(t, d.Check, d.String())
	require.NotEmpty(t, d.Summary, d.String())
	require.NotEmpty(t, d.Remedy, d.String())
	whole := map[string]bool{"empty": true, "too-big": true, "syntax": true}
	if !whole[d.Check] {
		require.Positive(t, d.Span.Start.Line, d.String())
		require.Positive(t, d.Span.Start.Column, d.String())
	}
}

// compareWith compares a text with the one kept in a file.
func compareWith(t testing.TB, path, got string) {
	t.Helper()
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
		return
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, string(want), got)
}
