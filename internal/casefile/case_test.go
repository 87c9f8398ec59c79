package casefile_test

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/casefile"
)

// full is a case with everything in it that a case can have, and more.
const full = `# The bakery sign.
schema: 1
case: bakery
title: "Bakery: blisters" # as the owner calls it
invented: yes
started: "2026-06-01T12:00:00Z"
rules:
  digest: 0123456789ab
  layers: [rules, ours]
shop-job: 1180
facts:
  colour: dark # nearly black
  season: {answer: spring, sure: probably, source: remembered, note: "wet \"spring\"", asked: "In which season?"}
failures:
  blistering: seen
  bow: absent
  haze: not-checked
findings:
  groove-thickness: {value: 18 mil, source: measured, weather: rain}
  thumb-twist: not-checked
log:
  later: yes
  coats:
    - {face: front, material: primer, start: Monday 8:00, wet-film: 12 mil, batch: B7}
    - {face: front, material: primer, wet-film: 10 mil}
verdict:
  settled: "2026-07-01"
  by: R. Mason
  causes:
    - {cause: thick-pass, state: confirmed, by: groove-thickness}
    - {cause: dust-left, state: ruled-out}
  note: Gauged.
notes: |
  The customer rang twice.
  He wants it by Friday.
`

func parsed(t *testing.T, text string) *casefile.Case {
	t.Helper()
	c, diags, err := casefile.Parse("case.yaml", []byte(text))
	require.NoError(t, err)
	require.Empty(t, diags)
	return c
}

func TestParseReadsEverything(t *testing.T) {
	c := parsed(t, full)
	require.Equal(t, "bakery", c.ID)
	require.True(t, c.Invented)
	require.Equal(t, []string{"rules", "ours"}, c.Rules.Layers)
	require.Equal(t, "probably", casefile.Find(c.Facts, "season").Sure)
	require.True(t, casefile.Find(c.Failures, "haze").NotChecked)
	require.Equal(t, "18 mil", casefile.Find(c.Findings, "groove-thickness").Value)
	require.Len(t, c.Coats, 2)
	require.Equal(t, "12 mil", c.Coats[0].WetFilm)
	require.True(t, c.LogLater)
	require.Equal(t, "thick-pass", c.Verdict.Causes[0].Cause)
	require.Equal(t, "The customer rang twice.\nHe wants it by Friday.\n", c.Notes)
}

func TestPlacesAreThoseOfTheParts(t *testing.T) {
	c := parsed(t, full)
	for place, want := range map[string]string{
		casefile.Find(c.Facts, "colour").Span.String():                    "case.yaml:12:3",
		casefile.Find(c.Facts, "colour").AnswerSpan.String():              "case.yaml:12:11",
		casefile.Find(c.Findings, "groove-thickness").AnswerSpan.String(): "case.yaml:19:29",
		c.Coats[0].SpanOf("wet-film").String():                            "case.yaml:24:69",
		c.Coats[1].SpanOf("air").String():                                 "case.yaml:25:7",
		c.Verdict.Causes[0].Span.String():                                 "case.yaml:30:15",
		c.Verdict.Causes[0].BySpan.String():                               "case.yaml:30:49",
	} {
		require.Equal(t, want, place)
	}
}

func TestBytesKeepCommentsAndUnknownKeys(t *testing.T) {
	c := parsed(t, full)
	c.Findings = casefile.Put(c.Findings, casefile.Entry{ID: "thumb-twist", Answer: "moves"})
	data, err := c.Bytes()
	require.NoError(t, err)
	for _, kept := range []string{
		"# The bakery sign.", "# as the owner calls it", "# nearly black", "shop-job: 1180", "weather: rain", "batch: B7", "thumb-twist: moves",
	} {
		require.Contains(t, string(data), kept)
	}
	require.NotContains(t, string(data), "thumb-twist: not-checked")
}

func TestPutFindDrop(t *testing.T) {
	list := casefile.Put(nil, casefile.Entry{ID: "a", Answer: "1"})
	list = casefile.Put(list, casefile.Entry{ID: "b", Answer: "2"})
	list = casefile.Put(list, casefile.Entry{ID: "a", Answer: "3"})
	require.Len(t, list, 2)
	require.Equal(t, "3", casefile.Find(list, "a").Answer)
	list = casefile.Drop(list, "a")
	require.Nil(t, casefile.Find(list, "a"))
	require.Len(t, list, 1)
}

func TestConfidence(t *testing.T) {
	for sure, want := range map[string]float64{"": 1, "probably": 0.8, "0.7": 0.7, "1": 1} {
		got, err := casefile.Confidence(sure)
		require.NoError(t, err)
		require.InDelta(t, want, got, 1e-12)
	}
	for _, sure := range []string{"0", "-1", "1.1", "maybe", "nan", "inf", "0x1p-1000000"} {
		_, err := casefile.Confidence(sure)
		require.Error(t, err, sure)
	}
}

func TestNewerSchemaIsToldBeforeAnythingElse(t *testing.T) {
	_, diags, err := casefile.Parse("case.yaml", []byte("schema: 2\nfailures: [all, new]\n"))
	var newer *casefile.NewerError
	require.ErrorAs(t, err, &newer)
	require.Empty(t, diags)
	require.Contains(t, err.Error(), "case.yaml:1:9")
	require.Contains(t, err.Error(), "use a newer filmfault")
}

func TestCreateNeverOverwrites(t *testing.T) {
	path := filepath.Join(t.TempDir(), "case.yaml")
	require.NoError(t, os.WriteFile(path, []byte("something else"), 0o644))
	_, err := casefile.Create(path, &casefile.Case{ID: "case"})
	require.ErrorIs(t, err, fs.ErrExist)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "something else", string(data))
}

func opened(t *testing.T) (*casefile.Store, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "case.yaml")
	require.NoError(t, os.WriteFile(path, []byte(full), 0o644))
	s, diags, _, err := casefile.OpenFile(path)
	require.NoError(t, err)
	require.Empty(t, diags)
	return s, path
}

func TestSaveRefusesToOverwriteAnothersChange(t *testing.T) {
	s, path := opened(t)
	require.NoError(t, os.WriteFile(path, []byte(full+"more: words\n"), 0o644))
	s.Case.Title = "Changed"
	require.ErrorIs(t, s.Save(), casefile.ErrChanged)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.True(t, strings.HasSuffix(string(data), "more: words\n"))
	require.NoError(t, s.Aside(filepath.Dir(path)))
	require.Equal(t, "case-1.yaml", filepath.Base(s.Path))
}

func TestSaveRefusesAWriteProtectedFile(t *testing.T) {
	s, path := opened(t)
	require.NoError(t, os.Chmod(path, 0o444))
	s.Case.Title = "Changed"
	require.ErrorIs(t, s.Save(), casefile.ErrProtected)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, full, string(data))
}

func TestSaveKeepsTheModeAndWritesNothingNew(t *testing.T) {
	s, path := opened(t)
	require.NoError(t, os.Chmod(path, 0o600))
	s.Case.Title = "Changed"
	require.NoError(t, s.Save())
	info, err := os.Stat(path)
	require.NoError(t, err)
	require.Equal(t, fs.FileMode(0o600), info.Mode().Perm())
	require.NoError(t, s.Save()) // nothing to write
	entries, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	require.Len(t, entries, 1)
}

func TestSaveWritesAnewWhatWasRemoved(t *testing.T) {
	s, path := opened(t)
	require.NoError(t, os.Remove(path))
	s.Case.Title = "Changed"
	require.NoError(t, s.Save())
	_, _, _, err := casefile.OpenFile(path)
	require.NoError(t, err)
}

// TestSaveThroughALink keeps a link a link: the case may lie in a shared folder.
func TestSaveThroughALink(t *testing.T) {
	_, path := opened(t)
	link := filepath.Join(t.TempDir(), "link.yaml")
	require.NoError(t, os.Symlink(path, link))
	s, _, _, err := casefile.OpenFile(link)
	require.NoError(t, err)
	s.Case.Title = "Changed"
	require.NoError(t, s.Save())
	info, err := os.Lstat(link)
	require.NoError(t, err)
	require.NotZero(t, info.Mode()&fs.ModeSymlink, "the link was replaced by a file")
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Contains(t, string(data), "title: Changed")
}

func TestReadToldOfAFailingReader(t *testing.T) {
	_, _, _, err := casefile.Read(failing{}, "case.yaml")
	require.ErrorContains(t, err, "case.yaml: out of order")
}

type failing struct{}

func (failing) Read([]byte) (int, error) { return 0, errors.New("out of order") }
