package diagnosis_test

import (
	"os"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/require"

	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
	"filmfault/internal/source"
)

// prepared loads and prepares rule files given as texts.
func prepared(t testing.TB, files map[string]string) *diagnosis.Rules {
	t.Helper()
	folder := fstest.MapFS{}
	for name, text := range files {
		folder[name] = &fstest.MapFile{Data: []byte(text)}
	}
	l, err := rulebase.Load(rulebase.Layer{FS: folder})
	require.NoError(t, err)
	require.NotNil(t, l.Base, "%v", l.Diagnostics)
	r, err := diagnosis.Prepare(l.Base)
	require.NoError(t, err)
	return r
}

// wideRules is a base in which one finding, knot, ties six causes together that
// nothing else ties, and the other findings hang on one cause each.
func wideRules(t testing.TB) *diagnosis.Rules {
	t.Helper()
	data, err := os.ReadFile("testdata/wide.yaml")
	require.NoError(t, err)
	return prepared(t, map[string]string{"wide.yaml": string(data)})
}

func TestWidthNamesTheFindingThatTies(t *testing.T) {
	r := wideRules(t)
	list, err := r.Width(diagnosis.WidthLimits{})
	require.NoError(t, err)
	require.Empty(t, list)
	list, err = r.Width(diagnosis.WidthLimits{Nodes: 300})
	require.NoError(t, err)
	require.Len(t, list, 1)
	knot, _ := r.Base.Finding("knot")
	require.Equal(t, knot.Span, list[0].Span)
	require.Equal(t, source.Error, list[0].Severity)
	require.Equal(t, "too-wide", list[0].Check)
	require.Regexp(t, `^with blisters seen and 4 of the findings answered the rules cannot be solved exactly within 300 nodes; taking knot out helps most \(\d+ nodes are left\)$`, list[0].Summary)
	require.Contains(t, list[0].Remedy, "hang it on a gate")
}

// TestWidthWhenNothingHelps takes a limit that no removal can meet.
func TestWidthWhenNothingHelps(t *testing.T) {
	list, err := wideRules(t).Width(diagnosis.WidthLimits{Nodes: 5})
	require.NoError(t, err)
	require.Len(t, list, 1)
	require.Contains(t, list[0].Summary, "is not enough by itself")
}

// TestWidthCountsTheTime lets every look at the clock take a second.
func TestWidthCountsTheTime(t *testing.T) {
	now := time.Unix(0, 0)
	list, err := wideRules(t).Width(diagnosis.WidthLimits{Time: time.Second - 1, Now: func() time.Time {
		now = now.Add(time.Second)
		return now
	}})
	require.NoError(t, err)
	require.Len(t, list, 1)
	require.Equal(t, source.Warning, list[0].Severity, "the machine has a share in it")
	require.Contains(t, list[0].Summary, "within 999.999999ms; taking knot out helps most")
}

// TestWidthTakesTheWidest answers two findings only: the knot and the one that
// rests on as many events and comes before it by its id.
func TestWidthTakesTheWidest(t *testing.T) {
	list, err := wideRules(t).Width(diagnosis.WidthLimits{Nodes: 300, Answers: 2})
	require.NoError(t, err)
	require.Len(t, list, 1)
	require.Contains(t, list[0].Summary, "and 2 of the findings answered")
	require.Contains(t, list[0].Summary, "taking knot out helps most")
}
