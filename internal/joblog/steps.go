package joblog

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/physics/film"
	"filmfault/internal/physics/material"
	"filmfault/internal/quantity"
	"filmfault/internal/source"
	"filmfault/internal/uncertain"
)

// What stands in where the log is silent. Common practice, no source.
const (
	practice = "common practice, no source"
	fanLow   = 200 * fpm
	fanHigh  = 600 * fpm
	sandLow  = 0.5 * mil
	sandHigh = 1.5 * mil
	fpm      = 0.3048 / 60
	mil      = 25.4e-6
)

// parse reads a figure; "" is not stated.
func (r *reader) parse(id string, k quantity.Kind, text, unit string, span source.Span) (uncertain.Input, bool) {
	q, err := quantity.Parse(k, text, unit)
	if err != nil {
		summary, remedy := err.Error(), "a figure such as "+k.Example()
		var bad *quantity.ParseError
		if errors.As(err, &bad) {
			summary, remedy = fmt.Sprintf("%q: %s", bad.Text, bad.Problem), bad.Remedy
		}
		r.fail(span, "value", summary, remedy)
		return uncertain.Input{}, false
	}
	if _, most := k.Plausible(); !q.IsExact() && q.High >= most {
		r.fail(span, "value", fmt.Sprintf("%q has no upper end, and how much decides here", text), "both ends, such as "+k.Example()+", or 12-16 h for a time")
		return uncertain.Input{}, false
	}
	return uncertain.Input{ID: id, Low: q.Low, High: q.High, Unit: k.Base(), Source: "stated"}, true
}

func (r *reader) wait(id, text string, span source.Span) (uncertain.Input, bool) {
	return r.parse(id, quantity.Duration, text, "h", span)
}

// assumed is an input nobody stated.
func assumed(id string, low, high float64, unit string) uncertain.Input {
	return uncertain.Input{ID: id, Low: low, High: high, Unit: unit, Assumed: true, Source: practice}
}

// coats turns the coats of the case into steps.
func (r *reader) coats() {
	var before *Step
	last := map[Face]float64{}
	for i := range r.c.Coats {
		c := &r.c.Coats[i]
		r.line = fmt.Sprintf("coat %d", i+1)
		if IsBare(c.Material) {
			r.log.Bare = append(r.log.Bare, r.faces(c.Face, c.SpanOf("face"))...)
			continue
		}
		s, ok := r.coat(c, i+1, before)
		if !ok {
			return // the times that follow may count from this one
		}
		for _, f := range s.Faces {
			if t, again := last[f]; again && s.When.Mid() < t {
				r.fail(c.SpanOf("start"), "order", fmt.Sprintf("this coat on the %s starts before the one above it", f), "the coats of a face in order of time, each with its date")
			}
			last[f] = s.When.Mid()
		}
		r.log.Steps = append(r.log.Steps, s)
		r.fanAt(c, s.When)
		before = &s
	}
}

// IsBare reports whether the material of a coat says that the face got none.
func IsBare(material string) bool {
	return slices.Contains([]string{"none", "bare", "no coat", "nothing"}, strings.ToLower(strings.TrimSpace(material)))
}

func (r *reader) coat(c *casefile.Coat, n int, before *Step) (Step, bool) {
	s := Step{Kind: Coat, Faces: r.faces(c.Face, c.SpanOf("face")), Note: c.Note, Span: c.Span, line: n}
	if c.Face == "" {
		r.note("Coat %d states no face: it is taken to be on both.", n)
	}
	text := c.Material
	if text == "" {
		text = "primer"
		r.note("Coat %d states no material: it is taken for primer.", n)
	}
	if s.Material = r.material(text, c.SpanOf("material")); s.Material == "" {
		return s, false
	}
	var ok bool
	if s.When, ok = r.coatTime(c, n, before); !ok {
		return s, false
	}
	m := r.log.Materials[s.Material]
	s.WetFilm, ok = r.wetFilm(c, n, m)
	s.OfMix = strings.Contains(strings.ToLower(c.ThinningOf), "mix")
	s.Thinner = r.thinner(c, n, m)
	return s, ok
}

// coatTime is when a coat started: as written, or after the coat before it.
func (r *reader) coatTime(c *casefile.Coat, n int, before *Step) (When, bool) {
	if c.Start != "" {
		t, ok := r.clock(c.Start, c.SpanOf("start"), fmt.Sprintf("coat %d", n))
		return When{Clock: t}, ok
	}
	if before == nil || r.c.Coats[n-2].ToNext == "" {
		r.fail(c.Span, "time", fmt.Sprintf("coat %d has no start, and no coat above it says how long it was to the next", n),
			"start: with date and time, or to-next: at the coat before")
		return When{}, false
	}
	w, ok := r.wait(fmt.Sprintf("coat-%d-to-next", n-1), r.c.Coats[n-2].ToNext, r.c.Coats[n-2].SpanOf("to-next"))
	return before.When.after(w), ok
}

// The wet films that one coat can have, in m; a lift of filler is no coat of
// paint.
const thinnestCoat, thickestCoat, thickestLift = 0.2 * mil, 60 * mil, 250 * mil

// wetFilm is the wet film of a coat: an exact figure is what a notch gauge
// reads, which lies between two of its teeth.
func (r *reader) wetFilm(c *casefile.Coat, n int, m material.Material) (uncertain.Input, bool) {
	id := fmt.Sprintf("coat-%d-wet-film", n)
	if c.WetFilm == "" {
		in := m.RecommendedWetFilm
		in.ID, in.Assumed = id, true
		return in, true
	}
	in, ok := r.parse(id, quantity.Film, c.WetFilm, "mil", c.SpanOf("wet-film"))
	if !ok {
		return in, false
	}
	most, remedy := thickestCoat, "the film of one coat as the gauge read it, 1 to 60 mil"
	if m.RecommendedWetFilm.High > thickestCoat {
		most, remedy = thickestLift, "the film of one lift, up to 250 mil"
	}
	if in.Low < thinnestCoat || in.High > most {
		r.fail(c.SpanOf("wet-film"), "value", fmt.Sprintf("%q is no wet film of one coat", c.WetFilm), remedy)
		return in, false
	}
	if in.IsExact() {
		if read, err := gaugeOf(c.WetFilm).Reading(id, in.Low); err == nil {
			read.Source = "stated; a notch gauge reads between two teeth"
			return read, true
		}
	}
	return in, true
}

// gaugeOf is the gauge a film was read with: one cut to microns when they are
// what was written.
func gaugeOf(text string) film.Gauge {
	if q, err := quantity.Parse(quantity.Film, text, "mil"); err == nil && (q.Unit == "um" || q.Unit == "mm") {
		return film.MicronGauge
	}
	return film.MilGauge
}

func (r *reader) thinner(c *casefile.Coat, n int, m material.Material) uncertain.Input {
	id := fmt.Sprintf("coat-%d-thinning", n)
	if c.Thinning == "" {
		return uncertain.Input{ID: id, Low: 0, High: m.MaximumThinning.High, Unit: uncertain.Share, Assumed: true, Source: m.MaximumThinning.Source}
	}
	in, ok := r.parse(id, quantity.Share, c.Thinning, "%", c.SpanOf("thinning"))
	if ok && c.ThinningOf == "" && in.High > 0.05 {
		r.note("The thinning of coat %d is taken as a share of the paint; write thinning-of: mix if it was one of the mix.", n)
	}
	if ok && in.High > 0 && in.High < 0.005 && !strings.Contains(c.Thinning, "%") {
		r.fail(c.SpanOf("thinning"), "value", fmt.Sprintf("%q of thinner is next to nothing", c.Thinning), fmt.Sprintf("%.3g %%, if a fraction was meant, or 0 %%", in.High*1e4))
	}
	if ok && in.High > 0.66 {
		r.fail(c.SpanOf("thinning"), "value", fmt.Sprintf("%q of thinner leaves no coat", c.Thinning), "water added as a share of the paint, such as 3 %")
	}
	return in
}

// figuresOf reads the figures of a coat and keeps nothing but what is wrong.
func (r *reader) figuresOf(c *casefile.Coat) {
	for _, x := range []struct {
		text, key, unit string
		kind            quantity.Kind
	}{
		{c.WetFilm, "wet-film", "mil", quantity.Film}, {c.Thinning, "thinning", "%", quantity.Share},
		{c.Air, "air", "F", quantity.Temperature}, {c.Humidity, "humidity", "%", quantity.Humidity},
		{c.ToNext, "to-next", "h", quantity.Duration},
	} {
		if x.text != "" {
			r.parse(x.key, x.kind, x.text, x.unit, c.SpanOf(x.key))
		}
	}
	r.fanAt(c, When{})
}

// fastestFan is the most a shop's fan blows over a face, in m/s.
const fastestFan = 15

// fanNote is what the interview writes of a fan whose speed nobody measured.
const fanNote = "fan on, speed not measured"

// fanAt adds what a coat's line says of the fan.
func (r *reader) fanAt(c *casefile.Coat, w When) {
	text := strings.ToLower(c.Fan)
	if text == "" && strings.Contains(c.Note, fanNote) {
		text = "on"
	}
	if text != "" {
		r.fan(text, w, c.SpanOf("fan"))
	}
}

// fan adds a fan put on or off: a speed, "on", "off".
func (r *reader) fan(text string, w When, span source.Span) {
	r.fanSaid = true
	s := Step{Kind: FanOn, Faces: []Face{Front, Back}, When: w, Span: span}
	switch text {
	case "on", "yes", "":
		s.Speed = assumed("fan-speed", fanLow, fanHigh, "m/s")
	case "off", "no", "none":
		s.Kind = FanOff
	default:
		in, ok := r.parse("fan-speed-stated", quantity.AirSpeed, text, "fpm", span)
		if !ok {
			return
		}
		if in.High == 0 {
			s.Kind = FanOff
		}
		if in.High > fastestFan {
			r.fail(span, "value", fmt.Sprintf("%q is no fan of a shop", text), "the speed of the air over the face, such as 300 fpm")
			return
		}
		in.ID = fmt.Sprintf("fan-speed-%.3g-%.3g", in.Low, in.High)
		s.Speed = in
	}
	r.log.Steps = append(r.log.Steps, s)
}

// steps turns the other lines of the log into steps.
func (r *reader) steps() {
	at, have := When{}, false
	for _, s := range r.log.Steps {
		if s.Kind == Coat {
			at, have = s.When, true
		}
	}
	previous := math.Inf(-1)
	for i := range r.c.Log.Steps {
		line := &r.c.Log.Steps[i]
		r.line = fmt.Sprintf("step %d", i+1)
		w, ok := r.stepTime(line, i+1, at, have)
		if !ok {
			return
		}
		if w.Mid() < previous {
			r.fail(line.SpanOf("at"), "order", "this step is earlier than the one above it", "the steps in order of time, each with its date")
		}
		at, have, previous = w, true, w.Mid()
		r.step(line, w, i+1)
	}
}

func (r *reader) stepTime(line *casefile.Step, n int, before When, have bool) (When, bool) {
	switch {
	case line.At != "":
		t, ok := r.clock(line.At, line.SpanOf("at"), fmt.Sprintf("step %d", n))
		return When{Clock: t}, ok
	case line.After != "" && have:
		w, ok := r.wait(fmt.Sprintf("step-%d-after", n), line.After, line.SpanOf("after"))
		return before.after(w), ok
	}
	r.fail(line.Span, "time", fmt.Sprintf("step %d says not when it was", n), "at: with date and time, or after: with the hours since the line before")
	return When{}, false
}

func (r *reader) step(line *casefile.Step, w When, n int) {
	kind := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(line.Do)), " ", "-")
	s := Step{Kind: Kind(kind), Faces: r.faces(line.Face, line.SpanOf("face")), When: w, Note: line.Note, Span: line.Span}
	switch s.Kind {
	case FanOn:
		text := strings.ToLower(line.Speed)
		r.fan(text, w, line.SpanOf("speed"))
		return
	case FanOff:
		r.fan("off", w, line.SpanOf("do"))
		return
	case Sand:
		s.Depth = assumed(fmt.Sprintf("step-%d-takes-off", n), sandLow, sandHigh, "m")
		if line.TakesOff != "" {
			in, ok := r.parse(s.Depth.ID, quantity.Film, line.TakesOff, "mil", line.SpanOf("takes-off"))
			if !ok {
				return
			}
			s.Depth = in
		}
	case MaskOn:
		text := line.Material
		if text == "" {
			text = "paint mask"
		}
		s.Material = r.material(text, line.SpanOf("material"))
	case Wet:
		r.note("The piece was wetted. Liquid water goes into an open film faster than is computed here: more was left than the figures say.")
	case Stand, MaskOff, Blast, Rout, Wrap, Graphics, Sun, Hang, Failed:
	default:
		r.unknownStep(line)
		return
	}
	r.log.Steps = append(r.log.Steps, s)
}

func (r *reader) unknownStep(line *casefile.Step) {
	known := Kinds()
	remedy := "one of: " + strings.Join(known, ", ")
	switch near, ok := source.Nearest(line.Do, known); {
	case ok:
		remedy = near
	case strings.EqualFold(line.Do, "install"), strings.EqualFold(line.Do, "installed"):
		remedy = string(Hang)
	case strings.EqualFold(line.Do, "coat"), strings.EqualFold(line.Do, "paint"), strings.EqualFold(line.Do, "prime"):
		remedy = "the coat as a line of coats:"
	}
	r.fail(line.SpanOf("do"), "step", fmt.Sprintf("%q is no step that is known", line.Do), remedy)
}

// panel reads the piece.
func (r *reader) panel() {
	p := &r.c.Log.Panel
	r.line = "the panel"
	r.log.Panel = Panel{
		Along: assumed("panel-along", 0.4, 1.6, "m"), Across: assumed("panel-across", 0.3, 1.2, "m"),
	}
	for _, x := range []struct {
		text, key string
		in        *uncertain.Input
	}{{p.Along, "along", &r.log.Panel.Along}, {p.Across, "across", &r.log.Panel.Across}} {
		if x.text == "" {
			continue
		}
		if in, ok := r.parse("panel-"+x.key, quantity.Length, x.text, "", p.SpanOf(x.key)); ok {
			*x.in = in
		}
	}
	switch strings.ToLower(p.Stands) {
	case "", "upright", "standing", "hung", "rack", "on edge":
	case "flat", "lying", "face up", "bench":
		r.log.Panel.FaceUp = true
	default:
		r.fail(p.SpanOf("stands"), "panel", fmt.Sprintf("%q is no way a panel stands", p.Stands), "upright or flat")
	}
}
