package drying

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"filmfault/internal/physics/drying/exchange"
)

// someMaterial draws from the ranges stated for the generic primer.
func someMaterial(t *rapid.T) Material {
	m := HighBuildPrimer()
	m.Density = rapid.Float64Range(1200, 1700).Draw(t, "density")
	m.Diffusivity = math.Pow(10, rapid.Float64Range(-13, -11).Draw(t, "log D"))
	m.Sorption.At50 = rapid.Float64Range(0.003, 0.015).Draw(t, "at 50 %")
	m.Sorption.At90 = m.Sorption.At50 * rapid.Float64Range(1.5, 6).Draw(t, "ratio")
	m.SkinDiffusivity = 7e-7 * rapid.Float64Range(0.5, 2).Draw(t, "skin")
	m.Packing = rapid.Float64Range(0.64, 0.8).Draw(t, "packing")
	m.TackShare = rapid.Float64Range(0.3, 0.9).Draw(t, "tack")
	m.Closing = rapid.SampledFrom([]float64{0, 600, 4 * hour, math.Inf(1)}).Draw(t, "closing")
	return m
}

// someCoat draws a wet coat.
func someCoat(t *rapid.T, m Material) Layer {
	l, err := WetCoat(m, rapid.Float64Range(2, 20).Draw(t, "mils")*mil, rapid.Float64Range(0.3, 0.63).Draw(t, "solids"))
	require.NoError(t, err)
	return l
}

// someLog draws air that changes, with a jump.
func someLog(t *rapid.T) Air {
	var readings []Reading
	for i := range 9 {
		r := Reading{Time: float64(i) * 6 * hour, Air: exchange.Air{
			Temperature: rapid.Float64Range(275, 308).Draw(t, "temperature"),
			RH:          rapid.Float64Range(0.1, 1).Draw(t, "rh"),
			Speed:       rapid.Float64Range(0, 4).Draw(t, "speed"),
			Radiation:   rapid.Float64Range(-40, 200).Draw(t, "radiation"),
		}}
		readings = append(readings, r)
		if i == 4 {
			r.Speed, r.RH = 3, 0.3
			readings = append(readings, r)
		}
	}
	air, err := NewAir(readings)
	require.NoError(t, err)
	return air
}

// someJob draws coats, sanding and masks over two days.
func someJob(t *rapid.T) (Stack, []Event) {
	primer, paint := someMaterial(t), someMaterial(t)
	s := Stack{Face: panel(), Layers: []Layer{someCoat(t, primer)}}
	s.Face.Attitude = exchange.Attitude(rapid.IntRange(0, 2).Draw(t, "attitude"))
	first := s.Layers[0]
	events := []Event{
		CoatOn(rapid.Float64Range(0, 3).Draw(t, "second")*hour, someCoat(t, primer)),
		SandOff(rapid.Float64Range(4, 10).Draw(t, "sanded")*hour, rapid.Float64Range(0.01, 1).Draw(t, "share")*first.Dry),
		MaskOn(11*hour, Mask{Permeance: math.Pow(10, rapid.Float64Range(-13, -9).Draw(t, "log P"))}),
		MaskOff(20 * hour),
		CoatOn(rapid.Float64Range(20, 30).Draw(t, "paint")*hour, someCoat(t, paint)),
	}
	return s, events
}

func TestWaterIsConservedToRoundOff(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, events := someJob(t)
		trace, err := Simulate(s, someLog(t), events, Options{To: 2 * day})
		require.NoError(t, err)
		b := trace.Balance
		require.InDelta(t, 0, b.Error(), 1e-12*(b.Start+b.Applied)*float64(len(trace.Points)))
		for _, p := range trace.Points {
			require.GreaterOrEqual(t, p.Water, -1e-5, "a hundredth of a gram")
			var sum float64
			for _, w := range p.Layers {
				require.GreaterOrEqual(t, w, -1e-5)
				sum += w
			}
			require.InDelta(t, p.Water, sum, 1e-12)
			require.False(t, math.IsNaN(p.Surface) || math.IsNaN(p.Rate))
		}
	})
}

func TestUsualStepsAgreeWithMinutesOnAnyJob(t *testing.T) {
	// The stated accuracy is 1 % of the water put on for an ordinary log; here the
	// air is drawn wildly (every six hours another climate) and 19 jobs of 20 must
	// keep to it. Rare jobs do not: up to 3.5 % was met, which is a known miss.
	jobs := rapid.Custom(func(r *rapid.T) float64 {
		s, events := someJob(r)
		air := someLog(r)
		usual, err := Simulate(s, air, events, Options{To: 2 * day})
		require.NoError(r, err)
		fine, err := Simulate(s, air, events, Options{To: 2 * day, MaxStep: 2 * minute, Fixed: true})
		require.NoError(r, err)
		worst := 0.0
		for h := 1.0; h <= 48; h++ {
			off := math.Abs(fine.At(h*hour).Water - usual.At(h*hour).Water)
			worst = max(worst, off/(fine.Balance.Start+fine.Balance.Applied))
		}
		return worst
	})
	var off []float64
	for seed := range 100 {
		off = append(off, jobs.Example(seed))
	}
	slices.Sort(off)
	t.Logf("median %.4f, 95th %.4f, worst %.4f", off[50], off[95], off[99])
	require.Less(t, off[50], 0.002)
	require.Less(t, off[95], 0.01)
}

// standing is a job that must not dry sooner in worse air.
func standing(t *rapid.T) (Stack, exchange.Air) {
	m := someMaterial(t)
	s := Stack{Face: panel(), Layers: []Layer{someCoat(t, m)}}
	return s, exchange.Air{
		Temperature: rapid.Float64Range(280, 303).Draw(t, "temperature"),
		RH:          rapid.Float64Range(0.2, 0.8).Draw(t, "rh"),
		Speed:       rapid.Float64Range(0, 3).Draw(t, "speed"),
	}
}

// needs is the time until a stack holds no more than what it dissolves at 97 %:
// dry of liquid, in any of the airs compared.
func needs(t *rapid.T, s Stack, a exchange.Air) (tack, dry float64) {
	air, err := Steady(a)
	require.NoError(t, err)
	trace, err := Simulate(s, air, nil, Options{To: 30 * day, MaxStep: 3 * hour})
	require.NoError(t, err)
	content, err := s.Layers[0].Material.Sorption.Content(0.97)
	require.NoError(t, err)
	at, ok := trace.TimeTo(content, 0)
	require.True(t, ok, "a coat dries in a month")
	return trace.Coats[0].TackFree, at
}

func TestWorseAirOrAThickerCoatNeverDriesSooner(t *testing.T) {
	for name, worse := range map[string]func(*Stack, *exchange.Air){
		"more humid": func(_ *Stack, a *exchange.Air) { a.RH += 0.1 },
		"colder":     func(_ *Stack, a *exchange.Air) { a.Temperature -= 3 },
		"stiller":    func(_ *Stack, a *exchange.Air) { a.Speed *= 0.6 },
		"thicker": func(s *Stack, _ *exchange.Air) {
			l := s.Layers[0]
			l.Dry, l.Water = 1.2*l.Dry, 1.2*l.Water
			s.Layers = []Layer{l}
		},
	} {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				s, a := standing(t)
				tack, dry := needs(t, s, a)
				worse(&s, &a)
				tackWorse, dryWorse := needs(t, s, a)
				const slack = 1 - 2e-3 // of the steps' accuracy
				require.GreaterOrEqual(t, tackWorse, slack*tack)
				require.GreaterOrEqual(t, dryWorse, slack*dry)
			})
		})
	}
}

func TestAFilmComesToRestWithItsAir(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := someMaterial(t)
		m.Diffusivity = 1e-11
		film, err := DryFilm(m, 100e-6, rapid.Float64Range(0, 1).Draw(t, "before"))
		require.NoError(t, err)
		rh := rapid.Float64Range(0.05, 0.95).Draw(t, "rh")
		air, err := Steady(exchange.Air{Temperature: 295, RH: rh, Speed: 1})
		require.NoError(t, err)
		trace, err := Simulate(Stack{Face: panel(), Layers: []Layer{film}}, air, nil, Options{To: 2 * day})
		require.NoError(t, err)
		want, err := m.Sorption.Content(rh)
		require.NoError(t, err)
		require.InEpsilon(t, want, trace.At(2*day).Fraction(), 1e-3)
	})
}

func TestAMaskOrAPaintHoldsWaterIn(t *testing.T) {
	film, err := DryFilm(HighBuildPrimer(), 10*mil, 0.9)
	require.NoError(t, err)
	air := steady(t, 22, 0.4, 1)
	left := func(s Stack, events []Event, coat int) float64 {
		return simulate(t, s, air, events, Options{To: 2 * day}).At(2 * day).Layers[coat]
	}
	bare := left(Stack{Face: panel(), Layers: []Layer{film}}, nil, 0)
	tight := left(Stack{Face: panel(), Layers: []Layer{film}, Mask: &Mask{Permeance: 3e-12}}, nil, 0)
	loose := left(Stack{Face: panel(), Layers: []Layer{film}, Mask: &Mask{Permeance: 3e-10}}, nil, 0)
	paint, err := WetCoat(AcrylicPaint(), 5*mil, 0.4)
	require.NoError(t, err)
	painted := left(Stack{Face: panel(), Layers: []Layer{film}}, []Event{CoatOn(hour, paint)}, 0)
	require.Greater(t, tight, loose)
	require.Greater(t, loose, bare)
	require.Greater(t, painted, bare)
	require.InEpsilon(t, film.Water, tight, 0.25)
}

func TestAMaskOfAnyPermeanceIsASeriesResistance(t *testing.T) {
	// Source: series resistances, flux = dp/(1/P + 1/P_air), here of a film so damp
	// that its face stays saturated. Tolerance 2 % (the film is a little colder).
	const permeance = 5.72e-11
	film, err := DryFilm(HighBuildPrimer(), 20*mil, 1)
	require.NoError(t, err)
	film.Material.Diffusivity = 1e-9
	trace := simulate(t, Stack{Face: panel(), Layers: []Layer{film}, Mask: &Mask{Permeance: permeance}},
		steady(t, 23, 0.5, 2), nil, Options{To: hour})
	require.InEpsilon(t, permeance*0.5*2810, trace.Points[0].Rate, 0.02, "saturation at 23 C is 2810 Pa")
}

func TestDewFormsOnAFaceColderThanTheDewPoint(t *testing.T) {
	film, err := DryFilm(HighBuildPrimer(), 4*mil, 0.8)
	require.NoError(t, err)
	sky, err := Steady(exchange.Air{Temperature: 285, RH: 0.97, Speed: 0.2, Radiation: -60})
	require.NoError(t, err)
	trace := simulate(t, Stack{Face: panel(), Layers: []Layer{film}}, sky, nil, Options{To: 8 * hour})
	end := trace.At(8 * hour)
	dew, err := end.DewPoint()
	require.NoError(t, err)
	require.Less(t, end.Surface, dew)
	require.Negative(t, end.Rate)
	require.Greater(t, end.Fraction(), 0.04, "more than the film dissolves")
}

func TestSunWarmsAndDries(t *testing.T) {
	coat := wetCoat(t, 10, 0.5)
	shade := simulate(t, Stack{Face: panel(), Layers: []Layer{coat}}, steady(t, 20, 0.5, 1), nil, Options{To: 2 * hour})
	a := exchange.Air{Temperature: 293.15, RH: 0.5, Speed: 1, Radiation: 300}
	air, err := Steady(a)
	require.NoError(t, err)
	sun := simulate(t, Stack{Face: panel(), Layers: []Layer{coat}}, air, nil, Options{To: 2 * hour})
	require.Less(t, sun.At(hour).Water, shade.At(hour).Water)
	require.Greater(t, sun.At(hour/2).Surface, shade.At(hour/2).Surface+5)
	require.Less(t, sun.Coats[0].TackFree, shade.Coats[0].TackFree)
}

func TestSandingTakesFilmAndItsWater(t *testing.T) {
	film, err := DryFilm(HighBuildPrimer(), 10*mil, 0.5)
	require.NoError(t, err)
	s := Stack{Face: panel(), Layers: []Layer{film, film}}
	trace := simulate(t, s, steady(t, 22, 0.5, 1), []Event{SandOff(hour, 15*mil), SandOff(2*hour, 5*mil)}, Options{To: 3 * hour})
	half := trace.At(hour)
	require.Zero(t, half.Layers[1])
	require.InEpsilon(t, film.Water/2, half.Layers[0], 1e-3)
	require.InEpsilon(t, 0.25*2*10*mil*film.Material.Density, half.Dry, 1e-9)
	end := trace.At(3 * hour)
	require.Zero(t, end.Water)
	require.Zero(t, end.Dry)
	require.InEpsilon(t, 2*film.Water, trace.Balance.Sanded, 1e-3)
}

func TestABareBoardHasAirTemperature(t *testing.T) {
	trace := simulate(t, Stack{Face: panel()}, steady(t, 25, 0.5, 1), nil, Options{To: hour})
	require.InDelta(t, 298.15, trace.At(hour).Surface, 1e-6)
	require.Zero(t, trace.At(hour).Water)
	require.Zero(t, trace.At(hour).Fraction())
}
