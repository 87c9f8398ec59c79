package cli

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"filmfault/internal/physics/drying"
	"filmfault/internal/physics/drying/exchange"
	"filmfault/internal/physics/moistair"
	"filmfault/internal/plot"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// chartPoints is how many times a chart has a value for.
const chartPoints = 145

// nearLimit is the top of the panel that shows the water near the limit, in % of
// the dry film: the whole of it would hide the limit.
const nearLimit = 10

// filmCourse is what a chart of water in a film is drawn from.
type filmCourse struct {
	sys   quantity.System
	end   float64 // s on the clock of the chart
	limit uncertain.Input
	// asks is what the limit is for, "sand" where nothing is said.
	asks string
	// aloud says that the chart is to be read out: without the panel near the limit.
	aloud bool
	// draws is how many, over and film give one figure of a draw at a time.
	draws      int
	over, film func(draw int, t float64) float64
	air        func(t float64) exchange.Air
	// sudden are times at which something changes at a stroke.
	sudden []float64
}

// times are those that the chart has a value for: even steps, and both sides of
// whatever is sudden.
func (c filmCourse) times() []float64 {
	var out []float64
	for i := range chartPoints {
		out = append(out, c.end*float64(i)/(chartPoints-1))
	}
	for _, t := range c.sudden {
		if t > 1 && t < c.end {
			out = append(out, t-1, t)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// panels draws the course.
func (c filmCourse) panels() []plot.Panel {
	var all, near []plot.Point
	var allBand, nearBand []plot.Band
	var air, film, dew, humidity []plot.Point
	for _, t := range c.times() {
		water := c.water(t)
		all, allBand = append(all, plot.Point{At: t, Value: water.Mid}), append(allBand, plot.Band{At: t, Low: water.Low, High: water.High})
		near, nearBand = append(near, plot.Point{At: t, Value: cut(water.Mid)}), append(nearBand, plot.Band{At: t, Low: cut(water.Low), High: min(water.High, nearLimit)})
		a := c.air(t)
		air, film = append(air, plot.Point{At: t, Value: c.degrees(a.Temperature)}), append(film, plot.Point{At: t, Value: c.degrees(c.at(c.film, t).Mid)})
		dew = append(dew, plot.Point{At: t, Value: c.dewPoint(a)})
		humidity = append(humidity, plot.Point{At: t, Value: 100 * a.RH})
	}
	return append(c.waterPanels(all, allBand, near, nearBand), []plot.Panel{
		{Title: "Temperature", Unit: quantity.DefaultUnit(quantity.Temperature, c.sys),
			Lines: []plot.Line{{Name: "air", Points: air}, {Name: "film", Points: film}, {Name: "dew point of the air", Points: dew}}},
		{Title: "Humidity of the air", Unit: "%", Lines: []plot.Line{{Name: "humidity", Points: humidity}}},
	}...)
}

// waterPanels are the water as a whole and near the limit; one panel where it is
// never far from there.
func (c filmCourse) waterPanels(all []plot.Point, allBand []plot.Band, near []plot.Point, nearBand []plot.Band) []plot.Panel {
	limit := []plot.Limit{{Name: "too wet to " + cmp.Or(c.asks, "sand") + " above", Low: 100 * c.limit.Low, High: 100 * c.limit.High}}
	const rest, band = "water over rest", "5 to 95 of 100 draws"
	whole := plot.Panel{Title: "Water over rest, of the dry film", Unit: "%", FromZero: true, Lines: []plot.Line{{Name: rest, Points: all, Band: allBand, BandName: band}}}
	if c.aloud || !slices.ContainsFunc(allBand, func(b plot.Band) bool { return b.High > nearLimit }) {
		whole.Limits = limit
		return []plot.Panel{whole}
	}
	return []plot.Panel{whole,
		{Title: "The same near the limit", Unit: "%", FromZero: true, Limits: limit, Lines: []plot.Line{{Name: rest, Points: near, Band: nearBand, BandName: band}}}}
}

// at is the range of a figure over the draws at a time.
func (c filmCourse) at(figure func(int, float64) float64, t float64) uncertain.Range {
	values := make([]float64, c.draws)
	for draw := range values {
		values[draw] = figure(draw, t)
	}
	return uncertain.Summarise(values)
}

// water is the range of the water over rest in % of the dry film. What a film has
// less than at rest counts for nothing and would take half of the panel.
func (c filmCourse) water(t float64) uncertain.Range {
	r := c.at(c.over, t)
	percent := func(v float64) float64 { return 100 * max(v, 0) }
	return uncertain.Range{Mid: percent(r.Mid), Low: percent(r.Low), High: percent(r.High)}
}

// cut leaves a gap for what lies above the panel near the limit.
func cut(percent float64) float64 {
	if percent > nearLimit {
		return math.NaN()
	}
	return percent
}

// degrees is a temperature in the unit of the chart.
func (c filmCourse) degrees(k float64) float64 {
	v, err := quantity.FromSI(quantity.Temperature, k, quantity.DefaultUnit(quantity.Temperature, c.sys))
	if err != nil {
		return math.NaN()
	}
	return v
}

// dewPoint is that of the air, a gap where it has none.
func (c filmCourse) dewPoint(a exchange.Air) float64 {
	k, err := moistair.DewPointOf(a.Temperature, a.RH, moistair.OverWater)
	if err != nil {
		return math.NaN()
	}
	return c.degrees(k)
}

// chart draws the drying of a job.
func (j dryJob) chart(p *dryPage, all []dried, aloud bool) plot.Chart {
	course := filmCourse{
		sys: p.sys, end: j.charted(all), limit: j.limit, aloud: aloud, draws: len(all),
		over: func(draw int, t float64) float64 { return all[draw].trace.At(t).Fraction() - all[draw].rest },
		film: func(draw int, t float64) float64 { return surface(all[draw].trace, t) },
		air:  func(t float64) exchange.Air { return j.air.asShown(t, t) },
	}
	if j.between.IsExact() { // else each draw has its own
		course.sudden = all[0].applied
	}
	c := plot.Chart{Title: p.title, To: course.end, Panels: course.panels(), Marks: j.marks(all)}
	if j.air.log != nil {
		c.Start = j.air.log.start
		if known := j.air.log.known; known < course.end {
			c.Marks = append(c.Marks, plot.Mark{At: known, Text: "the log ends, its last reading is held"})
		}
	}
	return c
}

// surface is the temperature of the film at a time.
func surface(trace drying.Trace, t float64) float64 { return trace.At(t).Surface }

// charted is how far the chart goes: past what most draws need.
func (j dryJob) charted(all []dried) float64 {
	last := uncertain.Summarise(ofAll(all, dried.last)).Mid
	if j.after.ID != "" {
		return last + 1.15*max(uncertain.Summarise(ofAll(all, func(x dried) float64 { return x.after })).High, 3600)
	}
	sandable := uncertain.Summarise(ofAll(all, func(x dried) float64 { return x.sandable }))
	for _, long := range []float64{sandable.High, sandable.Mid} {
		if long < 4*86400 {
			return last + max(1.15*long+paintableAfter, 2*beforeSanding)
		}
	}
	return last + min(2*86400, j.horizon)
}

// marks are what happens on the way, at the middle of the draws.
func (j dryJob) marks(all []dried) []plot.Mark {
	var out []plot.Mark
	for n := range j.paint.count {
		text := "coat"
		if j.paint.count > 1 {
			text = fmt.Sprintf("coat %d", n+1)
		}
		out = append(out, plot.Mark{At: uncertain.Summarise(ofAll(all, func(x dried) float64 { return x.applied[n] })).Mid, Text: text})
	}
	last := out[len(out)-1].At
	middle := func(figure func(dried) float64) float64 { return uncertain.Summarise(ofAll(all, figure)).Mid }
	for _, m := range []struct {
		at   float64
		text string
	}{
		{middle(func(x dried) float64 { return x.tackFree }), "tack free in half of the draws"},
		{middle(func(x dried) float64 { return x.sandable }), "sandable in half of the draws"},
		{uncertain.Summarise(ofAll(all, func(x dried) float64 { return x.sandable })).High, "sandable in 95 of 100 draws"},
	} {
		if m.at < j.horizon {
			out = append(out, plot.Mark{At: last + m.at, Text: m.text})
		}
	}
	if j.after.ID != "" {
		out = append(out, plot.Mark{At: last + middle(func(x dried) float64 { return x.after }), Text: "looked at"})
	}
	return out
}
