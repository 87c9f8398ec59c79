package drying

import (
	"math"

	"filmfault/internal/physics/moistair"
)

// Beyond saturation a dried film takes no more water in; what is there stands on
// it or in its pores. Its activity then rises by steep for each share of the
// saturated content, so little that it counts as 1.
const steep = 1e-3

// coat is a layer while it is computed. Liquid water is one pool, since a
// dispersion stays mixed and pores fill from below; dissolved water has a
// profile in cells of dry film, which do not move as the film shrinks.
type coat struct {
	Material
	k, b      float64 // of the isotherm
	saturated float64 // content at activity 1

	dry  float64 // m
	mass float64 // dry film in a cell, kg/m2
	lo   int     // first cell
	hi   int     // first cell of the next coat

	wet    bool
	liquid float64 // kg/m2
	base   float64 // liquid before a stage
	kept   float64 // liquid before the step
	lost   float64 // liquid lost in this stage, kg/(m2 s)
	lost1  float64 // in the first stage
	pores  float64 // liquid that fills the packed particles' pores
	closes float64 // time from which the emptied pores close; +Inf: not yet

	start, tack float64 // total water when applied, and when tack free

	// at the present temperature and time
	film float64 // conductance between cells, by content, kg/(m2 s)
	pore float64 // the same by activity, through open pores
	skin float64 // resistance of the full skin by vapour density, s/m
}

// newCoat turns a layer into one that can be computed; its cells come later.
func newCoat(l Layer) coat {
	c := coat{Material: l.Material, dry: l.Dry, start: l.Water, closes: math.Inf(-1)}
	c.k, c.b = l.Material.Sorption.parameters()
	c.saturated = c.k / (1 - c.b)
	c.skin = l.Dry / l.Material.SkinDiffusivity
	packed := l.Dry * waterDensity * (1/l.Material.Packing - 1)
	dissolved := c.saturated * c.dryMass()
	c.pores = max(packed-dissolved, 0.01*packed)
	c.tack = l.Water - l.Material.TackShare*max(l.Water-packed, 0)
	if l.Water > dissolved*(1+1e-9) {
		c.wet, c.liquid, c.closes = true, l.Water-dissolved, math.Inf(1)
	}
	return c
}

// dryMass is the dry film in kg/m2.
func (c *coat) dryMass() float64 { return c.Density * c.dry }

// content is the water at the start of a coat without liquid, kg/kg.
func (c *coat) content() float64 {
	if c.wet {
		return c.saturated
	}
	return c.start / c.dryMass()
}

// emptySkin is the resistance in s/m of the part of a wet coat from which the
// liquid has drawn back, and how it grows as liquid leaves.
func (c *coat) emptySkin(liquid float64) (resistance, slope float64) {
	if liquid >= c.pores {
		return 0, 0
	}
	return c.skin * (1 - liquid/c.pores), c.skin / c.pores
}

// activity is the humidity a content is at equilibrium with, and its derivative.
// The isotherm goes on straight below nothing, where iterations may pass.
func (c *coat) activity(u float64) (a, slope float64) {
	switch {
	case u <= 0:
		return u / c.k, 1 / c.k
	case u >= c.saturated:
		slope = steep / c.saturated
		return 1 + (u-c.saturated)*slope, slope
	}
	d := 1 / (c.k + c.b*u)
	return u * d, c.k * d * d
}

// chord is the mean slope of the isotherm between two activities, with which
// Fick's law by content becomes one by activity.
func (c *coat) chord(a1, a2 float64) float64 {
	a1, a2 = min(max(a1, 0), 1), min(max(a2, 0), 1)
	return c.k / ((1 - c.b*a1) * (1 - c.b*a2))
}

// half is the resistance by activity from a cell's middle to its edge.
func (c *coat) half(a, edge float64) float64 {
	return 0.5 / (c.film*c.chord(a, edge) + c.pore)
}

// linear gives a cell's share in the flux to its neighbours, slope u + constant,
// about its present content.
func (c *coat) linear(u float64) (slope, constant float64) {
	if c.pore == 0 && u < c.saturated {
		return c.film, 0
	}
	a, da := c.activity(u)
	dissolved, dd := u, 1.0
	if u >= c.saturated {
		dissolved, dd = c.saturated, 0
	}
	return c.film*dd + c.pore*da, c.film*(dissolved-dd*u) + c.pore*(a-da*u)
}

// quickening is how much faster water diffuses at a film temperature t in K than
// at 23 C.
func (c *coat) quickening(t float64) float64 {
	return math.Exp(-c.Activation / gasConstant * (1/t - 1/reference))
}

// warm sets the conductances of a coat without liquid at a quickening of
// diffusion, saturation density rho in kg/m3 and time.
func (c *coat) warm(quickening, rho, now float64) {
	dx := c.dry / float64(c.hi-c.lo)
	c.film = c.Density * c.Diffusivity * quickening / dx
	c.pore = c.SkinDiffusivity * rho * c.open(now) / dx
}

// open is the share of the pores that has not closed.
func (c *coat) open(now float64) float64 {
	switch {
	case math.IsInf(c.closes, -1):
		return 0 // applied dry
	case math.IsInf(c.Closing, 1) || now <= c.closes:
		return 1
	case c.Closing == 0:
		return 0
	}
	share := math.Exp(-(now - c.closes) / c.Closing)
	if share < 1e-6 {
		return 0 // a millionth of open pores passes less than any closed film
	}
	return share
}

// draining says that coat j has no liquid left but lies on one of the same paint
// that has: coats wet together are one build, whose pores stay open until its
// lowest coat is empty. (Kiil's one diffusivity fits films of 1.3 mm to the end.)
func (r *run) draining(j int) bool {
	own := r.coats[j].Material
	for j--; j >= 0; j-- {
		c := &r.coats[j]
		switch {
		case c.Material != own:
			return false
		case c.wet:
			return true
		case !math.IsInf(c.closes, 1):
			return false
		}
	}
	return false
}

// vapourDensity at saturation in kg/m3.
func vapourDensity(t float64) (float64, error) {
	p, err := moistair.Saturation(t, moistair.OverWater)
	return p / (moistair.GasConstantVapour * t), err
}
