package yamldoc

import (
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"filmfault/internal/source"
)

// parsed is the value of a text that must be readable.
func parsed(t require.TestingT, text string) Value {
	v, list := Parse("f.yaml", []byte(text), Limits{})
	require.Empty(t, list)
	return v
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct{ text, place, check, part string }{
		{"", "f.yaml", "empty", "nothing in the file"},
		{"# only a comment\n\n", "f.yaml", "empty", "nothing in the file"},
		{"a: \xff\n", "f.yaml:1:4", "encoding", "0xff is not UTF-8"},
		{"é: 1\nü: \xc3(\n", "f.yaml:2:4", "encoding", "0xc3"},
		{"a: x\x00\n", "f.yaml:1:5", "control-character", "U+0000"},
		{"a: x\u2028b\n", "f.yaml:1:5", "control-character", "U+2028"},
		{"a: x\rb: y\n", "f.yaml:1:5", "control-character", "carriage return"},
		{"a: \"x\\0\"\n", "f.yaml:1:4", "control-character", "U+0000"},
		{"x: &a 1\n", "f.yaml:1:4", "anchor", "&"},
		{"x: [1, *y]\n", "f.yaml:1:1", "alias", "*"},
		{"a: {<<: {b: 1}}\n", "f.yaml:1:5", "merge-key", "<<"},
		{"a: !lead 1\n", "f.yaml:1:4", "tag", "!"},
		{"a: !!str 1\n", "f.yaml:1:4", "tag", "!"},
		{"a: ! 1\n", "f.yaml:1:4", "tag", "!"},
		{"a: 1\n---\nb: 2\n", "f.yaml:2:1", "second-document", "---"},
		{"a: 1\nb: 2\n\"a\": 3\n", "f.yaml:3:1", "duplicate-key", `"a" was already given in line 1, column 1`},
		{"l:\n  - b: 1\n    b: 2\n", "f.yaml:3:5", "duplicate-key", "line 2, column 5"},
		{"? [a]\n: 1\n", "f.yaml:1:3", "complex-key", "list or a map"},
		{"\"\": 1\n", "f.yaml:1:1", "empty-key", "no key"},
	} {
		_, list := Parse("f.yaml", []byte(c.text), Limits{})
		require.Len(t, list, 1, "%q", c.text)
		require.Equal(t, c.check, list[0].Check, "%q", c.text)
		require.Equal(t, c.place, list[0].Span.String(), "%q", c.text)
		require.Contains(t, list[0].Summary, c.part, "%q", c.text)
	}
}

func TestSyntaxErrorsNameTheLineInOurWords(t *testing.T) {
	for _, c := range []struct{ text, place, check, part string }{
		{"a:\n\tb: 1\n", "f.yaml:2:1", "tab-indent", "tab"},
		{"a:\n  b: 1\n \tc: 1\n", "f.yaml:3:2", "tab-indent", "tab"},
		{"a: 1\nb: x: y\n", "f.yaml:2:1", "syntax", "second colon"},
		{"a: 1\nlong:\n  k: 1\n  j: 2\n\n\n oops: 2\nz: 1\n", "f.yaml:7:2", "syntax", "line up"},
		{"a:\n  - x\n  y: 1\n", "f.yaml:3:3", "syntax", "list items"},
		{"a: 1\nb: \"open\nc: 1\nd: 1\n", "f.yaml:2:1", "syntax", "never closed"},
		{"a: 1\nb\nc: 2\n", "f.yaml:2:1", "syntax", "no colon"},
		{"a: 1\nb: [1, 2\nc: 3\n", "f.yaml:2:1", "syntax", "[ ] is not closed"},
		{"a: 1\nb: @x\n", "f.yaml:2:1", "syntax", "quotes"},
		{"a: 1\nb: - x\n", "f.yaml:2:1", "syntax", "list item may not begin"},
		{"a: \"x\\q\"\n", "f.yaml:1:1", "syntax", "backslash"},
		{"a: *nobody\n", "f.yaml:1:1", "alias", "*"},
		{strings.Repeat("[", 20000), "f.yaml:1:1", "too-deep", "too deeply"},
	} {
		_, list := Parse("f.yaml", []byte(c.text), Limits{})
		require.Len(t, list, 1, "%q", c.text)
		require.Equal(t, c.place, list[0].Span.String(), "%q", c.text)
		require.Equal(t, c.check, list[0].Check, "%q", c.text)
		require.Contains(t, list[0].Summary, c.part, "%q", c.text)
		require.NotContains(t, list[0].Summary, "yaml:", "%q", c.text)
	}
}

func TestParseAcceptsByteOrderMarkAndCRLF(t *testing.T) {
	v := parsed(t, "\ufeffa: 1\r\nb: |\r\n  x\r\n  y\r\n")
	require.Equal(t, map[string]any{"a": "1", "b": "x\ny\n"}, v.Plain())
	var d source.List
	require.Equal(t, "f.yaml:1:1", v.Fields(&d, "a file").KeySpan("a").String())
}

func TestLimits(t *testing.T) {
	_, list := Parse("f", []byte("a: 123456789\n"), Limits{Bytes: 5})
	require.Equal(t, "too-big", list[0].Check)
	_, list = Parse("f", []byte("[[[1]]]"), Limits{Depth: 2})
	require.Len(t, list, 1)
	require.Equal(t, "f:1:3: maps and lists are nested more than 2 deep [too-deep]", strings.Split(list[0].String(), ";")[0])
	_, list = Parse("f", []byte("[[[1]]]"), Limits{Depth: 3})
	require.Empty(t, list)
	_, list = Parse("f", []byte("[1, 2, 3, 4, 5, 6]"), Limits{Nodes: 4})
	require.Len(t, list, 1)
	require.Equal(t, "too-big", list[0].Check)
	_, list = Parse("f", []byte("[1, 2, 3]"), Limits{Nodes: 4})
	require.Empty(t, list)
	require.Equal(t, Limits{8 << 20, 64, 200_000}, DefaultLimits())
}

func TestAHostileFileGivesABoundedNumberOfComplaints(t *testing.T) {
	_, list := Parse("f", []byte(strings.Repeat("a: 1\n", 5000)), Limits{})
	require.Len(t, list, maxProblems)
}

// counter counts the bytes that were asked of an endless file.
type counter struct{ n int64 }

func (c *counter) Read(p []byte) (int, error) {
	c.n += int64(len(p))
	return len(p), nil
}

func TestReadAllStopsAtTheLimit(t *testing.T) {
	endless := &counter{}
	data, list, err := ReadAll(endless, "f.yaml", Limits{Bytes: 1000})
	require.NoError(t, err)
	require.Nil(t, data)
	require.Equal(t, "too-big", list[0].Check)
	require.LessOrEqual(t, endless.n, int64(1001))

	data, list, err = ReadAll(strings.NewReader("a: 1"), "f.yaml", Limits{Bytes: 4})
	require.NoError(t, err)
	require.Empty(t, list)
	require.Equal(t, "a: 1", string(data))

	broken := errors.New("disk on fire")
	_, _, err = ReadAll(io.MultiReader(strings.NewReader("a"), iotest.ErrReader(broken)), "f.yaml", Limits{})
	require.ErrorIs(t, err, broken)
}

// checkDiagnostics makes sure that every complaint names a file and a remedy
// and lies inside the text.
func checkDiagnostics(t *testing.T, data []byte, list source.List) {
	t.Helper()
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	lines := bytes.Split(bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n")), []byte("\n"))
	for _, d := range list {
		require.NotEmpty(t, d.Span.File)
		require.NotEmpty(t, d.Remedy)
		require.NotEmpty(t, d.Summary)
		require.NotEmpty(t, d.Check)
		start, end := d.Span.Start, d.Span.End
		if start.Line == 0 {
			continue
		}
		require.LessOrEqual(t, start.Line, len(lines))
		width := utf8.RuneCount(lines[start.Line-1])
		require.GreaterOrEqual(t, start.Column, 1)
		require.Equal(t, start.Line, end.Line)
		require.GreaterOrEqual(t, end.Column, start.Column)
		require.LessOrEqual(t, end.Column, width+1, "%s", d)
	}
}

// readEverything calls every reading method on a value and what is in it.
func readEverything(v Value, d *source.List) {
	v.Text(d, "a text")
	v.Number(d, "a number")
	v.Whole(d, "a whole number")
	v.Flag(d, "a flag")
	for _, item := range v.OneOrMore(d, "a list") {
		if v.IsList() {
			readEverything(item, d)
		}
	}
	f := v.Fields(d, "a map", "id", "title")
	f.Need(d, "id")
	for _, key := range f.Keys() {
		f.KeySpan(key)
		readEverything(f.Get(key), d)
	}
}

func FuzzParse(f *testing.F) {
	for _, text := range []string{"a: 1\nb: [x, 'y', \"z\"]\n", "a: |\n  x\n", "a: &x 1\nb: *x\n", "a:\n\t- 1\n", "a: 1\n---\nb: 2\n",
		"\ufeffa: 1\r\n", "? [a]\n: 1\n", "a: \"x\ny: 1\n", "<<: {a: 1}\n", "a: .nan\n", "é: \xff", "a:\n - b\n  c\n", "%YAML 1.2\n---\na"} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		v, list := Parse("f.yaml", data, Limits{})
		checkDiagnostics(t, data, list)
		require.Equal(t, list.HasErrors(), v.Kind() == Missing)
		var d source.List
		readEverything(v, &d)
		checkDiagnostics(t, data, d)
	})
}

func TestALongLineIsReadInReasonableTime(t *testing.T) {
	// 150 000 entries on one line: looking for each from the beginning of the
	// line would take minutes.
	text := "[" + strings.Repeat("1,", 150_000) + "]"
	done := make(chan source.List, 1)
	go func() {
		_, list := Parse("f", []byte(text), Limits{})
		done <- list
	}()
	select {
	case list := <-done:
		require.Empty(t, list)
	case <-time.After(20 * time.Second):
		t.Fatal("the time grows with the square of the length of a line")
	}
}
