package exchange

import (
	"math"

	"filmfault/internal/physics/moistair"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Attitude says how a panel stands or lies while it dries.
type Attitude int

const (
	// Upright stands in a rack or hangs.
	Upright Attitude = iota
	// FaceUp lies on the bench, the face looking up.
	FaceUp
	// FaceDown lies with the face looking down.
	FaceDown
)

// Face is the free face of a panel.
type Face struct {
	// Along is the length in the direction of the air in m, .02 to 10.
	Along float64
	// Across is the other side in m, .02 to 10; the height when upright.
	Across float64
	// Attitude is how it stands.
	Attitude Attitude
	// Flow is how the air runs along it.
	Flow Flow
	// Emissivity for heat radiation, 0 to 1; paint has about .9. 0 is a face
	// that trades no radiation, the adiabatic film of textbooks.
	Emissivity float64
	// ForcedOnly leaves out the air's own motion, as textbook examples do; a
	// face in still air then trades next to nothing.
	ForcedOnly bool
}

// Check refuses a face that no panel has.
func (f Face) Check() error {
	if err := uncertain.Within("length of the panel", quantity.Length, f.Along, 0.02, 10); err != nil {
		return err
	}
	if err := uncertain.Within("other side of the panel", quantity.Length, f.Across, 0.02, 10); err != nil {
		return err
	}
	return uncertain.WithinUnit("emissivity of the face", "", f.Emissivity, 0, 1)
}

// Ambient is a face in given air, with all that does not depend on the face's
// own temperature worked out once.
type Ambient struct {
	// Air is the air.
	Air Air
	// Vapour is the density of the vapour in the air in kg/m3.
	Vapour float64

	emissivity float64
	attitude   Attitude
	still      bool
	forced     float64 // heat transfer by blown air, W/(m2 K)
	least      float64 // by conduction alone
	unit       float64 // k/L of free convection
	rayleigh   float64 // for each K of virtual temperature difference
	vertical   float64
	lewis      float64 // mass over heat transfer coefficient, m3 K/J
	virtual    float64 // virtual temperature of the air, K
}

// In gives the face in air. Errors: those of Face.Check and Air.Check.
func (f Face) In(a Air) (Ambient, error) {
	if err := f.Check(); err != nil {
		return Ambient{}, err
	}
	if err := a.Check(); err != nil {
		return Ambient{}, err
	}
	pv, err := a.Vapour()
	if err != nil {
		return Ambient{}, err
	}
	return f.in(a, pv), nil
}

// in is In for what has been checked. Properties are those of dry air at sea
// level and at the air's temperature.
func (f Face) in(a Air, pv float64) Ambient {
	t := a.Temperature
	k, nu := conductivity(t), viscosity(t)/densityDry(t)
	alpha := k / (densityDry(t) * heatOfAir)
	pr, d := nu/alpha, diffusivity(t)
	free := f.freeLength()
	m := Ambient{Air: a, Vapour: pv / (moistair.GasConstantVapour * t), emissivity: f.Emissivity,
		attitude: f.Attitude, still: !f.ForcedOnly, lewis: d / k * math.Cbrt(alpha/d), virtual: virtual(t, pv)}
	m.forced = forcedPlate(a.Speed*f.Along/nu, f.Flow) * math.Cbrt(pr) * k / f.Along
	m.least = k / max(f.Along, f.Across)
	m.unit = k / free
	m.rayleigh = gravity / m.virtual * free * free * free / (nu * alpha)
	if f.Attitude == Upright {
		m.vertical = verticalAir
	}
	return m
}

// verticalAir is verticalFactor at the Prandtl number .714 of these formulas at
// 20 C; from -30 to 70 C it changes by .1 %.
const verticalAir = 0.32457

// freeLength is the length that rules free convection: the height of a panel
// that stands, area over perimeter of one that lies.
func (f Face) freeLength() float64 {
	if f.Attitude == Upright {
		return f.Across
	}
	return f.Along * f.Across / (2 * (f.Along + f.Across))
}

// virtual is the temperature at which dry air has the density of moist air:
// t (1 + 0.378 pv/p). Damp air is lighter, which works against the cold of a
// wet face.
func virtual(t, pv float64) float64 { return t * (1 + 0.378*pv/moistair.StandardPressure) }

// Coefficients are how readily a face trades heat and vapour with the air.
type Coefficients struct {
	// Heat in W/(m2 K), by convection alone.
	Heat float64
	// Mass in m/s.
	Mass float64
}

// Coefficients gives them for a face at t in K with vapour at pv in Pa over it.
// Blown and free convection add by their cubes, Nu^3 = Nu_blown^3 + Nu_free^3
// (Incropera, chapter 9, for air blown across; 10-15 % either way). Mass
// follows heat by Chilton and Colburn: hm = h/(rho cp) (D/alpha)^2/3.
func (m Ambient) Coefficients(t, pv float64) Coefficients {
	h := m.forced
	if m.still {
		free := m.unit * m.free(virtual(t, pv)-m.virtual)
		h = math.Cbrt(h*h*h + free*free*free)
	}
	h = max(h, m.least)
	return Coefficients{Heat: h, Mass: h * m.lewis}
}

// draught is the difference of virtual temperature in K below which a room's
// own draughts blur which way air would move by itself.
const draught = 0.3

// free is the Nusselt number of free convection at a difference of virtual
// temperature, face less air. Near none it is blurred, since the correlations
// have a corner there that no room has.
func (m Ambient) free(difference float64) float64 {
	size := math.Sqrt(difference*difference + draught*draught)
	ra := min(m.rayleigh*size, mostRayleigh)
	if m.attitude == Upright {
		return verticalPlate(ra, m.vertical)
	}
	away := (1 + difference/size) / 2 // 1 where the air at the face is the lighter
	if m.attitude == FaceDown {
		away = 1 - away
	}
	return away*lyingPlate(ra, true) + (1-away)*lyingPlate(ra, false)
}

// Heat gives the heat in W/m2 that reaches a face at t in K from the air and
// its surroundings, with a coefficient h of convection, and its derivative by t.
// The surroundings are at air temperature.
func (m Ambient) Heat(t, h float64) (heat, slope float64) {
	ta, er := m.Air.Temperature, m.emissivity*stefanBoltzmann
	cube := t * t * t
	heat = h*(ta-t) + er*(ta*ta*ta*ta-cube*t) + m.Air.Radiation
	return heat, -h - 4*er*cube
}
