// Package film does the arithmetic of film build: from the wet film a gauge
// reads to the dry film that stays, what thinning takes from it, how far a
// gallon goes, what a notch gauge reading really says, and how many coats a
// face needs.
//
// Everything is in SI: thickness in m, solids and shares as fractions, coverage
// in m2/m3, which is 1/m. It refuses to take "thinned 10 %" without being told
// 10 % of what: see OfPaint and OfMix. It knows nothing of drying; material
// holds the figures of a kind of paint, and drying the time.
//
// It uses uncertain and quantity.
package film

import (
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// thickest is the most a film is in m, a quarter of an inch: past it nothing is
// a coat of paint.
const thickest = 0.00635

// thinnestSolids is the least volume solids: below it, it is a stain.
const thinnestSolids = 0.05

// Shop units in SI, exact; the US gallon is 231 cubic inches.
const (
	mil        = 0.0254e-3
	squareFoot = 0.3048 * 0.3048
	gallon     = 231 * 0.0254 * 0.0254 * 0.0254
)

// Source is the origin of wet-to-dry arithmetic, as results state it.
const Source = "MIL-HDBK-1110 section 2.1.5 (UFC 3-190-06), with the share of thinner"

// checkFilm refuses a film that is no coat.
func checkFilm(name string, film float64) error {
	return uncertain.Within(name, quantity.Film, film, 0, thickest)
}

// checkSolids refuses volume solids that no paint has.
func checkSolids(solids float64) error {
	return uncertain.Within("volume solids", quantity.Share, solids, thinnestSolids, 1)
}

// Dry gives the dry film in m that a wet film in m leaves, for paint of given
// volume solids (a fraction, as delivered) thinned so (nil: not thinned):
//
//	dry = wet * solids * share of paint in the mix
//
// which is wet*solids/(1+r) for thinner of r times the paint's volume
// (MIL-HDBK-1110 section 2.1.5, with the share of thinner). Range: wet 0 to
// 6.35 mm (250 mil), solids .05 to 1, thinning as its type says. Some flat
// coatings dry thicker than this, because air stays in the film (ASTM D4414
// section 4.2): a gauge reading must not be used to infer solids.
func Dry(wet, solids float64, thinning Thinning) (float64, error) {
	if err := checkFilm("wet film", wet); err != nil {
		return 0, err
	}
	if err := checkSolids(solids); err != nil {
		return 0, err
	}
	paint, err := paintIn(thinning)
	return wet * solids * paint, err
}

// Wet gives the wet film in m to lay for a dry film in m: the inverse of Dry.
// Range: dry 0 to 6.35 mm (250 mil), the rest as for Dry.
func Wet(dry, solids float64, thinning Thinning) (float64, error) {
	if err := checkFilm("dry film", dry); err != nil {
		return 0, err
	}
	if err := checkSolids(solids); err != nil {
		return 0, err
	}
	paint, err := paintIn(thinning)
	if err != nil {
		return 0, err
	}
	return dry / (solids * paint), nil
}

// Coverage gives the area in m2 that a m3 of paint as delivered covers at a dry
// film in m, nothing lost: solids/dry. Thinner adds no area. Range: dry 2.54 um
// (.1 mil) to 6.35 mm, solids .05 to 1. Rollers, overspray and cut cells take
// their part on top, on foam a large one.
func Coverage(dry, solids float64) (float64, error) {
	if err := uncertain.Within("dry film", quantity.Film, dry, mil/10, thickest); err != nil {
		return 0, err
	}
	if err := checkSolids(solids); err != nil {
		return 0, err
	}
	return solids / dry, nil
}

// SquareFeetPerGallon converts a coverage in m2/m3 to ft2 per US gallon. One
// gallon of 231 cubic inches covers 1604.17 ft2 at 1 mil.
func SquareFeetPerGallon(coverage float64) float64 { return coverage * gallon / squareFoot }

// SquareMetersPerLitre converts a coverage in m2/m3.
func SquareMetersPerLitre(coverage float64) float64 { return coverage / 1000 }
