package film

import (
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Thinning is what was added to the paint, said so that it can be understood
// in one way only: OfPaint or OfMix. 10 % leaves .909 of the film by the first
// and .9 by the second.
type Thinning interface {
	// PaintInMix is the share by volume of the mix that is paint as delivered.
	PaintInMix() (float64, error)
}

// mostThinner is the most thinner, for each volume of paint, that is still
// paint: twice as much.
const mostThinner = 2

// OfPaint is thinner by volume as a share of the paint: a pint to a gallon is
// 1/8. Range: 0 to 2.
type OfPaint float64

// PaintInMix is 1/(1+r).
func (r OfPaint) PaintInMix() (float64, error) {
	if err := uncertain.WithinUnit("thinner for each part of paint", "parts", float64(r), 0, mostThinner); err != nil {
		return 0, err
	}
	return 1 / (1 + float64(r)), nil
}

// OfMix is thinner by volume as a share of the finished mix: a pint in a gallon
// of mix is 1/8. Range: 0 to 2/3.
type OfMix float64

// PaintInMix is 1-r.
func (r OfMix) PaintInMix() (float64, error) {
	const most = mostThinner / (1.0 + mostThinner)
	if err := uncertain.Within("thinner in the mix", quantity.Share, float64(r), 0, most); err != nil {
		return 0, err
	}
	return 1 - float64(r), nil
}

// Unthinned is paint as delivered.
const Unthinned = OfPaint(0)

// paintIn is PaintInMix, and 1 for no thinning.
func paintIn(t Thinning) (float64, error) {
	if t == nil {
		return 1, nil
	}
	return t.PaintInMix()
}

// AsOfPaint restates a thinning as a share of the paint: (1-m)/m for paint of
// share m in the mix.
func AsOfPaint(t Thinning) (OfPaint, error) {
	m, err := paintIn(t)
	if err != nil {
		return 0, err
	}
	return OfPaint((1 - m) / m), nil
}

// Band is how far a primer for foam was thinned.
type Band int

const (
	// NormallyThinned is up to 3 % of the paint.
	NormallyThinned Band = iota
	// MuchThinned is over 3 to 10 %.
	MuchThinned
	// OverThinned is above 10 %: too much on foam, whatever the same primer
	// takes on other stock (up to about 45 %).
	OverThinned
)

// String gives the band in a sign maker's words.
func (b Band) String() string {
	switch b {
	case NormallyThinned:
		return "normal for foam"
	case MuchThinned:
		return "much for foam"
	}
	return "too much for foam: the dry film is thin"
}

// BandOf says how far high-build primer was thinned, for foam. Common practice,
// no source. Range: that of the thinning.
func BandOf(t Thinning) (Band, error) {
	r, err := AsOfPaint(t)
	const rounding = 1e-9
	switch {
	case err != nil:
		return 0, err
	case r <= 0.03+rounding:
		return NormallyThinned, nil
	case r <= 0.10+rounding:
		return MuchThinned, nil
	}
	return OverThinned, nil
}
