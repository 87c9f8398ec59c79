package cli

import (
	"filmfault/internal/physics/drying/exchange"
	"filmfault/internal/quantity"
	"filmfault/internal/report"
	"filmfault/internal/uncertain"
)

// Practice that the page holds a film against. Common practice, no source.
const (
	// paintableAfter is the least under a fan from sandable to paintable, in s.
	paintableAfter = 3600
	// beforeSanding is how long a primed piece is left under the fan before it is
	// sanded, at least, in s.
	beforeSanding = 4 * 3600
	// dampAir is a relative humidity above which drying drags.
	dampAir = 0.70
	// coldFilm is a film temperature in K, 50 F, that labels of waterborne paint
	// ask for at least.
	coldFilm = (50 + 459.67) / 1.8
	// freezing is where water in a film may turn to ice, in K.
	freezing = 273.15
)

// tellTimes says how long the last coat needs.
func (j dryJob) tellTimes(p *dryPage, all []dried) {
	sandable := ofAll(all, func(x dried) float64 { return x.sandable })
	p.tell("tack free, after the last coat", uncertain.Summarise(ofAll(all, func(x dried) float64 { return x.tackFree })), quantity.Duration)
	p.tell("sandable, after the last coat", uncertain.Summarise(sandable), quantity.Duration)
	paintable := uncertain.Summarise(ofAll(all, func(x dried) float64 { return min(x.sandable+paintableAfter, max(x.sandable, j.horizon)) }))
	p.tell("paintable, after the last coat, at the earliest", paintable, quantity.Duration)
	if never := shareOf(all, func(x dried) bool { return x.sandable > j.horizon }); never > 0 {
		p.chance("chance that it never gets sandable in this air", never)
	}
	at := p.words(quantity.Duration, beforeSanding)
	over := ofAll(all, func(x dried) float64 { return x.over(beforeSanding) })
	p.tell("water over rest, "+at+" after the last coat", uncertain.Summarise(over), quantity.Share)
	p.chance("chance that this is too much to sand", tooWet(over, j.limit))
	if again := shareOf(all, func(x dried) bool { return x.again }); again >= 0.05 {
		p.note("The chance that damp air later in the log puts it over the limit again is %s: sand it while it is down, or give it a fresh hour of fan.",
			report.Percent(report.Number(again)))
	}
	j.tellFilm(p, all)
	j.tellEarly(p, all)
}

// tellAfter says what is left after a stated time.
func (j dryJob) tellAfter(p *dryPage, all []dried) {
	left := ofAll(all, func(x dried) float64 { return x.trace.At(x.last() + x.after).Fraction() })
	over := ofAll(all, func(x dried) float64 { return x.over(x.after) })
	before := ofAll(all, func(x dried) float64 { return x.over(max(x.after-paintableAfter, 0)) })
	p.tell("water left in the film", uncertain.Summarise(left), quantity.Share)
	p.tell("water over what it holds at rest in air of 50 %", uncertain.Summarise(over), quantity.Share)
	p.chance("chance that this is too much to sand", tooWet(over, j.limit))
	p.chance("chance that it was so an hour earlier, and is too early to paint", tooWet(before, j.limit))
	if soft := shareOf(all, func(x dried) bool { return x.tackFree > x.after }); soft > 0 {
		p.chance("chance that it is not yet tack free", soft)
	}
	j.tellFilm(p, all)
	j.tellEarly(p, all)
}

// tellFilm gives the temperature that a minimum is held against.
func (j dryJob) tellFilm(p *dryPage, all []dried) {
	coldest := uncertain.Summarise(ofAll(all, func(x dried) float64 { return x.coldest }))
	p.tell("film while wet, at its coldest", coldest, quantity.Temperature)
	run := ""
	switch {
	case coldest.Low < freezing:
		p.caution("the wet film may freeze, and these figures leave that out: a film that froze is lost. Warm the air and the board before you coat.")
		return
	case coldest.Mid < coldFilm-0.5/1.8: // and is printed as less
		run = "runs"
	case coldest.Low < coldFilm:
		run = "may run"
	default:
		p.note("While it is wet the film is colder than the air. Check the film's temperature, not the air's, against the least that the label asks for.")
		return
	}
	p.caution("the wet film %s under %s. Check the film's temperature, not the air's, against the least that the label asks for: a film that forms too cold does not close, and no later warmth mends it.",
		run, p.words(quantity.Temperature, coldFilm))
}

// tellEarly says when a coat goes on before the one below holds.
func (j dryJob) tellEarly(p *dryPage, all []dried) {
	early := shareOf(all, func(x dried) bool { return x.early })
	if j.paint.count > 1 && early >= 0.05 {
		p.note("The chance that a coat goes on before the one below is tack free is %s: wait longer between coats.", report.Percent(report.Number(early)))
	}
	if most := j.paint.material.RecommendedWetFilm; j.paint.wet.Low > 1.05*most.High {
		p.note("The film is over the usual %s of one coat: two thin coats dry sooner than a thick one.",
			quantity.FormatRange(quantity.Film, most.Low, most.High, p.sys))
	}
}

// warnOfAir puts the caution about damp air on the page.
func warnOfAir(p *dryPage, air exchange.Air, highest float64) {
	if max(air.RH, highest) > dampAir {
		p.caution("over 70 to 75 %% humidity a waterborne coat dries slowly and may keep water that no wait takes out. Bring the humidity down first, or leave the coat for a drier day.")
	}
}

// tellMeaning says what the words on the page stand for, and what decides.
func (j dryJob) tellMeaning(p *dryPage) {
	limit := quantity.FormatRange(quantity.Share, j.limit.Low, j.limit.High, p.sys)
	p.note("Sandable: water down to %s of the weight of the dry film over what it holds at rest in air of 50 %%. Paintable: an hour under the fan after that, at the earliest (common practice, no source).%s",
		limit, map[fanWord]string{fanOff: " The fan is off here: it has to be put on for that hour.", fanUnsaid: " Nothing was said of a fan: it takes one for that hour."}[j.air.fan.word])
	tellDeciding(p)
}

// tellDeciding says that a figure is no leave.
func tellDeciding(p *dryPage) {
	p.note("These figures are honest to a factor of two, more for a paint whose own figures differ. What decides is a coupon coated beside the piece and weighed until it loses no more, and sanding at the thickest spot: it has to come off as powder, not roll or gum the paper.")
}
