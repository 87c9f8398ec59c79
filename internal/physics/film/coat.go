package film

import (
	"errors"
	"fmt"
	"math"

	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Thinned is a thinning that is known as an interval: PaintShare or MixShare.
type Thinned interface {
	// share is the interval.
	share() uncertain.Input
	// at gives the thinning for one value of it.
	at(share float64) Thinning
}

// PaintShare is an interval of OfPaint.
type PaintShare struct{ uncertain.Input }

func (p PaintShare) share() uncertain.Input { return p.Input }
func (p PaintShare) at(v float64) Thinning  { return OfPaint(v) }

// MixShare is an interval of OfMix.
type MixShare struct{ uncertain.Input }

func (m MixShare) share() uncertain.Input { return m.Input }
func (m MixShare) at(v float64) Thinning  { return OfMix(v) }

// Coat is one coat as laid.
type Coat struct {
	// Wet film in m, Solids by volume as a fraction.
	Wet, Solids uncertain.Input
	// Thinning may be nil: not thinned.
	Thinning Thinned
}

// inputs are the inputs of the coat, in the order formulas take them.
func (c Coat) inputs() []uncertain.Input {
	if c.Thinning == nil {
		return []uncertain.Input{c.Wet, c.Solids}
	}
	return []uncertain.Input{c.Wet, c.Solids, c.Thinning.share()}
}

// dry is Dry on values in the order of inputs.
func (c Coat) dry(v []float64) (float64, error) {
	if c.Thinning == nil {
		return Dry(v[0], v[1], Unthinned)
	}
	return Dry(v[0], v[1], c.Thinning.at(v[2]))
}

// Dry gives the dry film of the coat in m as a range.
func (c Coat) Dry(d uncertain.Draws) (uncertain.Result, error) {
	return d.Run(uncertain.Formula{Name: "dry film", Unit: "m", Source: Source, Of: c.dry}, c.inputs()...)
}

// Coverage gives the area in m2 that a m3 of the paint as delivered covers with
// this coat, as a range.
func (c Coat) Coverage(d uncertain.Draws) (uncertain.Result, error) {
	return d.Run(uncertain.Formula{
		Name: "coverage", Unit: "m2/m3", Source: Source,
		Of: func(v []float64) (float64, error) {
			dry, err := c.dry(v)
			if err != nil {
				return 0, err
			}
			return Coverage(dry, v[1])
		},
	}, c.inputs()...)
}

// ErrNoCoats says that a face has no coats to add up.
var ErrNoCoats = errors.New("the face has no coats")

// Build gives the dry film in m of the coats of one face together, less what
// was sanded off in m, as a range. Coats that share an input by its id, such as
// the solids of one primer, share its draws, so that their errors add up. A
// draw in which more is sanded off than is there leaves none.
func Build(d uncertain.Draws, coats []Coat, sanded uncertain.Input) (uncertain.Result, error) {
	if len(coats) == 0 {
		return uncertain.Result{}, ErrNoCoats
	}
	var inputs []uncertain.Input
	for _, c := range coats {
		inputs = append(inputs, c.inputs()...)
	}
	inputs = append(inputs, sanded)
	return d.Run(uncertain.Formula{
		Name: "dry film of the face", Unit: "m", Source: Source,
		Of: func(v []float64) (float64, error) { return build(coats, v) },
	}, inputs...)
}

// build adds up the coats for one draw; the last value is what was sanded off.
func build(coats []Coat, v []float64) (float64, error) {
	sum, next := 0.0, 0
	for i, c := range coats {
		n := len(c.inputs())
		dry, err := c.dry(v[next : next+n])
		if err != nil {
			return 0, fmt.Errorf("coat %d: %w", i+1, err)
		}
		sum, next = sum+dry, next+n
	}
	if err := checkFilm("film sanded off", v[next]); err != nil {
		return 0, err
	}
	return max(sum-v[next], 0), nil
}

// Coats gives the number of coats of given dry film in m that reach a target
// dry film in m: the quotient rounded up. Range: target 0 to 6.35 mm (250 mil),
// each 2.54 um (.1 mil) to 6.35 mm.
func Coats(target, each float64) (int, error) {
	if err := checkFilm("dry film wanted", target); err != nil {
		return 0, err
	}
	if err := uncertain.Within("dry film of a coat", quantity.Film, each, mil/10, thickest); err != nil {
		return 0, err
	}
	const rounding = 1e-9
	return int(math.Ceil(target/each - rounding)), nil
}

// CoatsFor gives the number of coats like this one that a face needs for a
// target dry film in m, as a range.
func (c Coat) CoatsFor(d uncertain.Draws, target float64) (uncertain.Result, error) {
	return d.Run(uncertain.Formula{
		Name: "coats per face", Source: Source,
		Of: func(v []float64) (float64, error) {
			dry, err := c.dry(v)
			if err != nil {
				return 0, err
			}
			n, err := Coats(target, dry)
			return float64(n), err
		},
	}, c.inputs()...)
}
