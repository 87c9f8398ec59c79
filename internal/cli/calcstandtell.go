package cli

import (
	"fmt"

	"filmfault/internal/physics/drying/exchange"
	"filmfault/internal/plot"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// freshFan is how long a film that stood is left under the fan again before it is
// closed over, at least, in s (common practice, no source).
const freshFan = 3600

// tellAll fills the page.
func (j standJob) tellAll(p *dryPage, all []stoodFilm) {
	p.title = j.title(p.sys)
	taken := ofAll(all, func(x stoodFilm) float64 { return x.taken })
	up := uncertain.Summarise(taken)
	p.tell("water taken up while it stood", up, quantity.Share)
	p.chance("chance that this is too much to close over", tooWet(taken, j.limit))
	if up.High < leastTaken {
		p.note("That air takes water out of the film, if anything: there is nothing for a fan to take off.")
		j.tellMeaning(p)
		return
	}
	p.tell("share of it gone after an hour under the fan", uncertain.Summarise(ofAll(all, func(x stoodFilm) float64 { return x.gone(freshFan) })), quantity.Share)
	p.chance("chance that it is then still too much to close over", tooWet(ofAll(all, func(x stoodFilm) float64 { return x.over(freshFan) }), j.limit))
	p.tell("under the fan until three quarters of it are gone", uncertain.Summarise(ofAll(all, func(x stoodFilm) float64 { return x.mostGone })), quantity.Duration)
	never := shareOf(all, func(x stoodFilm) bool { return x.mostGone > followed })
	if never > 0 {
		p.chance("chance that the fan never takes so much off in this air", never)
	}
	p.tell("under the fan until it is under the limit", uncertain.Summarise(ofAll(all, func(x stoodFilm) float64 { return x.closable })), quantity.Duration)
	if tooDamp := shareOf(all, func(x stoodFilm) bool { return x.closable > followed }); tooDamp > 0 {
		p.chance("chance that it never is in this air", tooDamp)
	}
	if never > 0.5 {
		p.caution("the air under this fan is itself too damp to take that water off. Warm or dry the air first: no number of hours does it.")
	}
	j.tellFan(p, all)
	j.tellMeaning(p)
}

// tellFan says what no fan can do, and what an hour does.
func (j standJob) tellFan(p *dryPage, all []stoodFilm) {
	kept := uncertain.Summarise(ofAll(all, func(x stoodFilm) float64 { return max(x.kept, 0) }))
	more := "here next to nothing over rest"
	if kept.Mid >= leastTaken {
		more = "at " + quantity.FormatRange(quantity.Humidity, j.blown.humidity.Low, j.blown.humidity.High, p.sys) + " that is " +
			quantity.FormatRange(quantity.Share, kept.Low, kept.High, p.sys) + " more than at 50 %"
	}
	p.note("A fan takes nothing off below what the film holds at rest in the air that it blows: %s.", more)
	if j.same {
		p.note("Nothing was said of the air under the fan: it is taken to be the air that the film stood in. State it with --fan-air and --fan-humidity.")
	}
	thin, thick := "4 dry mils", "12"
	if p.sys == quantity.SI {
		thin, thick = "100 um of dry film", "300"
	}
	p.note("An hour under the fan moves most of what %s took up, and little of %s (common practice, no source).", thin, thick)
}

// tellMeaning says what the limit is, and what decides.
func (j standJob) tellMeaning(p *dryPage) {
	p.note("The limit is water of %s of the weight of the dry film over what it holds at rest in air of 50 %%. The film is taken to have been at rest there before.",
		quantity.FormatRange(quantity.Share, j.limit.Low, j.limit.High, p.sys))
	tellDeciding(p)
}

// title says what stood in what, and under which fan.
func (j standJob) title(sys quantity.System) string {
	film := j.paint.called(sys)
	if j.dry.ID != "" {
		film = j.paint.material.Name + ", " + quantity.FormatRange(quantity.Film, j.dry.Low, j.dry.High, sys) + " dry"
	}
	air := func(a steadyAir) string {
		return quantity.FormatRange(quantity.Temperature, a.temperature.Low, a.temperature.High, sys) + " and " +
			quantity.FormatRange(quantity.Humidity, a.humidity.Low, a.humidity.High, sys)
	}
	title := fmt.Sprintf("Standing of %s: %s in air of %s", film, quantity.FormatRange(quantity.Duration, j.stood.Low, j.stood.High, sys), air(j.standing))
	if j.same {
		return title + ", then " + j.fan.said(sys) + " in the same air"
	}
	return title + ", then " + j.fan.said(sys) + " in air of " + air(j.blown)
}

// chart draws the standing and the fan. Draws stood for different times, and are
// drawn so that the fan is put on at one place.
func (j standJob) chart(p *dryPage, all []stoodFilm, aloud bool) plot.Chart {
	on := uncertain.Summarise(ofAll(all, func(x stoodFilm) float64 { return x.stood })).Mid
	own := func(draw int, t float64) float64 {
		if t < on {
			return t * all[draw].stood / on
		}
		return all[draw].stood + t - on
	}
	gone := uncertain.Summarise(ofAll(all, func(x stoodFilm) float64 { return x.mostGone }))
	course := filmCourse{
		sys: p.sys, end: on + fanCharted(gone), limit: j.limit, asks: "close over", aloud: aloud, draws: len(all), sudden: []float64{on},
		over: func(draw int, t float64) float64 {
			return all[draw].trace.At(own(draw, t)).Fraction() - all[draw].rest
		},
		film: func(draw int, t float64) float64 { return surface(all[draw].trace, own(draw, t)) },
		air: func(t float64) exchange.Air {
			if t < on {
				return j.standing.middle()
			}
			return j.blown.middle()
		},
	}
	c := plot.Chart{Title: p.title, To: course.end, Panels: course.panels(), Marks: []plot.Mark{{Text: "it stands"}, {At: on, Text: "fan on"}}}
	for _, m := range []plot.Mark{{At: freshFan, Text: "an hour of fan"}, {At: gone.Mid, Text: "three quarters gone in half of the draws"}} {
		if on+m.At < course.end && m.At > 0 {
			c.Marks = append(c.Marks, plot.Mark{At: on + m.At, Text: m.Text})
		}
	}
	return c
}

// fanCharted is how far the chart goes once the fan is on: past what most draws
// need.
func fanCharted(gone uncertain.Range) float64 {
	for _, long := range []float64{gone.High, gone.Mid} {
		if long < 3*86400 {
			return max(1.15*long, 3*freshFan)
		}
	}
	return 86400
}
