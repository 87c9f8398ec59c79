package yamldoc

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
	"pgregory.net/rapid"
)

func rendered(t *testing.T, m *Map, old Value) string {
	t.Helper()
	out, err := Render(m, old)
	require.NoError(t, err)
	return string(out)
}

func TestRenderQuotesWhatOthersCouldMisread(t *testing.T) {
	m := NewMap()
	m.Set("words", []string{"yes", "No", "on", "~", "null", "12:30", "012", "1.20", "2001-12-14", "0x1f", ".nan", "1e3",
		" lead", "trail ", "", "- x", "a: b", "a #b", "@x", "12 mil", "primer-2", `say "hi"`, "don't"})
	text := rendered(t, m, Value{})
	// A reader that resolves types, as YAML 1.1 and 1.2 readers do, must see
	// nothing but strings.
	var loose map[string][]any
	require.NoError(t, yaml.Unmarshal([]byte(text), &loose))
	for i, x := range loose["words"] {
		require.IsType(t, "", x, "item %d", i)
	}
	for _, line := range []string{`- "yes"`, `- "No"`, `- "on"`, `- "12:30"`, `- "012"`, `- "1.20"`, `- 12 mil`, `- primer-2`, `- 'say "hi"'`, `- don't`} {
		require.Contains(t, text, "  "+line+"\n")
	}
}

func TestRenderWritesEveryType(t *testing.T) {
	inner := NewMap()
	inner.Set("k", "v")
	m := NewMap()
	m.Set("text", "one: two\n\n  three\n")
	m.Set("count", 3)
	m.Set("f", 0.25)
	m.Set("yes", true)
	m.Set("none", []string{})
	m.Set("map", inner)
	m.Set("maps", []*Map{inner, inner})
	m.Set("old", parsed(t, "[a, 'b'] # why\n"))
	m.Set("count", 4)
	require.Equal(t, `text: |
  one: two

    three
count: 4
f: 0.25
"yes": true
none: []
map:
  k: v
maps:
  - k: v
  - k: v
old: [a, 'b'] # why
`, rendered(t, m, Value{}))
	require.Equal(t, []string{"text", "count", "f", "yes", "none", "map", "maps", "old"}, m.Keys())
	require.Equal(t, "{}\n", rendered(t, NewMap(), Value{}))
}

const oldJob = `# Job of the west wall.

# who asked
title: old # in short
# mine, keep
note: [x, y] # here too
steps:
  # the wet one
  - id: prime # twice
    remark: kept
    coats: 1
  - id: gone
stale: 1
body: |
  same
# the end
`

func TestRenderKeepsCommentsAndForeignKeys(t *testing.T) {
	step := NewMap("id", "coats")
	step.Set("id", "prime")
	step.Set("coats", 2)
	fresh := NewMap("id", "coats")
	fresh.Set("id", "mask")
	m := NewMap("title", "by", "steps", "stale", "body")
	m.Set("title", "new")
	m.Set("by", "me")
	m.Set("steps", []*Map{step, fresh})
	m.Set("body", "same\n")
	require.Equal(t, `# Job of the west wall.

# who asked
title: new # in short
by: me
# mine, keep
note: [x, y] # here too
steps:
  # the wet one
  - id: prime # twice
    remark: kept
    coats: 2
  - id: mask
body: |
  same
# the end
`, rendered(t, m, parsed(t, oldJob)))
}

func TestRenderOfNothingNewChangesNothing(t *testing.T) {
	require.Equal(t, oldJob, rendered(t, NewMap(), parsed(t, oldJob)))
}

func TestRenderKeepsACommentBesideWhatBecomesABlock(t *testing.T) {
	m := NewMap()
	m.Set("a", "two\nlines\n")
	text := rendered(t, m, parsed(t, "a: one # why\nb: 1\n"))
	require.Contains(t, text, "# why")
	require.Equal(t, map[string]any{"a": "two\nlines\n", "b": "1"}, parsed(t, text).Plain())
}

func TestRenderKeepsCommentsOfListItems(t *testing.T) {
	m := NewMap("l")
	m.Set("l", []string{"new", "b", "b"})
	require.Equal(t, "l:\n  - new\n  # why b\n  - b # really\n  - b\n",
		rendered(t, m, parsed(t, "l:\n  - a # gone\n  # why b\n  - b # really\n")))
}

func TestRenderRefuses(t *testing.T) {
	for name, x := range map[string]any{
		"type": 'x', "nan": math.NaN(), "control": "a\x1bb", "utf8": "\xff", "missing": Value{},
		"nil": (*Map)(nil), "list": []string{"\r"}, "maps": []*Map{nil}, "void": nil,
	} {
		m := NewMap()
		m.Set(name, x)
		_, err := Render(m, Value{})
		require.ErrorContains(t, err, name+": ")
	}
	m := NewMap()
	m.Set("", "x")
	_, err := Render(m, Value{})
	require.Error(t, err)
	_, err = Render(nil, Value{})
	require.Error(t, err)
}

// anyText draws texts, most of them made of the pieces that YAML stumbles on.
func anyText() *rapid.Generator[string] {
	pieces := rapid.SampledFrom([]string{" ", "\n", "\t", "a", "no", "0", "1.5", ":", ": ", " #", "#", "- ", "-", "?", "'", `"`, `\`,
		"|", ">", "&", "*", "!", "%", "@", "`", "{", "}", "[", "]", ",", "<<", "~", "é", "漢", "\U0001f58c", "...", "---", "="})
	nasty := rapid.Map(rapid.SliceOfN(pieces, 0, 12), func(p []string) string { return strings.Join(p, "") })
	plain := rapid.String().Filter(func(s string) bool { return writable(s) == nil })
	return rapid.OneOf(nasty, plain)
}

func TestRenderThenParseGivesTheSameTexts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := map[string]any{}
		m, inner := NewMap(), NewMap()
		for key, text := range rapid.MapOfN(anyText().Filter(func(s string) bool { return s != "" }), anyText(), 0, 5).Draw(t, "texts") {
			m.Set(key, text)
			want[key] = text
		}
		text := anyText().Draw(t, "inner")
		inner.Set("k", text)
		m.Set("inner", inner)
		m.Set("list", []string{text, text})
		m.Set("maps", []*Map{inner})
		want["inner"] = map[string]any{"k": text}
		want["list"] = []any{text, text}
		want["maps"] = []any{want["inner"]}
		out, err := Render(m, Value{})
		require.NoError(t, err)
		require.Equal(t, want, parsed(t, string(out)).Plain(), "%s", out)
	})
}

func FuzzRender(f *testing.F) {
	f.Add([]byte(oldJob), "text")
	f.Add([]byte("a: {b: [1, 2]} # x\n# y\nc: >\n  z\n"), "a\nb")
	f.Fuzz(func(t *testing.T, data []byte, text string) {
		old, list := Parse("f.yaml", data, Limits{})
		if list.HasErrors() || !old.IsMap() || writable(text) != nil {
			return
		}
		m := NewMap()
		m.Set("set", text)
		out, err := Render(m, old)
		if err != nil {
			return // refused rather than written wrongly
		}
		want := old.Plain().(map[string]any)
		want["set"] = text
		require.Equal(t, want, parsed(t, string(out)).Plain())
	})
}

// commentedJob draws a file with comments in all places people put them, and
// gives the comments.
func commentedJob(t *rapid.T) (text string, comments []string) {
	var b strings.Builder
	comment := func() string {
		comments = append(comments, "# remark "+strconv.Itoa(len(comments))+" end")
		return comments[len(comments)-1]
	}
	maybe := rapid.IntRange(0, 2)
	values := rapid.SampledFrom([]string{" v", " 'q'", " [x, y]", " {m: n}", "\n  - i\n  - j", "\n  d: e\n  f: g",
		"\n  - id: z\n    y: x", " |\n  two\n  lines", ""})
	for i := range rapid.IntRange(1, 5).Draw(t, "keys") {
		if maybe.Draw(t, "blank") == 0 {
			b.WriteString("\n")
		}
		if maybe.Draw(t, "head") == 0 {
			b.WriteString(comment() + "\n")
		}
		value := values.Draw(t, "value")
		b.WriteString("k" + strconv.Itoa(i) + ":" + value)
		if !strings.Contains(value, "|") && maybe.Draw(t, "line") == 0 {
			b.WriteString(" " + comment())
		}
		b.WriteString("\n")
		if maybe.Draw(t, "foot") == 0 {
			b.WriteString(comment() + "\n\n")
		}
	}
	return b.String(), comments
}

func TestRenderKeepsEveryCommentOfWhatSurvives(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, comments := commentedJob(t)
		old := parsed(t, text)
		want := old.Plain().(map[string]any)
		m := NewMap()
		for _, key := range rapid.SliceOfN(rapid.SampledFrom([]string{"k0", "k1", "new"}), 0, 3).Draw(t, "set") {
			// What hung on the items of a list goes with the items, so only
			// single values are replaced here.
			if _, single := want[key].(string); !single && want[key] != nil {
				continue
			}
			words := rapid.SampledFrom([]string{"short", "two\nlines", "a: b"}).Draw(t, "words")
			m.Set(key, words)
			want[key] = words
		}
		out, err := Render(m, old)
		require.NoError(t, err, "%s", text)
		require.Equal(t, want, parsed(t, string(out)).Plain())
		for _, c := range comments {
			require.Equal(t, 1, strings.Count(string(out), c), "%s\n--- became\n%s", text, out)
		}
	})
}
