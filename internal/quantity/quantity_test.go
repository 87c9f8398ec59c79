package quantity

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestConvertUsesTheExactDefinitions(t *testing.T) {
	// Sources: international yard and pound agreement of 1959 (inch 25.4 mm,
	// pound 0.45359237 kg) and NIST SP 811 (2008), appendix B.8, which prints
	// the derived factors with the digits given here.
	for _, c := range []struct {
		kind   Kind
		value  float64
		unit   string
		si     float64
		source string
	}{
		{Film, 1, "mil", 2.54e-5, "SP 811 B.8, mil (0.001 in)"},
		{Length, 1, "in", 0.0254, "1959 agreement"},
		{Length, 1, "ft", 0.3048, "SP 811 B.8, foot"},
		{Length, 1, "yd", 0.9144, "1959 agreement"},
		{Temperature, 32, "F", 273.15, "SP 811 B.8, degree Fahrenheit"},
		{Temperature, 212, "F", 373.15, "SP 811 B.8, degree Fahrenheit"},
		{Temperature, -273.15, "C", 0, "SP 811 B.8, degree Celsius"},
		{TemperatureDifference, 9, "F", 5, "SP 811 B.8, temperature interval"},
		{Humidity, 55, "% RH", 0.55, "definition of percent"},
		{Duration, 1, "day", 86400, "SP 811 table 6"},
		{Duration, 12, "months", 31557600, "Julian year of 365.25 days"},
		{AirSpeed, 1, "ft/min", 5.08e-3, "SP 811 B.8, foot per minute"},
		{AirSpeed, 1, "mph", 0.44704, "SP 811 B.8, mile per hour"},
		{AirSpeed, 1, "knot", 0.514444444444444, "SP 811 B.8, knot"},
		{Density, 1, "pcf", 16.01846337396, "SP 811 B.8, pound per cubic foot 1.601846 E+01"},
		{Density, 1, "lb/gal", 119.8264273169, "SP 811 B.8, pound per gallon (U.S.) 1.198264 E+02"},
		{Pressure, 1, "psi", 6894.757293168, "SP 811 B.8, psi 6.894757 E+03"},
		{Pressure, 1, "bar", 1e5, "SP 811 table 7"},
		{Peel, 1, "lb/in", 175.126835246476, "SP 811 B.8, pound-force per inch 1.751268 E+02"},
		{Peel, 16, "oz/in", 175.126835246476, "16 ounces to the pound"},
		{Mass, 1, "lb", 0.45359237, "1959 agreement"},
		{Mass, 1, "oz", 0.028349523125, "SP 811 B.8, ounce (avoirdupois)"},
	} {
		si, err := Convert(c.kind, c.value, c.unit)
		require.NoError(t, err, c.source)
		require.InDelta(t, c.si, si, 1e-10*math.Max(1, math.Abs(c.si)), c.source)
		back, err := FromSI(c.kind, si, c.unit)
		require.NoError(t, err, c.source)
		require.InDelta(t, c.value, back, 1e-9, c.source)
	}
}

func TestConvertRefusesWhatItCannotConvert(t *testing.T) {
	_, err := Convert(Length, 1, "F")
	require.ErrorContains(t, err, "in, ft, yd, mm, cm or m")
	_, err = Convert(Number, 1, "mil")
	require.ErrorContains(t, err, "no unit")
	_, err = Convert(Length, math.Inf(1), "in")
	require.Error(t, err)
	_, err = FromSI(Length, math.NaN(), "in")
	require.Error(t, err)
	si, err := Convert(Number, 3, "")
	require.NoError(t, err)
	require.Equal(t, 3.0, si)
}

func TestADifferenceIsNotATemperature(t *testing.T) {
	scale, err := Parse(Temperature, "10 F", "")
	require.NoError(t, err)
	difference, err := Parse(TemperatureDifference, "10 F", "")
	require.NoError(t, err)
	require.InDelta(t, 260.928, scale.Low, 1e-3)     // (10 + 459.67) * 5/9
	require.InDelta(t, 50.0/9, difference.Low, 1e-9) // 10 * 5/9
}

func TestMidAndIsExact(t *testing.T) {
	q := Quantity{Typed: "8-12 mil", Low: 8, High: 12}
	require.Equal(t, 10.0, q.Mid())
	require.False(t, q.IsExact())
	require.True(t, Quantity{Low: 3, High: 3}.IsExact())
	require.Equal(t, "8-12 mil", q.String())
}

func TestDoubtSpeaksOfTheImplausibleOnly(t *testing.T) {
	for text, part := range map[string]string{
		"700 mil":   "very much for coat thickness",
		"0.001 mil": "very little for coat thickness",
		"12 mil":    "",
		"4-300 mil": "",
	} {
		q, err := Parse(Film, text, "")
		require.NoError(t, err, text)
		if part == "" {
			require.Empty(t, q.Doubt(), text)
		} else {
			require.Contains(t, q.Doubt(), part, text)
		}
	}
}

func TestKindsAreComplete(t *testing.T) {
	require.Len(t, Kinds(), 13)
	seen := map[string]bool{}
	for _, k := range Kinds() {
		require.False(t, seen[k.ID()], k.ID())
		seen[k.ID()] = true
		named, ok := KindNamed(k.ID())
		require.True(t, ok)
		require.Equal(t, k, named)
		least, most := k.Possible()
		low, high := k.Plausible()
		require.LessOrEqual(t, least, low, k)
		require.LessOrEqual(t, high, most, k)
		require.Less(t, low, high, k)
		q, err := Parse(k, k.Example(), "")
		require.NoError(t, err, "the example must be readable")
		require.Empty(t, q.Doubt(), "the example must be plausible")
		require.Equal(t, k == Number, len(k.Units()) == 0)
	}
	_, ok := KindNamed("colour")
	require.False(t, ok)
}

func TestEverySpellingIsFoldedAndMeansOneUnit(t *testing.T) {
	for _, k := range Kinds() {
		seen := map[string]string{}
		for _, s := range spellings(k) {
			require.Equal(t, fold(s.text), s.text, "%s: a spelling that is not folded is never found", k)
			require.NotContains(t, seen, s.text, "%s: %s", k, s.text)
			seen[s.text] = s.unit.name
			if s.unit.minor != "" {
				require.Contains(t, k.Units(), s.unit.minor)
			}
		}
	}
}

func TestErrorsAreParseErrors(t *testing.T) {
	_, err := Parse(Length, "70 F", "")
	var problem *ParseError
	require.True(t, errors.As(err, &problem))
	require.Equal(t, Length, problem.Kind)
	require.Equal(t, "70 F", problem.Text)
	require.Equal(t, "F is a unit of temperature, and length is asked for", problem.Problem)
	require.Contains(t, problem.Remedy, "in, ft, yd, mm, cm or m")
}
