package cli

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"github.com/spf13/cobra"

	"filmfault/internal/physics/drying"
	"filmfault/internal/physics/drying/exchange"
	"filmfault/internal/quantity"
	"filmfault/internal/replay"
	"filmfault/internal/uncertain"
)

// The ids of inputs that every replay of a job draws, and that are drawn here as
// there.
const (
	thermometerID = "thermometer-error"
	hygrometerID  = "hygrometer-error"
	stillAirID    = "still-air-speed"
	unknownFanID  = "air-speed-not-logged"
	fanJetID      = "fan-jet-turbulent"
)

// ofReplay is an input of every replay by its id.
func ofReplay(id string) uncertain.Input {
	for _, in := range replay.EveryJob() {
		if in.ID == id {
			return in
		}
	}
	return uncertain.Input{ID: id}
}

// noSource is what figures of practice rest on.
const noSource = "common practice, no source"

const fpm = 0.3048 / 60 // m/s

// fanWord says what was said of the fan.
type fanWord int

const (
	fanUnsaid fanWord = iota
	fanOn             // at a speed that was stated or not
	fanOff
)

// fan is what moves the air over the face.
type fan struct {
	word fanWord
	// stated is the speed as typed, in m/s, where it was.
	stated quantity.Quantity
}

// fastestFan is more than a fan blows over a panel, in m/s.
const fastestFan = 15

// readFan reads "on", "off" or a speed.
func readFan(s string) (fan, error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "on", "yes":
		return fan{word: fanOn}, nil
	case "off", "no", "none", "still":
		return fan{word: fanOff}, nil
	}
	q, err := quantity.Parse(quantity.AirSpeed, s, "fpm")
	switch {
	case err != nil:
		return fan{}, fmt.Errorf("%w; or write on or off", err)
	case q.High == 0:
		return fan{word: fanOff}, nil
	case q.High > fastestFan:
		return fan{}, errors.New("no fan blows so over a panel; write the speed at the face, such as 300 fpm")
	}
	return fan{fanOn, q}, nil
}

// speed is the speed of the air over the face as an input, with the id that a
// job log draws it under.
func (f fan) speed() uncertain.Input {
	switch {
	case f.word == fanOff:
		return ofReplay(stillAirID)
	case f.word == fanUnsaid:
		return ofReplay(unknownFanID)
	case f.stated.High > 0:
		q := f.stated
		return uncertain.Input{ID: fmt.Sprintf("fan-speed-%.3g-%.3g", q.Low, q.High), Low: q.Low, High: q.High, Unit: "m/s", Source: "stated"}
	}
	return uncertain.Input{ID: "fan-speed", Low: 200 * fpm, High: 600 * fpm, Unit: "m/s", Assumed: true, Source: noSource}
}

// shown is the speed as a page lists it: a stated one under the name of its flag.
func (f fan) shown(flag string) input {
	in := f.speed()
	if f.stated.High > 0 {
		in.ID = flag
	}
	return input{in, quantity.AirSpeed}
}

// said is the fan in the words of a title.
func (f fan) said(sys quantity.System) string {
	switch {
	case f.word == fanOff:
		return "fan off"
	case f.word == fanUnsaid:
		return "nothing said of a fan"
	case f.stated.High > 0:
		return "fan at " + quantity.FormatRange(quantity.AirSpeed, f.stated.Low, f.stated.High, sys)
	}
	return "fan on"
}

// piece is the size of a panel as typed.
type piece struct{ along, across quantity.Quantity }

var bySides = regexp.MustCompile(`(?i)^(.+?)\s*(?:x|\x{d7}|\bby\b)\s*(.+)$`)

// readPiece reads "4 ft x 2 ft" or "4x2"; a unit behind the second side holds for
// both.
func readPiece(s string) (piece, error) {
	const write = "write both sides, that along the air first, such as \"4 ft x 2 ft\""
	m := bySides.FindStringSubmatch(strings.TrimSpace(s))
	if m == nil {
		return piece{}, errors.New(write)
	}
	across, err := quantity.Parse(quantity.Length, m[2], "ft")
	if err != nil {
		return piece{}, fmt.Errorf("%w; %s", err, write)
	}
	along, err := quantity.Parse(quantity.Length, m[1], across.Unit)
	if err != nil {
		return piece{}, fmt.Errorf("%w; %s", err, write)
	}
	for _, q := range []quantity.Quantity{along, across} {
		if q.Low < shortestSide || q.High > longestSide {
			return piece{}, fmt.Errorf("no panel has a side of %s; %s", q.Typed, write)
		}
	}
	return piece{along, across}, nil
}

// The sides that a panel can have, in m, as for package exchange.
const shortestSide, longestSide = 0.02, 10

// panelFlags say what dries, and where the air comes from.
type panelFlags struct {
	panel *wordFlag[piece]
	flat  bool
}

// add puts the flags on a command.
func (f *panelFlags) add(cmd *cobra.Command) {
	f.panel = &wordFlag[piece]{kind: "sides", understand: readPiece}
	cmd.Flags().Var(f.panel, "panel", "its sides, that along the air first, such as \"4 ft x 2 ft\"")
	cmd.Flags().BoolVar(&f.flat, "flat", false, "it lies flat, face up; upright if not stated")
}

// panel is the piece that dries.
type panel struct {
	along, across uncertain.Input
	flat          bool
}

// read gives the piece; one that was not stated is as a job log takes it.
func (f *panelFlags) read() (panel, []input) {
	side := func(id string, q quantity.Quantity, low, high float64) uncertain.Input {
		if f.panel.given {
			return uncertain.Input{ID: id, Low: q.Low, High: q.High, Unit: "m", Source: "stated"}
		}
		return uncertain.Input{ID: id, Low: low, High: high, Unit: "m", Assumed: true, Source: noSource}
	}
	p := panel{side("panel-along", f.panel.value.along, 0.4, 1.6), side("panel-across", f.panel.value.across, 0.3, 1.2), f.flat}
	return p, []input{{p.along, quantity.Length}, {p.across, quantity.Length}}
}

// face is the piece in one draw, drawn as a replay draws it.
func (p panel) face(d uncertain.Draws, draw int) exchange.Face {
	side := func(in uncertain.Input) float64 { return min(max(d.Value(in, draw), shortestSide), longestSide) }
	f := exchange.Face{Along: side(p.along), Across: side(p.across), Emissivity: 0.9}
	if p.flat {
		f.Attitude = exchange.FaceUp
	}
	if d.Unit(fanJetID, draw) < 0.5 {
		f.Flow = exchange.Tripped
	}
	return f
}

// instruments are the inputs of every replay that a page lists.
func instruments() []input {
	return []input{
		{ofReplay(thermometerID), quantity.TemperatureDifference}, {ofReplay(hygrometerID), quantity.Share},
		{ofReplay(fanJetID), quantity.Number},
	}
}

// asRead is air as the instruments of one draw would have it.
func asRead(air drying.Air, d uncertain.Draws, draw int) drying.Air {
	return air.Warmer(d.Value(ofReplay(thermometerID), draw)).Damper(d.Value(ofReplay(hygrometerID), draw))
}

// Bounds of the air of a shop, in K, and its least humidity: past them a figure
// is taken for one in another unit. Those of job logs.
const coldestShop, hottestShop, driestShop = 258.15, 323.15, 0.05

// refuseAir refuses air that no shop has, and says what may have been meant.
func refuseAir(name string, air *quantityFlag, humidityName string, humidity *quantityFlag) error {
	if q := air.value; air.given && (q.Low < coldestShop || q.High > hottestShop) {
		remedy := "write the temperature with its unit, such as 70 F"
		if q.Unit == "C" {
			if f, err := quantity.FromSI(quantity.Temperature, q.High, "C"); err == nil && f < 122 {
				remedy = fmt.Sprintf("write %.0f F, if that is what was read", f)
			}
		}
		return usagef("--%s %q is %s, which no air in a shop has; %s", name, q.Typed, quantity.FormatRange(quantity.Temperature, q.Low, q.High, quantity.US), remedy)
	}
	if q := humidity.value; humidity.given && q.Low < driestShop {
		remedy := "write the relative humidity in percent, such as 55 %"
		if q.High > 0 && q.High <= 0.01 { // a fraction read as percent
			remedy = fmt.Sprintf("write %.0f %%, if a fraction was meant", q.High*1e4)
		}
		return usagef("--%s %q is drier than any shop; %s", humidityName, q.Typed, remedy)
	}
	return nil
}
