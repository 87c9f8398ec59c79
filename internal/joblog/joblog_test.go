package joblog_test

import (
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"filmfault/internal/casefile"
	"filmfault/internal/joblog"
	"filmfault/internal/shop"
	"filmfault/internal/source"
)

// folder is files beside a case.
type folder map[string]string

func (f folder) open(name string) (io.ReadCloser, error) {
	text, ok := f[name]
	if !ok {
		return nil, os.ErrNotExist
	}
	return io.NopCloser(strings.NewReader(text)), nil
}

func parse(t testing.TB, log string) *casefile.Case {
	t.Helper()
	c, diags, err := casefile.Parse("case.yaml", []byte("schema: 1\nlog:\n"+log))
	require.NoError(t, err)
	require.Empty(t, diags)
	return c
}

func read(t testing.TB, log string, f folder) (*joblog.Log, source.List) {
	t.Helper()
	return joblog.Read(parse(t, log), shop.Ordinary(), f.open)
}

const hour = 3600.0

// day is an ordinary log in a shop's words.
const day = `  zone: America/Chicago
  panel: {along: 4 ft, across: 2 ft, stands: flat}
  coats:
    - {face: both, material: high-build primer, start: 2026-04-03 8:00, wet-film: 10 mil, thinning: 3 %, air: 70 F, humidity: 50 %, fan: 300 fpm, to-next: overnight}
    - {face: front and edges, material: acrylic white, wet-film: 4-5 mil, thinning: 10 %, thinning-of: mix, fan: off}
  steps:
    - {after: 2 h, do: fan on}
    - {at: 4/4 2pm, do: sand, takes-off: 1 mil, face: front}
    - {after: 1 day, do: hang}
  air:
    - {at: "Apr 4 2026, 9:30 pm", temperature: 21 C, humidity: 45 %}
`

func TestALogInAShopsWords(t *testing.T) {
	l, diags := read(t, day, nil)
	require.Empty(t, diags)
	var kinds []joblog.Kind
	for _, s := range l.Steps {
		kinds = append(kinds, s.Kind)
	}
	require.Equal(t, []joblog.Kind{joblog.Coat, joblog.FanOn, joblog.Coat, joblog.FanOff, joblog.FanOn, joblog.Sand, joblog.Hang}, kinds)
	require.Equal(t, "2026-04-03 08:00 -0500", l.Origin.Format("2006-01-02 15:04 -0700"))
	primer, paint := l.Steps[0], l.Steps[2]
	require.Equal(t, []joblog.Face{joblog.Front, joblog.Back}, primer.Faces)
	require.Equal(t, "high-build-primer", primer.Material)
	require.True(t, l.Primes(primer))
	require.False(t, l.Primes(paint))
	// ASTM D4414: a gauge that reads 10 mil says 10 to 12 at most, here to the next
	// tooth.
	require.InDelta(t, 10*25.4e-6, primer.WetFilm.Low, 1e-9)
	require.Greater(t, primer.WetFilm.High, primer.WetFilm.Low)
	require.Equal(t, []joblog.Face{joblog.Front}, paint.Faces, "edges dry like the faces beside them")
	require.True(t, paint.OfMix)
	require.InDelta(t, 12*hour, paint.When.Mid(), 1, "overnight is 10 to 14 h")
	require.Len(t, paint.When.Waits, 1)
	require.InDelta(t, 14*hour, l.Steps[4].When.Mid(), 1, "the fan came on 2 h after the last coat")
	require.Equal(t, 30*hour, l.Steps[5].When.Clock)
	require.InDelta(t, 25.4e-6, l.Steps[5].Depth.Mid(), 1e-12)
	require.Equal(t, 54*hour, l.Steps[6].When.Clock)
	require.True(t, l.Panel.FaceUp)
	require.InDelta(t, 1.2192, l.Panel.Along.Mid(), 1e-9)
	require.Len(t, l.Air, 2)
	require.InDelta(t, 294.15, l.Air[1].Temperature, 1e-9)
	require.Equal(t, 37.5*hour, l.Air[1].Time)
}

func TestWhatTheLogLeavesOutIsAssumedAndSaid(t *testing.T) {
	l, diags := read(t, `  coats:
    - {material: primer, start: 2026-04-03 8:00, air: 70 F, humidity: 50 %, to-next: 6 h}
  steps:
    - {at: 2026-04-03 12:00, do: sand}
`, nil)
	require.Empty(t, diags)
	last := l.Steps[len(l.Steps)-1]
	require.Equal(t, joblog.Next, last.Kind, "something closed it over, the log says when and not what")
	require.Equal(t, 6*hour, last.When.Clock)
	require.True(t, l.Steps[0].WetFilm.Assumed && l.Steps[0].Thinner.Assumed && l.Steps[1].Depth.Assumed && l.Panel.Along.Assumed)
	notes := strings.Join(l.Notes, "\n")
	for _, want := range []string{"no time zone", "states no face", "nothing of a fan", "One reading of the air"} {
		require.Contains(t, notes, want)
	}
}

// TestALoggersFile: the file named in the case is read in its own zone and its
// clock set right; hand readings fill in where it did not run.
func TestALoggersFile(t *testing.T) {
	files := folder{"shop.csv": "Time;Temp (°C);RH (%)\n2026-04-03 14:00;20,0;50\n2026-04-03 15:00;21,0;52\n2026-04-03 16:00;22,0;54\n"}
	l, diags := read(t, `  zone: America/Chicago
  logger: {file: shop.csv, zone: Europe/Berlin, clock-ahead: 1 h}
  coats:
    - {face: both, material: primer, start: 2026-04-03 6:00, wet-film: 10 mil}
    - {face: both, material: paint, start: 2026-04-03 10:00, wet-film: 4 mil}
  air:
    - {at: 2026-04-03 7:00, temperature: 99 F, humidity: 20 %}
    - {at: 2026-04-03 9:30, temperature: 75 F, humidity: 40 %}
`, files)
	require.False(t, diags.HasErrors(), "%v", diags)
	require.Len(t, l.Air, 4, "the reading by hand within the logger's hours gives way")
	require.Equal(t, 0.0, l.Air[0].Time, "14:00 in Berlin, an hour ahead, is 6:00 in Chicago")
	require.InDelta(t, 293.15, l.Air[0].Temperature, 1e-9)
	require.InDelta(t, 3.5*hour, l.Air[3].Time, 1e-9)
}

func TestAGapInTheLoggersFileIsSaid(t *testing.T) {
	csv := "Time,Temp (F),RH (%)\n"
	for _, h := range []string{"06", "07", "08", "09", "10", "20", "21", "22"} {
		csv += "2026-04-03 " + h + ":00,70,50\n"
	}
	l, diags := read(t, `  logger: {file: shop.csv}
  coats:
    - {face: both, material: primer, start: 2026-04-03 6:00}
    - {face: both, material: paint, start: 2026-04-03 21:00}
`, folder{"shop.csv": csv})
	require.False(t, diags.HasErrors())
	require.Contains(t, strings.Join(l.Notes, "\n"), "The logger has nothing from 2026-04-03 10:00 to 2026-04-03 20:00")
}

// TestAPrimerOfTheShopsOwn counts as primer when it is like one, whatever it is
// called.
func TestAPrimerOfTheShopsOwn(t *testing.T) {
	own, diags, err := shop.Parse("shop.yaml", []byte("schema: 1\nmaterials:\n  - {id: grey-base, like: high-build-primer, volume-solids: 52 %}\n"))
	require.NoError(t, err)
	require.Empty(t, diags)
	l, diags := joblog.Read(parse(t, `  coats:
    - {face: both, material: grey base, start: 2026-04-03 6:00, air: 70 F, humidity: 50 %}
    - {face: both, material: latex, start: 2026-04-03 21:00}
`), own, nil)
	require.Empty(t, diags)
	require.Equal(t, "grey-base", l.Steps[0].Material)
	require.True(t, l.Primes(l.Steps[0]))
	require.InDelta(t, 0.52, l.Materials["grey-base"].VolumeSolids.Mid(), 1e-12)
}

func TestMoments(t *testing.T) {
	for text, want := range map[string]string{
		"2026-04-03 8:00": "2026-04-03 08:00", "4/3/26 8am": "2026-04-03 08:00", "Apr 3, 2026 at 2:30 pm": "2026-04-03 14:30",
		"3 april 2026 noon": "2026-04-03 12:00", "2026-04-03T08:00:00Z": "2026-04-03 08:00",
	} {
		m, err := joblog.ReadMoment(text, time.UTC)
		require.NoError(t, err, text)
		require.Equal(t, want, m.Format("2006-01-02 15:04"), text)
		require.True(t, m.HasYear && m.HasClock, text)
	}
	m, err := joblog.ReadMoment("4/3", time.UTC)
	require.NoError(t, err)
	require.False(t, m.HasYear || m.HasClock)
	_, err = joblog.ReadMoment("yesterday", time.UTC)
	require.ErrorIs(t, err, joblog.ErrNoDate)
}

func TestAFaceLeftBare(t *testing.T) {
	l, diags := read(t, `  coats:
    - {face: front, material: primer, start: 2026-04-03 6:00, air: 70 F, humidity: 50 %, to-next: 3 h}
    - {face: front, material: latex}
    - {face: back, material: none}
`, nil)
	require.Empty(t, diags)
	require.Equal(t, []joblog.Face{joblog.Back}, l.Bare)
	require.Empty(t, l.Coats(joblog.Back))
	require.Equal(t, 3*hour, l.Coats(joblog.Front)[1].When.Clock)
}

func TestNoLogToComputeWith(t *testing.T) {
	for _, log := range []string{"  later: true\n", "  coats:\n    - {face: front, material: primer}\n"} {
		l, diags := read(t, log, nil)
		require.Nil(t, l)
		require.Empty(t, diags)
		require.False(t, joblog.Present(parse(t, log)))
	}
}

// FuzzRead reads whatever a person may write into a log: no panic, and a log or
// what is wrong with it.
func FuzzRead(f *testing.F) {
	f.Add(day, "Time,Temp (F),RH (%)\n2026-04-03 06:00,70,50\n")
	f.Add("  coats:\n    - {start: 4/3 8am, to-next: 3 h}\n  steps:\n    - {after: 99999 days, do: hang}\n", "")
	f.Add("  logger: {file: x, clock-ahead: -5 min, dates: day-first}\n  coats: [{start: 2026-01-01 0:00}, {start: 2026-12-31 23:59}]\n", "Date,Time,Temp C\n1/1/26,0:00,20\n")
	f.Fuzz(func(t *testing.T, log, csv string) {
		c, diags, err := casefile.Parse("case.yaml", []byte("schema: 1\nlog:\n"+log))
		if err != nil || diags.HasErrors() || c == nil {
			return
		}
		l, diags := joblog.Read(c, shop.Ordinary(), func(string) (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(csv)), nil })
		if l == nil && joblog.Present(c) && !diags.HasErrors() {
			t.Fatal("neither a log nor what is wrong with it")
		}
		if l == nil {
			return
		}
		for i, s := range l.Steps {
			if i > 0 && s.When.Mid() < l.Steps[i-1].When.Mid() {
				t.Fatal("steps out of order")
			}
		}
	})
}
