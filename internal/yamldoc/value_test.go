package yamldoc

import (
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/source"
)

// field is the value behind the key "x" of a text.
func field(t *testing.T, text string) Value {
	t.Helper()
	var d source.List
	return parsed(t, text).Fields(&d, "a file").Get("x")
}

func TestKindsComeFromTheTextAsTyped(t *testing.T) {
	for text, want := range map[string]Kind{
		"x:": Null, "x: ~": Null, "x: null": Null, "x: \"\"": Text, "x: 'null'": Text,
		"x: no": Text, "x: 012": Text, "x: .nan": Text, "x: 2001-12-14": Text,
		"x: []": List, "x: {}": Mapping, "y: 1": Missing,
	} {
		require.Equal(t, want, field(t, text).Kind(), text)
	}
	require.True(t, field(t, "x: 'no'").Quoted())
	require.True(t, field(t, "x: |\n  no\n").Quoted())
	require.False(t, field(t, "x: no").Quoted())
	require.Equal(t, "a map", Mapping.String())
}

func TestSpansCoverWhatWasTyped(t *testing.T) {
	for text, want := range map[string][4]int{
		"x: damp wall": {1, 4, 1, 13},
		"x: 'it''s' #": {1, 4, 1, 11},
		`x: "a\"b" #`:  {1, 4, 1, 10},
		"é: 1\nx: é b": {2, 4, 2, 7},
		"x: |\n  a\n":  {1, 4, 1, 5},
		"x:\n  - a\n":  {2, 3, 2, 4},
		"x: [a]\n":     {1, 4, 1, 5},
		"x:\n  ab: 1":  {2, 3, 2, 5},
		"x:\n":         {1, 1, 1, 2},
		"x: ~":         {1, 4, 1, 5},
	} {
		s := field(t, text).Span()
		require.Equal(t, want, [4]int{s.Start.Line, s.Start.Column, s.End.Line, s.End.Column}, "%q", text)
	}
	require.Zero(t, Value{}.Span())
}

func TestTextIsAsWritten(t *testing.T) {
	var d source.List
	require.Equal(t, "no", field(t, "x: no").Text(&d, "x"))
	require.Equal(t, "012", field(t, "x: 012").Text(&d, "x"))
	require.Equal(t, "fallback", field(t, "x:").TextOr("fallback"))
	require.Equal(t, "y", field(t, "x: y").TextOr("fallback"))
	require.Empty(t, d)
	for text, check := range map[string]string{
		"x:": "empty-value", "x: ' '": "empty-text", "x: [a]": "wrong-shape", "x: {a: b}": "wrong-shape",
	} {
		d = nil
		require.Empty(t, field(t, text).Text(&d, "the title"))
		require.Len(t, d, 1, text)
		require.Equal(t, check, d[0].Check, text)
		require.Contains(t, d[0].Summary, "the title")
	}
}

func TestNumberIsStrict(t *testing.T) {
	var d source.List
	for text, want := range map[string]float64{
		"0": 0, "12": 12, "-3.5": -3.5, "+4": 4, "0.5": 0.5, "35 %": 0.35, "35%": 0.35, "'7'": 7,
	} {
		x, ok := field(t, "x: "+text).Number(&d, "the weight")
		require.True(t, ok, text)
		require.InDelta(t, want, x, 1e-15, text)
	}
	require.Empty(t, d)
	for text, remedy := range map[string]string{
		"0,5": "0.5 with a decimal point", ".5": "0.5", "-.5": "-0.5", "012": "without zeros in front", "1_000": "1000",
		".nan": "plain digits", ".inf": "plain digits", "1e400": "plain digits", "1e3": "plain digits",
		"0x1F": "plain digits", "5.": "plain digits", "12 mil": "plain digits", "[1]": "number such as",
	} {
		d = nil
		_, ok := field(t, "x: "+text).Number(&d, "the weight")
		require.False(t, ok, text)
		require.Len(t, d, 1, text)
		require.Contains(t, d[0].Remedy, remedy, text)
	}
}

func TestWholeAndFlag(t *testing.T) {
	var d source.List
	n, ok := field(t, "x: -12").Whole(&d, "the rank")
	require.True(t, ok)
	require.Equal(t, -12, n)
	for text, want := range map[string]bool{"yes": true, "TRUE": true, "no": false, "'False'": false} {
		flag, ok := field(t, "x: "+text).Flag(&d, "it")
		require.True(t, ok, text)
		require.Equal(t, want, flag, text)
	}
	require.Empty(t, d)
	for _, text := range []string{"1.5", "012", "99999999999999999999", "two", ""} {
		_, ok := field(t, "x: "+text).Whole(&d, "the rank")
		require.False(t, ok, text)
	}
	for _, text := range []string{"on", "y", "1", "[yes]"} {
		_, ok := field(t, "x: "+text).Flag(&d, "it")
		require.False(t, ok, text)
	}
	require.Len(t, d, 9)
}

func TestFieldsNameUnknownAndMissingKeys(t *testing.T) {
	v := parsed(t, "id: damp\nsympton: x\nzzz: y\n")
	var d source.List
	f := v.Fields(&d, "a cause", "id", "symptom", "title")
	require.Equal(t, []string{"sympton", "zzz"}, f.Unknown())
	require.Equal(t, []string{"id", "sympton", "zzz"}, f.Keys())
	require.False(t, f.Need(&d, "title").IsText())
	require.True(t, f.Has("id"))
	require.False(t, f.Has("title"))
	var got []string
	for _, x := range d {
		got = append(got, x.String())
	}
	require.Equal(t, []string{
		`f.yaml:2:1: a cause has no key "sympton" [unknown-key]; write instead: symptom`,
		`f.yaml:3:1: a cause has no key "zzz" [unknown-key]; write instead: one of id, symptom, title`,
		`f.yaml:1:1: a cause needs the key "title" [missing-key]; write instead: a line "title:" with its value`,
	}, got)

	d = nil
	require.Equal(t, []string{"sympton", "zzz"}, v.FieldsKeepingUnknown(&d, "a cause", "id").Unknown())
	require.Empty(t, v.Fields(&d, "a cause").Unknown())
	require.Empty(t, d)
}

func TestWhatIsMissingIsReportedOnce(t *testing.T) {
	var d source.List
	f := field(t, "x: text").Fields(&d, "the cause", "id")
	require.Len(t, d, 1)
	require.Equal(t, "wrong-shape", d[0].Check)
	f.Need(&d, "id").Text(&d, "the id")
	f.Get("id").Number(&d, "the id")
	require.Empty(t, Value{}.Items(&d, "a list"))
	require.Empty(t, Value{}.Fields(&d, "a map", "id").Keys())
	require.Nil(t, Value{}.Plain())
	require.Len(t, d, 1)
}

func TestItemsAndOneOrMore(t *testing.T) {
	var d source.List
	require.Len(t, field(t, "x: [a, b]").Items(&d, "the steps"), 2)
	require.Len(t, field(t, "x: [a, b]").OneOrMore(&d, "the steps"), 2)
	require.Equal(t, "a", field(t, "x: a").OneOrMore(&d, "the steps")[0].Text(&d, "a step"))
	require.Empty(t, d)
	require.Empty(t, field(t, "x: a").Items(&d, "the steps"))
	require.Empty(t, field(t, "x: {a: b}").OneOrMore(&d, "the steps"))
	require.Empty(t, field(t, "x:").Items(&d, "the steps"))
	require.Len(t, d, 3)
}

func TestPlainKeepsWhatWasTyped(t *testing.T) {
	require.Equal(t, map[string]any{
		"a": "no", "b": []any{"1", "x", nil}, "c": map[string]any{"d": "012"},
	}, parsed(t, "a: no\nb: [1, 'x', ~]\nc:\n  d: 012\n").Plain())
}
