package material

import "filmfault/internal/uncertain"

// The ids of the generic materials.
const (
	HighBuildPrimer = "high-build-primer"
	AcrylicPaint    = "acrylic-paint"
	AlkydEnamel     = "alkyd-enamel"
	TwoPartUrethane = "two-part-urethane"
	Filler          = "filler"
	PaintMask       = "paint-mask"
	BlastMask       = "blast-mask"
)

// IDs gives the ids of the generic materials.
func IDs() []string {
	return []string{HighBuildPrimer, AcrylicPaint, AlkydEnamel, TwoPartUrethane, Filler, PaintMask, BlastMask}
}

// Generic gives a generic material by its id. Every figure is assumed and has
// a range.
func Generic(id string) (Material, bool) {
	switch id {
	case HighBuildPrimer:
		return highBuildPrimer(), true
	case AcrylicPaint:
		return acrylicPaint(), true
	case AlkydEnamel:
		return alkydEnamel(), true
	case TwoPartUrethane:
		return twoPartUrethane(), true
	case Filler:
		return filler(), true
	case PaintMask:
		return paintMask(), true
	case BlastMask:
		return blastMask(), true
	}
	return Material{}, false
}

// Where the figures come from.
const (
	practice   = "common practice, no source"
	judgement  = "judgement, no source"
	order      = "order of magnitude from memory; no published number found"
	binderless = "exact: none of what leaves it is water"
	laid       = "exact: a laid film, nothing leaves it"
	latexPerm  = "range of latex paints: builders' tests 5-6 perm dry cup, 17 wet cup; waterborne films take up most of their water within days (USDA Wood Handbook table 16-3)"
	enamelPerm = "ASHRAE Handbook of Fundamentals, enamel and primers with flat oil paint on plaster, 0.5-3 perm, from memory"
	vinylPerm  = "plasticised PVC film 4 mil, 0.8-1.4 perm, and unplasticised 2 mil, 0.68: ASHRAE Handbook of Fundamentals, from memory"
	stressLit  = "literature on latex films on rigid bases, from memory"
	modulusLit = "from memory; the modulus depends strongly on temperature, humidity and rate near the glass transition at about 20 C (Hagan and others 2009)"
)

// even is a range of which only the ends are known.
func even(low, high float64, source string) uncertain.Input {
	return uncertain.Input{Low: low, High: high, Source: source}
}

// orders is a range of which only the order of magnitude is known.
func orders(low, high float64, source string) uncertain.Input {
	return uncertain.Input{Low: low, High: high, Spread: uncertain.EvenInLog, Source: source}
}

// mils is a film in mils.
func mils(low, high float64, source string) uncertain.Input {
	return even(low*0.0254e-3, high*0.0254e-3, source)
}

// perms is a permeance in US perm.
func perms(low, high float64, source string) uncertain.Input {
	return orders(low*Perm, high*Perm, source)
}

// pores gives what is known of how a coat of particles in water closes: the
// packing and the skin of latex films, since no source has pigmented primers,
// and the time in which the emptied pores close.
func pores(m Material, closing uncertain.Input) Material {
	m.Activation = even(23e3, 28e3, "acrylic resins: Kovacs 2021, Journal of Coatings Technology and Research")
	m.Packing = even(0.66, 0.80, "about the .74 of latex films: Kiil 2006, Progress in Organic Coatings 57, 236-250")
	m.SkinDiffusivity = orders(3.5e-7, 14e-7, "a factor of two about 7e-7 m2/s of latex films: Kiil 2006, Progress in Organic Coatings 57, 236-250")
	m.TackShare = even(0.5, 0.9, judgement)
	m.PoreClosing = closing
	return m
}

// hours is a time in hours.
func hours(low, high float64, source string) uncertain.Input {
	return even(low*3600, high*3600, source)
}

// fixed is a figure that follows from what the material is.
func fixed(value float64, source string) uncertain.Input { return even(value, value, source) }

// assumed names the figures of a material after it, in their units, and marks
// them as assumed.
func assumed(m Material) Material {
	for _, p := range properties() {
		in := p.in(&m)
		in.ID, in.Unit, in.Assumed = m.ID+"-"+p.name, p.unit, true
	}
	return m
}

// highBuildPrimer is the waterborne primer that fills the cut cells.
func highBuildPrimer() Material {
	return assumed(pores(Material{
		ID: HighBuildPrimer, Name: "high-build waterborne primer",
		VolumeSolids:       even(0.45, 0.60, practice),
		Density:            even(1150, 1400, judgement),
		DryDensity:         even(1300, 1700, judgement),
		WaterShare:         even(0.93, 0.99, judgement+"; the rest is what helps the film to form"),
		RecommendedWetFilm: mils(8, 12, practice),
		MaximumThinning:    even(0.02, 0.03, practice+"; on foam"),
		Diffusion:          orders(1e-13, 1e-11, order),
		Sorption:           even(0.015, 0.06, order),
		SorptionShape:      even(0.20, 1.0/3, order),
		Stiffness:          orders(10e6, 1500e6, modulusLit),
		PoissonRatio:       even(0.30, 0.45, judgement),
		Stress:             orders(0.1e6, 2e6, stressLit),
		Shrinkage:          orders(2e-4, 1e-2, judgement+", from stress and stiffness"),
		Permeance:          perms(2, 30, latexPerm),
	}, orders(1*3600, 16*3600, judgement)))
}

// acrylicPaint is waterborne colour.
func acrylicPaint() Material {
	return assumed(pores(Material{
		ID: AcrylicPaint, Name: "acrylic paint",
		VolumeSolids:       even(0.30, 0.45, practice),
		Density:            even(1100, 1350, judgement),
		DryDensity:         even(1200, 1600, judgement),
		WaterShare:         even(0.90, 0.98, judgement+"; the rest is what helps the film to form"),
		RecommendedWetFilm: mils(3, 6, practice),
		MaximumThinning:    even(0.05, 0.10, judgement),
		Diffusion:          orders(1e-13, 1e-11, order),
		Sorption:           even(0.015, 0.06, order),
		SorptionShape:      even(0.20, 1.0/3, order),
		Stiffness:          orders(10e6, 1500e6, modulusLit),
		PoissonRatio:       even(0.30, 0.45, judgement),
		Stress:             orders(0.1e6, 2e6, stressLit),
		Shrinkage:          orders(2e-4, 1e-2, judgement+", from stress and stiffness"),
		Permeance:          perms(2, 30, latexPerm),
	}, hours(0, 1, judgement+"; its binder outweighs its pigment")))
}

// alkydEnamel is solvent-borne sign enamel.
func alkydEnamel() Material {
	return assumed(pores(Material{
		ID: AlkydEnamel, Name: "alkyd enamel",
		VolumeSolids:       even(0.40, 0.60, judgement),
		Density:            even(950, 1250, judgement),
		DryDensity:         even(1100, 1500, judgement),
		WaterShare:         fixed(0, binderless),
		RecommendedWetFilm: mils(2, 4, practice),
		MaximumThinning:    even(0.05, 0.10, judgement),
		Diffusion:          orders(1e-13, 5e-12, order),
		Sorption:           even(0.005, 0.025, order),
		SorptionShape:      even(0.20, 0.45, order),
		Stiffness:          orders(50e6, 2000e6, modulusLit),
		PoissonRatio:       even(0.30, 0.45, judgement),
		Stress:             orders(0.1e6, 3e6, order),
		Shrinkage:          orders(2e-4, 1e-2, judgement+", from stress and stiffness"),
		Permeance:          perms(0.5, 3, enamelPerm),
	}, fixed(0, binderless)))
}

// twoPartUrethane is solvent-borne finish that cures by reaction.
func twoPartUrethane() Material {
	return assumed(pores(Material{
		ID: TwoPartUrethane, Name: "two-part urethane",
		VolumeSolids:       even(0.40, 0.65, judgement),
		Density:            even(1000, 1350, judgement),
		DryDensity:         even(1150, 1500, judgement),
		WaterShare:         fixed(0, binderless),
		RecommendedWetFilm: mils(2, 4, practice),
		MaximumThinning:    even(0.05, 0.15, judgement),
		Diffusion:          orders(1e-14, 1e-12, order),
		Sorption:           even(0.005, 0.025, order),
		SorptionShape:      even(0.25, 0.50, order),
		Stiffness:          orders(500e6, 2500e6, order),
		PoissonRatio:       even(0.30, 0.42, judgement),
		Stress:             orders(0.2e6, 3e6, order+"; epoxies change by 0.2-0.6 MPa with cure (Li, Weinell, Kiil 2022)"),
		Shrinkage:          orders(2e-4, 5e-3, judgement+", from stress and stiffness"),
		Permeance:          perms(0.3, 2, judgement+"; tighter than alkyd by the moisture exclusion of USDA Wood Handbook table 16-3"),
	}, fixed(0, binderless)))
}

// filler is a waterborne paste; one that cures by reaction has a water share
// of 0, which the shop can state.
func filler() Material {
	return assumed(pores(Material{
		ID: Filler, Name: "waterborne filler",
		VolumeSolids:       even(0.55, 0.80, judgement),
		Density:            even(1200, 1800, judgement),
		DryDensity:         even(1300, 2000, judgement),
		WaterShare:         even(0.95, 1, judgement),
		RecommendedWetFilm: mils(20, 125, practice+"; a lift of no more than 1/8 in"),
		MaximumThinning:    fixed(0, practice+"; a paste is not thinned"),
		Diffusion:          orders(1e-13, 1e-10, order),
		Sorption:           even(0.005, 0.04, order),
		SorptionShape:      even(0.20, 1.0/3, order),
		Stiffness:          orders(100e6, 5000e6, order),
		PoissonRatio:       even(0.20, 0.40, judgement),
		Stress:             orders(0.05e6, 2e6, order),
		Shrinkage:          orders(2e-4, 1e-2, judgement+", from stress and stiffness"),
		Permeance:          perms(2, 50, order),
	}, orders(1*3600, 24*3600, judgement)))
}

// paintMask is the thin adhesive film that is cut and painted over.
func paintMask() Material {
	return assumed(pores(Material{
		ID: PaintMask, Name: "paint mask",
		VolumeSolids:       fixed(1, laid),
		Density:            even(1200, 1400, "plasticised PVC, from memory"),
		DryDensity:         even(1200, 1400, "plasticised PVC, from memory"),
		WaterShare:         fixed(0, laid),
		RecommendedWetFilm: mils(2, 5, practice),
		MaximumThinning:    fixed(0, laid),
		Diffusion:          orders(1e-13, 1e-11, order),
		Sorption:           even(0.001, 0.005, order),
		SorptionShape:      even(0.20, 0.50, order),
		Stiffness:          orders(20e6, 500e6, order),
		PoissonRatio:       even(0.35, 0.45, judgement),
		Stress:             orders(0.01e6, 0.5e6, order),
		Shrinkage:          orders(1e-4, 2e-2, judgement),
		Permeance:          perms(0.5, 1.6, vinylPerm),
	}, fixed(0, laid)))
}

// blastMask is the thick rubbery stencil that turns grit.
func blastMask() Material {
	return assumed(pores(Material{
		ID: BlastMask, Name: "blast mask",
		VolumeSolids:       fixed(1, laid),
		Density:            even(1000, 1400, order),
		DryDensity:         even(1000, 1400, order),
		WaterShare:         fixed(0, laid),
		RecommendedWetFilm: mils(15, 45, practice),
		MaximumThinning:    fixed(0, laid),
		Diffusion:          orders(1e-13, 1e-11, order),
		Sorption:           even(0.001, 0.01, order),
		SorptionShape:      even(0.20, 0.50, order),
		Stiffness:          orders(1e6, 50e6, order),
		PoissonRatio:       even(0.45, 0.495, judgement),
		Stress:             orders(0.001e6, 0.1e6, order),
		Shrinkage:          orders(1e-4, 2e-2, judgement),
		Permeance:          perms(0.03, 0.8, "vinyl film of the same thickness in proportion, from memory: "+vinylPerm),
	}, fixed(0, laid)))
}
