package cli

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"filmfault/internal/physics/blister"
	"filmfault/internal/physics/film"
	"filmfault/internal/physics/material"
	"filmfault/internal/physics/sunheat"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Sources of the figures that have none of their own.
const (
	skySource   = "clear sky of ASHRAE Handbook of Fundamentals 1997 and 2013"
	peakSource  = "sun's place by Cooper 1969"
	boundSource = "heat build-up published for black, ASTM D4803-10"
	underSource = "saturation pressures over water; ideal gas"
	spotSource  = "clamped plate and Hencky membrane, loads added; energy release by constant shape"
)

// clearSky is the share of the published clear sky's sunlight that falls: the
// sky is good to 15 % either way.
func clearSky() uncertain.Input {
	return uncertain.Input{ID: "clear-sky", Low: 0.85, High: 1.15, Unit: "times the published clear sky", Assumed: true,
		Source: "haze and height of the place; nothing stands before the sun"}
}

// shine computes how hot the sun makes the face.
func (o *sunOptions) shine(p *sunPage) error {
	face, err := o.painted(p)
	if err != nil {
		return err
	}
	w, err := o.when(p, face.Facing)
	if err != nil {
		return err
	}
	by, list, err := read(o.flags, "air", "wind")
	if err != nil {
		return err
	}
	weather := sunheat.Weather{Air: by["air"], Wind: by["wind"], Clear: clearSky()}
	p.inputs = append(append(p.inputs, list...), input{weather.Clear, quantity.Number})
	h, err := sunheat.Heated(w.Moment, face, weather, p.draws)
	if err != nil {
		return err
	}
	p.hot = h.Values
	sky := []string{"tilt", "day", "solar-hour", "clear-sky"}
	if o.hour.given {
		sky = append(sky, "zone")
	}
	p.rest(assumedOf(p.inputs, sky...)...)
	if err := p.light(h, weather); err != nil {
		return err
	}
	p.rest(h.Temperature.Assumed...)
	if err := p.heat(h, face); err != nil {
		return err
	}
	if err := o.tellHours(p, w); err != nil {
		return err
	}
	p.tellBound(h)
	if !o.flags["absorptance"].given {
		p.notes = append(p.notes, "The colour stands for how much sunlight is taken up. What the eye or a light reflectance tells misses the infrared, half of the sun's heat: measure when it matters, with --absorptance or, on the face itself, --surface.")
	}
	o.warn(p)
	return nil
}

// light puts the sunlight on the page.
func (p *sunPage) light(h sunheat.Heat, w sunheat.Weather) error {
	r, err := p.draws.Run(uncertain.Formula{Of: func(v []float64) (float64, error) { return h.Irradiance * v[0], nil }}, w.Clear)
	p.add("sunlight on the face", r.Value, "W/m2", quantity.Number, skySource)
	return err
}

// heat puts the temperatures on the page.
func (p *sunPage) heat(h sunheat.Heat, face sunheat.Face) error {
	over := make([]float64, len(h.Values))
	for i, t := range h.Values {
		over[i] = t - h.Air[i]
	}
	p.add("face temperature", h.Temperature.Value, "K", quantity.Temperature, h.Temperature.Source)
	p.add("face over the air", uncertain.Summarise(over), "K", quantity.TemperatureDifference, h.Temperature.Source)
	most, err := sunheat.Bound(face.Facing.Tilt, 1)
	p.results = append(p.results, measured{uncertain.Result{Name: "most that black was published to be over the air, so tilted",
		Value: exactly(most), Unit: "K", Source: boundSource}, quantity.TemperatureDifference})
	return err
}

// exactly is a range of one value.
func exactly(v float64) uncertain.Range { return uncertain.Range{Mid: v, Low: v, High: v} }

// tellHours titles the page and says when to read sun heat.
func (o *sunOptions) tellHours(p *sunPage, w when) error {
	look := "level face"
	if o.facing.given {
		look = "face looking " + o.facing.value.words
	}
	if c := o.colour.value; c != "" {
		look = c + " " + look
	}
	p.title = fmt.Sprintf("Sun on a %s, %s, %s by the sun", look, o.day.value.words, clock(w.Hour))
	if w.most == 0 {
		p.notes = append(p.notes, "The sun does not rise there on that day: the face is as warm as the air makes it.")
		return nil
	}
	sun, err := sunheat.Position(w.Latitude, w.Day, w.Hour)
	if err != nil {
		return err
	}
	if sun.Altitude <= 0 {
		p.notes = append(p.notes, "The sun is down at that hour: the face is as warm as the air makes it.")
	}
	onClock := ""
	if w.known {
		h, err := w.clock(w.Day, w.peak)
		if err != nil {
			return err
		}
		onClock = ", " + clock(h) + " on the clock"
	}
	p.results = append(p.results, measured{uncertain.Result{Name: "peak hour of this face", Value: exactly(w.peak), Unit: "h by the sun",
		Assumed: assumedOf(p.inputs, "day", "tilt"), Source: peakSource}, quantity.Number})
	p.notes = append(p.notes, fmt.Sprintf("Read sun heat when this face peaks: %s by the sun (noon is when it stands highest)%s.", clock(w.peak), onClock))
	return nil
}

// tellBound says that and how far the published rise caps what was computed.
func (p *sunPage) tellBound(h sunheat.Heat) {
	upright, _ := sunheat.Bound(90*sunheat.Degree, 1) // in range
	level, _ := sunheat.Bound(0, 1)
	warm := func(k float64) string { return quantity.Format(quantity.TemperatureDifference, k, p.units) }
	capped := "it did not come into play here"
	switch {
	case h.Capped >= 0.995:
		capped = "here it sets the figure throughout"
	case h.Capped > 0:
		capped = fmt.Sprintf("here it sets the figure in %.0f %% of the range", max(100*h.Capped, 1))
	}
	p.notes = append(p.notes, fmt.Sprintf("The heat build-up published for black caps the face: never more than %s above the air upright and %s level to 45 degrees, less in proportion for lighter colours; %s.",
		warm(upright), warm(level), capped))
}

// press computes what the heat makes under the film.
func (o *sunOptions) press(p *sunPage) error {
	by, list, err := read(o.flags, "closed-at")
	if err != nil {
		return err
	}
	p.inputs = append(p.inputs, list...)
	const nothing = "The face is no hotter than when the film closed: nothing presses from below."
	if slices.Max(p.hot) <= by["closed-at"].Low {
		p.notes = append(p.notes, nothing)
		return nil
	}
	under, err := sunheat.Under(by["closed-at"], p.hot, p.draws)
	if err != nil {
		return err
	}
	p.rest(uncertain.Assumed(by["closed-at"])...)
	p.add("rise of the vapour pressure under the film", under.Vapour, "Pa", quantity.Pressure, underSource)
	p.add("pressure of a sealed pocket, at most", under.Pocket, "Pa", quantity.Pressure, underSource)
	p.notes = append(p.notes, "The pocket pressure is an upper bound: a blister grows, and leaks.")
	if under.Pocket.High <= 0 {
		p.notes = append(p.notes, nothing)
		return nil
	}
	return o.raise(p, under)
}

// raise computes which weak spots the pressures may make grow.
func (o *sunOptions) raise(p *sunPage, under sunheat.Pressures) error {
	spot, err := o.spot(p)
	if err != nil {
		return err
	}
	p.rest(uncertain.Assumed(spot.Thickness, spot.Stiffness, spot.Poisson, spot.Bond)...)
	wide := false
	for _, by := range []struct {
		name   string
		values []float64
	}{{"by the vapour", under.VapourValues}, {"by the pocket", under.PocketValues}} {
		across, err := smallest(spot, by.values, p.draws)
		if err != nil {
			return err
		}
		wide = wide || across.High >= widest
		p.add("smallest weak spot that may grow "+by.name+", across", twoDigits(across, p.units), "m", quantity.Length, spotSource)
	}
	sound := spot
	sound.Radius = uncertain.Input{ID: "sound-spot", Low: 0.5e-3, High: 1e-3, Unit: "m"}
	growth, err := sound.Against(under.PocketValues, p.draws)
	if err != nil {
		return err
	}
	p.notes = append(p.notes, "A sound spot of 1-2 mm "+growth.Verdict()+".",
		"A spot that size may grow if it is weak; no size says yes or no. The energy that opens the bond is known to a factor of a hundred, and a hot film is softer than the stiffness assumed here, which lets smaller spots grow.")
	if wide {
		p.notes = append(p.notes, quantity.Format(quantity.Length, twoDigits(uncertain.Range{Mid: widest}, p.units).Mid, p.units)+" across stands for that or more: wider than a sign has room for.")
	}
	return nil
}

// spot gives a weak spot without its size, and puts what it rests on on the
// page.
func (o *sunOptions) spot(p *sunPage) (blister.Spot, error) {
	primer, _ := material.Generic(material.HighBuildPrimer) // the id is the package's own
	s := blister.Spot{Stiffness: primer.Stiffness, Poisson: primer.PoissonRatio, Bond: blister.FreshBond()}
	by, _, err := read(o.flags, "film")
	if err != nil {
		return s, err
	}
	if typed := strings.ToLower(o.flags["film"].value.Typed); strings.Contains(typed, "wet") || strings.Contains(typed, "wft") {
		return s, usagef("--film is the dry film; `filmfault calc film` gives it from the wet one")
	}
	s.Thickness = by["film"]
	if s.Thickness.ID == "" {
		if s.Thickness, err = usualFilm(p.draws); err != nil {
			return s, err
		}
	}
	p.inputs = append(p.inputs, input{s.Thickness, quantity.Film}, input{s.Stiffness, quantity.Pressure},
		input{s.Poisson, quantity.Number}, input{s.Bond, quantity.Number})
	return s, nil
}

// usualFilm is the dry film of two coats of primer and two of paint, by the
// generic figures of both.
func usualFilm(d uncertain.Draws) (uncertain.Input, error) {
	var coats []film.Coat
	var names []string
	for _, id := range []string{material.HighBuildPrimer, material.AcrylicPaint} {
		m, _ := material.Generic(id) // the ids are the package's own
		coat := film.Coat{Wet: m.RecommendedWetFilm, Solids: m.VolumeSolids}
		coats, names = append(coats, coat, coat), append(names, m.Name)
	}
	r, err := film.Build(d, coats, uncertain.Exact("sanded-off", 0, "m", "none"))
	return uncertain.Input{ID: "film", Low: r.Value.Low, High: r.Value.High, Unit: "m", Assumed: true,
		Source: "two coats each of " + strings.Join(names, " and ") + ", generic figures"}, err
}

// widest is the largest spot across that is looked for, in m: 6 ft.
const widest = 1.8288

// smallest gives how far across in m the smallest spot is that pressures in Pa,
// one a draw, make grow. Half the draws are taken at a time: this is what the
// command waits for.
func smallest(s blister.Spot, pressures []float64, d uncertain.Draws) (uncertain.Range, error) {
	across := make([]float64, len(pressures))
	grow := func(from, to int) error {
		for i := from; i < to; i++ {
			f := blister.Film{Stiffness: d.Value(s.Stiffness, i), Poisson: d.Value(s.Poisson, i), Thickness: d.Value(s.Thickness, i)}
			radius, err := f.Grown(pressures[i], d.Value(s.Bond, i))
			if err != nil {
				return err
			}
			across[i] = min(2*radius, widest)
		}
		return nil
	}
	var late error
	var others sync.WaitGroup
	half := len(pressures) / 2
	others.Go(func() { late = grow(half, len(pressures)) })
	err := grow(0, half)
	others.Wait()
	if err == nil {
		err = late
	}
	return uncertain.Summarise(across), err
}
