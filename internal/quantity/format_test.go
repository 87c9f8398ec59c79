package quantity

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		kind       Kind
		si         float64
		us, metric string
	}{
		{Film, 12 * 2.54e-5, "12 mil", "305 um"},
		{Film, 3.5 * 2.54e-5, "3.5 mil", "89 um"},
		{Film, 60 * 2.54e-5, "60 mil", "1524 um"},
		{Length, 0.3048, "12 in", "305 mm"},
		{Length, 3.5 * 0.3048, "3.5 ft", "1.07 m"},
		{Temperature, 294.15, "70 F", "21 C"},
		{Temperature, 273.15, "32 F", "0 C"},
		{TemperatureDifference, -5, "-9 F", "-5 C"},
		{Humidity, 0.55, "55 %", "55 %"},
		{Share, 0.025, "2.5 %", "2.5 %"},
		{Duration, 45, "45 s", "45 s"},
		{Duration, 45 * 60, "45 min", "45 min"},
		{Duration, 4 * 3600, "4 h", "4 h"},
		{Duration, 24 * 3600, "24 h", "24 h"},
		{Duration, 72 * 3600, "3 days", "3 days"},
		{AirSpeed, 1.016, "200 fpm", "1.02 m/s"},
		{Density, 240, "15 lb/ft3", "240 kg/m3"},
		{Pressure, 2.757903e6, "400 psi", "2.76 MPa"},
		{Peel, 131.345, "12 oz/in", "131 N/m"},
		{Mass, 0.004, "0.14 oz", "4 g"},
		{Number, 3, "3", "3"},
		{Number, -0.00001, "0", "0"},
		{Film, math.NaN(), "unknown", "unknown"},
	} {
		require.Equal(t, c.us, Format(c.kind, c.si, US), "%s %g", c.kind, c.si)
		require.Equal(t, c.metric, Format(c.kind, c.si, SI), "%s %g", c.kind, c.si)
	}
}

func TestFormatRange(t *testing.T) {
	h := 3600.0
	require.Equal(t, "10-14 h", FormatRange(Duration, 10*h, 14*h, US))
	require.Equal(t, "90 min to 4 h", FormatRange(Duration, 1.5*h, 4*h, US))
	require.Equal(t, "4 h", FormatRange(Duration, 4*h, 4*h+1, US))
	require.Equal(t, "-5 to 10 C", FormatRange(Temperature, 268.15, 283.15, SI))
	require.Equal(t, "2-3", FormatRange(Number, 2, 3, US))
}

func TestDefaultUnitIsAUnitOfItsKind(t *testing.T) {
	for _, k := range Kinds() {
		for _, sys := range []System{US, SI} {
			_, err := Convert(k, 1, DefaultUnit(k, sys))
			require.NoError(t, err, k)
		}
	}
	require.Equal(t, "mil", DefaultUnit(Film, US))
	require.Equal(t, "h", DefaultUnit(Duration, SI))
}

// lastDigit is the size of half a unit of the last digit of a printed text, in
// SI: 0.05 mil for "3.5 mil". Digits that were zero and not printed make the
// bound wider than it needs to be, never narrower.
func lastDigit(k Kind, text string) float64 {
	number, unit, _ := strings.Cut(text, " ")
	size := 0.5
	if _, decimals, found := strings.Cut(number, "."); found {
		size /= math.Pow(10, float64(len(decimals)))
	}
	zero, _ := Convert(k, 0, unit)
	si, _ := Convert(k, size, unit)
	return si - zero
}

func TestFormatThenParseKeepsTheDigitsPrinted(t *testing.T) {
	for _, k := range Kinds() {
		for _, sys := range []System{US, SI} {
			rapid.Check(t, func(t *rapid.T) {
				low, high := k.Plausible()
				x := rapid.Float64Range(low, high).Draw(t, "x")
				text := Format(k, x, sys)
				q, err := Parse(k, text, "")
				require.NoError(t, err, text)
				require.True(t, q.IsExact(), text)
				require.InDelta(t, x, q.Low, lastDigit(k, text)*(1+1e-9)+1e-12, text)
			})
		}
	}
}

func TestFormatRangeThenParseGivesAnInterval(t *testing.T) {
	for _, k := range Kinds() {
		rapid.Check(t, func(t *rapid.T) {
			least, most := k.Plausible()
			low := rapid.Float64Range(least, most).Draw(t, "low")
			high := rapid.Float64Range(low, most).Draw(t, "high")
			text := FormatRange(k, low, high, US)
			q, err := Parse(k, text, "")
			require.NoError(t, err, text)
			require.InDelta(t, low, q.Low, lastDigit(k, Format(k, low, US))*(1+1e-9)+1e-12, text)
			require.InDelta(t, high, q.High, lastDigit(k, Format(k, high, US))*(1+1e-9)+1e-12, text)
		})
	}
}
