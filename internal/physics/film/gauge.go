package film

import (
	"math"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Gauge is a wet film notch gauge by the unit its tabs are cut to.
type Gauge int

const (
	// MilGauge has tabs in mils: every .5 to 6, every 1 to 10, every 2 to 30,
	// every 5 above.
	MilGauge Gauge = iota
	// MicronGauge has tabs in um: every 13 to 150, every 25 to 250, every 50 to
	// 750, every 125 above.
	MicronGauge
)

// comb is a row of tabs up to a height: the distance between tabs below it.
type comb struct{ upTo, step float64 }

// combs gives the unit of the gauge in m and its rows of tabs in that unit
// (ASTM D4414-95(2020) section 7.1.2, the example).
func (g Gauge) combs() (unit float64, rows []comb) {
	if g == MicronGauge {
		return 1e-6, []comb{{150, 13}, {250, 25}, {750, 50}, {math.Inf(1), 125}}
	}
	return mil, []comb{{6, 0.5}, {10, 1}, {30, 2}, {math.Inf(1), 5}}
}

// highestTab is the highest notch in m, 100 mils.
const highestTab = 100 * mil

// Notch gives the interval in m in which the wet film lies when the last tab it
// wetted reads so in m: from that tab to the next, which stayed dry. A 20 mil
// reading is 20 to 22 mils before any other error. Steps: ASTM D4414-95(2020)
// section 7.1.2. Range: 0 (no tab wetted) to 2.54 mm (100 mil). A film that was
// read late, after it lost water, was thicker when laid.
func (g Gauge) Notch(reading float64) (low, high float64, err error) {
	if err := uncertain.Within("gauge reading", quantity.Film, reading, 0, highestTab); err != nil {
		return 0, 0, err
	}
	unit, rows := g.combs()
	const rounding = 1e-6 // of the unit, so that 6 mil typed as um is 6 mil
	for _, row := range rows {
		if reading/unit < row.upTo-rounding {
			return reading, reading + row.step*unit, nil
		}
	}
	return reading, reading, nil // not reached: the last row has no end
}

// Reading gives a gauge reading in m as an input: nothing in the interval is
// likelier than the rest, and its ends are taken as 5th and 95th percentiles
// because a gauge held askew reads a little past either.
func (g Gauge) Reading(id string, reading float64) (uncertain.Input, error) {
	low, high, err := g.Notch(reading)
	return uncertain.Input{
		ID: id, Low: low, High: high, Unit: "m", Source: "notch gauge, steps of ASTM D4414-95(2020) section 7.1.2",
	}, err
}

// Scribe gives the film in m from the width in m of a cut at an angle in rad to
// the surface, seen under a microscope: width tan(angle) (ASTM D4138; 45, 26.6
// and 5.7 degrees make 1, 2 and 10 times). Range: width 0 to 20 mm, angle .05
// to 1.05 rad (3 to 60 degrees). The method is for a base that does not give
// under the cutter: on foam take it as a guide.
func Scribe(width, angle float64) (float64, error) {
	if err := uncertain.Within("width of the cut", quantity.Length, width, 0, 0.02); err != nil {
		return 0, err
	}
	if err := uncertain.WithinUnit("angle of the cut", "rad", angle, 0.05, 1.05); err != nil {
		return 0, err
	}
	return width * math.Tan(angle), nil
}
