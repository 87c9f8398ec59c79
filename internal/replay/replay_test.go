package replay_test

import (
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/casefile"
	"filmfault/internal/joblog"
	"filmfault/internal/quantity"
	"filmfault/internal/replay"
	"filmfault/internal/shop"
	"filmfault/internal/uncertain"
)

// job reads a log, invented, and makes it ready.
func job(t testing.TB, log string) *replay.Job {
	t.Helper()
	c, diags, err := casefile.Parse("case.yaml", []byte("schema: 1\nlog:\n"+log))
	require.NoError(t, err)
	require.Empty(t, diags)
	l, diags := joblog.Read(c, shop.Ordinary(), func(string) (io.ReadCloser, error) { return nil, os.ErrNotExist })
	require.False(t, diags.HasErrors(), "%v", diags)
	return replay.New(l, shop.OrdinaryStandard())
}

// practice is two coats of primer half an hour apart, sanded after four hours,
// painted an hour and a half later, in air that is given.
func practice(t testing.TB, film, air, fan string) *replay.Job {
	t.Helper()
	coat := func(start, material, film string) string {
		return fmt.Sprintf("    - {face: both, material: %s, start: 2026-04-03 %s, wet-film: %s, thinning: 2 %%, %s, fan: %s}\n", material, start, film, air, fan)
	}
	return job(t, "  coats:\n"+coat("8:00", "primer", film)+coat("8:30", "primer", film)+coat("14:00", "acrylic paint", "4 mil")+
		"  steps:\n    - {at: 2026-04-03 12:30, do: sand}\n")
}

func run(t testing.TB, j *replay.Job, draws int, undo replay.Undo) *replay.Outcome {
	t.Helper()
	o, err := j.Run(context.Background(), uncertain.NewDraws(draws, 1), undo)
	require.NoError(t, err)
	return o
}

// limit is that of the shipped rules for primer.
func limit() uncertain.Input { return uncertain.Input{ID: "limit", Low: 0.01, High: 0.03} }

func wet(o *replay.Outcome) float64 {
	sum := 0.0
	for _, p := range o.TooWet(replay.Primer, limit()) {
		sum += p
	}
	return sum / float64(o.Draws.Len())
}

// TestGoodPracticeIsClearlyDryAndAColdDampShopClearlyWet at the same clock times.
// Common practice, no source.
func TestGoodPracticeIsClearlyDryAndAColdDampShopClearlyWet(t *testing.T) {
	good := run(t, practice(t, "10 mil", "air: 70 F, humidity: 50 %", "on"), 256, nil)
	require.Less(t, wet(good), 0.1)
	bad := run(t, practice(t, "10 mil", "air: 50 F, humidity: 82 %", "off"), 256, nil)
	require.Greater(t, wet(bad), 0.9)
	require.Len(t, good.Checks, 2, "sanding and painting; both faces were treated alike and are followed once")
	require.Equal(t, joblog.Sand, good.Checks[0].Kind)
	require.False(t, good.Checks[0].Closes)
}

// TestStoodInDampAirAndClosedOver: dried primer that stood a night in damp air is
// damper than when it was dry, and an hour under the fan takes most of it off a
// film of ordinary build. Common practice, no source.
func TestStoodInDampAirAndClosedOver(t *testing.T) {
	log := func(painted string) *replay.Job {
		return job(t, `  coats:
    - {face: both, material: primer, start: 2026-04-03 8:00, wet-film: 9 mil, thinning: 2 %, fan: 400 fpm}
    - {face: both, material: acrylic paint, start: `+painted+`, wet-film: 4 mil}
  steps:
    - {at: 2026-04-03 18:00, do: fan off}
  air:
    - {at: 2026-04-03 8:00, temperature: 72 F, humidity: 48 %}
    - {at: 2026-04-03 18:00, temperature: 72 F, humidity: 48 %}
    - {at: 2026-04-03 18:30, temperature: 60 F, humidity: 92 %}
    - {at: 2026-04-06 12:00, temperature: 60 F, humidity: 92 %}
`)
	}
	dry := run(t, log("2026-04-03 17:30"), 128, nil)
	j := log("2026-04-06 9:00")
	stood, fresh := run(t, j, 128, nil), run(t, j, 128, replay.Undoing(replay.FreshFan))
	at := func(o *replay.Outcome) float64 { return uncertain.Summarise(o.Excess[0]).Mid }
	require.Greater(t, at(stood), at(dry)+0.005)
	require.Less(t, at(fresh)-at(dry), 0.6*(at(stood)-at(dry)))
}

// TestWorseNeverDriesSooner, draw by draw: damper, colder, stiller, thicker.
func TestWorseNeverDriesSooner(t *testing.T) {
	base := run(t, practice(t, "10 mil", "air: 62 F, humidity: 60 %", "200 fpm"), 64, nil)
	for name, worse := range map[string]*replay.Job{
		"damper":  practice(t, "10 mil", "air: 62 F, humidity: 70 %", "200 fpm"),
		"colder":  practice(t, "10 mil", "air: 54 F, humidity: 60 %", "200 fpm"),
		"stiller": practice(t, "10 mil", "air: 62 F, humidity: 60 %", "100 fpm"),
		"thicker": practice(t, "14 mil", "air: 62 F, humidity: 60 %", "200 fpm"),
	} {
		o := run(t, worse, 64, nil)
		for s := range 64 {
			require.GreaterOrEqual(t, o.Excess[1][s], base.Excess[1][s]-1e-3, "%s, draw %d", name, s)
		}
	}
}

// TestOneDrawServesEveryReplay: undoing what the job did not do changes no digit,
// and more draws only append.
func TestOneDrawServesEveryReplay(t *testing.T) {
	j := practice(t, "9 mil", "air: 70 F, humidity: 50 %", "400 fpm")
	as := run(t, j, 32, nil)
	require.Equal(t, as.Excess, run(t, j, 32, replay.Undoing(replay.Film, replay.Thinning, replay.Time)).Excess)
	more := run(t, j, 64, nil)
	for i := range as.Excess {
		require.Equal(t, as.Excess[i], more.Excess[i][:32])
	}
	require.Equal(t, more.Excess, run(t, j, 64, nil).Excess)
}

// TestUndoingADepartureDries: a job that was short, cold, still and thick, each
// undone alone, is never wetter on the whole; undone together it is sound.
func TestUndoingADepartureDries(t *testing.T) {
	j := job(t, `  coats:
    - {face: both, material: primer, start: 2026-04-03 8:00, wet-film: 18 mil, thinning: 12 %, air: 58 F, humidity: 72 %, fan: off}
    - {face: both, material: acrylic paint, start: 2026-04-03 10:00, wet-film: 4 mil}
  steps:
    - {at: 2026-04-03 12:00, do: sun}
`)
	var names []replay.Departure
	for _, d := range j.Departures(quantity.US) {
		names = append(names, d.Departure)
		require.NotEmpty(t, d.Text)
	}
	require.Equal(t, []replay.Departure{replay.Time, replay.Fan, replay.Air, replay.Film, replay.Thinning, replay.Shade}, names)
	before := run(t, j, 64, nil)
	mean := func(o *replay.Outcome) float64 { return uncertain.Summarise(o.Excess[0]).Mid }
	for _, d := range names[:5] {
		require.LessOrEqual(t, mean(run(t, j, 64, replay.Undoing(d))), mean(before), d)
	}
	require.Greater(t, wet(before), 0.9)
	require.Less(t, wet(run(t, j, 64, replay.Undoing(names...))), 0.15)
	shaded := run(t, j, 64, replay.Undoing(replay.Shade))
	require.Equal(t, before.Excess[0], shaded.Excess[0])
	require.Less(t, uncertain.Summarise(shaded.Excess[1]).Mid, uncertain.Summarise(before.Excess[1]).Mid)
}

// TestDeparturesInWords holds one sentence of each kind to the letter.
func TestDeparturesInWords(t *testing.T) {
	j := practice(t, "18 mil", "air: 50 F, humidity: 82 %", "off")
	var texts []string
	for _, d := range j.Departures(quantity.US) {
		texts = append(texts, d.Text)
	}
	require.Equal(t, []string{
		"no fan over a coat in its first hours; the standard is 300 fpm",
		"50 F on average over the 12 h after a coat, down to 50 F; the standard is at least 65 F; 82 % humidity on average, up to 82 %; the standard is at most 60 %",
		"high-build waterborne primer at 18 mil wet; the standard is at most 12 mil",
	}, texts)
}

func board() replay.Board {
	return replay.Board{Thickness: uncertain.Exact("board-thickness", 0.0254, "m", ""), Density: uncertain.Exact("board-density", 240, "kg/m3", "")}
}

// TestTheHeavySideIsHollow: equal stacks bend nothing; more coats on one face, or
// none on the other, pull that face hollow. Common practice, no source. Size: a
// 0.5 mm coat on 1 in of 240 kg/m3 bends .19 in over 4 ft at a stress of .5 MPa
// (laminate formula, computed table of panel bow), within the factor of five that
// the stress is known to.
func TestTheHeavySideIsHollow(t *testing.T) {
	coats := func(lines ...string) *replay.Job {
		log := "  coats:\n"
		for i, l := range lines {
			log += fmt.Sprintf("    - {%s, start: 2026-04-0%d 8:00, air: 70 F, humidity: 50 %%}\n", l, i+1)
		}
		return job(t, log)
	}
	d := uncertain.NewDraws(64, 1)
	equal, err := coats("face: both, material: primer, wet-film: 10 mil", "face: both, material: acrylic paint, wet-film: 4 mil").Bend(d, board())
	require.NoError(t, err)
	front := coats("face: both, material: primer, wet-film: 10 mil", "face: front, material: primer, wet-film: 10 mil")
	more, err := front.Bend(d, board())
	require.NoError(t, err)
	back, err := coats("face: back, material: primer, wet-film: 10 mil", "face: back, material: acrylic paint, wet-film: 4 mil").Bend(d, board())
	require.NoError(t, err)
	for s := range d.Len() {
		require.InDelta(t, 0, equal[s], 1e-9)
		require.Positive(t, more[s], "hollow towards the front")
		require.Negative(t, back[s])
	}
	thick, err := coats("face: front, material: primer, wet-film: 20 mil", "face: front, material: primer, wet-film: 18 mil").Bend(d, board())
	require.NoError(t, err)
	require.InDelta(t, math.Log(0.0048), math.Log(uncertain.Summarise(thick).Mid), math.Log(5))
	var kinds []string
	for _, x := range front.Departures(quantity.US) {
		kinds = append(kinds, string(x.Departure))
	}
	require.Contains(t, kinds, string(replay.Coats))
}

// names lists the departures of a job.
func names(j *replay.Job) []replay.Departure {
	var out []replay.Departure
	for _, d := range j.Departures(quantity.US) {
		out = append(out, d.Departure)
	}
	return out
}

// oneCoat is a coat of primer, closed over by paint at a time, in air that is
// given by hand or beside the coat.
func oneCoat(t testing.TB, coat, painted, more string) *replay.Job {
	t.Helper()
	return job(t, "  coats:\n    - {face: both, material: primer, start: 2026-04-03 8:00, wet-film: 12 mil, thinning: 2 %, "+coat+"}\n"+
		"    - {face: both, material: acrylic paint, start: "+painted+", wet-film: 4 mil}\n"+more)
}

// TestASlowOrShortFanIsADeparture: the speed is that over the first hours of a
// coat, not that at its start.
func TestASlowOrShortFanIsADeparture(t *testing.T) {
	require.NotContains(t, names(oneCoat(t, "air: 70 F, humidity: 50 %, fan: 300 fpm", "2026-04-03 14:00", "")), replay.Fan)
	for _, j := range []*replay.Job{
		oneCoat(t, "air: 62 F, humidity: 60 %, fan: 20 fpm", "2026-04-03 14:00", ""),
		oneCoat(t, "air: 62 F, humidity: 60 %, fan: 300 fpm", "2026-04-03 14:00", "  steps:\n    - {at: 2026-04-03 8:20, do: fan-off}\n"),
	} {
		require.Contains(t, names(j), replay.Fan)
		require.Less(t, wet(run(t, j, 64, replay.Undoing(replay.Fan))), wet(run(t, j, 64, nil))-0.3)
	}
}

// dampStand is dried primer that stood three days in damp air and was painted.
func dampStand(t testing.TB, steps string) *replay.Job {
	t.Helper()
	return oneCoat(t, "fan: 400 fpm", "2026-04-06 9:00", `  steps:
    - {at: 2026-04-03 18:00, do: fan-off}
`+steps+`  air:
    - {at: 2026-04-03 8:00, temperature: 72 F, humidity: 48 %}
    - {at: 2026-04-03 18:00, temperature: 72 F, humidity: 48 %}
    - {at: 2026-04-03 19:00, temperature: 66 F, humidity: 93 %}
    - {at: 2026-04-06 12:00, temperature: 66 F, humidity: 93 %}
`)
}

// TestStandingInDampAirIsADeparture, and a fan that ran for some of the hour
// leaves the rest of it to be undone.
func TestStandingInDampAirIsADeparture(t *testing.T) {
	none := dampStand(t, "")
	require.Subset(t, names(none), []replay.Departure{replay.FreshFan, replay.Standing})
	as := wet(run(t, none, 64, nil))
	fresh := wet(run(t, none, 64, replay.Undoing(replay.FreshFan)))
	require.Less(t, fresh, as-0.1)
	require.Less(t, wet(run(t, none, 64, replay.Undoing(replay.Standing))), 0.15)
	short := dampStand(t, "    - {at: 2026-04-06 8:40, do: fan-on, speed: 400 fpm}\n")
	require.Less(t, wet(run(t, short, 64, replay.Undoing(replay.FreshFan))), wet(run(t, short, 64, nil))-0.05)
}

// TestUndoingTheAirDoesNotDependOnHowOftenItWasRead: air that did not change, read
// once or every ten minutes, is one air.
func TestUndoingTheAirDoesNotDependOnHowOftenItWasRead(t *testing.T) {
	often := "  air:\n"
	for m := range 6 * 21 {
		often += fmt.Sprintf("    - {at: 2026-04-0%d %d:%d0, temperature: 45 F, humidity: 92 %%}\n", 3+(48+m)/144, (48+m)/6%24, m%6)
	}
	once := run(t, oneCoat(t, "air: 45 F, humidity: 92 %, fan: off", "2026-04-04 4:00", ""), 32, replay.Undoing(replay.Air))
	many := run(t, oneCoat(t, "fan: off", "2026-04-04 4:00", often), 32, replay.Undoing(replay.Air))
	require.InDeltaSlice(t, once.Excess[0], many.Excess[0], 2e-3)
}

// TestClockTimesStayWhereTheyWereLogged while stretches known as intervals give
// way to them.
func TestClockTimesStayWhereTheyWereLogged(t *testing.T) {
	log := `  coats:
    - {face: both, material: primer, start: 2026-04-03 18:00, wet-film: 12 mil, thinning: 2 %%, air: 60 F, humidity: 70 %%, fan: 400 fpm, to-next: 1-4 h}
    - {face: both, material: primer, wet-film: 8 mil, thinning: 2 %%}
    - {face: both, material: acrylic paint, start: 2026-04-04 1:00, wet-film: 4 mil}
  steps:
    - {at: 2026-04-03 %s, do: fan-off}
`
	early, late := run(t, job(t, fmt.Sprintf(log, "19:00")), 32, nil), run(t, job(t, fmt.Sprintf(log, "21:30")), 32, nil)
	for s := range 32 {
		require.Greater(t, early.Excess[0][s], late.Excess[0][s], "more fan, less water, in every draw")
	}
}

// TestWhatLiesOverAFilmHoldsItsWater: a wrap does, as a mask does.
func TestWhatLiesOverAFilmHoldsItsWater(t *testing.T) {
	sun := "    - {at: 2026-04-04 8:00, do: sun}\n"
	open := run(t, oneCoat(t, "air: 70 F, humidity: 50 %, fan: on", "2026-04-03 20:00", "  steps:\n"+sun), 16, nil)
	wrapped := run(t, oneCoat(t, "air: 70 F, humidity: 50 %, fan: on", "2026-04-03 20:00", "  steps:\n    - {at: 2026-04-03 20:10, do: wrap}\n"+sun), 16, nil)
	last := func(o *replay.Outcome) float64 { return uncertain.Summarise(o.Excess[len(o.Excess)-1]).Mid }
	require.Greater(t, last(wrapped), 3*last(open)+0.01)
}

// TestOnlyFilmsThatDryByWaterAreJudged: alkyd over alkyd is not said to be dry;
// primer over colour over primer is judged each time.
func TestOnlyFilmsThatDryByWaterAreJudged(t *testing.T) {
	coats := func(materials ...string) []replay.Check {
		log := "  coats:\n"
		for i, m := range materials {
			log += fmt.Sprintf("    - {face: both, material: %s, start: 2026-04-03 %d:00, air: 70 F, humidity: 50 %%}\n", m, 8+i)
		}
		return run(t, job(t, log), 2, nil).Checks
	}
	require.Empty(t, coats("alkyd enamel", "alkyd enamel"))
	var layers []replay.Layer
	for _, c := range coats("primer", "latex", "primer", "latex", "latex") {
		layers = append(layers, c.Layer)
	}
	require.Equal(t, []replay.Layer{replay.Primer, replay.Colour, replay.Primer, replay.Colour}, layers)
}

// TestAStatedShrinkageBends: twice the shrinkage bends twice as far (small strains,
// laminate formula).
func TestAStatedShrinkageBends(t *testing.T) {
	bend := func(shrinkage string) float64 {
		own, diags, err := shop.Parse("shop.yaml", []byte("schema: 1\nmaterials:\n  - {id: high-build-primer, shrinkage: "+shrinkage+", stiffness: 300 MPa}\n"))
		require.NoError(t, err)
		require.Empty(t, diags)
		c, _, err := casefile.Parse("case.yaml", []byte("schema: 1\nlog:\n  coats:\n"+
			"    - {face: front, material: primer, start: 2026-04-01 8:00, wet-film: 10 mil, air: 70 F, humidity: 50 %}\n"+
			"    - {face: front, material: primer, start: 2026-04-02 8:00, wet-film: 10 mil}\n"))
		require.NoError(t, err)
		l, diags := joblog.Read(c, own, nil)
		require.Empty(t, diags)
		values, err := replay.New(l, own.Standard).Bend(uncertain.NewDraws(8, 1), board())
		require.NoError(t, err)
		return values[3]
	}
	require.InEpsilon(t, 2*bend("0.1 %"), bend("0.2 %"), 1e-6)
}

// TestAMaskThatIsPaintedOver covers part of a face only, and the film is followed
// where it is open; one that is not holds the water in.
func TestAMaskThatIsPaintedOver(t *testing.T) {
	log := func(steps string) *replay.Outcome {
		return run(t, job(t, `  coats:
    - {face: both, material: primer, start: 2026-04-03 8:00, wet-film: 12 mil, thinning: 2 %, air: 65 F, humidity: 60 %, fan: off}
    - {face: both, material: acrylic paint, start: 2026-04-04 8:00, wet-film: 4 mil}
  steps:
`+steps), 32, nil)
	}
	held := log("    - {at: 2026-04-03 10:00, do: mask-on, material: blast mask}\n    - {at: 2026-04-03 11:00, do: blast}\n    - {at: 2026-04-04 7:00, do: mask-off}\n")
	open := log("    - {at: 2026-04-03 10:00, do: mask-on}\n    - {at: 2026-04-04 9:00, do: mask-off}\n")
	require.Equal(t, joblog.MaskOn, held.Checks[0].Kind)
	require.InDeltaSlice(t, held.Excess[0], open.Excess[0], 1e-3, "the same water when the mask went on")
	require.Greater(t, uncertain.Summarise(held.Excess[1]).Mid, 3*uncertain.Summarise(open.Excess[1]).Mid)
}

func TestInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := practice(t, "10 mil", "air: 70 F, humidity: 50 %", "on").Run(ctx, uncertain.NewDraws(8, 1), nil)
	require.ErrorIs(t, err, context.Canceled)
}

// weekLog is a week of readings each minute and four coats on each face, at
// different times, invented.
func weekLog() (log, csv string) {
	var b strings.Builder
	b.WriteString("Time,Temp (F),RH (%)\n")
	for m := range 7 * 24 * 60 {
		swing := math.Sin(2 * math.Pi * (float64(m)/60 - 1) / 24)
		fmt.Fprintf(&b, "2026-04-%02d %02d:%02d,%.1f,%.1f\n", 3+m/1440, m/60%24, m%60, 58+9*swing, 62-15*swing)
	}
	log = "  logger: {file: week.csv}\n  coats:\n"
	for i, start := range []string{"03 8:00", "03 9:00", "05 8:00", "07 8:00"} {
		material := "primer"
		if i > 1 {
			material = "acrylic paint"
		}
		log += fmt.Sprintf("    - {face: front, material: %s, start: 2026-04-%s, wet-film: 10 mil, fan: on}\n", material, start)
	}
	for i, start := range []string{"03 10:00", "03 11:00", "05 9:00", "07 9:00"} {
		material := "primer"
		if i > 1 {
			material = "acrylic paint"
		}
		log += fmt.Sprintf("    - {face: back, material: %s, start: 2026-04-%s, wet-film: 10 mil}\n", material, start)
	}
	return log + "  steps:\n    - {at: 2026-04-09 20:00, do: hang}\n", b.String()
}

func weekJob(t testing.TB) *replay.Job {
	t.Helper()
	log, csv := weekLog()
	c, _, err := casefile.Parse("case.yaml", []byte("schema: 1\nlog:\n"+log))
	require.NoError(t, err)
	l, diags := joblog.Read(c, shop.Ordinary(), func(string) (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(csv)), nil })
	require.False(t, diags.HasErrors(), "%v", diags)
	return replay.New(l, shop.OrdinaryStandard())
}

// BenchmarkWeek is one replay of both faces of that week.
func BenchmarkWeek(b *testing.B) {
	j := weekJob(b)
	d := uncertain.NewDraws(1, 1)
	for b.Loop() {
		if _, err := j.Run(context.Background(), d, nil); err != nil {
			b.Fatal(err)
		}
	}
}
