package source

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func at(line, column int) Span {
	return Span{File: "a.yaml", Start: Pos{line, column}}
}

func TestSpanString(t *testing.T) {
	require.Equal(t, "a.yaml:14:7", at(14, 7).String())
	require.Equal(t, "a.yaml:14", at(14, 0).String())
	require.Equal(t, "a.yaml", at(0, 0).String())
}

func TestPosBefore(t *testing.T) {
	require.True(t, Pos{1, 9}.Before(Pos{2, 1}))
	require.True(t, Pos{2, 1}.Before(Pos{2, 2}))
	require.False(t, Pos{2, 2}.Before(Pos{2, 2}))
}

func TestDiagnosticStringIsOneLine(t *testing.T) {
	d := Diagnostic{at(3, 1), Error, "unknown-id", "no cause\nis called \"dmap\"\x1b[2J", "damp"}
	require.Equal(t, "a.yaml:3:1: no cause is called \"dmap\"\ufffd[2J [unknown-id]; write instead: damp", d.String())
	d = Diagnostic{Severity: Warning, Summary: "thin"}
	require.Equal(t, "warning: thin", d.String())
}

func TestListCountsErrorsOnly(t *testing.T) {
	var l List
	l.Warn(at(1, 1), "c", "s", "r")
	require.False(t, l.HasErrors())
	l.Error(at(1, 1), "c", "s", "r")
	require.True(t, l.HasErrors())
	require.Equal(t, 1, l.Errors())
	require.Equal(t, "warning", l[0].Severity.String())
	require.Equal(t, "error", l[1].Severity.String())
}

func TestSortIsByPlaceThenCheckAndStable(t *testing.T) {
	var l List
	l.Error(at(2, 1), "b", "fourth", "")
	l.Error(at(2, 1), "a", "second", "")
	l.Error(at(2, 1), "a", "third", "")
	l.Error(at(1, 9), "z", "first", "")
	l.Error(Span{File: "A.yaml", Start: Pos{9, 9}}, "z", "zeroth", "")
	l.Error(at(2, 2), "a", "fifth", "")
	l.Sort()
	var order []string
	for _, d := range l {
		order = append(order, d.Summary)
	}
	require.Equal(t, []string{"zeroth", "first", "second", "third", "fourth", "fifth"}, order)
}

func TestNearest(t *testing.T) {
	known := []string{"cure-time", "board-density", "film", "film-wet", "damp"}
	for name, want := range map[string]string{
		"cure_time":     "cure-time",
		"Cure Time":     "cure-time",
		"curetime":      "cure-time",
		"bord-denzity":  "board-density",
		"flim":          "film",
		"fil":           "film",
		"dmap":          "damp",
		"ventilation":   "",
		"":              "",
		"xy":            "",
		"film-wet-coat": "",
	} {
		got, ok := Nearest(name, known)
		require.Equal(t, want, got, name)
		require.Equal(t, want != "", ok, name)
	}
}

func TestNearestBreaksTiesByAlphabet(t *testing.T) {
	got, ok := Nearest("cat", []string{"rat", "bat", "hat"})
	require.True(t, ok)
	require.Equal(t, "bat", got)
	got, _ = Nearest("coats", []string{"boats", "coat", "coats"})
	require.Equal(t, "coats", got)
	_, ok = Nearest("cat", nil)
	require.False(t, ok)
}
