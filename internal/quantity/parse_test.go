package quantity

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// read is a text with the interval it stands for, in the unit named.
type read struct {
	kind      Kind
	text, def string
	low, high float64
	unit      string
}

func checkReads(t *testing.T, reads []read) {
	t.Helper()
	for _, c := range reads {
		q, err := Parse(c.kind, c.text, c.def)
		require.NoError(t, err, c.text)
		low, err := FromSI(c.kind, q.Low, c.unit)
		require.NoError(t, err)
		high, err := FromSI(c.kind, q.High, c.unit)
		require.NoError(t, err)
		require.InDelta(t, c.low, low, 1e-9, "low end of %q", c.text)
		require.InDelta(t, c.high, high, 1e-9, "high end of %q", c.text)
		require.Equal(t, c.unit, q.Unit, c.text)
		require.Equal(t, c.text, q.Typed)
	}
}

func TestParseReadsNumbersWithUnits(t *testing.T) {
	checkReads(t, []read{
		{Film, "12 mil", "", 12, 12, "mil"},
		{Film, "12mils", "", 12, 12, "mil"},
		{Film, "12 mil wet", "", 12, 12, "mil"},
		{Film, "3.5 MIL DFT", "", 3.5, 3.5, "mil"},
		{Film, "250 um", "", 250, 250, "um"},
		{Film, "250 \u00b5m", "", 250, 250, "um"},
		{Film, "250\u03bcm", "", 250, 250, "um"},
		{Film, "0.3 mm", "", 0.3, 0.3, "mm"},
		{Film, "12,5 mil", "", 12.5, 12.5, "mil"},
		{Film, "0,125 mm", "", 0.125, 0.125, "mm"},
		{Temperature, "70F", "", 70, 70, "F"},
		{Temperature, "70 \u00b0F", "", 70, 70, "F"},
		{Temperature, "21 C", "", 21, 21, "C"},
		{Temperature, "70 degrees", "F", 70, 70, "F"},
		{Temperature, "70 degrees F", "", 70, 70, "F"},
		{Temperature, "\u22125 C", "", -5, -5, "C"},
		{AirSpeed, "200 fpm", "", 200, 200, "fpm"},
		{AirSpeed, "3 mph", "", 3, 3, "mph"},
		{AirSpeed, "1 m/s", "", 1, 1, "m/s"},
		{Density, "15 lb", "", 15, 15, "lb/ft3"},
		{Density, "15 lb/ft\u00b3", "", 15, 15, "lb/ft3"},
		{Density, "18 pcf", "", 18, 18, "lb/ft3"},
		{Density, "240 kg/m3", "", 240, 240, "kg/m3"},
		{Share, "10%", "", 10, 10, "%"},
		{Share, "10 percent", "", 10, 10, "%"},
		{Humidity, "55 % RH", "", 55, 55, "%"},
		{Humidity, "55", "%", 55, 55, "%"},
		{Humidity, "55 rh", "", 55, 55, "%"},
		{Pressure, "400 psi", "", 400, 400, "psi"},
		{Pressure, "2 bar", "", 2, 2, "bar"},
		{Peel, "12 oz/in", "", 12, 12, "oz/in"},
		{Peel, "8 N/25mm", "", 8, 8, "N/25mm"},
		{Mass, "4 g", "", 4, 4, "g"},
		{Mass, "0.5 oz", "", 0.5, 0.5, "oz"},
		{Number, "3 coats", "", 3, 3, ""},
		{Number, "-2", "", -2, -2, ""},
	})
}

func TestParseReadsFractionsAndCompounds(t *testing.T) {
	checkReads(t, []read{
		{Length, "1/8 in", "", 0.125, 0.125, "in"},
		{Length, `1 1/2"`, "", 1.5, 1.5, "in"},
		{Length, "1-1/2 in", "", 1.5, 1.5, "in"},
		{Length, "\u00bd in", "", 0.5, 0.5, "in"},
		{Length, "3\u00bc in", "", 3.25, 3.25, "in"},
		{Length, "\u215b\u2013\u00be in", "", 0.125, 0.75, "in"},
		{Length, "3 ft 6 in", "", 3.5, 3.5, "ft"},
		{Length, "3 ft 6", "", 3.5, 3.5, "ft"},
		{Length, `3'6"`, "", 3.5, 3.5, "ft"},
		{Length, "6ft3in", "", 6.25, 6.25, "ft"},
		{Length, "3 ft 6 in to 4 ft", "", 3.5, 4, "ft"},
		{Mass, "1 lb 8 oz", "", 1.5, 1.5, "lb"},
	})
}

func TestParseReadsRanges(t *testing.T) {
	checkReads(t, []read{
		{Film, "8-12 mil", "", 8, 12, "mil"},
		{Film, "8 \u2013 12 mil", "", 8, 12, "mil"},
		{Film, "8 to 12", "mil", 8, 12, "mil"},
		{Film, "8 mil to 12", "", 8, 12, "mil"},
		{Film, "between 8 and 12 mil", "", 8, 12, "mil"},
		{Length, "between 3 ft and 4 ft", "", 3, 4, "ft"},
		{Temperature, "-5--2 C", "", -5, -2, "C"},
		{Temperature, "-5 to 10 C", "", -5, 10, "C"},
		{Duration, "30 min - 1 h", "", 30, 60, "min"},
		{Duration, "3-4 h", "", 3, 4, "h"},
	})
}

func TestParseReadsTimes(t *testing.T) {
	checkReads(t, []read{
		{Duration, "overnight", "", 10, 14, "h"},
		{Duration, "half an hour", "", 0.5, 0.5, "h"},
		{Duration, "20 min", "", 20, 20, "min"},
		{Duration, "4 h", "", 4, 4, "h"},
		{Duration, "4 hrs", "", 4, 4, "h"},
		{Duration, "2 days", "", 2, 2, "days"},
		{Duration, "a week", "", 1, 1, "weeks"},
		{Duration, "one to two days", "", 1, 2, "days"},
		{Duration, "90 min", "", 90, 90, "min"},
		{Duration, "1:30", "", 1.5, 1.5, "h"},
		{Duration, "1:30-2", "", 1.5, 2, "h"},
		{Duration, "1 h 30 min", "", 1.5, 1.5, "h"},
		{Duration, "1 hour and 30 minutes", "", 1.5, 1.5, "h"},
		{Duration, "an hour and a half", "", 1.5, 1.5, "h"},
		{Duration, "6 months", "", 6, 6, "months"},
	})
}

func TestAboutWidensByTheDocumentedAmount(t *testing.T) {
	checkReads(t, []read{
		{Temperature, "70ish", "F", 67, 73, "F"},
		{Temperature, "about 70", "F", 67, 73, "F"},
		{Temperature, "~70", "F", 67, 73, "F"},
		{Temperature, "around 70 F", "", 67, 73, "F"},
		{Temperature, "70 F-ish", "", 67, 73, "F"},
		{Film, "about 10 mil", "", 9.5, 10.5, "mil"},
		{Film, "10 mil or so", "", 9.5, 10.5, "mil"},
		{Humidity, "about 99 %", "", 94.05, 100, "%"},
		{TemperatureDifference, "about -10 F", "", -10.5, -9.5, "F"},
	})
	for text, about := range map[string]bool{"~70 F": true, "70 F": false, "a couple of hours": true} {
		k := Temperature
		if text == "a couple of hours" {
			k = Duration
		}
		q, err := Parse(k, text, "")
		require.NoError(t, err)
		require.Equal(t, about, q.About, text)
	}
}

func TestOneSidedTakesThePlausibleBound(t *testing.T) {
	low, high := Duration.Plausible()
	for text, want := range map[string][2]float64{
		"under 4 h":         {low, 4 * 3600},
		"less than 4 h":     {low, 4 * 3600},
		"4 h or less":       {low, 4 * 3600},
		"over 24 h":         {24 * 3600, high},
		"more than 24 h":    {24 * 3600, high},
		"24 h+":             {24 * 3600, high},
		"over 150 years":    {150 * year, 150 * year},
		"less than 0.5 sec": {0.5, 0.5},
	} {
		q, err := Parse(Duration, text, "")
		require.NoError(t, err, text)
		require.Equal(t, want, [2]float64{q.Low, q.High}, text)
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		kind                  Kind
		text, def             string
		inProblem, inRemedies string
	}{
		{Film, "", "", "nothing was typed", "12 mil"},
		{Film, "wet", "", "does not begin with a number", "12 mil"},
		{Film, "12", "", "no unit", "mil, um, mm or in"},
		{Film, "12", "psi", `"psi" is not a unit`, "12 mil"},
		{Film, "12 bananas", "", `"bananas" is not understood`, "mil, um, mm or in"},
		{Film, "-3 mil", "", "cannot be less than 0", "12 mil"},
		{Film, "12-8 mil", "", "smaller than the first", "smaller number first"},
		{Film, "1,200 mil", "", "comma", "1200 or 1.2"},
		{Film, "1,200,000 mil", "", "more than one comma", "without commas"},
		{Film, "12 mil 3", "", `"3" is not understood`, "12 mil"},
		{Film, "1/0 mil", "", "divided by 0", "12 mil"},
		{Film, "1:30 mil", "", "colon", "12 mil"},
		{Length, "70 F", "", "F is a unit of temperature, and length is asked for", "in, ft"},
		{Length, "3 ft 6 mm", "", "mm cannot follow ft", "one unit"},
		{Mass, "12 lb/gal", "", "lb/gal is a unit of density", "g, kg"},
		{Temperature, "-500 F", "", "below absolute zero", "70 F"},
		{Temperature, "-1 K", "", "below absolute zero", "70 F"},
		{Humidity, "110 %", "", "more than 100 %", "55 %"},
		{Humidity, "-5 %", "", "less than 0", "55 %"},
		{Share, "110 %", "", "more than 100 %", "10 %"},
		{Duration, "1:75", "", "two digits below 60", "90 min"},
		{Duration, "1:30 pm", "", `"pm" is not understood`, "h"},
		{Duration, "1:30 min", "", "between hours and minutes", "90 min"},
		{Duration, "500 years", "", "more than 200 years", "4 h"},
		{Number, "3 mil", "", "mil is a unit of coat thickness", "bare number"},
		{Number, "3 things", "", `"things" is not understood`, "bare number"},
	} {
		_, err := Parse(c.kind, c.text, c.def)
		require.Error(t, err, c.text)
		problem := err.(*ParseError)
		require.Contains(t, problem.Problem, c.inProblem, c.text)
		require.Contains(t, problem.Remedy, c.inRemedies, c.text)
	}
}

func TestAbsoluteZeroCanBeTyped(t *testing.T) {
	for _, text := range []string{"-459.67 F", "-273.15 C", "0 K"} {
		q, err := Parse(Temperature, text, "")
		require.NoError(t, err, text)
		require.Equal(t, 0.0, q.Low, text)
	}
}

func FuzzParse(f *testing.F) {
	for i, text := range []string{"12 mil", "8-12 mil wet", "1 1/2\"", "3 ft 6 in", "70ish", "~70 F", "overnight",
		"1:30", "55 % RH", "1,200", "\u00bd in", "-5--2 C", "under 4 h", "a couple of days", "1e309 g", "\xff"} {
		f.Add(i, text, "F")
	}
	f.Fuzz(func(t *testing.T, kind int, text, def string) {
		k := Kind(((kind % 13) + 13) % 13)
		q, err := Parse(k, text, def)
		if err != nil {
			problem := err.(*ParseError)
			require.NotEmpty(t, problem.Problem)
			require.NotEmpty(t, problem.Remedy)
			return
		}
		least, most := k.Possible()
		require.False(t, math.IsNaN(q.Low) || math.IsNaN(q.High))
		require.LessOrEqual(t, q.Low, q.High)
		require.GreaterOrEqual(t, q.Low, least)
		require.LessOrEqual(t, q.High, most)
	})
}
