// Package material holds what the calculations need to know of the coats,
// fillers and masks of a sign shop: generic figures, each an interval that says
// it is assumed, and a shop's own figures in their place.
//
// Everything is in SI. The generic figures are wide on purpose: for several of
// them no published number was found, and their Source says so. The package
// names no brand, refuses figures that no material can have, and computes
// nothing but what belongs to the figures themselves: units of permeance, layers
// in series, the strain behind a stress.
//
// It uses uncertain and quantity.
package material

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Material is a kind of paint, filler or mask. Each figure is an input whose ID
// is the id of the material, a hyphen and the name of the figure, such as
// "high-build-primer-volume-solids", so that all coats of one primer share its
// draws.
type Material struct {
	ID string
	// Name is what a report calls it: "high-build waterborne primer".
	Name string

	// VolumeSolids is the fraction by volume, as delivered, that stays.
	VolumeSolids uncertain.Input
	// Density as delivered and DryDensity of the dried film, in kg/m3.
	Density, DryDensity uncertain.Input
	// WaterShare is the fraction by volume of what leaves that is water.
	WaterShare uncertain.Input
	// RecommendedWetFilm of one coat in m; of a mask, its thickness.
	RecommendedWetFilm uncertain.Input
	// MaximumThinning is thinner by volume as a share of the paint.
	MaximumThinning uncertain.Input
	// Diffusion is the coefficient of water in the coalesced film near 23 C, in
	// m2/s.
	Diffusion uncertain.Input
	// Activation energy of the diffusion in J/mol: how much a warm film lets
	// more water through.
	Activation uncertain.Input
	// Packing is the volume fraction of solids at which the particles touch and
	// the liquid starts to draw back. SkinDiffusivity is that of water vapour in
	// the pores then emptied, in m2/s, and PoreClosing the time in s in which
	// they close to 1/e. TackShare is the share of the solids piled up under the
	// face at which the coat no longer takes the print of a finger.
	Packing, SkinDiffusivity, PoreClosing, TackShare uncertain.Input
	// Sorption is the water in the film at rest in air of 90 % relative
	// humidity, as a mass over that of the dry film; SorptionShape is what is in
	// it at 50 % over that at 90 %, so that no draw holds more in drier air.
	Sorption, SorptionShape uncertain.Input
	// Stiffness is Young's modulus of the film near 23 C and 50 %, in Pa;
	// PoissonRatio goes with it.
	Stiffness, PoissonRatio uncertain.Input
	// Stress is the tension in Pa of the dried film held on a rigid base, and
	// Shrinkage the strain by which it would shrink if let go. They are one
	// fact told twice: see Strain.
	Stress, Shrinkage uncertain.Input
	// Permeance to water vapour in kg/(s m2 Pa) of one dried coat of the
	// recommended film, or of a mask.
	Permeance uncertain.Input
}

// mostAt50 is the largest SorptionShape: that of a film whose uptake goes as the
// humidity.
const mostAt50 = 0.5 / 0.9

// property is one figure of a material: its name, its unit, the values any
// material can have, and where it is kept.
type property struct {
	name, unit string
	kind       quantity.Kind // Number where none fits
	low, high  float64
	in         func(*Material) *uncertain.Input
}

// properties lists the figures in the order of the struct.
func properties() []property {
	const share = uncertain.Share
	return []property{
		{"volume-solids", share, quantity.Share, 0.05, 1, func(m *Material) *uncertain.Input { return &m.VolumeSolids }},
		{"density", "kg/m3", quantity.Density, 100, 4000, func(m *Material) *uncertain.Input { return &m.Density }},
		{"dry-density", "kg/m3", quantity.Density, 800, 3000, func(m *Material) *uncertain.Input { return &m.DryDensity }},
		{"water-share", share, quantity.Share, 0, 1, func(m *Material) *uncertain.Input { return &m.WaterShare }},
		{"recommended-wet-film", "m", quantity.Film, 2.54e-6, 0.01, func(m *Material) *uncertain.Input { return &m.RecommendedWetFilm }},
		{"maximum-thinning", share, quantity.Share, 0, 1, func(m *Material) *uncertain.Input { return &m.MaximumThinning }},
		{"diffusion", "m2/s", quantity.Number, 1e-15, 1e-9, func(m *Material) *uncertain.Input { return &m.Diffusion }},
		{"activation", "J/mol", quantity.Number, 0, 100e3, func(m *Material) *uncertain.Input { return &m.Activation }},
		{"packing", share, quantity.Share, 0.3, 0.99, func(m *Material) *uncertain.Input { return &m.Packing }},
		{"skin-diffusivity", "m2/s", quantity.Number, 1e-9, 2.6e-5, func(m *Material) *uncertain.Input { return &m.SkinDiffusivity }},
		{"pore-closing", "s", quantity.Duration, 0, 100 * 86400, func(m *Material) *uncertain.Input { return &m.PoreClosing }},
		{"tack-share", share, quantity.Share, 0, 1, func(m *Material) *uncertain.Input { return &m.TackShare }},
		{"sorption", share, quantity.Share, 1e-6, 0.18, func(m *Material) *uncertain.Input { return &m.Sorption }},
		{"sorption-shape", share, quantity.Share, 0.125, mostAt50, func(m *Material) *uncertain.Input { return &m.SorptionShape }},
		{"stiffness", "Pa", quantity.Pressure, 1e5, 1e10, func(m *Material) *uncertain.Input { return &m.Stiffness }},
		{"poisson-ratio", share, quantity.Number, 0, 0.499, func(m *Material) *uncertain.Input { return &m.PoissonRatio }},
		{"stress", "Pa", quantity.Pressure, 0, 1e8, func(m *Material) *uncertain.Input { return &m.Stress }},
		{"shrinkage", share, quantity.Share, 0, 0.2, func(m *Material) *uncertain.Input { return &m.Shrinkage }},
		{"permeance", "kg/(s m2 Pa)", quantity.Number, 0, 1e-8, func(m *Material) *uncertain.Input { return &m.Permeance }},
	}
}

// Properties gives the names of the figures a shop can state, in the order of
// the struct, and the SI unit of each under the same index.
func Properties() (names, units []string) {
	for _, p := range properties() {
		names = append(names, p.name)
		units = append(units, p.unit)
	}
	return names, units
}

// Inputs gives all figures of the material, in the order of Properties.
func (m Material) Inputs() []uncertain.Input {
	var inputs []uncertain.Input
	for _, p := range properties() {
		inputs = append(inputs, *p.in(&m))
	}
	return inputs
}

// Property gives one figure by its name.
func (m Material) Property(name string) (uncertain.Input, bool) {
	for _, p := range properties() {
		if p.name == name {
			return *p.in(&m), true
		}
	}
	return uncertain.Input{}, false
}

// ErrNoSuchProperty says that a material has no figure of that name.
var ErrNoSuchProperty = errors.New("a material has no such figure")

// With gives the material with some figures replaced by a shop's own, keyed by
// the name of the figure. The ID of each becomes that of the figure it
// replaces, and an empty Unit is taken to be SI; Assumed, Spread and Source are
// the shop's. All figures that cannot be taken are reported together: an
// unknown name, a unit other than SI, an interval that uncertain.Input refuses,
// a value that no material has; the material returned then has the others.
func (m Material) With(inputs map[string]uncertain.Input) (Material, error) {
	var problems []error
	for _, name := range slices.Sorted(maps.Keys(inputs)) {
		if err := m.set(name, inputs[name]); err != nil {
			problems = append(problems, fmt.Errorf("%s: %w", m.Name, err))
		}
	}
	return m, errors.Join(problems...)
}

// set replaces one figure.
func (m *Material) set(name string, in uncertain.Input) error {
	for _, p := range properties() {
		if p.name == name {
			return p.put(m, in)
		}
	}
	names, _ := Properties()
	return fmt.Errorf("%q: %w; the figures are %s", name, ErrNoSuchProperty, strings.Join(names, ", "))
}

// put checks a figure and puts it in its place.
func (p property) put(m *Material, in uncertain.Input) error {
	in.ID = m.ID + "-" + p.name
	if in.Unit == "" {
		in.Unit = p.unit
	}
	if in.Unit != p.unit {
		return fmt.Errorf("%s is in %s, and must be in %s", p.name, in.Unit, p.unit)
	}
	if err := in.Check(); err != nil {
		return err
	}
	for _, v := range []float64{in.Low, in.High} {
		if err := p.check(v); err != nil {
			return err
		}
	}
	*p.in(m) = in
	return nil
}

// check refuses a value that no material has.
func (p property) check(v float64) error {
	name := strings.ReplaceAll(p.name, "-", " ")
	if p.kind == quantity.Number {
		return uncertain.WithinUnit(name, p.unit, v, p.low, p.high)
	}
	return uncertain.Within(name, p.kind, v, p.low, p.high)
}
