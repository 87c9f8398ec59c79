package film

import (
	"math"
	"testing"

	"filmfault/internal/uncertain"
	"filmfault/internal/uncertain/checkrows"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// must gives the value of a call that has to succeed.
func must(t require.TestingT) func(float64, error) float64 {
	return func(v float64, err error) float64 { require.NoError(t, err); return v }
}

// TestFilmBuildRows holds all rows of film_build.csv, to the last digit.
func TestFilmBuildRows(t *testing.T) {
	rows := checkrows.Read(t, "film_build.csv")
	require.Len(t, rows, 10)
	for _, row := range rows {
		solids := row.Float(t, "volume_solids_frac")
		thinner := OfPaint(row.Float(t, "thinner_vol_frac_of_paint"))
		wet := row.Float(t, "wft_mil") * mil
		dry := must(t)(Dry(wet, solids, thinner))
		require.InDelta(t, row.Float(t, "wft_um"), wet*1e6, 6e-3, row)
		require.InDelta(t, row.Float(t, "dft_mil"), dry/mil, 1.01e-4, row)
		require.InDelta(t, row.Float(t, "dft_um"), dry*1e6, 6e-3, row)
		require.InDelta(t, wet, must(t)(Wet(dry, solids, thinner)), 1e-15, row)
		// The columns of coverage are those of a gallon of the mix at the wet
		// film laid, so that thinning does not enter.
		unthinned := must(t)(Dry(wet, solids, Unthinned))
		coverage := must(t)(Coverage(unthinned, solids))
		require.InDelta(t, row.Float(t, "theoretical_coverage_ft2_per_gal_at_dft"), SquareFeetPerGallon(coverage), 0.006, row)
		require.InDelta(t, row.Float(t, "m2_per_L"), SquareMetersPerLitre(coverage), 6e-4, row)
	}
}

// TestPublishedFilmFigures: single figures and their stated tolerances.
func TestPublishedFilmFigures(t *testing.T) {
	feet := func(dryMil, solids float64) float64 {
		return SquareFeetPerGallon(must(t)(Coverage(dryMil*mil, solids)))
	}
	for _, row := range []struct {
		got, want, tolerance float64
		source               string
	}{
		{feet(1, 1), 1604.17, 0.01, "231 in3 to the gallon: a gauge maker's formula sheet"},
		{feet(10, 1), 160.417, 0.001, "the same, 10 mil wet"},
		{must(t)(Wet(1.5*mil, 0.42, Unthinned)) / mil, 3.57, 0.01, "trade magazine, questions and answers, October 2003"},
		{must(t)(Dry(8*mil, 0.35, Unthinned)) / mil, 2.8, 0.001, "estimating guide, chart"},
		{must(t)(Dry(8*mil, 0.35, OfPaint(0.1))) / mil, 2.545, 0.001, "arithmetic; the chart rounds the solids to 32 % first"},
		{feet(1, 0.35), 561, 0.5, "estimating guide, table"},
		{feet(2, 0.35), 281, 0.5, "the same"},
		{feet(3, 0.35), 187, 0.5, "the same"},
		{feet(4, 0.35), 140, 0.5, "the same"},
		{feet(1, 0.50), 802, 0.5, "the same"},
		{feet(2, 0.50), 401, 0.5, "the same"},
		{feet(3, 0.50), 267, 0.5, "the same"},
		{feet(4, 0.50), 201, 0.5, "the same, which prints 201 for 200.5"},
		{must(t)(Dry(10*mil, 0.45, OfPaint(0.1))) / mil, 4.1, 0.05, "trade worksheet: 10 wet mils, 45 %, 10 % water"},
	} {
		require.InDelta(t, row.want, row.got, row.tolerance, row.source)
	}
}

// TestHandbookRoundsAndMisprints: MIL-HDBK-1110 section 2.1.5 rounds 1604 to
// 1600, so its table is .26 % low. For 50 % solids at 1 mil it prints 600 ft2:
// a misprint, since its own 100 % line gives 1600 at 1 mil and its own 50 %
// lines give 400 at 2 mil and 200 at 4 mil. 800 is right.
func TestHandbookRoundsAndMisprints(t *testing.T) {
	feet := func(dryMil, solids float64) float64 {
		return SquareFeetPerGallon(must(t)(Coverage(dryMil*mil, solids)))
	}
	const rounded = 1600 / 1604.1667
	for _, row := range []struct{ solids, dryMil, prints float64 }{
		{1, 1, 1600}, {1, 2, 800}, {1, 4, 400}, {0.5, 2, 400}, {0.5, 4, 200},
	} {
		require.InDelta(t, row.prints, feet(row.dryMil, row.solids)*rounded, 0.01)
	}
	require.InDelta(t, 800, feet(1, 0.5)*rounded, 0.01)
	require.Greater(t, math.Abs(feet(1, 0.5)*rounded-600), 199.0, "600 is the misprint")
}

// TestThinningMustSayOfWhat: 10 % of the paint leaves .9091, 10 % of the mix .9
// (arithmetic).
func TestThinningMustSayOfWhat(t *testing.T) {
	require.InDelta(t, 0.9091, must(t)(OfPaint(0.1).PaintInMix()), 5e-5)
	require.InDelta(t, 0.9, must(t)(OfMix(0.1).PaintInMix()), 1e-15)
	require.Equal(t, must(t)(Dry(mil, 0.5, Unthinned)), must(t)(Dry(mil, 0.5, nil)), "nil is not thinned")
	rapid.Check(t, func(r *rapid.T) {
		share := rapid.Float64Range(0, 0.66).Draw(r, "share")
		asPaint, err := AsOfPaint(OfMix(share))
		require.NoError(r, err)
		same := must(r)(asPaint.PaintInMix())
		require.InDelta(r, 1-share, same, 1e-12, "restating changes nothing")
		require.GreaterOrEqual(r, must(r)(OfPaint(share).PaintInMix()), 1-share-1e-15, "the same number of the mix is more thinner")
	})
}

// TestThinningBands: common practice, no source. Brushing 1-2 %, spraying 1-3 %
// is normal; 45 % is for other stock.
func TestThinningBands(t *testing.T) {
	for _, row := range []struct {
		thinning Thinning
		want     Band
	}{
		{Unthinned, NormallyThinned}, {OfPaint(0.02), NormallyThinned}, {OfPaint(0.03), NormallyThinned},
		{OfPaint(0.031), MuchThinned}, {OfPaint(0.10), MuchThinned}, {OfMix(0.10), OverThinned}, {OfPaint(0.45), OverThinned},
	} {
		got, err := BandOf(row.thinning)
		require.NoError(t, err)
		require.Equal(t, row.want, got, "%T %v", row.thinning, row.thinning)
	}
	full, thin := must(t)(Dry(10*mil, 0.5, Unthinned)), must(t)(Dry(10*mil, 0.5, OfPaint(0.45)))
	require.InDelta(t, 0.69, thin/full, 0.005, "45 % takes a third of the film: 1/1.45")
	require.Contains(t, OverThinned.String(), "thin")
}

// TestNotchGauge: the steps of ASTM D4414-95(2020) section 7.1.2, the example
// given there in both units.
func TestNotchGauge(t *testing.T) {
	for _, row := range []struct{ reading, next float64 }{
		{0, 0.5}, {3, 3.5}, {5.5, 6}, {6, 7}, {9, 10}, {10, 12}, {20, 22}, {28, 30}, {30, 35}, {60, 65},
	} {
		low, high, err := MilGauge.Notch(row.reading * mil)
		require.NoError(t, err)
		require.InDelta(t, row.reading, low/mil, 1e-9)
		require.InDelta(t, row.next, high/mil, 1e-9, "%v mil", row.reading)
	}
	for _, row := range []struct{ reading, next float64 }{
		{26, 39}, {137, 150}, {150, 175}, {225, 250}, {250, 300}, {700, 750}, {750, 875},
	} {
		_, high, err := MicronGauge.Notch(row.reading * 1e-6)
		require.NoError(t, err)
		require.InDelta(t, row.next, high*1e6, 1e-6, "%v um", row.reading)
	}
	_, high, err := MilGauge.Notch(152.4e-6)
	require.NoError(t, err)
	require.InDelta(t, 7, high/mil, 1e-6, "6 mil given in um is 6 mil")
}

// TestScribe: manual of a destructive gauge after ASTM D4138: 30 divisions of 1
// mil are 30, 15 and 3 mil at 45, 26.6 and 5.7 degrees.
func TestScribe(t *testing.T) {
	for degrees, want := range map[float64][2]float64{45: {30, 1e-9}, 26.6: {15, 0.05}, 5.7: {3, 0.01}} {
		require.InDelta(t, want[0], must(t)(Scribe(30*mil, degrees*math.Pi/180))/mil, want[1], degrees)
	}
}

func TestCoats(t *testing.T) {
	// Arithmetic: 5 dry mils a coat.
	for target, want := range map[float64]int{0: 0, 4.9: 1, 5: 1, 5.1: 2, 10: 2, 15: 3} {
		n, err := Coats(target*mil, 5*mil)
		require.NoError(t, err)
		require.Equal(t, want, n, target)
	}
}

func TestRefusals(t *testing.T) {
	for want, err := range map[string]error{
		"wet film is 500 mil, and this can be computed from 0 mil to 250 mil only":                    second(Dry(500*mil, 0.5, Unthinned)),
		"volume solids is 0 %, and this can be computed from 5 % to 100 % only":                       second(Dry(10*mil, 0, Unthinned)),
		"dry film is 0 mil, and this can be computed from 0.1 mil to 250 mil only":                    second(Coverage(0, 0.5)),
		"thinner for each part of paint is 10 parts, and this can be computed from 0 to 2 parts only": second(Dry(10*mil, 0.5, OfPaint(10))),
		"thinner in the mix is 90 %, and this can be computed from 0 % to 67 % only":                  second(Wet(5*mil, 0.5, OfMix(0.9))),
		"gauge reading is 500 mil, and this can be computed from 0 mil to 100 mil only":               second(gauged(500 * mil)),
		"angle of the cut is 5.7 rad, and this can be computed from 0.05 to 1.05 rad only":            second(Scribe(30*mil, 5.7)),
	} {
		require.EqualError(t, err, want)
	}
	_, err := Build(uncertain.NewDraws(4, 1), nil, uncertain.Input{})
	require.ErrorIs(t, err, ErrNoCoats)
}

func gauged(reading float64) (float64, error) {
	low, _, err := MilGauge.Notch(reading)
	return low, err
}

// second is the error of a call.
func second(_ float64, err error) error { return err }

// primer is a coat of high-build primer as a shop logs it.
func primer(t testing.TB, id string, reading float64) Coat {
	wet, err := MilGauge.Reading(id, reading*mil)
	require.NoError(t, err)
	return Coat{
		Wet:      wet,
		Solids:   uncertain.Input{ID: "primer-solids", Low: 0.45, High: 0.60, Unit: uncertain.Share, Assumed: true},
		Thinning: PaintShare{uncertain.Input{ID: "thinning", Low: 0.01, High: 0.03, Unit: uncertain.Share}},
	}
}

func TestCoatIsARange(t *testing.T) {
	d := uncertain.NewDraws(512, 1)
	c := primer(t, "first", 10)
	dry, err := c.Dry(d)
	require.NoError(t, err)
	// Arithmetic: 10-12 mil at 45-60 %, thinned 1-3 %, cannot leave less than
	// 4.3 or more than 7.2 mil; the middle is 11*.525/1.02.
	require.Greater(t, dry.Value.Low/mil, 4.3)
	require.Less(t, dry.Value.High/mil, 7.2)
	require.InDelta(t, 11*0.525/1.02, dry.Value.Mid/mil, 0.1)
	require.Equal(t, []string{"primer-solids"}, dry.Assumed)

	byMix := c
	byMix.Thinning = MixShare{uncertain.Input{ID: "thinning", Low: 0.3, High: 0.3, Unit: uncertain.Share}}
	byPaint := c
	byPaint.Thinning = PaintShare{uncertain.Input{ID: "thinning", Low: 0.3, High: 0.3, Unit: uncertain.Share}}
	m, err := byMix.Dry(d)
	require.NoError(t, err)
	p, err := byPaint.Dry(d)
	require.NoError(t, err)
	require.InDelta(t, 0.7*1.3, m.Value.Mid/p.Value.Mid, 1e-9)

	coverage, err := Coat{Wet: uncertain.Exact("w", 10*mil, "m", ""), Solids: c.Solids}.Coverage(d)
	require.NoError(t, err)
	require.InDelta(t, 160.417, SquareFeetPerGallon(coverage.Value.Mid), 0.001, "a wet film covers the same whatever the solids")
	require.InDelta(t, coverage.Value.Low, coverage.Value.High, 1e-9*coverage.Value.High)

	coats, err := c.CoatsFor(d, 10*mil)
	require.NoError(t, err)
	require.Equal(t, uncertain.Range{Mid: 2, Low: 2, High: 3}, coats.Value, "5.7 dry mils make 10 in two, the thinnest in three")
}

func TestBuildAddsCoatsThatShareTheirSolids(t *testing.T) {
	d := uncertain.NewDraws(512, 1)
	none := uncertain.Exact("sanded", 0, "m", "")
	one, err := primer(t, "first", 10).Dry(d)
	require.NoError(t, err)
	same := primer(t, "first", 10)
	three, err := Build(d, []Coat{same, same, same}, none)
	require.NoError(t, err)
	require.InDelta(t, 3*one.Value.High, three.Value.High, 1e-12, "one and the same input adds its errors up")

	apart, err := Build(d, []Coat{primer(t, "first", 10), primer(t, "second", 10), primer(t, "third", 10)}, none)
	require.NoError(t, err)
	require.Less(t, apart.Value.High, three.Value.High, "three gauge readings partly cancel")
	require.Greater(t, apart.Value.High/apart.Value.Mid, 1.1, "the solids of one primer do not")

	// Common practice, no source: no sanding between coats, the build is needed.
	sanded, err := Build(d, []Coat{same, same, same}, uncertain.Exact("sanded", 5*mil, "m", ""))
	require.NoError(t, err)
	require.InDelta(t, 5*mil, three.Value.Mid-sanded.Value.Mid, 1e-12)
	gone, err := Build(d, []Coat{same}, uncertain.Exact("sanded", 50*mil, "m", ""))
	require.NoError(t, err)
	require.Equal(t, uncertain.Range{}, gone.Value, "sanded through")
}

func TestMoreOfEverythingIsThicker(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		wet := rapid.Float64Range(0, 100*mil).Draw(r, "wet")
		solids := rapid.Float64Range(0.05, 1).Draw(r, "solids")
		thinner := rapid.Float64Range(0, 2).Draw(r, "thinner")
		less := must(r)(Dry(wet, solids, OfPaint(thinner)))
		require.LessOrEqual(r, less, wet)
		require.GreaterOrEqual(r, must(r)(Dry(wet, solids, Unthinned)), less)
		require.InDelta(r, 2*less, must(r)(Dry(2*wet, solids, OfPaint(thinner))), 1e-15)
		back := must(r)(Wet(less, solids, OfPaint(thinner)))
		require.InDelta(r, wet, back, 1e-12)
	})
}

func BenchmarkBuild(b *testing.B) {
	d := uncertain.NewDraws(256, 1)
	coats := []Coat{primer(b, "a", 10), primer(b, "b", 10), primer(b, "c", 10), primer(b, "d", 10)}
	for b.Loop() {
		_, err := Build(d, coats, uncertain.Exact("sanded", 0, "m", ""))
		require.NoError(b, err)
	}
}
