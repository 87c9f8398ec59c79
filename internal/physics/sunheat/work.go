package sunheat

import (
	"math"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Between is a bound: the surface was not colder than Low nor hotter than High,
// both in K. It is no range of draws; nothing is said of what lies between.
type Between struct{ Low, High float64 }

// Ground properties of heating: the effusivity sqrt(k rho c) of what is heated,
// in J/(m2 K s^.5). A thin film on foam lies between the two.
const (
	// FilmEffusivity is that of a filled dry film: k .3 W/(m K), 1400 kg/m3, 1400
	// J/(kg K), from memory.
	FilmEffusivity = 770
	// FoamEffusivity is that of a board of 240 kg/m3: k .05 W/(m K), 1400 J/(kg
	// K), from memory. It gives the hotter face and so the bound.
	FoamEffusivity = 130
)

// FluxRise gives how far the face of a thick body warms under an even flux: 2 q
// sqrt(t/pi)/e, q in W/m2, t in s, e its effusivity in J/(m2 K s^.5) (Carslaw and
// Jaeger, Conduction of Heat in Solids, section 2.9, from memory). No heat is lost
// to the air. Range: q 0 to 1e8, t 0 to 3600, e 10 to 1e5.
func FluxRise(flux, time, effusivity float64) (float64, error) {
	if err := uncertain.WithinUnit("heat flux", "W/m2", flux, 0, 1e8); err != nil {
		return 0, err
	}
	if err := uncertain.Within("time of heating", quantity.Duration, time, 0, 3600); err != nil {
		return 0, err
	}
	if err := uncertain.WithinUnit("effusivity", "J/(m2 K s^.5)", effusivity, 10, 1e5); err != nil {
		return 0, err
	}
	return 2 * flux * math.Sqrt(time/math.Pi) / effusivity, nil
}

// Unbrowned is the temperature in K that a urethane board was not heated beyond
// when it shows no browning: about 200 C (from memory). It closes the bound where
// the energy alone would allow more.
const Unbrowned = 473.15

// Blast is blasting one spot.
type Blast struct {
	// Grit is in kg/s, 1e-4 to 1; Speed of the grains in m/s, 1 to 300.
	Grit, Speed float64
	// Width of the spot in m, 1 mm to 1 m; Dwell is how long in all the jet
	// stays on one spot, in s, 0 to 3600.
	Width, Dwell float64
}

// Heat bounds the temperature in K of a blasted face in air at a temperature in
// K. Low is the air: the jet's own air cools. High takes all motion of the grit,
// 1/2 m v^2, as heat spread over the round spot, by FluxRise on the bare foam
// without a film to share it, and no more than Unbrowned. Errors: fields outside
// their ranges, air outside 230 to 330 K.
func (b Blast) Heat(air float64) (Between, error) {
	checks := []error{
		uncertain.WithinUnit("grit", "kg/s", b.Grit, 1e-4, 1),
		uncertain.Within("speed of the grit", quantity.AirSpeed, b.Speed, 1, 300),
		uncertain.Within("width of the spot", quantity.Length, b.Width, 1e-3, 1),
	}
	for _, err := range checks {
		if err != nil {
			return Between{}, err
		}
	}
	flux := b.Grit * b.Speed * b.Speed / 2 / (math.Pi / 4 * b.Width * b.Width)
	return bounded(air, flux, b.Dwell)
}

// Rout is one pass of a cutter.
type Rout struct {
	// Power that goes into cutting in W, 0 to 1e4: what the spindle takes above
	// idling.
	Power float64
	// Feed in m/s, 1e-3 to 1; Depth and Cutter diameter in m, 0.1 mm to 0.2 m.
	Feed, Depth, Cutter float64
}

// Heat bounds the temperature in K of the wall of a routed groove in air at a
// temperature in K. Low is the air: chips carry heat away. High takes all power
// as heat in the two walls while the cutter passes, by FluxRise on foam, and no
// more than Unbrowned. Errors: fields outside their ranges, air outside 230 to
// 330 K.
func (r Rout) Heat(air float64) (Between, error) {
	checks := []error{
		uncertain.WithinUnit("cutting power", "W", r.Power, 0, 1e4),
		uncertain.WithinUnit("feed", "m/s", r.Feed, 1e-3, 1),
		uncertain.Within("depth of the groove", quantity.Length, r.Depth, 1e-4, 0.2),
		uncertain.Within("cutter diameter", quantity.Length, r.Cutter, 1e-4, 0.2),
	}
	for _, err := range checks {
		if err != nil {
			return Between{}, err
		}
	}
	// The walls in contact are two of depth by diameter.
	return bounded(air, r.Power/(2*r.Depth*r.Cutter), r.Cutter/r.Feed)
}

// bounded is the bound of a flux that lasts for a time.
func bounded(air, flux, time float64) (Between, error) {
	if err := uncertain.Within("air temperature", quantity.Temperature, air, 230, 330); err != nil {
		return Between{}, err
	}
	rise, err := FluxRise(min(flux, 1e8), time, FoamEffusivity)
	if err != nil {
		return Between{}, err
	}
	return Between{Low: air, High: min(air+rise, Unbrowned)}, nil
}
