package implied_test

import (
	"context"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/casebook"
	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/implied"
	"filmfault/internal/rulebase"
	"filmfault/rules"
)

func shipped(t testing.TB) *diagnosis.Rules {
	t.Helper()
	l, err := rulebase.Load(rulebase.Layer{Name: "rules", FS: rules.FS})
	require.NoError(t, err)
	require.NotNil(t, l.Base)
	r, err := diagnosis.Prepare(l.Base)
	require.NoError(t, err)
	return r
}

func parse(t testing.TB, text string) *casefile.Case {
	t.Helper()
	c, diags, err := casefile.Parse("case.yaml", []byte("schema: 1\n"+text))
	require.NoError(t, err)
	require.Empty(t, diags)
	return c
}

func noFiles(string) (io.ReadCloser, error) { return nil, os.ErrNotExist }

func of(t testing.TB, r *diagnosis.Rules, c *casefile.Case) *implied.Log {
	t.Helper()
	l, err := implied.Of(context.Background(), r.Base, c, noFiles, implied.Ordinary())
	require.NoError(t, err)
	require.NotNil(t, l)
	return l
}

// ranked is the ranking of a case with its log, and without.
func ranked(t testing.TB, r *diagnosis.Rules, c *casefile.Case) (with, without map[string]float64) {
	t.Helper()
	sheet, diags := diagnosis.Resolve(r.Base, c)
	require.Empty(t, diags)
	l := of(t, r, c)
	require.Empty(t, l.Problems)
	all := func(s diagnosis.Sheet) map[string]float64 {
		e, err := r.Evaluate(s)
		require.NoError(t, err)
		out := map[string]float64{}
		for _, x := range e.Ranking() {
			out[x.Cause.ID] = x.Contributed
		}
		return out
	}
	return all(sheet.WithComputed(l.Computed)), all(sheet)
}

// blisters is a case of blisters, invented, with a log of which start and air are
// given.
func blisters(air, fan, painted string) string {
	return "failures: {blistering: seen}\nfindings: {blister-underside: paint-and-primer}\nlog:\n  coats:\n" +
		"    - {face: both, material: primer, start: 2026-04-03 8:00, wet-film: 10 mil, thinning: 2 %, " + air + ", fan: " + fan + "}\n" +
		"    - {face: both, material: acrylic paint, start: " + painted + ", wet-film: 4 mil}\n"
}

// TestALogArguesWithTheSymptoms: a sound log acquits the damp primer, a cold damp
// still one convicts the air, a short one the clock. Common practice, no source.
func TestALogArguesWithTheSymptoms(t *testing.T) {
	r := shipped(t)
	sound, none := ranked(t, r, parse(t, blisters("air: 72 F, humidity: 45 %", "400 fpm", "2026-04-03 16:00")))
	require.Less(t, sound["closed-over-too-soon"], none["closed-over-too-soon"]/2)
	require.Less(t, sound["cold-damp-still-air"], none["cold-damp-still-air"]/2)
	cold, _ := ranked(t, r, parse(t, blisters("air: 48 F, humidity: 84 %", "off", "2026-04-03 16:00")))
	require.Greater(t, cold["cold-damp-still-air"], 0.6)
	require.Less(t, cold["closed-over-too-soon"], cold["cold-damp-still-air"]/3)
	short, _ := ranked(t, r, parse(t, blisters("air: 72 F, humidity: 45 %", "400 fpm", "2026-04-03 8:40")))
	require.Greater(t, short["closed-over-too-soon"], 0.6)
	require.Less(t, short["cold-damp-still-air"], 0.1)
}

func bow(size, front, back string) string {
	return "facts: {thickness: {value: 1 in}, density: {value: 15 lb/ft3}}\nfailures: {bow: seen}\nfindings: {bow-size: {value: " + size + "}}\nlog:\n  coats:\n" +
		front + back
}

const (
	frontCoats = "    - {face: front, material: primer, start: 2026-04-03 8:00, wet-film: 10 mil, air: 70 F, humidity: 50 %, fan: on}\n" +
		"    - {face: front, material: primer, start: 2026-04-04 8:00, wet-film: 10 mil}\n"
	backCoats = "    - {face: back, material: primer, start: 2026-04-03 9:00, wet-film: 10 mil}\n" +
		"    - {face: back, material: primer, start: 2026-04-04 9:00, wet-film: 10 mil}\n"
	bareBack = "    - {face: back, material: none}\n"
)

// TestTheComputedBowIsSetAgainstTheMeasuredOne: equal stacks acquit the coats; a
// bare back convicts them of a bow that its coats can make, and less so of one
// far larger. Common practice, no source: equal stacks compute to no bow, coats
// explain 0.1 of a 0.6 in bow.
func TestTheComputedBowIsSetAgainstTheMeasuredOne(t *testing.T) {
	r := shipped(t)
	equal, none := ranked(t, r, parse(t, bow("1/8 in", frontCoats, backCoats)))
	require.Less(t, equal["unequal-coats"], none["unequal-coats"])
	require.Less(t, equal["bare-back"]+equal["unequal-coats"]+equal["unequal-film"], 0.25)
	bare, _ := ranked(t, r, parse(t, bow("1/8 in", frontCoats, bareBack)))
	require.Greater(t, bare["bare-back"], 0.5)
	large, _ := ranked(t, r, parse(t, bow("3 in", frontCoats, bareBack)))
	require.Less(t, large["bare-back"], bare["bare-back"]-0.2)
}

// TestAFaceOfWhichTheLogSaysNothing is not taken for bare.
func TestAFaceOfWhichTheLogSaysNothing(t *testing.T) {
	r := shipped(t)
	l := of(t, r, parse(t, bow("1/8 in", frontCoats, "")))
	for _, c := range l.Computed {
		require.NotEqual(t, rulebase.CoatsBow, c.Calculation.Computes)
	}
	require.Contains(t, strings.Join(l.Notes, " "), "says nothing of the back")
}

// TestABrokenLogLeavesTheRestAlone: nothing enters, and what is wrong is told.
func TestABrokenLogLeavesTheRestAlone(t *testing.T) {
	r := shipped(t)
	l := of(t, r, parse(t, blisters("air: 70 C, humidity: 45 %", "on", "2026-04-03 16:00")))
	require.True(t, l.Problems.HasErrors())
	require.Empty(t, l.Computed)
	require.Nil(t, l.Outcome)
}

// TestEveryFigureSaysWhatWasAssumed and lies within its range; the same case gives
// the same figures.
func TestEveryFigureSaysWhatWasAssumed(t *testing.T) {
	r := shipped(t)
	c := parse(t, blisters("air: 60 F, humidity: 70 %", "on", "2026-04-03 12:00"))
	l, again := of(t, r, c), of(t, r, c)
	require.Equal(t, l.Figures, again.Figures)
	require.NotEmpty(t, l.Figures)
	for _, f := range l.Figures {
		require.LessOrEqual(t, f.Value.Low, f.Value.High, f.Name)
		require.Contains(t, f.Assumed, "high-build-primer-volume-solids")
		require.Contains(t, f.Assumed, "fan-speed", "on is no speed")
		require.NotContains(t, f.Assumed, "coat-1-wet-film", "that was gauged")
	}
}

// TestABookCaseWithALoggersFile reads the logger's file and the shop's from beside
// the case, and the replays hold what the shop's own figures change.
func TestABookCaseWithALoggersFile(t *testing.T) {
	r := shipped(t)
	data, err := casebook.FS.ReadFile("quay-office.yaml")
	require.NoError(t, err)
	c, diags, err := casefile.Parse("quay-office.yaml", data)
	require.NoError(t, err)
	require.Empty(t, diags)
	open := func(name string) (io.ReadCloser, error) { return casebook.FS.Open(name) }
	l, err := implied.Of(context.Background(), r.Base, c, open, implied.Ordinary())
	require.NoError(t, err)
	require.False(t, l.Problems.HasErrors(), "%v", l.Problems)
	require.Equal(t, []string{"grey-filler-primer"}, l.Shop.Own)
	require.NotContains(t, l.Figures[0].Assumed, "grey-filler-primer-volume-solids")
	require.Contains(t, l.Figures[0].Assumed, "grey-filler-primer-diffusion")
	events, err := l.ButFor(context.Background(), 16)
	require.NoError(t, err)
	require.Equal(t, "primer-wet-when-closed", events[0].Calculation.ID)
	var words []string
	for _, u := range events[0].Alone {
		words = append(words, string(u.Departure))
		require.LessOrEqual(t, u.Mean, events[0].Mean+0.02, "undoing a departure does not wet the film")
	}
	require.Equal(t, []string{"fresh-fan", "standing", "fan", "air"}, words)
}

// BenchmarkBookCase is all that the log of a case costs: 256 draws as logged, 64
// with the departures of each cause undone, and a sweep of the network per draw.
func BenchmarkBookCase(b *testing.B) {
	r := shipped(b)
	data, err := casebook.FS.ReadFile("quay-office.yaml")
	require.NoError(b, err)
	c, _, err := casefile.Parse("quay-office.yaml", data)
	require.NoError(b, err)
	open := func(name string) (io.ReadCloser, error) { return casebook.FS.Open(name) }
	var log *implied.Log
	b.Run("replay", func(b *testing.B) {
		for b.Loop() {
			log, err = implied.Of(context.Background(), r.Base, c, open, implied.Ordinary())
			require.NoError(b, err)
		}
	})
	sheet, _ := diagnosis.Resolve(r.Base, c)
	var e *diagnosis.Evaluation
	b.Run("evaluate", func(b *testing.B) {
		for b.Loop() {
			e, err = r.Evaluate(sheet.WithComputed(log.Computed))
			require.NoError(b, err)
		}
	})
	b.Run("sweeps", func(b *testing.B) {
		for b.Loop() {
			e, err = r.Evaluate(sheet.WithComputed(log.Computed))
			require.NoError(b, err)
			_ = e.Spreads()
		}
	})
}
