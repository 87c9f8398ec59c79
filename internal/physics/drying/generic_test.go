package drying

// HighBuildPrimer has the middle values of a waterborne high-build primer that
// sands to powder, assumed but for what latex films were measured to do (Kiil
// 2006; activation of acrylic resins: Kovacs 2021).
func HighBuildPrimer() Material {
	return Material{
		Density: 1500, Diffusivity: 1e-12, Activation: 25e3, Sorption: Sorption{At50: 0.01, At90: 0.03},
		SkinDiffusivity: 7e-7, Packing: 0.74, TackShare: 0.7, Closing: 4 * 3600,
	}
}

// AcrylicPaint has the middle values of a waterborne acrylic paint: a lighter
// film whose pores close within the hour.
func AcrylicPaint() Material {
	m := HighBuildPrimer()
	m.Density, m.Closing = 1300, 1800
	return m
}
