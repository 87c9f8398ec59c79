package drying

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/physics/drying/exchange"
)

// table reads a file of check values; its comment lines give the source.
func table(t *testing.T, name string) [][]float64 {
	t.Helper()
	file, err := os.Open("../../../testdata/physics/" + name)
	require.NoError(t, err)
	defer file.Close()
	reader := csv.NewReader(file)
	reader.Comment = '#'
	lines, err := reader.ReadAll()
	require.NoError(t, err)
	rows := make([][]float64, 0, len(lines))
	for _, line := range lines[1:] {
		row := make([]float64, len(line))
		for i, cell := range line {
			row[i], err = strconv.ParseFloat(cell, 64)
			require.NoError(t, err)
		}
		rows = append(rows, row)
	}
	return rows
}

func TestSheetUptakeIsCranksSeries(t *testing.T) {
	// Source: testdata/physics/plane_sheet_diffusion.csv; tolerance half a printed
	// digit. The value at .25 and the profile are those of the documentation of a
	// published library after Crank 1975 pp 47-48; tolerance 1e-9.
	for _, row := range table(t, "plane_sheet_diffusion.csv") {
		got, err := SheetUptake(row[0])
		require.NoError(t, err)
		require.InDelta(t, row[1], got, 0.6e-6, "tau %g", row[0])
		require.InDelta(t, row[2], 2*math.Sqrt(row[0]/math.Pi), 0.6e-6)
	}
	got, err := SheetUptake(0.25)
	require.NoError(t, err)
	require.InDelta(t, 0.562233541762138, got, 1e-9)
	got, err = SheetProfile(0.25, 0)
	require.NoError(t, err)
	require.InDelta(t, 0.3145542331096479, got, 1e-9)
	for tau, share := range map[float64]float64{0.19673: 0.5, 0.84809: 0.9, 1.12901: 0.95, 1.78129: 0.99} {
		// Source: roots of the series, computed apart with scipy; five digits.
		got, err := SheetUptake(tau)
		require.NoError(t, err)
		require.InDelta(t, share, got, 1e-5)
	}
	short := 2 * math.Sqrt(0.319/math.Pi)
	got, err = SheetUptake(0.319)
	require.NoError(t, err)
	require.InEpsilon(t, got, short, 0.0101, "the short-time form holds to 1 %% up to here")
	before, err := SheetUptake(0.02 * (1 - 1e-12))
	require.NoError(t, err)
	after, err := SheetUptake(0.02)
	require.NoError(t, err)
	require.InDelta(t, before, after, 1e-9, "where the forms meet")
}

// sheet is a film that diffuses as the series assumes: one diffusivity, a
// straight isotherm, air so fast that the face is at once at equilibrium.
func sheet(t testing.TB, thick float64) (Stack, Air) {
	m := HighBuildPrimer()
	m.Diffusivity, m.Activation, m.Closing = 1e-14, 0, 0
	m.Sorption = Sorption{At50: 0.01, At90: 0.018}
	film, err := DryFilm(m, thick, 0.3)
	require.NoError(t, err)
	face := panel()
	face.Flow = exchange.Tripped
	return Stack{Face: face, Layers: []Layer{film}}, steady(t, reference-273.15, 0.7, 30)
}

// uptake is the share of the final change that a film has made.
func uptake(s Stack, p Point) float64 {
	l := s.Layers[0]
	final := 0.014 * l.Material.Density * l.Dry
	return (p.Water - l.Water) / (final - l.Water)
}

func TestSolverInTheDiffusionLimit(t *testing.T) {
	// Source: Crank's series. Tolerance .1 % of the uptake from tau .01 on, 1 % at
	// .001 (where the front is six of 200 cells deep).
	const thick = 100e-6
	s, air := sheet(t, thick)
	unit := thick * thick / 1e-14
	trace := simulate(t, s, air, nil, Options{To: 2.5 * unit, Cells: 200, MaxStep: unit / 400, Tolerance: 1e-4})
	for _, row := range table(t, "plane_sheet_diffusion.csv") {
		if row[0] < 1e-3 {
			continue
		}
		tolerance := 1e-3
		if row[0] < 0.01 {
			tolerance = 0.01
		}
		require.InEpsilon(t, row[1], uptake(s, trace.At(row[0]*unit)), tolerance, "tau %g", row[0])
	}
	half, ok := trace.TimeTo(0.5*(0.006+0.014), 0)
	require.True(t, ok, "it starts below")
	require.Zero(t, half)
}

func TestSolverWithTheUsualGrid(t *testing.T) {
	// How good 8 cells for a coat are: within 2.5 % of the series from tau .05 on,
	// 1.25 % from .1 on.
	s, air := sheet(t, 100e-6)
	unit := 1e6
	trace := simulate(t, s, air, nil, Options{To: 2.5 * unit, MaxStep: unit / 100})
	for _, row := range table(t, "plane_sheet_diffusion.csv") {
		tolerance := 0.0125
		if row[0] < 0.1 {
			tolerance = 0.025
		}
		if row[0] >= 0.05 {
			require.InEpsilon(t, row[1], uptake(s, trace.At(row[0]*unit)), tolerance, "tau %g", row[0])
		}
	}
}

func TestHalfTimeAndThicknessSquared(t *testing.T) {
	// Sources: half time .19673 L^2/D (series); twice as thick takes four times as
	// long (diffusion has no other length). Tolerance .2 %.
	halves := make([]float64, 2)
	for i, thick := range []float64{100e-6, 200e-6} {
		s, _ := sheet(t, thick)
		dry := steady(t, reference-273.15, 0.1, 30) // from 30 % down to 10 %
		unit := thick * thick / 1e-14
		trace := simulate(t, s, dry, nil, Options{To: unit, Cells: 60, MaxStep: unit / 400, Tolerance: 1e-4})
		var ok bool
		halves[i], ok = trace.TimeTo(0.004, 0)
		require.True(t, ok)
		require.InEpsilon(t, 0.19673, halves[i]/unit, 0.002)
	}
	require.InEpsilon(t, 4, halves[1]/halves[0], 0.002)
}

// innermost computes a sheet to tau .25 and gives its uptake and the share at
// the sealed face.
func innermost(t *testing.T, cells, steps int) (taken, sealed float64) {
	s, air := sheet(t, 100e-6)
	o, err := Options{To: 0.25e6, Cells: cells, MaxStep: 0.25e6 / float64(steps), Fixed: true}.filled()
	require.NoError(t, err)
	r := newRun(s, air, o)
	require.NoError(t, r.all(nil))
	trace := r.finished()
	face := r.u[0] + (r.u[0]-r.u[1])/8 // a parabola level at the sealed face
	return uptake(s, trace.At(o.To)), (face - 0.006) / (0.014 - 0.006)
}

func TestProfileAtTheSealedFace(t *testing.T) {
	// Source: as in TestSheetUptakeIsCranksSeries, .31455 at tau .25. Tolerance .1 %.
	_, sealed := innermost(t, 100, 2000)
	require.InEpsilon(t, 0.3145542331096479, sealed, 1e-3)
}

func TestSecondOrderInCellsAndSteps(t *testing.T) {
	// The stated order is two: half the width or step, a quarter of the error.
	const exact = 0.562233541762138
	t.Run("cells", func(t *testing.T) {
		off := make([]float64, 3)
		for i, cells := range []int{5, 10, 20} {
			taken, _ := innermost(t, cells, 4000)
			off[i] = math.Abs(taken - exact)
		}
		require.InDelta(t, 4, off[0]/off[1], 0.4)
		require.InDelta(t, 4, off[1]/off[2], 0.6)
	})
	t.Run("steps", func(t *testing.T) {
		best, _ := innermost(t, 20, 8000)
		off := make([]float64, 3)
		for i, steps := range []int{25, 50, 100} {
			taken, _ := innermost(t, 20, steps)
			off[i] = math.Abs(taken - best)
		}
		require.InDelta(t, 4, off[0]/off[1], 0.6)
		require.InDelta(t, 4, off[1]/off[2], 0.6)
	})
}
