package cli

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/console"
	"filmfault/internal/uncertain"
)

// stoodAs is what `calc stand` finds for its flags, in so many draws.
func stoodAs(t testing.TB, draws int, flags ...string) []stoodFilm {
	t.Helper()
	c, _, _ := console.Test("")
	o := newStandOptions(&app{console: c})
	require.NoError(t, o.command().Flags().Parse(flags))
	require.NoError(t, o.check())
	j, err := o.job(&dryPage{})
	require.NoError(t, err)
	all, err := j.run(context.Background(), uncertain.NewDraws(draws, drawsSeed))
	require.NoError(t, err)
	return all
}

func goneInAnHour(x stoodFilm) float64 { return x.gone(3600) }
func takenUp(x stoodFilm) float64      { return x.taken }

// An hour under a fan moves most of what 4 dry mils took up, and little of 12:
// common practice, no source.
func TestCalcStandAnHourOfFan(t *testing.T) {
	air := []string{"--stood", "overnight", "--air", "70F", "--humidity", "85%", "--fan-air", "70F", "--fan-humidity", "50%", "--fan", "400 fpm"}
	thin := stoodAs(t, dryDraws, append([]string{"--dry", "4 mil"}, air...)...)
	thick := stoodAs(t, dryDraws, append([]string{"--dry", "12 mil"}, air...)...)
	require.Greater(t, uncertain.Summarise(ofAll(thin, goneInAnHour)).Mid, 0.5, "most")
	require.Less(t, uncertain.Summarise(ofAll(thick, goneInAnHour)).Mid, 0.4, "little")
	for i := range thin {
		require.LessOrEqual(t, goneInAnHour(thick[i]), goneInAnHour(thin[i])+0.02, "draw %d", i+1)
		require.GreaterOrEqual(t, thick[i].mostGone, 0.98*thin[i].mostGone, "draw %d", i+1)
	}
	// A night in damp air is enough to matter (common practice, no source).
	require.Greater(t, uncertain.Summarise(ofAll(thin, takenUp)).Mid, 0.005)
}

// "Nothing below the equilibrium of air that is itself humid" (common practice, no
// source): in the air it stood in, a fan takes nothing off, however long.
func TestCalcStandFanInTheSameAir(t *testing.T) {
	all := stoodAs(t, dryDraws, "--dry", "4 mil", "--stood", "overnight", "--air", "65F", "--humidity", "80%", "--fan", "400 fpm")
	for i, x := range all {
		for _, hours := range []float64{1, 4, 24, 160} {
			require.GreaterOrEqual(t, x.over(3600*hours), x.taken-1e-4, "draw %d", i+1)
			require.LessOrEqual(t, x.over(3600*hours), x.kept+1e-4, "draw %d", i+1)
		}
		require.True(t, math.IsInf(x.mostGone, 1), "draw %d", i+1)
	}
}

// Longer and damper never takes up less, and drier fan air never needs longer,
// draw by draw. It follows from the physics.
func TestCalcStandNeverLess(t *testing.T) {
	var before []stoodFilm
	for _, stood := range []string{"2 h", "8 h", "1 day", "3 days"} {
		all := stoodAs(t, 32, "--dry", "6 mil", "--stood", stood, "--air", "60F", "--humidity", "85%")
		for i, x := range before {
			require.GreaterOrEqual(t, all[i].taken, x.taken-1e-5, "%s, draw %d", stood, i+1)
		}
		before = all
	}
	before = nil
	for _, humidity := range []string{"40%", "60%", "75%", "90%"} {
		all := stoodAs(t, 32, "--dry", "6 mil", "--stood", "12 h", "--air", "60F", "--humidity", humidity)
		for i, x := range before {
			require.GreaterOrEqual(t, all[i].taken, x.taken-1e-5, "%s, draw %d", humidity, i+1)
		}
		before = all
	}
	before = nil
	for _, fan := range []string{"30%", "45%", "60%", "75%"} {
		all := stoodAs(t, 32, "--dry", "6 mil", "--stood", "12 h", "--air", "60F", "--humidity", "85%", "--fan-air", "70F", "--fan-humidity", fan)
		for i, x := range before {
			require.GreaterOrEqual(t, all[i].mostGone, 0.99*x.mostGone, "%s, draw %d", fan, i+1)
		}
		before = all
	}
}

// Two coats of 10 mil at 50 % solids leave 10 mil dry (arithmetic), and are as that
// film stated dry.
func TestCalcStandCoatsAreTheirDryFilm(t *testing.T) {
	air := []string{"--stood", "12 h", "--air", "60F", "--humidity", "85%"}
	wet := stoodAs(t, 32, append([]string{"--wet", "10-10.001 mil", "--coats", "2", "--solids", "50%", "--thinner-of-paint", "0%"}, air...)...)
	dry := stoodAs(t, 32, append([]string{"--dry", "10 mil"}, air...)...)
	for i := range wet {
		require.InEpsilon(t, dry[i].taken, wet[i].taken, 0.005, "draw %d", i+1)
	}
}
