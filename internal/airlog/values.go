package airlog

import (
	"math"
	"slices"

	"filmfault/internal/physics/moistair"
)

// Bounds of what is believed, in K: no logger in a shop, truck or yard reads
// beyond coldest and hottest, and no shop stays above hotShop.
const (
	coldest = 223.15
	hottest = 373.15
	hotShop = 323.15
)

// settleUnits turns temperatures and dew points into K, or asks for the unit.
func (f *file) settleUnits() {
	said := f.layout.tempSaid
	assumed := f.opt.Assume.Temperature
	if unit := degreesOf(fold(assumed)); assumed != "" && unit == "" {
		f.notes.fail(0, "temperature-unit", "F or C", "%q was stated as the unit of temperature", short(assumed))
		return
	} else if said == "" {
		said = unit
	}
	if first := f.withoutUnit(said); first != 0 {
		f.notes.fail(f.layout.header, "temperature-unit",
			"the unit in the header, as Temperature (F) or Temperature (C), or state it for the import",
			"nothing in the file says whether the temperature is in F or C; line %d reads %.4g", first, f.rowAt(first).temp)
		return
	}
	f.noteUnits(said)
	kept := f.rows[:0]
	for _, r := range f.rows {
		unit := letter(r.unit, said)
		r.temp = kelvin(r.temp, unit)
		r.dew = kelvin(r.dew, letter(r.dewUnit, f.layout.dewSaid, string(unit)))
		if r.temp < coldest || r.temp > hottest {
			f.notes.warn(int(r.line), "temperature-range", "a reading of the air; sensors write such values when they fail",
				"line %d reads %.4g C, which no air in a shop has, and was left out", r.line, r.temp-moistair.ZeroCelsius)
			continue
		}
		kept = append(kept, r)
	}
	f.rows = kept
	f.checkHot(said)
}

// withoutUnit finds the first line whose unit nothing states, 0 for none.
func (f *file) withoutUnit(said string) int {
	if said != "" {
		return 0
	}
	for _, r := range f.rows {
		if r.unit == 0 {
			return int(r.line)
		}
	}
	return 0
}

// rowAt finds the row of a line.
func (f *file) rowAt(line int) row {
	i := slices.IndexFunc(f.rows, func(r row) bool { return int(r.line) == line })
	return f.rows[i]
}

// letter is the unit of a value: its own, or the first that is stated.
func letter(own byte, stated ...string) byte {
	if own != 0 {
		return own
	}
	for _, s := range stated {
		if s != "" {
			return s[0]
		}
	}
	return 0
}

// kelvin converts from F, C or K.
func kelvin(v float64, unit byte) float64 {
	switch unit {
	case 'F':
		return (v + 459.67) * 5 / 9
	case 'C':
		return v + moistair.ZeroCelsius
	}
	return v
}

// noteUnits warns where the file contradicts what was stated, and where the
// unit changes on the way.
func (f *file) noteUnits(said string) {
	stated := degreesOf(fold(f.opt.Assume.Temperature))
	var before byte
	for _, r := range f.rows {
		unit := letter(r.unit, said)
		if before != 0 && unit != before {
			f.notes.warn(int(r.line), "temperature-unit", "one unit in the whole file",
				"from line %d on the temperature is in %c, before in %c; each was read by its own unit", r.line, unit, before)
		}
		before = unit
	}
	if stated != "" && before != 0 && stated[0] != before {
		f.notes.warn(f.layout.header, "temperature-unit", "the unit right in the file, if it is wrong there",
			"%s was stated, but the file itself says %c, which was used", stated, before)
	}
}

// checkHot refuses a file of F passed as C.
func (f *file) checkHot(said string) {
	if len(f.rows) == 0 {
		f.notes.fail(f.layout.header, "no-readings", "readings of air between -50 and 100 C", "no reading is left")
		return
	}
	temps := make([]float64, len(f.rows))
	for i, r := range f.rows {
		temps[i] = r.temp
	}
	slices.Sort(temps)
	middle := temps[len(temps)/2]
	if middle > hotShop && letter(f.rows[0].unit, said) == 'C' {
		f.notes.fail(int(f.rows[0].line), "temperature-unit", "F in place of C, if that is what the logger was set to",
			"half the readings are above %.3g C, and no shop is: they look like F", middle-moistair.ZeroCelsius)
	}
}

// settleHumidity turns humidity into a fraction and computes it from the dew
// point where only that was logged.
func (f *file) settleHumidity() {
	scale, ok := f.humidityScale()
	if !ok {
		return
	}
	kept := f.rows[:0]
	for _, r := range f.rows {
		r.hum *= scale
		if math.IsNaN(r.hum) {
			r.hum = fromDewPoint(r.temp, r.dew)
		}
		if f.believable(&r) {
			kept = append(kept, r)
		}
	}
	f.rows = kept
	if len(kept) == 0 {
		f.notes.fail(f.layout.header, "no-readings", "a humidity from 0 to 100 %", "no reading is left")
	}
}

// humidityScale is what a humidity is to be multiplied by.
func (f *file) humidityScale() (float64, bool) {
	highest := math.Inf(-1)
	for _, r := range f.rows {
		if !math.IsNaN(r.hum) {
			highest = max(highest, r.hum)
		}
	}
	stated := f.opt.Assume.Humidity
	switch {
	case stated != "" && stated != "percent" && stated != "fraction":
		f.notes.fail(0, "humidity-unit", "percent or fraction", "%q was stated as the unit of humidity", short(stated))
		return 0, false
	case stated == "fraction" && highest <= 1.05:
		return 1, true
	case stated == "percent" || highest > 1.05 || math.IsInf(highest, -1):
		return 0.01, true
	case f.layout.humSaid == "%":
		f.notes.fail(f.layout.header, "humidity-unit", "the humidity in percent, or state that it is a fraction",
			"the header says %%, but no reading is above %.3g: they look like fractions", highest)
		return 0, false
	}
	f.notes.warn(f.layout.header, "humidity-unit", "the humidity in percent",
		"no humidity is above %.3g, and none was read as percent: they were taken as fractions, %.3g being %.3g %%", highest, highest, 100*highest)
	return 1, true
}

// believable says whether a humidity can be used, and puts one that a sensor
// reads just above saturation on 100 %.
func (f *file) believable(r *row) bool {
	const remedy = "a humidity from 0 to 100 %; a sensor that reads beyond wants checking"
	switch {
	case math.IsNaN(r.hum) || r.hum < 0 || r.hum > 1.05:
		f.notes.warn(int(r.line), "humidity-range", remedy, "line %d has a humidity of %.4g %% and was left out", r.line, 100*r.hum)
		return false
	case r.hum > 1:
		f.notes.warn(int(r.line), "humidity-over-100", remedy, "line %d has a humidity of %.4g %%, which was taken as 100 %%", r.line, 100*r.hum)
		r.hum = 1
	}
	return true
}

// fromDewPoint is the humidity of air at temp with a dew point, both in K and
// over water, as sensors mean it; NaN when there is none.
func fromDewPoint(temp, dew float64) float64 {
	pv, err := moistair.Saturation(dew, moistair.OverWater)
	if err != nil {
		return math.NaN()
	}
	rh, err := moistair.RelativeHumidity(temp, pv, moistair.OverWater)
	if err != nil {
		return math.NaN()
	}
	return rh
}
