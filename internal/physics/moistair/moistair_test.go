package moistair

import (
	"math"
	"testing"

	"filmfault/internal/uncertain"
	"filmfault/internal/uncertain/checkrows"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// c is a temperature in C, in K.
func c(t float64) float64 { return t + ZeroCelsius }

// TestPsychrometricRows holds all 42 states of psychrometrics.csv, computed
// with a reference library that follows ASHRAE 2017 and takes ice below
// freezing. Tolerance: the last digit printed; .001 K for the wet bulb, which
// that library solves to no better.
func TestPsychrometricRows(t *testing.T) {
	rows := checkrows.Read(t, "psychrometrics.csv")
	require.Len(t, rows, 42)
	for _, row := range rows {
		at := c(row.Float(t, "t_db_C"))
		rh, p := row.Float(t, "rh_pct")/100, row.Float(t, "p_Pa")
		ps := must(t)(Saturation(at, IceBelowFreezing))
		require.InDelta(t, row.Float(t, "p_ws_Pa"), ps, 6e-4, row)
		pv := must(t)(VapourPressure(at, rh, IceBelowFreezing))
		require.InDelta(t, row.Float(t, "p_v_Pa"), pv, 6e-4, row)
		require.InDelta(t, row.Float(t, "vpd_Pa"), ps-pv, 2e-3, row)
		dew := must(t)(DewPoint(pv, IceBelowFreezing))
		require.InDelta(t, c(row.Float(t, "t_dp_C")), dew, 6e-5, row)
		w := must(t)(HumidityRatio(pv, p))
		require.InDelta(t, row.Float(t, "humidity_ratio_kg_per_kg_da"), w, 6e-8, row)
		wet := must(t)(WetBulb(at, rh, p, IceBelowFreezing))
		require.InDelta(t, c(row.Float(t, "t_wb_C")), wet, 1e-3, row)
		require.InDelta(t, row.Float(t, "abs_humidity_g_per_m3"), 1000*must(t)(AbsoluteHumidity(at, pv)), 6e-5, row)
		require.InDelta(t, row.Float(t, "moist_air_density_kg_per_m3"), must(t)(Density(at, pv, p)), 6e-6, row)
	}
}

// must gives the value of a call that has to succeed.
func must(t testing.TB) func(float64, error) float64 {
	return func(v float64, err error) float64 { t.Helper(); require.NoError(t, err); return v }
}

// TestSaturationRows holds every column of saturation_pressure.csv.
func TestSaturationRows(t *testing.T) {
	rows := checkrows.Read(t, "saturation_pressure.csv")
	require.Len(t, rows, 21)
	for _, row := range rows {
		at := c(row.Float(t, "t_C"))
		got := must(t)(Saturation(at, IceBelowFreezing))
		// The same formula evaluated apart: the last digit printed, twice.
		require.InDelta(t, row.Float(t, "ashrae_hyland_wexler_Pa"), got, 1e-4, row)
		near := func(column string, relative float64, c Convention) {
			if row.Has(column) {
				require.InEpsilon(t, row.Float(t, column), must(t)(Saturation(at, c)), relative, column, row)
			}
		}
		near("published_ashrae2017_tab3_Pa", 3e-4+5e-3/got, IceBelowFreezing) // .03 % and its last digit
		near("iapws_if97_water_Pa", 3e-4, OverWater)
		near("iapws_r14_ice_Pa", 4.5e-4, IceBelowFreezing)
		near("wmo_magnus_ice_Pa", 1.5e-3, IceBelowFreezing) // the two differ by .12 % at -60 C
		near("wmo_magnus_water_Pa", 4e-3, OverWater)        // .3 % at 23-30 C; undercooled within .3 %
	}
}

// TestPublishedTable holds ASHRAE Handbook of Fundamentals 2017, chapter 1,
// tables 1 to 3. The ratios at saturation carry an enhancement factor that the
// formula has not, hence .5, .5 and 1 %.
func TestPublishedTable(t *testing.T) {
	for at, want := range map[float64]float64{5: 872.6, 25: 3169.7, 50: 12351.3, 100: 101418} {
		require.InEpsilon(t, want, must(t)(Saturation(c(at), OverWater)), 3e-4, at)
	}
	for at, want := range map[float64]float64{-20: 103.24, -5: 401.74} {
		require.InEpsilon(t, want, must(t)(Saturation(c(at), IceBelowFreezing)), 3e-4, at)
	}
	for at, want := range map[float64][2]float64{5: {0.005425, 5e-3}, 25: {0.020173, 5e-3}, 50: {0.086863, 1e-2}} {
		w := must(t)(HumidityRatio(must(t)(Saturation(c(at), OverWater)), StandardPressure))
		require.InEpsilon(t, want[0], w, want[1], at)
	}
	require.InDelta(t, 95461, must(t)(PressureAt(500)), 1)
	require.InDelta(t, 0.02136040, must(t)(HumidityRatio(3169.7, 95461)), 1e-6)
}

// TestSlingExample is example 1 of ASHRAE Handbook of Fundamentals 2017,
// chapter 1: 40 C dry bulb, 20 C wet bulb, sea level. The book reads a chart;
// the second figures were computed with a reference library.
func TestSlingExample(t *testing.T) {
	rh := must(t)(HumidityFromWetBulb(c(40), c(20), StandardPressure, OverWater))
	pv := must(t)(VapourPressure(c(40), rh, OverWater))
	w := must(t)(HumidityRatio(pv, StandardPressure))
	for _, row := range []struct{ got, book, byBook, library, byLibrary float64 }{
		{w, 0.0065, 1.5e-4, 0.0064008, 6e-8},
		{must(t)(DewPoint(pv, OverWater)) - ZeroCelsius, 7, 0.5, 7.43, 0.005},
		{rh, 0.14, 0.005, 0.1398, 6e-5},
		{must(t)(Enthalpy(c(40), w)) / 1000, 56.7, 0.05, 56.72, 0.005},
		{must(t)(SpecificVolume(c(40), w, StandardPressure)), 0.896, 5e-4, 0.8962, 6e-5},
	} {
		require.InDelta(t, row.book, row.got, row.byBook)
		require.InDelta(t, row.library, row.got, row.byLibrary)
	}
}

// TestIceAndWaterDifferBelowFreezing: 287.03 against 259.87 Pa at -10 C (WMO-No.
// 8 over water; IAPWS R14-08 over ice), 10 % of a humidity reading.
func TestIceAndWaterDifferBelowFreezing(t *testing.T) {
	water, ice := must(t)(Saturation(c(-10), OverWater)), must(t)(Saturation(c(-10), IceBelowFreezing))
	require.InEpsilon(t, 287.03, water, 3e-3)
	require.InEpsilon(t, 259.87, ice, 3e-4)
	require.InDelta(t, 1.10, water/ice, 0.01)
	sensor := must(t)(VapourPressure(c(-10), 0.80, OverWater))
	require.InDelta(t, 0.88, must(t)(RelativeHumidity(c(-10), sensor, IceBelowFreezing)), 0.01, "80 % over water is 88 % over ice")
	require.NotEqual(t, OverWater.String(), IceBelowFreezing.String())
	for _, at := range []float64{0.02, 10, 60} {
		require.Equal(t, must(t)(Saturation(c(at), OverWater)), must(t)(Saturation(c(at), IceBelowFreezing)), "above freezing they agree")
	}
	over := must(t)(Saturation(TriplePoint, OverWater))
	require.InEpsilon(t, over, must(t)(Saturation(TriplePoint, IceBelowFreezing)), 1e-5, "and meet at the triple point")
}

// TestDewPointRule: ISO 8502-4 guidance and MIL-HDBK-1110 9.6.6 are not one
// rule, since 5 F is 2.78 K. Worked examples: a paint inspector's notes (chart,
// whole degrees, hence .5 K).
func TestDewPointRule(t *testing.T) {
	rules := DewRules()
	require.Len(t, rules, 2)
	three, five := rules[0], rules[1]
	require.Equal(t, []string{"3 C above the dew point", "5 F above the dew point"}, []string{three.Name, five.Name})
	for _, row := range []struct {
		margin      float64
		three, five bool
	}{{2.9, false, true}, {2.7, false, false}, {3, true, true}, {5.0 / 9 * 5, false, true}, {-1, false, false}, {c(22) - c(19), true, true}} {
		require.Equal(t, row.three, three.Met(row.margin), row.margin)
		require.Equal(t, row.five, five.Met(row.margin), row.margin)
	}

	rh := must(t)(HumidityFromWetBulb(c(21), c(17), StandardPressure, OverWater))
	dew := must(t)(DewPointOf(c(21), rh, OverWater))
	require.InDelta(t, c(15), dew, 0.5)
	require.InDelta(t, c(14.7304), dew, 1e-3, "computed with a reference library")
	require.True(t, three.Met(must(t)(Margin(c(19), c(21), rh, OverWater))), "paint")
	margin := must(t)(Margin(c(13), c(16), 0.71, OverWater))
	require.InDelta(t, 2, margin, 0.5)
	require.False(t, three.Met(margin), "do not paint")
}

// TestLatentHeat against the steam tables (IAPWS-IF97, from memory): 2500.9,
// 2441.7, 2357.7 and 2256.5 kJ/kg, to the errors the function states.
func TestLatentHeat(t *testing.T) {
	for at, want := range map[float64][2]float64{0: {2500.9e3, 1e-4}, 25: {2441.7e3, 6e-4}, 60: {2357.7e3, 1.7e-3}, 100: {2256.5e3, 5.5e-3}} {
		require.InEpsilon(t, want[0], must(t)(LatentHeat(c(at))), want[1], at)
	}
}

// states draws air of a shop, a truck or a yard, from -20 to 60 C.
type state struct {
	t, rh, p float64
	conv     Convention
}

func states() *rapid.Generator[state] {
	return rapid.Custom(func(t *rapid.T) state {
		return state{c(rapid.Float64Range(-20, 60).Draw(t, "t")), rapid.Float64Range(0, 1).Draw(t, "rh"),
			rapid.Float64Range(60e3, 105e3).Draw(t, "p"), Convention(rapid.IntRange(0, 1).Draw(t, "convention"))}
	})
}

func TestWetBulbLiesBetweenDewPointAndAir(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := states().Draw(r, "air")
		wet, err := WetBulb(s.t, s.rh, s.p, s.conv)
		require.NoError(r, err)
		require.LessOrEqual(r, wet, s.t+1e-9)
		if dew, err := DewPointOf(s.t, s.rh, s.conv); err == nil {
			require.GreaterOrEqual(r, wet, dew-1e-9)
		} else {
			require.ErrorIs(r, err, ErrTooDry)
		}
	})
}

func TestWetBulbThenHumidityReturns(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := states().Draw(r, "air")
		wet, err := WetBulb(s.t, s.rh, s.p, s.conv)
		require.NoError(r, err)
		if math.Abs(s.rh) < 1e-9 {
			return // bone-dry air: round-off may put the ratio below 0
		}
		rh, err := HumidityFromWetBulb(s.t, wet, s.p, s.conv)
		require.NoError(r, err)
		require.InDelta(r, s.rh, rh, 1e-9)
	})
}

func TestWetBulbRisesWithHumidity(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := states().Draw(r, "air")
		more := rapid.Float64Range(s.rh, 1).Draw(r, "more")
		a, err := WetBulb(s.t, s.rh, s.p, s.conv)
		require.NoError(r, err)
		b, err := WetBulb(s.t, more, s.p, s.conv)
		require.NoError(r, err)
		require.LessOrEqual(r, a, b+1e-9)
	})
}

func TestDewPointInvertsSaturation(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		conv := Convention(rapid.IntRange(0, 1).Draw(r, "convention"))
		at := c(rapid.Float64Range(-59.99, 99).Draw(r, "t"))
		ps, err := Saturation(at, conv)
		require.NoError(r, err)
		dew, err := DewPoint(ps, conv)
		require.NoError(r, err)
		require.InDelta(r, at, dew, 1e-5, "1e-5: the two curves meet within 2e-6 at the triple point")
		slope, err := SaturationSlope(at, conv)
		require.NoError(r, err)
		if math.Abs(at-TriplePoint) > 0.01 {
			const h = 1e-3
			numeric := (saturation(at+h, conv) - saturation(at-h, conv)) / (2 * h)
			require.InEpsilon(r, numeric, slope, 1e-6)
		}
	})
}

func TestVapourFromRatioInvertsHumidityRatio(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p := rapid.Float64Range(thinnest, densest).Draw(r, "p")
		pv := rapid.Float64Range(0, 0.9*p).Draw(r, "pv")
		w, err := HumidityRatio(pv, p)
		require.NoError(r, err)
		back, err := VapourFromRatio(w, p)
		require.NoError(r, err)
		require.InDelta(r, pv, back, 1e-9*p)
	})
}

func TestRefusals(t *testing.T) {
	var out *uncertain.OutOfRange
	for name, err := range map[string]error{
		"temperature":          second(Saturation(c(-80), OverWater)),
		"relative humidity":    second(VapourPressure(c(20), 55, OverWater)),
		"vapour pressure":      second(DewPoint(-1, OverWater)),
		"surface temperature":  second(Margin(70, c(20), 0.5, OverWater)),
		"air temperature":      second(WetBulb(70, 0.5, StandardPressure, OverWater)),
		"wet bulb temperature": second(HumidityFromWetBulb(c(20), c(21), StandardPressure, OverWater)),
		"air pressure":         second(HumidityRatio(1000, 1013.25)),
		"height above the sea": second(PressureAt(20e3)),
		"humidity ratio":       second(VapourFromRatio(-1, StandardPressure)),
	} {
		require.ErrorAs(t, err, &out, name)
		require.Equal(t, name, out.Name)
	}
	require.ErrorAs(t, second(Saturation(math.NaN(), OverWater)), &out)
	require.ErrorIs(t, second(DewPointOf(c(20), 0, OverWater)), ErrTooDry)
	require.ErrorIs(t, second(HumidityFromWetBulb(c(20), c(2), StandardPressure, OverWater)), ErrWetBulb)
	require.EqualError(t, second(VapourPressure(c(20), 55, OverWater)),
		"relative humidity is 5500 %, and this can be computed from 0 % to 100 % only")
	require.NoError(t, second(Saturation(c(-80), IceBelowFreezing)), "ice goes colder")
}

// second is the error of a call.
func second(_ float64, err error) error { return err }

func TestReadingGivesRanges(t *testing.T) {
	r := Reading{
		Temperature: uncertain.Input{ID: "air-temperature", Low: c(22.5), High: c(23.5), Unit: "K"},
		Humidity:    uncertain.Input{ID: "humidity", Low: 0.47, High: 0.53, Unit: uncertain.Share},
		Pressure:    uncertain.Input{ID: "pressure", Low: 99e3, High: 103e3, Unit: "Pa", Assumed: true},
	}
	d := uncertain.NewDraws(256, 1)
	results, err := r.Results(d)
	require.NoError(t, err)
	require.Len(t, results, 4)
	checks, err := r.Checks(d)
	require.NoError(t, err)
	require.Empty(t, checks, "no surface, no rule")
	// psychrometrics.csv at 23 C, 50 %; the middle of even inputs, to a quarter
	// of the range.
	for i, want := range []float64{1405.221, c(12.0284), c(16.2469), 10.2811e-3} {
		v := results[i].Value
		require.True(t, v.Low < want && want < v.High, results[i].Name)
		require.InDelta(t, want, v.Mid, (v.High-v.Low)/4, results[i].Name)
		require.Equal(t, []string{"pressure"}, results[i].Assumed)
	}

	r.Surface = uncertain.Exact("surface", c(12.0284)+2.9, "K", "read")
	r.Temperature, r.Humidity = uncertain.Exact("t", c(23), "K", ""), uncertain.Exact("rh", 0.5, uncertain.Share, "")
	results, err = r.Results(d)
	require.NoError(t, err)
	require.InDelta(t, 2.9, results[4].Value.Mid, 1e-4)
	checks, err = r.Checks(d)
	require.NoError(t, err)
	require.Equal(t, []float64{0, 1}, []float64{checks[0].Met, checks[1].Met}, "2.9 K passes 5 F and fails 3 C")
}

func BenchmarkSaturation(b *testing.B) {
	for b.Loop() {
		_, _ = Saturation(296.15, OverWater)
	}
}

func BenchmarkWetBulb(b *testing.B) {
	for b.Loop() {
		_, _ = WetBulb(296.15, 0.5, StandardPressure, OverWater)
	}
}
