package rulebase_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"filmfault/internal/rulebase"
)

// FuzzLoad reads the sound base beside any other text, and the sound base with
// a part of it replaced by any other. It never panics, every complaint says
// where, what and what to write, and a base that is taken can be used whole.
func FuzzLoad(f *testing.F) {
	names, err := filepath.Glob(filepath.Join(badFolder, "*.yaml"))
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(data), 0, 0)
	}
	whole := string(sound(f))
	for _, word := range []string{"0", "1", ".5", "damp", "blisters", "[]", "{}", "rate: 0.2", "\n", "  ", "usually", "never", "definition", "at-least: {count: 1, of: [damp]}"} {
		for at := 0; at < len(whole); at += len(whole) / 7 {
			f.Add(word, at, 5)
		}
	}
	f.Fuzz(func(t *testing.T, text string, at, length int) {
		files := map[string]string{"sound.yaml": whole, "other.yaml": text}
		if at != 0 || length != 0 {
			files = map[string]string{"sound.yaml": mutated(whole, text, at, length)}
		}
		l := load(t, files)
		for _, d := range l.Diagnostics {
			requireUseful(t, d)
			requireInside(t, files, d.Span.File, d.Span.Start.Line, d.Span.Start.Column)
		}
		if l.Base == nil {
			if !l.Diagnostics.HasErrors() {
				t.Fatal("refused without a reason")
			}
			return
		}
		requireWhole(t, l.Base)
	})
}

// mutated replaces a stretch of a text.
func mutated(whole, by string, at, length int) string {
	at = min(max(at, 0), len(whole))
	end := min(at+max(length, 0), len(whole))
	return whole[:at] + by + whole[end:]
}

// requireInside wants a place that the file has.
func requireInside(t *testing.T, files map[string]string, name string, line, column int) {
	t.Helper()
	text, ok := files[name]
	if !ok {
		t.Fatalf("no file is called %q", name)
	}
	lines := strings.Split(text, "\n")
	if line > len(lines) || line > 0 && column > len([]rune(lines[line-1]))+2 {
		t.Fatalf("%s:%d:%d is outside the file", name, line, column)
	}
}

// requireWhole asks a base everything that can be asked of it by id.
func requireWhole(t *testing.T, b *rulebase.Base) {
	t.Helper()
	for _, id := range b.IDs() {
		if lines, ok := b.Describe(id); !ok || len(lines) == 0 {
			t.Fatalf("%s cannot be described", id)
		}
		b.Trees(id)
	}
	for _, e := range b.Events {
		if r := e.Rate.For(rulebase.Facts{}); !(r >= 0 && r <= 1) {
			t.Fatalf("%s has rate %v", e.ID, r)
		}
	}
	for _, f := range b.Findings {
		for _, r := range f.Rows {
			sum := 0.0
			for _, p := range r.Say {
				sum += p
			}
			if len(r.Say) != len(f.Answers) || sum < 1-1e-6 || sum > 1+1e-6 {
				t.Fatalf("a row of %s says %v", f.ID, r.Say)
			}
		}
	}
}
