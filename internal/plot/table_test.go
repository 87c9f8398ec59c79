package plot

import (
	"bytes"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func told(t require.TestingT, c Chart, every time.Duration) []string {
	var b bytes.Buffer
	require.NoError(t, Table(&b, c, every))
	return strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
}

func TestTableReadsValuesOut(t *testing.T) {
	c := Chart{Title: "Job", Start: fridayMorning(), To: 10 * hour,
		Panels: []Panel{
			{Title: "Water left", Unit: "%", Lines: []Line{{Name: "water", BandName: "5 to 95 of 100",
				Points: []Point{{0, 50}, {10 * hour, 0}}, Band: []Band{{0, 40, 60}, {10 * hour, 0, 10}}}},
				Limits: []Limit{{"ready at", 15, 15}}},
			{Unit: "F", Lines: []Line{{Name: "air", Points: []Point{{0, 62}, {5 * hour, math.NaN()}, {10 * hour, 70}}}}},
		},
		Marks: []Mark{{hour / 2, "coat"}, {hour/2 + 20, "fan on"}, {11 * hour, "hung"}},
	}
	require.Equal(t, []string{
		"Job.",
		"Water left, ready at 15 %.",
		"In brackets after water: 5 to 95 of 100.",
		"Fri 8:00, coat, fan on: water 48 % (38 to 58), air not known",
		"Fri 12:00: water 28 % (22 to 38), air not known",
		"Fri 16:00: water 8 % (6 to 18), air not known",
		"Fri 18:30, hung: water not known, air not known",
	}, told(t, c, 4*time.Hour))
}

func TestTableFindsAStep(t *testing.T) {
	lines := told(t, ramp(), 0)
	require.Equal(t, "0 h: up 0", lines[0])
	require.Equal(t, "15 min: up 1", lines[1])
	require.Equal(t, "10 h: up 40", lines[len(lines)-1])
	require.Len(t, lines, 41)
}

func TestTableStaysShort(t *testing.T) {
	require.LessOrEqual(t, len(told(t, ramp(), 1)), mostRows+2)
	require.Equal(t, []string{"There is nothing to draw."}, told(t, Chart{}, time.Hour))
	require.Contains(t, told(t, Chart{Marks: []Mark{{math.Inf(1), "washed"}}}, 0), "At an unknown time washed.")
}

// TestTableStepsThatCutNoDay are counted from the left end of the chart.
func TestTableStepsThatCutNoDay(t *testing.T) {
	c := ramp()
	c.Start = fridayMorning()
	lines := told(t, c, 7*time.Hour)
	require.Equal(t, []string{"Fri 7:30: up 0", "Fri 14:30: up 28"}, lines)
}

func TestTableTakesAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		every := time.Duration(rapid.Int64().Draw(t, "every"))
		for _, line := range told(t, drawnChart().Draw(t, "chart"), every) {
			require.NotContains(t, line, "NaN")
			require.NotContains(t, line, "Inf")
			require.NotContains(t, line, "\x1b")
		}
	})
}
