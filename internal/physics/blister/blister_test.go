package blister_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"filmfault/internal/physics/blister"
	"filmfault/internal/uncertain"
)

// rows reads the check rows by the names of their columns.
func rows(t *testing.T) []map[string]string {
	t.Helper()
	f, err := os.Open("../../../testdata/physics/blister.csv")
	require.NoError(t, err)
	defer func() { _ = f.Close() }()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var out []map[string]string
	for _, line := range all[1:] {
		row := map[string]string{}
		for i, name := range all[0] {
			row[name] = line[i]
		}
		out = append(out, row)
	}
	require.NotEmpty(t, out)
	return out
}

func number(t *testing.T, row map[string]string, name string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(row[name], 64)
	require.NoError(t, err, name)
	return v
}

// Rows computed with a reference library (scipy): plate closed form, membrane by
// a boundary-value solver. Tolerance 0.1 %, the digits printed; the small rows
// have five digits of mm.
func TestRows(t *testing.T) {
	for _, row := range rows(t) {
		f := blister.Film{Stiffness: number(t, row, "E_Pa"), Poisson: number(t, row, "nu"), Thickness: number(t, row, "thickness_m")}
		a, p := number(t, row, "radius_m"), number(t, row, "p_Pa")
		w, g, err := f.Plate(a, p)
		require.NoError(t, err)
		assert.InEpsilon(t, number(t, row, "w0_plate_mm"), w*1e3, 1e-3)
		assert.InEpsilon(t, number(t, row, "G_plate_J_m2"), g, 1e-3)
		m, gm, err := f.Membrane(a, p)
		require.NoError(t, err)
		assert.InEpsilon(t, number(t, row, "w0_membrane_mm(C1=0.6403)"), m*1e3, 1e-3)
		assert.InEpsilon(t, number(t, row, "G_membrane_J_m2(0.6503 p w0)"), gm, 1e-3)
		d, err := f.Dome(a, p)
		require.NoError(t, err)
		assert.LessOrEqual(t, d.Rise, w)
		assert.LessOrEqual(t, d.Rise, m*(1+1e-9))
		want := map[string]blister.Regime{"plate": blister.PlateLike, "transition": blister.Between, "membrane": blister.MembraneLike}[row["regime"]]
		assert.Equal(t, want, d.Regime, "%s at %g Pa, %g of the thickness", row["regime"], p, d.Rise/f.Thickness)
	}
}

// Membrane factors by a boundary-value solver (scipy), printed to four digits.
func TestMembraneFactors(t *testing.T) {
	for _, c := range []struct{ nu, rise, energy float64 }{{.3, .6534, .6517}, {.35, .6403, .6503}, {.4, .6263, .6487}} {
		f := blister.Film{Stiffness: 1e8, Poisson: c.nu, Thickness: 1e-4}
		// At p a = E t the rise over the radius is the factor itself.
		w, g, err := f.Membrane(0.01, 1e6)
		require.NoError(t, err)
		assert.InDelta(t, c.rise, w/0.01, 6e-5)
		assert.InDelta(t, c.energy, g/(1e6*w), 6e-5)
	}
}

// Between plate and membrane, computed with a reference library: rise .5018 mm,
// energy 7.3 to 10.1 J/m2 by the assumed shape.
func TestBetween(t *testing.T) {
	f := blister.Film{Stiffness: 500e6, Poisson: .35, Thickness: .5e-3}
	d, err := f.Dome(.01, 31100)
	require.NoError(t, err)
	assert.InDelta(t, .5018e-3, d.Rise, 5e-8)
	assert.InDelta(t, 7.3, d.Energy.Low, .05)
	assert.InDelta(t, 10.1, d.Energy.High, .1)
	assert.True(t, d.Energy.Low < d.Energy.Mid && d.Energy.Mid < d.Energy.High)
	assert.Equal(t, blister.Between, d.Regime)
}

// Pressures at 10 J/m2, arithmetic apart from this program: 27.56 kPa for 10 mm,
// 110.3 for 5 mm. The plate rises 1.45 times its thickness at 10 mm, so the true
// pressure there is higher; at 5 mm it is nearly a plate.
func TestPressureToGrow(t *testing.T) {
	f := blister.Film{Stiffness: 500e6, Poisson: .35, Thickness: .5e-3}
	for _, c := range []struct{ a, p, lowest, highest float64 }{{.010, 27560, 1.05, 1.35}, {.005, 110300, 1, 1.05}} {
		p, err := f.PlatePressure(c.a, 10)
		require.NoError(t, err)
		assert.InEpsilon(t, c.p, p, 1e-3)
		grows, err := f.Grows(c.a, 10)
		require.NoError(t, err)
		assert.Greater(t, grows/p, c.lowest, "%g m", c.a)
		assert.Less(t, grows/p, c.highest, "%g m", c.a)
	}
	smallest, err := f.Grown(31100, 10)
	require.NoError(t, err)
	assert.InDelta(t, .010, smallest, .001, "solar pressure grows a defect of about 10 mm")
}

// The peel and stored-energy rows are arithmetic apart from this program.
func TestBondRows(t *testing.T) {
	for angle, want := range map[float64]float64{math.Pi / 2: 200, math.Pi: 400} {
		g, err := blister.PeelEnergy(5/.025, angle)
		require.NoError(t, err)
		assert.InDelta(t, want, g, 1e-9)
	}
	edge, full, err := blister.Film{Stiffness: 500e6, Poisson: .35, Thickness: .5e-3}.StoredEnergy(1e6)
	require.NoError(t, err)
	assert.InDelta(t, .439, edge, .0005)
	assert.InDelta(t, .650, full, .0005)
}

func input(id string, low, high float64, spread uncertain.Spread) uncertain.Input {
	return uncertain.Input{ID: id, Low: low, High: high, Spread: spread, Assumed: true}
}

// A primed and painted film as usual: 0.4-0.6 mm, 200-1000 MPa; the sealed
// pocket's pressure of 31.11 kPa (20 to 60 C) is the most the sun makes.
func spot(radius float64) blister.Spot {
	return blister.Spot{
		Radius: uncertain.Exact("radius", radius, "m", ""), Thickness: input("thickness", .4e-3, .6e-3, uncertain.Even),
		Stiffness: input("stiffness", 200e6, 1000e6, uncertain.EvenInLog), Poisson: input("poisson", .3, .45, uncertain.Even),
		Bond: blister.FreshBond(),
	}
}

// Sound spots of 1 and 2 mm cannot be said to blister by themselves; one of 30
// mm can.
func TestSmallSpotsAreNotSaidToBlister(t *testing.T) {
	d := uncertain.NewDraws(512, 1)
	for _, c := range []struct {
		radius, least, most float64
		says                string
	}{{.001, 0, 0, "cannot be said"}, {.002, 0, .05, "cannot be said"}, {.010, .05, .6, "may grow"}, {.060, .5, 1, "may well grow"}} {
		g, err := spot(c.radius).Against([]float64{31110}, d)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, g.Share, c.least, "%g", c.radius)
		assert.LessOrEqual(t, g.Share, c.most, "%g", c.radius)
		assert.Contains(t, g.Verdict(), c.says, "%g m: %g", c.radius, g.Share)
		assert.Equal(t, []string{"bond-energy", "poisson", "stiffness", "thickness"}, g.Needed.Assumed)
		assert.Len(t, g.Enough, 512)
	}
	two, err := spot(.002).Against([]float64{31110}, d)
	require.NoError(t, err)
	assert.Greater(t, two.Needed.Value.Low, 2*31110.)
}

func TestRefusals(t *testing.T) {
	good := blister.Film{Stiffness: 500e6, Poisson: .35, Thickness: .5e-3}
	for _, f := range []blister.Film{{500e6, .35, 0}, {500e6, .5, .5e-3}, {math.NaN(), .35, .5e-3}, {0, .35, .5e-3}} {
		_, err := f.Grows(.01, 10)
		require.Error(t, err)
		_, _, err = f.StoredEnergy(1e6)
		require.Error(t, err)
	}
	for _, bad := range []float64{-1, math.NaN(), math.Inf(1)} {
		_, err := good.Grows(bad, 10)
		require.ErrorContains(t, err, "radius of the spot")
		_, err = good.Grows(.01, bad)
		require.ErrorContains(t, err, "energy to open the bond")
		_, err = good.Dome(.01, bad)
		require.ErrorContains(t, err, "pressure under the film")
		_, err = spot(.01).Against([]float64{bad}, uncertain.NewDraws(4, 1))
		require.Error(t, err)
	}
	_, err := spot(.01).Against(nil, uncertain.NewDraws(4, 1))
	require.Error(t, err)
	smallest, err := good.Grown(0, 10)
	require.NoError(t, err)
	assert.True(t, math.IsInf(smallest, 1))
}

// More pressure or a larger spot never rises less, a stronger bond or thicker
// film never grows at less; Grows inverts Dome; bounds enclose the middle.
func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := blister.Film{
			Stiffness: math.Exp(rapid.Float64Range(math.Log(1e6), math.Log(3e9)).Draw(t, "E")),
			Poisson:   rapid.Float64Range(0, .49).Draw(t, "nu"), Thickness: rapid.Float64Range(5e-5, 2e-3).Draw(t, "t"),
		}
		a := rapid.Float64Range(1e-3, .05).Draw(t, "a")
		g := math.Exp(rapid.Float64Range(math.Log(.1), math.Log(1000)).Draw(t, "G"))
		more := rapid.Float64Range(1.01, 3).Draw(t, "more")
		p, err := f.Grows(a, g)
		require.NoError(t, err)
		d, err := f.Dome(a, p)
		if p <= 1e8 {
			require.NoError(t, err)
			assert.InEpsilon(t, g, d.Energy.Mid, 1e-6)
			assert.LessOrEqual(t, d.Energy.Low, d.Energy.Mid*(1+1e-9))
			assert.GreaterOrEqual(t, d.Energy.High, d.Energy.Mid*(1-1e-9))
		}
		stronger, _ := f.Grows(a, g*more)
		assert.Greater(t, stronger, p)
		larger, _ := f.Grows(a*more, g)
		assert.Less(t, larger, p)
		f.Thickness *= more
		thicker, _ := f.Grows(a, g)
		assert.Greater(t, thicker, p)
	})
}

func BenchmarkAgainst(b *testing.B) {
	s, d := spot(.01), uncertain.NewDraws(256, 1)
	for b.Loop() {
		if _, err := s.Against([]float64{31110}, d); err != nil {
			b.Fatal(err)
		}
	}
}
