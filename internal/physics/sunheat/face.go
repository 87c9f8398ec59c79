package sunheat

import (
	"fmt"
	"math"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Colour is a class of colours by how much sunlight they take up. What the eye
// sees is half of it: two colours alike to the eye can differ in the infrared,
// so a measured figure goes before the class.
type Colour int

// The colours.
const (
	White Colour = iota
	Light
	Medium
	Dark
	Black
)

// String names the colour.
func (c Colour) String() string {
	return []string{"white", "light", "medium", "dark", "black"}[min(max(c, 0), Black)]
}

// Absorptance gives the share of sunlight that a colour takes up: white paint
// .19-.30 and black .90-.975 as measured (published tables of solar absorptance),
// light below .475, dark above .70 (published classes), medium between. It is
// assumed until measured.
func Absorptance(c Colour) uncertain.Input {
	bounds := [][2]float64{{.19, .30}, {.30, .475}, {.475, .70}, {.70, .90}, {.90, .975}}[min(max(c, 0), Black)]
	return uncertain.Input{ID: "absorptance-" + c.String(), Low: bounds[0], High: bounds[1], Unit: uncertain.Share, Assumed: true,
		Source: "published absorptances of paints and classes of colours"}
}

// Face is a painted face.
type Face struct {
	Facing Facing
	// Absorptance is the share of sunlight taken up, Emissivity that of the
	// heat a black body would radiate.
	Absorptance, Emissivity uncertain.Input
}

// Emissivity is that of paints of any colour but aluminium.
func Emissivity() uncertain.Input {
	return uncertain.Input{ID: "emissivity", Low: .85, High: .95, Unit: uncertain.Share, Assumed: true, Source: "textbooks, from memory"}
}

// Weather is the air about a face.
type Weather struct {
	// Air is its temperature in K.
	Air uncertain.Input
	// Wind is the wind at the face in m/s; between buildings a third to a half
	// of what a weather station reads.
	Wind uncertain.Input
	// Clear is the share of a clear sky's irradiance that comes through.
	Clear uncertain.Input
}

// Conditions are the numbers of one balance.
type Conditions struct {
	// Air in K, 230 to 330; Wind in m/s, 0 to 30; Irradiance in W/m2, 0 to 1500.
	Air, Wind, Irradiance float64
	// Absorptance and Emissivity, 0 to 1.
	Absorptance, Emissivity float64
	// Tilt in radians, 0 level, pi/2 upright.
	Tilt float64
}

// check refuses conditions outside their ranges.
func (c Conditions) check() error {
	checks := []error{
		uncertain.Within("air temperature", quantity.Temperature, c.Air, 230, 330),
		uncertain.Within("wind", quantity.AirSpeed, c.Wind, 0, 30),
		uncertain.WithinUnit("sunlight on the face", "W/m2", c.Irradiance, 0, 1500),
		uncertain.WithinUnit("share of sunlight taken up", "", c.Absorptance, 0, 1),
		uncertain.WithinUnit("emissivity", "", c.Emissivity, 0, 1),
		uncertain.WithinUnit("tilt of the face", "radians", c.Tilt, 0, math.Pi),
	}
	for _, err := range checks {
		if err != nil {
			return err
		}
	}
	return nil
}

// stefan is the constant of Stefan and Boltzmann in W/(m2 K4) (CODATA).
const stefan = 5.670374e-8

// fromSky is how much less than a black body at air temperature a clear sky
// radiates onto level ground, in W/m2 (ASHRAE Handbook of Fundamentals, sol-air
// temperature); upright faces see warm ground that makes up for it.
const fromSky = 63

// Rise published for black over the air, in K: ASTM D4803-10, black, insulated
// back, no wind, clear sky.
const (
	mostLevel   = 50 // 90 F, level and at 45 degrees
	mostUpright = 41 // 74 F
	// black is the absorptance the rise is taken to be of.
	black = 0.95
)

// Bound gives the most a face can be above the air, in K: 50 K level to 45
// degrees, 41 K upright and beyond, a straight line between (ASTM D4803-10,
// black, insulated back, no wind, clear sky), less in proportion for what takes up
// less than .95 of the sunlight, and never more. Range: tilt 0 to pi,
// absorptance 0 to 1.
func Bound(tilt, absorptance float64) (float64, error) {
	c := Conditions{Air: 290, Absorptance: absorptance, Tilt: tilt}
	return c.bound(), c.check()
}

// bound is Bound within range.
func (c Conditions) bound() float64 {
	upright := min(max(c.Tilt/(math.Pi/4)-1, 0), 1)
	return (mostLevel + upright*(mostUpright-mostLevel)) * min(c.Absorptance/black, 1)
}

// Balance gives the temperature in K of a face with an insulated back: the
// sunlight it takes up, a I, goes into the air, h (T - Ta), and into sky and
// ground, eps (sigma (T^4 - Ta^4) + 63 W/m2 cos tilt), h = sqrt((.84 |T-Ta|^(1/3))^2
// + (3.26 V^.89)^2) W/(m2 K) (Yazdanian and Klems 1994, MoWiTT, windward; V the
// wind in m/s). In still air it overshoots what is measured: Temperature holds
// it below the published bound. Wind formulas differ by 30 %. Errors: conditions
// outside their ranges.
func Balance(c Conditions) (float64, error) {
	if err := c.check(); err != nil {
		return 0, err
	}
	return c.balance(), nil
}

// balance is Balance within range, by bisection: what a face loses only rises
// with its temperature.
func (c Conditions) balance() float64 {
	low, high := c.Air-100, c.Air+400
	for range 50 {
		t := (low + high) / 2
		if c.loss(t) < c.Absorptance*c.Irradiance {
			low = t
		} else {
			high = t
		}
	}
	return (low + high) / 2
}

// loss is what a face at t gives off, in W/m2.
func (c Conditions) loss(t float64) float64 {
	over := t - c.Air
	still, windy := 0.84*math.Cbrt(math.Abs(over)), 3.26*math.Pow(c.Wind, 0.89)
	sky := fromSky * max(math.Cos(c.Tilt), 0)
	return math.Hypot(still, windy)*over + c.Emissivity*(stefan*(math.Pow(t, 4)-math.Pow(c.Air, 4))+sky)
}

// Temperature gives the temperature in K of a sunlit face: that of Balance, but
// no more above the air than Bound. capped says that the bound was met. Errors:
// conditions outside their ranges.
func Temperature(c Conditions) (t float64, capped bool, err error) {
	if err := c.check(); err != nil {
		return 0, false, err
	}
	t, most := c.balance(), c.Air+c.bound()
	if t > most {
		return most, true, nil
	}
	return t, false, nil
}

// SolAir gives the sol-air temperature in K: to + a I/ho - eps dR/ho, to the air
// in K, a the absorptance, I in W/m2, ho in W/(m2 K), loss eps dR in W/m2, 0 for an
// upright face (ASHRAE Handbook of Fundamentals). It is the temperature of a
// face with an insulated back at a stated ho, usually 17. Range: to 230 to 330 K,
// a 0 to 1, I 0 to 1500, ho 1 to 200, loss 0 to 150.
func SolAir(air, absorptance, irradiance, ho, loss float64) (float64, error) {
	c := Conditions{Air: air, Absorptance: absorptance, Irradiance: irradiance}
	if err := c.check(); err != nil {
		return 0, err
	}
	if err := uncertain.WithinUnit("surface heat transfer", "W/(m2 K)", ho, 1, 200); err != nil {
		return 0, err
	}
	if err := uncertain.WithinUnit("heat lost to the sky", "W/m2", loss, 0, 150); err != nil {
		return 0, err
	}
	return air + (absorptance*irradiance-loss)/ho, nil
}

// Moment is a place and a time.
type Moment struct {
	// Latitude in radians, Day of the year, Hour of solar time.
	Latitude float64
	Day      int
	Hour     float64
}

// Heat is how hot a face gets.
type Heat struct {
	// Irradiance is what a clear sky sends onto the face, in W/m2.
	Irradiance float64
	// Temperature is in K, Values that of each draw.
	Temperature uncertain.Result
	Values      []float64
	// Air is the air temperature of each draw in K.
	Air []float64
	// Capped is the share of draws in which the published bound was met.
	Capped float64
}

// Heated computes the temperature of a face at a moment, once per draw, by
// Position, ClearSky, Irradiance and Temperature. Errors: those of its parts,
// and an input that cannot be drawn from.
func Heated(m Moment, f Face, w Weather, d uncertain.Draws) (Heat, error) {
	sun, err := Position(m.Latitude, m.Day, m.Hour)
	if err != nil {
		return Heat{}, fmt.Errorf("sun: %w", err)
	}
	h := Heat{}
	if h.Irradiance, err = Irradiance(sun, clearSky(sun.Altitude, m.Day), f.Facing, Ground); err != nil {
		return Heat{}, fmt.Errorf("sun: %w", err)
	}
	h.Temperature, err = d.Run(uncertain.Formula{Name: "face temperature", Unit: "K",
		Source: "energy balance of a face with an insulated back (MoWiTT convection), bounded by ASTM D4803-10",
		Of: func(v []float64) (float64, error) {
			t, capped, err := Temperature(Conditions{Air: v[0], Wind: v[1], Irradiance: min(h.Irradiance*v[2], 1500),
				Absorptance: v[3], Emissivity: v[4], Tilt: f.Facing.Tilt})
			h.Values, h.Air = append(h.Values, t), append(h.Air, v[0])
			if capped {
				h.Capped += 1 / float64(d.Len())
			}
			return t, err
		}}, w.Air, w.Wind, w.Clear, f.Absorptance, f.Emissivity)
	return h, err
}
