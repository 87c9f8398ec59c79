package cli

import (
	"bufio"
	"context"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"filmfault/internal/casefile"
	"filmfault/internal/console"
	"filmfault/internal/joblog"
	"filmfault/internal/quantity"
	"filmfault/internal/shop"
	"filmfault/internal/uncertain"
)

// driedAs is what `calc dry` finds for its flags, in so many draws.
func driedAs(t testing.TB, draws int, flags ...string) (dryJob, []dried) {
	t.Helper()
	c, _, _ := console.Test("")
	o := newDryOptions(&app{console: c})
	require.NoError(t, o.command().Flags().Parse(flags))
	require.NoError(t, o.check())
	j, err := o.job(&dryPage{})
	require.NoError(t, err)
	all, err := j.run(context.Background(), uncertain.NewDraws(draws, drawsSeed))
	require.NoError(t, err)
	return j, all
}

func hoursTo(figure func(dried) float64, all []dried) uncertain.Range {
	return uncertain.Summarise(ofAll(all, func(x dried) float64 { return figure(x) / 3600 }))
}

func sandable(x dried) float64 { return x.sandable }
func tackFree(x dried) float64 { return x.tackFree }

// One normal coat is tack free in 20 to 30 min: common practice, no source;
// within a factor of two of it.
func TestCalcDryOneNormalCoat(t *testing.T) {
	for _, wet := range []string{"8 mil", "10 mil", "12 mil"} {
		for _, solids := range []string{"50 %", "60 %"} {
			for _, fan := range []string{"200 fpm", "600 fpm"} {
				_, all := driedAs(t, 32, "--wet", wet, "--solids", solids, "--air", "70F", "--humidity", "50%", "--fan", fan)
				got := 60 * hoursTo(tackFree, all).Mid
				require.GreaterOrEqual(t, got, 10.0, "%s %s %s", wet, solids, fan)
				require.LessOrEqual(t, got, 60.0, "%s %s %s", wet, solids, fan)
			}
		}
	}
}

// A primed piece stands at least 4 h under the fan before it is sanded: common
// practice, no source; within a factor of two of it.
func TestCalcDryBeforeSanding(t *testing.T) {
	coats := []string{"--wet", "10 mil", "--coats", "2"}
	j, all := driedAs(t, dryDraws, append(coats, "--air", "70F", "--humidity", "50%", "--fan", "400 fpm")...)
	got := hoursTo(sandable, all)
	require.Greater(t, got.Mid, 2.0)
	require.Less(t, got.Mid, 8.0)
	require.Greater(t, shareOf(all, func(x dried) bool { return x.sandable > 2*3600 && x.sandable < 8*3600 }), 0.7)
	over := func(all []dried) []float64 {
		return ofAll(all, func(x dried) float64 { return x.over(beforeSanding) })
	}
	require.Less(t, tooWet(over(all), j.limit), 0.3, "mostly sandable after 4 h")

	j, all = driedAs(t, dryDraws, append(coats, "--air", "50F", "--humidity", "85%", "--fan", "off")...)
	require.Greater(t, tooWet(over(all), j.limit), 0.999, "and clearly not when cold, damp and still")
	require.Greater(t, uncertain.Summarise(over(all)).Low, 0.10)
	require.Greater(t, shareOf(all, func(x dried) bool { return math.IsInf(x.sandable, 1) }), 0.3, "often never in such air")
}

// slowing reads how much longer an open wet film takes at a humidity than at 50 %,
// at 23 C and .5 m/s over .6 m (testdata/physics/constant_rate_evaporation.csv,
// computed apart from this program).
func slowing(t *testing.T, humidity string) float64 {
	t.Helper()
	f, err := os.Open("../../testdata/physics/constant_rate_evaporation.csv")
	require.NoError(t, err)
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if cells := strings.Split(lines.Text(), ","); len(cells) == 13 && cells[0] == "23" && cells[1] == humidity && cells[2] == "0.5" {
			v, err := strconv.ParseFloat(cells[12], 64)
			require.NoError(t, err)
			return v
		}
	}
	t.Fatal("no such row")
	return 0
}

// A coat gets tack free while its film is still open, so that its time goes with
// the evaporation. The air's own motion, which the table leaves out, and the error
// of the hygrometer leave a tenth.
func TestCalcDryDampAirTakesLonger(t *testing.T) {
	at := func(humidity string) float64 {
		_, all := driedAs(t, dryDraws, "--wet", "10 mil", "--air", "23C", "--humidity", humidity, "--fan", "0.5 m/s", "--panel", "0.6 m x 0.6 m")
		return hoursTo(tackFree, all).Mid
	}
	usual := at("50 %")
	for fraction, percent := range map[string]string{"0.85": "85 %", "0.7": "70 %", "0.3": "30 %"} {
		require.InEpsilon(t, slowing(t, fraction), at(percent)/usual, 0.12, percent)
	}
}

// Thicker, damper, colder, stiller is never sooner, draw by draw, and more time
// never leaves more water in air that is no damper than rest. It follows from the
// physics; half a percent is the solver's.
func TestCalcDryNeverSooner(t *testing.T) {
	base := map[string]string{"wet": "8 mil", "air": "70F", "humidity": "50%", "fan": "300 fpm", "coats": "1"}
	for flag, worse := range map[string][]string{
		"wet": {"8 mil", "10 mil", "14 mil", "20 mil"}, "humidity": {"30%", "50%", "65%", "80%", "90%"},
		"air": {"85F", "70F", "60F", "50F", "40F"}, "fan": {"600 fpm", "300 fpm", "100 fpm", "30 fpm"}, "coats": {"1", "2", "3"},
	} {
		var before []dried
		for _, value := range worse {
			var flags []string
			for name, usual := range base {
				if name == flag {
					usual = value
				}
				flags = append(flags, "--"+name, usual)
			}
			_, all := driedAs(t, 32, flags...)
			for i, x := range before {
				require.GreaterOrEqual(t, all[i].sandable, 0.995*x.sandable, "--%s %s, draw %d", flag, value, i+1)
				if flag != "coats" { // several coats end in the same last coat
					require.GreaterOrEqual(t, all[i].tackFree, 0.995*x.tackFree, "--%s %s, draw %d", flag, value, i+1)
				}
			}
			before = all
		}
	}
	_, all := driedAs(t, 32, "--air", "70F", "--humidity", "50%", "--fan", "on")
	for i, x := range all {
		for hours := 1.0; hours < 24; hours++ {
			require.LessOrEqual(t, x.over(3600*hours), x.over(3600*(hours-1))+1e-4, "draw %d", i+1)
		}
	}
}

// As many draws as are made give the ends of a range within a tenth of those that
// four times as many give.
func TestCalcDryDrawsEnough(t *testing.T) {
	flags := []string{"--wet", "10 mil", "--coats", "2", "--air", "70F", "--humidity", "50%", "--fan", "300 fpm"}
	_, few := driedAs(t, dryDraws, flags...)
	_, many := driedAs(t, 4*dryDraws, flags...)
	a, b := hoursTo(sandable, few), hoursTo(sandable, many)
	assert.InEpsilon(t, b.Mid, a.Mid, 0.1)
	assert.InEpsilon(t, b.Low, a.Low, 0.1)
	assert.InEpsilon(t, b.High, a.High, 0.1)
}

// What is assumed here is what a job log assumes, under the same ids.
func TestCalcDryAssumesAsAJobLog(t *testing.T) {
	const text = "schema: 1\nlog:\n  coats:\n" +
		"    - {material: primer, start: 2026-04-03 8:00, wet-film: 10 mil, air: 70 F, humidity: 50 %, fan: on, to-next: 30 min}\n" +
		"    - {material: primer, to-next: 4 h}\n"
	c, diags, err := casefile.Parse("case.yaml", []byte(text))
	require.NoError(t, err)
	require.Empty(t, diags)
	log, diags := joblog.Read(c, shop.Ordinary(), nil)
	require.False(t, diags.HasErrors(), "%v", diags)

	j, _ := driedAs(t, 1, "--wet", "10 mil", "--coats", "2", "--air", "70F", "--humidity", "50%", "--fan", "on")
	require.Equal(t, log.Panel.Along, j.panel.along)
	require.Equal(t, log.Panel.Across, j.panel.across)
	for _, s := range log.Steps {
		switch s.Kind {
		case joblog.FanOn:
			require.Equal(t, s.Speed, j.air.fan.speed())
		case joblog.Coat:
			require.InDelta(t, s.Thinner.High, j.paint.thinner.High, 1e-12)
		}
	}
	first := log.Coats(joblog.Front)[0]
	require.Equal(t, [2]float64{first.WetFilm.Low, first.WetFilm.High}, [2]float64{j.paint.wet.Low, j.paint.wet.High})
	// rules/calculations.yaml, primer-wet-when-closed.
	require.Equal(t, "limit-primer-wet-when-closed", j.limit.ID)
	require.Equal(t, [2]float64{0.01, 0.03}, [2]float64{j.limit.Low, j.limit.High})
}

// A fan at 300 fpm is 1.524 m/s (a foot is .3048 m, exact).
func TestReadFan(t *testing.T) {
	f, err := readFan("300")
	require.NoError(t, err)
	require.InDelta(t, 1.524, f.speed().Low, 1e-9)
	require.False(t, f.speed().Assumed)
	for text, word := range map[string]fanWord{"on": fanOn, "Off": fanOff, "0 fpm": fanOff, "none": fanOff} {
		f, err := readFan(text)
		require.NoError(t, err, text)
		require.Equal(t, word, f.word, text)
		require.True(t, f.speed().Assumed, text)
	}
	for text, says := range map[string]string{"30000 fpm": "no fan blows so", "fast": "write on or off", "3 mil": "unit of coat thickness"} {
		_, err := readFan(text)
		require.ErrorContains(t, err, says, text)
	}
}

// A foot is .3048 m (exact).
func TestReadPiece(t *testing.T) {
	for text, want := range map[string][2]float64{
		"4 ft x 2 ft": {1.2192, 0.6096}, "4x2": {1.2192, 0.6096}, "48 x 24 in": {1.2192, 0.6096}, "4 ft by 2 ft": {1.2192, 0.6096},
		"1.2 m \u00d7 600 mm": {1.2, 0.6},
	} {
		got, err := readPiece(text)
		require.NoError(t, err, text)
		require.InDelta(t, want[0], got.along.Low, 1e-9, text)
		require.InDelta(t, want[1], got.across.Low, 1e-9, text)
	}
	for _, text := range []string{"4 ft", "", "4 ft x", "4 ft x 2 F", "4x800", "0 x 2"} {
		_, err := readPiece(text)
		require.ErrorContains(t, err, "4 ft x 2 ft", text)
	}
}

func TestRefuseAir(t *testing.T) {
	flag := func(k quantity.Kind, unit, text string) *quantityFlag {
		f := &quantityFlag{kind: k, unit: unit}
		require.NoError(t, f.Set(text))
		return f
	}
	for _, c := range []struct{ air, humidity, says string }{
		{"70 F", "50 %", ""}, {"20 C", "1 to 100 %", "drier than any shop"}, {"70 C", "50 %", "158 F, which no air in a shop has; write 70 F"},
		{"140 C", "50 %", "write the temperature with its unit"}, {"-20 F", "50 %", "no air in a shop"}, {"70 F", "0.5", "write 50 %, if a fraction"},
		{"70 F", "0 %", "in percent"},
	} {
		err := refuseAir("air", flag(quantity.Temperature, "F", c.air), "humidity", flag(quantity.Humidity, "%", c.humidity))
		if c.says == "" {
			require.NoError(t, err)
			continue
		}
		require.ErrorContains(t, err, c.says)
		require.Equal(t, exitUsage, exitCode(err))
	}
}

func TestDryPageWritesTimes(t *testing.T) {
	p := &dryPage{horizon: 7 * 86400}
	never := math.Inf(1)
	for want, r := range map[string]uncertain.Range{
		"4 h (2-8 h)":                                  {Mid: 4 * 3600, Low: 2 * 3600, High: 8 * 3600},
		"4 h (60 min to never in this air)":            {Mid: 4 * 3600, Low: 3600, High: never},
		"never in this air":                            {Mid: never, Low: never, High: never},
		"over 7 days (4 h to over 7 days)":             {Mid: p.horizon, Low: 4 * 3600, High: p.horizon},
		"no wait (no wait to 2 h)":                     {High: 2 * 3600},
		"over 7 days (4 h to never in this air)":       {Mid: p.horizon, Low: 4 * 3600, High: never},
		"30 min":                                       {Mid: 1800, Low: 1800, High: 1800},
		"never in this air (4 h to never in this air)": {Mid: never, Low: 4 * 3600, High: never},
	} {
		require.Equal(t, want, p.times(r))
	}
}

// The film sits near 52 F in air of 60 F and 50 % under a fan (computed apart with
// the energy balance); instruments and jets leave 3 F.
func TestCalcDryFilmRunsCold(t *testing.T) {
	_, all := driedAs(t, 32, "--wet", "10 mil", "--air", "60F", "--humidity", "50%", "--fan", "400 fpm")
	coldest := uncertain.Summarise(ofAll(all, func(x dried) float64 { return x.coldest*1.8 - 459.67 }))
	require.InDelta(t, 52, coldest.Mid, 2)
	require.Less(t, coldest.High, 57.0)
}

func BenchmarkCalcDry(b *testing.B) {
	j, _ := driedAs(b, 1, "--wet", "10 mil", "--coats", "2", "--air", "70F", "--humidity", "50%", "--fan", "300 fpm")
	for b.Loop() {
		if _, err := j.run(context.Background(), uncertain.NewDraws(dryDraws, drawsSeed)); err != nil {
			b.Fatal(err)
		}
	}
}
