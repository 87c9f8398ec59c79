package quantity

import "math"

// spec is what is known about a kind.
type spec struct {
	id, name, base string
	example        string
	// possible bounds what is read at all; plausible bounds what is believed
	// without a question. Both in SI.
	possible, plausible [2]float64
	units               []unit
	// trailing lists words that may follow the quantity and say nothing about
	// its size.
	trailing []string
}

// Exact factors. Inch, foot, yard and pound are those of the international
// yard and pound agreement of 1959; the standard acceleration of gravity and
// the factors made from these are in NIST SP 811 (2008), appendix B.8.
const (
	inch    = 0.0254
	foot    = 12 * inch
	mile    = 5280 * foot
	pound   = 0.45359237
	ounce   = pound / 16
	gravity = 9.80665
	// gallon is the US gallon of 231 cubic inches.
	gallon = 231 * inch * inch * inch
	// zeroC and zeroF are 0 on the scales of Celsius and Fahrenheit in K.
	zeroC = 273.15
	zeroF = 459.67 * 5 / 9
	hour  = 3600.0
	day   = 24 * hour
	// year is the Julian year of 365.25 days; a month is a twelfth of it.
	year = 365.25 * day
)

// huge bounds bare numbers, so that arithmetic on them stays finite.
const huge = 1e15

// spec gives what is known about a kind; an unknown kind is treated as a
// Number.
func (k Kind) spec() spec {
	switch k {
	case Film:
		return spec{"film", "coat thickness", "m", "12 mil", [2]float64{0, 0.1}, [2]float64{1e-6, 0.005},
			filmUnits(), []string{"wet film", "dry film", "wet", "dry", "wft", "dft", "thick"}}
	case Length:
		return spec{"length", "length", "m", "12 in", [2]float64{0, 1e6}, [2]float64{1e-4, 30},
			lengthUnits(), []string{"thick", "wide", "long", "deep", "high", "tall"}}
	case Temperature:
		return spec{"temperature", "temperature", "K", "70 F", [2]float64{0, 2000}, [2]float64{233.15, 423.15},
			temperatureUnits(), nil}
	case TemperatureDifference:
		return spec{"temperature-difference", "temperature difference", "K", "5 F",
			[2]float64{-2000, 2000}, [2]float64{-100, 100}, differenceUnits(), nil}
	case Humidity:
		return spec{"humidity", "relative humidity", "1", "55 %", [2]float64{0, 1}, [2]float64{0.05, 1},
			humidityUnits(), nil}
	case Duration:
		return spec{"duration", "time", "s", "4 h", [2]float64{0, 200 * year}, [2]float64{1, 10 * year},
			durationUnits(), nil}
	}
	return k.moreSpec()
}

// moreSpec is the second half of spec.
func (k Kind) moreSpec() spec {
	switch k {
	case AirSpeed:
		return spec{"air-speed", "air speed", "m/s", "200 fpm", [2]float64{0, 300}, [2]float64{0, 15},
			speedUnits(), nil}
	case Density:
		return spec{"density", "density", "kg/m3", "15 lb/ft3", [2]float64{0, 25000}, [2]float64{20, 3000},
			densityUnits(), nil}
	case Share:
		return spec{"share", "share", "1", "10 %", [2]float64{0, 1}, [2]float64{0, 1},
			shareUnits(), []string{"by volume", "by weight"}}
	case Pressure:
		return spec{"pressure", "pressure", "Pa", "400 psi", [2]float64{0, 1e9}, [2]float64{0, 5e7},
			pressureUnits(), nil}
	case Peel:
		return spec{"peel", "peel strength", "N/m", "12 oz/in", [2]float64{0, 1e6}, [2]float64{0, 5000},
			peelUnits(), []string{"width"}}
	case Mass:
		return spec{"mass", "mass", "kg", "4 g", [2]float64{0, 1e6}, [2]float64{1e-6, 1000},
			massUnits(), nil}
	}
	return spec{"number", "number", "", "3", [2]float64{-huge, huge}, [2]float64{0, 1e6},
		nil, []string{"coats", "coat", "layers", "layer", "passes", "pass", "times"}}
}

// Kinds gives all kinds, in the order of their declaration.
func Kinds() []Kind {
	kinds := make([]Kind, 0, int(Number)+1)
	for k := Film; k <= Number; k++ {
		kinds = append(kinds, k)
	}
	return kinds
}

// KindNamed finds a kind by the name that ID gives, such as "air-speed".
func KindNamed(id string) (Kind, bool) {
	for _, k := range Kinds() {
		if k.ID() == id {
			return k, true
		}
	}
	return Number, false
}

// ID gives the name of the kind for files: lower case with hyphens.
func (k Kind) ID() string { return k.spec().id }

// String gives the name of the kind in words, such as "coat thickness".
func (k Kind) String() string { return k.spec().name }

// Base gives the SI unit of the kind: "m", "K", "s", "m/s", "kg/m3", "Pa",
// "N/m", "kg", "1" for fractions and "" for a Number.
func (k Kind) Base() string { return k.spec().base }

// Units gives the units that may be typed, each in its first spelling; none
// for a Number.
func (k Kind) Units() []string {
	var names []string
	for _, u := range k.spec().units {
		names = append(names, u.name)
	}
	return names
}

// Example gives a quantity of the kind as a sign maker would type it.
func (k Kind) Example() string { return k.spec().example }

// Possible gives the bounds, in SI, past which Parse refuses a quantity. The
// lower ones are those of nature (no thickness below 0, no temperature below
// absolute zero), the upper ones are far above anything in a shop.
func (k Kind) Possible() (low, high float64) {
	p := k.spec().possible
	return p[0], p[1]
}

// Plausible gives the bounds, in SI, past which Quantity.Doubt speaks up. They
// also stand in for the open side of "under 4 h" and "over 24 h".
func (k Kind) Plausible() (low, high float64) {
	p := k.spec().plausible
	return p[0], p[1]
}

// widen gives the interval for "about": 3 F (5/3 K) to each side for a
// temperature, 5 % of the value for everything else. Both are this program's
// choice for what people mean by the word, not figures from a source.
func (k Kind) widen(low, high float64) (float64, float64) {
	if k == Temperature {
		return low - 3*5.0/9, high + 3*5.0/9
	}
	return low - 0.05*math.Abs(low), high + 0.05*math.Abs(high)
}

// clamp brings an interval into the possible range.
func (k Kind) clamp(low, high float64) (float64, float64) {
	least, most := k.Possible()
	return min(max(low, least), most), min(max(high, least), most)
}
