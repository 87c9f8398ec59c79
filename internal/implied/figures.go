package implied

import (
	"fmt"

	"filmfault/internal/joblog"
	"filmfault/internal/physics/material"
	"filmfault/internal/quantity"
	"filmfault/internal/replay"
	"filmfault/internal/rulebase"
	"filmfault/internal/uncertain"
)

// figures lists what was computed for a page: the water at each check and how
// likely it was too much.
func (l *Log) figures() {
	for i, c := range l.Outcome.Checks {
		name, assumed := l.name(c), l.assumed(c.Time)
		l.Figures = append(l.Figures, Figure{
			Name: "water in the " + name + ", above what it holds when dry", Short: name, Minor: c.Kind == joblog.Sand, Value: uncertain.Summarise(l.Outcome.Excess[i]),
			Unit: uncertain.Share, Kind: quantity.Share, Assumed: assumed,
		})
		calculation, ok := l.base.CalculationOf(computesOf(c.Layer))
		if !ok {
			continue
		}
		lim := limit(calculation)
		chances := make([]float64, l.Outcome.Draws.Len())
		for s, x := range l.Outcome.Excess[i] {
			chances[s] = lim.Below(x)
		}
		r := uncertain.Summarise(chances)
		r.Mid = mean(chances)
		l.Figures = append(l.Figures, Figure{
			Name: "chance that the " + name + " was too wet for it", Value: r, Unit: uncertain.Share, Kind: quantity.Share,
			Label: band(r.Mid), Assumed: assumed,
		})
	}
	if l.bend != nil {
		l.Figures = append(l.Figures, Figure{
			Name: "bend of the panel by its coats, over 4 ft" + hollow(l.bend), Short: "bend", Value: uncertain.Summarise(l.bend), Unit: "m",
			Kind: quantity.Length, Assumed: l.assumedOfBow(),
		})
	}
}

// computesOf is the calculation whose limit a film is held against.
func computesOf(l replay.Layer) string {
	if l == replay.Primer {
		return rulebase.ClosingPrimer
	}
	return rulebase.ClosingColour
}

// hollow says which face the coats pull hollow.
func hollow(bend []float64) string {
	r := uncertain.Summarise(bend)
	switch {
	case r.Low > 0:
		return ", hollow towards the front"
	case r.High < 0:
		return ", hollow towards the back"
	}
	return ""
}

// name says which film and when.
func (l *Log) name(c replay.Check) string {
	what := map[joblog.Kind]string{
		joblog.Coat: "painted over", joblog.MaskOn: "masked", joblog.Wrap: "wrapped", joblog.Graphics: "covered with graphics",
		joblog.Next: "closed over", joblog.Sand: "sanded", joblog.Sun: "put in sun", joblog.Hang: "hung",
	}[c.Kind]
	return fmt.Sprintf("%s when %s (%s, %s)", c.Layer, what, l.faces(c.Face), l.Job.Log.Clock(c.Time).Format("2006-01-02 15:04"))
}

// faces names the face of a check; both where they were treated alike.
func (l *Log) faces(f joblog.Face) string {
	if len(l.Job.Faces()) == 1 && len(l.Job.Log.Coats(joblog.Front)) > 0 && len(l.Job.Log.Coats(joblog.Back)) > 0 {
		return "both faces"
	}
	return f.String()
}

// assumed lists the inputs of a check at a time that nobody stated: those of every
// replay, and of what had been done by then.
func (l *Log) assumed(until float64) []string {
	list := append(l.Job.Assumes(), l.Job.Log.Panel.Along, l.Job.Log.Panel.Across)
	for _, s := range l.Job.Log.Steps {
		if s.When.Mid() >= until {
			break
		}
		list = append(list, s.WetFilm, s.Thinner, s.Speed, s.Depth)
		list = append(list, s.When.Waits...)
		if s.Kind == joblog.MaskOn {
			list = append(list, l.Job.Log.Materials[s.Material].Permeance)
		}
		if s.Kind == joblog.Coat {
			list = append(list, dryingInputs(l.Job.Log.Materials[s.Material])...)
		}
	}
	return uncertain.Assumed(list...)
}

// assumedOfBow lists those of the bow.
func (l *Log) assumedOfBow() []string {
	b := l.board()
	list := []uncertain.Input{b.Thickness, b.Density}
	for _, s := range l.Job.Log.Steps {
		if s.Kind == joblog.Coat {
			m := l.Job.Log.Materials[s.Material]
			list = append(list, s.WetFilm, s.Thinner, m.VolumeSolids, m.Stiffness, m.PoissonRatio, m.Stress)
		}
	}
	return uncertain.Assumed(list...)
}

// dryingInputs are the figures of a material that a replay draws.
func dryingInputs(m material.Material) []uncertain.Input {
	return []uncertain.Input{
		m.VolumeSolids, m.WaterShare, m.DryDensity, m.Diffusion, m.Activation, m.Sorption, m.SorptionShape, m.SkinDiffusivity,
		m.Packing, m.TackShare, m.PoreClosing,
	}
}
