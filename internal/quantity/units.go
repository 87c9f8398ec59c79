package quantity

import (
	"slices"
	"strings"
)

// unit is a unit of one kind. A value in SI is offset + factor*value.
type unit struct {
	// name is the spelling that is printed.
	name   string
	factor float64
	offset float64
	// also lists further spellings, folded (see fold).
	also []string
	// minor is the name of the unit that may follow in "3 ft 6 in".
	minor string
}

// toSI gives a value of this unit in SI.
func (u unit) toSI(value float64) float64 { return u.offset + u.factor*value }

// fromSI gives a value in SI in this unit.
func (u unit) fromSI(si float64) float64 { return (si - u.offset) / u.factor }

// spelled reports whether a folded text is a spelling of the unit.
func (u unit) spelled(folded string) bool {
	return folded == fold(u.name) || slices.Contains(u.also, folded)
}

func filmUnits() []unit {
	return []unit{
		{name: "mil", factor: inch / 1000, also: []string{"mils", "thou"}},
		{name: "um", factor: 1e-6, also: []string{"micron", "microns", "mic", "micrometer", "micrometers", "micrometre", "micrometres"}},
		{name: "mm", factor: 1e-3, also: []string{"millimeter", "millimeters", "millimetre", "millimetres"}},
		{name: "in", factor: inch, also: []string{`"`, "inch", "inches", "''"}},
	}
}

func lengthUnits() []unit {
	return []unit{
		{name: "in", factor: inch, also: []string{`"`, "inch", "inches", "''", "in."}},
		{name: "ft", factor: foot, also: []string{"'", "foot", "feet", "ft."}, minor: "in"},
		{name: "yd", factor: 3 * foot, also: []string{"yard", "yards"}},
		{name: "mm", factor: 1e-3, also: []string{"millimeter", "millimeters", "millimetre", "millimetres"}},
		{name: "cm", factor: 1e-2, also: []string{"centimeter", "centimeters", "centimetre", "centimetres"}},
		{name: "m", factor: 1, also: []string{"meter", "meters", "metre", "metres"}},
	}
}

func temperatureUnits() []unit {
	units := differenceUnits()
	units[0].offset = zeroF
	units[1].offset = zeroC
	return units
}

func differenceUnits() []unit {
	return []unit{
		{name: "F", factor: 5.0 / 9, also: []string{"degf", "deg f", "degree f", "degrees f", "fahrenheit", "deg fahrenheit", "degrees fahrenheit"}},
		{name: "C", factor: 1, also: []string{"degc", "deg c", "degree c", "degrees c", "celsius", "deg celsius", "degrees celsius", "centigrade"}},
		{name: "K", factor: 1, also: []string{"kelvin", "kelvins"}},
	}
}

func shareUnits() []unit {
	return []unit{
		{name: "%", factor: 0.01, also: []string{"percent", "per cent", "pct"}},
		{name: "fraction", factor: 1},
	}
}

func humidityUnits() []unit {
	units := shareUnits()
	units[0].also = append(units[0].also, "% rh", "%rh", "percent rh", "rh", "r.h.", "% r.h.",
		"% relative humidity", "percent relative humidity", "% humidity", "percent humidity")
	return units
}

func durationUnits() []unit {
	return []unit{
		{name: "s", factor: 1, also: []string{"sec", "secs", "second", "seconds"}},
		{name: "min", factor: 60, also: []string{"mins", "min.", "minute", "minutes"}, minor: "s"},
		{name: "h", factor: hour, also: []string{"hr", "hrs", "hr.", "hrs.", "hour", "hours"}, minor: "min"},
		{name: "days", factor: day, also: []string{"day", "d"}, minor: "h"},
		{name: "weeks", factor: 7 * day, also: []string{"week", "wk", "wks"}, minor: "days"},
		{name: "months", factor: year / 12, also: []string{"month", "mo"}},
		{name: "years", factor: year, also: []string{"year", "yr", "yrs"}, minor: "months"},
	}
}

func speedUnits() []unit {
	return []unit{
		{name: "fpm", factor: foot / 60, also: []string{"ft/min", "feet per minute", "ft per min"}},
		{name: "mph", factor: mile / hour, also: []string{"mi/h", "miles per hour"}},
		{name: "m/s", factor: 1, also: []string{"meters per second", "metres per second"}},
		{name: "km/h", factor: 1000 / hour, also: []string{"kph", "kmh"}},
		{name: "ft/s", factor: foot, also: []string{"fps"}},
		{name: "knots", factor: 1852 / hour, also: []string{"knot", "kn", "kt", "kts"}},
	}
}

func densityUnits() []unit {
	return []unit{
		{name: "lb/ft3", factor: pound / (foot * foot * foot), also: []string{"lb", "lbs", "lb.", "lbs.", "pound", "pounds", "pcf", "lb/cu ft", "lbs/ft3", "lb/ft^3", "lb/cuft", "lbs/cu ft", "pounds per cubic foot"}},
		{name: "kg/m3", factor: 1, also: []string{"kg/m^3", "g/l", "kg/cu m"}},
		{name: "g/cm3", factor: 1000, also: []string{"g/cm^3", "g/cc", "g/ml", "kg/l"}},
		{name: "lb/gal", factor: pound / gallon, also: []string{"lbs/gal", "ppg", "pounds per gallon"}},
	}
}

func pressureUnits() []unit {
	return []unit{
		{name: "psi", factor: pound * gravity / (inch * inch), also: []string{"lb/in2", "lbf/in2", "pounds per square inch"}},
		{name: "bar", factor: 1e5, also: []string{"bars"}},
		{name: "mbar", factor: 100, also: []string{"hpa", "millibar"}},
		{name: "Pa", factor: 1, also: []string{"pascal", "pascals"}},
		{name: "kPa", factor: 1e3},
		{name: "MPa", factor: 1e6, also: []string{"n/mm2", "n/mm^2"}},
	}
}

func peelUnits() []unit {
	return []unit{
		{name: "oz/in", factor: ounce * gravity / inch, also: []string{"ozf/in", "oz/inch", "oz per inch", "oz per in", "ounces per inch"}},
		{name: "lb/in", factor: pound * gravity / inch, also: []string{"lbf/in", "lb/inch", "pli", "lbs/in", "pounds per inch"}},
		{name: "g/in", factor: 1e-3 * gravity / inch, also: []string{"gf/in", "g/inch"}},
		{name: "N/m", factor: 1},
		{name: "N/cm", factor: 100},
		{name: "N/mm", factor: 1000},
		{name: "N/25mm", factor: 40, also: []string{"n/25 mm"}},
	}
}

func massUnits() []unit {
	return []unit{
		{name: "g", factor: 1e-3, also: []string{"gram", "grams", "gm"}},
		{name: "kg", factor: 1, also: []string{"kilogram", "kilograms", "kilo", "kilos"}},
		{name: "mg", factor: 1e-6, also: []string{"milligram", "milligrams"}},
		{name: "oz", factor: ounce, also: []string{"ounce", "ounces", "oz."}},
		{name: "lb", factor: pound, also: []string{"lbs", "lb.", "lbs.", "pound", "pounds"}, minor: "oz"},
	}
}

// fold brings a text into the one spelling that is compared: lower case, one
// kind of each sign, single blanks. "µ" and "μ" both become "u", degree signs
// go away, so that "°F" is "f".
func fold(text string) string {
	if strings.IndexFunc(text, func(r rune) bool { return r >= 0x80 }) >= 0 {
		text = signs().Replace(text) // all signs lie outside ASCII, which most texts are within
	}
	return strings.Join(strings.Fields(strings.ToLower(text)), " ")
}

// signs maps the signs that look alike, or come from a word processor, to
// plain ones. The fractions get a blank before them: "1½" is 1 1/2.
func signs() *strings.Replacer {
	return strings.NewReplacer(
		"\u00b5", "u", "\u03bc", "u",
		"\u00b0", "", "\u00ba", "", "\u02da", "", "\u2109", "f", "\u2103", "c",
		"\u2212", "-", "\u2010", "-", "\u2011", "-", "\u2012", "-", "\u2013", "-", "\u2014", "-",
		"\u2033", `"`, "\u201c", `"`, "\u201d", `"`, "\u2032", "'", "\u2018", "'", "\u2019", "'",
		"\u00b2", "2", "\u00b3", "3", "\u2044", "/", "\u2248", "~", "\u2264", "<", "\u2265", ">",
		"\u00bd", " 1/2", "\u00bc", " 1/4", "\u00be", " 3/4",
		"\u2153", " 1/3", "\u2154", " 2/3",
		"\u215b", " 1/8", "\u215c", " 3/8", "\u215d", " 5/8", "\u215e", " 7/8",
	)
}

// orList joins names as "a, b or c".
func orList(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " or " + names[last]
}
