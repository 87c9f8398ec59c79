package cli

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"filmfault/internal/plot"
	"filmfault/internal/quantity"
	"filmfault/internal/rulebase"
	"filmfault/internal/uncertain"
)

// dryDraws is how many draws stand behind the times of a coat. The ends of a
// range come within a tenth of those of thirty times as many, its middle within a
// thirtieth; the film itself is known to a factor of two.
const dryDraws = 128

type dryOptions struct {
	app           *app
	paint         paintFlags
	flags         map[string]*quantityFlag
	fan           *wordFlag[fan]
	panel         panelFlags
	log           logFlags
	chart         *chartOptions
	format, units *choice
}

func newCalcDry(a *app) *cobra.Command { return newDryOptions(a).command() }

func newDryOptions(a *app) *dryOptions {
	return &dryOptions{
		app: a, paint: newPaintFlags(), fan: &wordFlag[fan]{kind: "on|off|speed", understand: readFan},
		flags: map[string]*quantityFlag{
			"air":      {kind: quantity.Temperature, unit: "F", needed: true},
			"humidity": {kind: quantity.Humidity, unit: "%", needed: true},
			"between":  {kind: quantity.Duration, unit: "min", assumed: "30 min", because: "as soon as a coat holds; " + noSource},
			"after":    {kind: quantity.Duration, unit: "h"},
		},
	}
}

// command is the command that the options are those of.
func (o *dryOptions) command() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "dry",
		Short: "How long a waterborne coat needs, or what water is left after given hours",
		Long: "How long a waterborne coat on sealed board needs until it is tack free, sandable and paintable\n" +
			"in given or logged air; with --after, how much water is left then and how likely that is too\n" +
			"much. Times count from the last coat. The thickest spot dries last: state the wet film there.",
		Example: "  filmfault calc dry --wet \"10 mil\" --coats 2 --air 70F --humidity 50% --fan \"300 fpm\"\n" +
			"  filmfault calc dry --air 58F --humidity 75% --fan off --after overnight --plot\n" +
			"  filmfault calc dry --air-log shop.csv --air-zone America/Chicago --start \"2026-04-03 8:00\" -o drying.svg",
		Args: takes(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error { return runCalcDry(cmd.Context(), o) },
	}
	o.addFlags(cmd)
	return cmd
}

// addFlags adds the flags of `calc dry`.
func (o *dryOptions) addFlags(cmd *cobra.Command) {
	o.paint.add(cmd)
	quantityFlags(cmd, o.flags, map[string]string{
		"air": "temperature of the air", "humidity": "relative humidity", "between": "from one coat to the next",
		"after": "look at the film so long after the last coat",
	})
	cmd.Flags().Var(o.fan, "fan", "on, off, or the speed of the air at the face, such as \"300 fpm\"")
	o.panel.add(cmd)
	o.log.add(cmd)
	o.chart = courseChart(cmd)
	o.format, o.units = formatFlag(cmd), unitsFlag(cmd)
}

func runCalcDry(ctx context.Context, o *dryOptions) error {
	if err := o.check(); err != nil {
		return err
	}
	p := &dryPage{sys: system(o.units)}
	j, err := o.job(p)
	if err != nil {
		return err
	}
	p.horizon = j.horizon
	all, err := j.run(ctx, uncertain.NewDraws(dryDraws, drawsSeed))
	if err != nil {
		return inUnits(err, p.sys)
	}
	j.tellAll(p, all)
	if err := p.print(o.app, o.format); err != nil {
		return err
	}
	if !o.chart.wanted() {
		return nil
	}
	return o.chart.deliver(o.app, func(aloud bool) plot.Chart { return j.chart(p, all, aloud) })
}

// check refuses flags that do not go together, and figures that no shop has.
func (o *dryOptions) check() error {
	if err := o.chart.check(o.format); err != nil {
		return err
	}
	logged := o.log.file != ""
	switch {
	case logged && (o.flags["air"].given || o.flags["humidity"].given):
		return usagef("state the air once: --air and --humidity, or --air-log")
	case !logged && (o.log.start != "" || o.log.zone.given || o.log.unit.value != "" || o.log.dates.value != ""):
		return usagef("--start, --air-zone, --air-unit and --air-dates belong to a log of the air; name it with --air-log")
	case o.flags["between"].given && o.paint.coats.value < 2:
		return usagef("--between is the time from one coat to the next; add --coats 2")
	}
	if err := moreThanNothing(o.flags, "after"); err != nil {
		return err
	}
	for name, flag := range map[string]*quantityFlag{"after": o.flags["after"], "between": o.flags["between"]} {
		if flag.given && flag.value.High > longestJob {
			return usagef("--%s %q is longer than any job; write for example --%s \"4 h\"", name, flag.value.Typed, name)
		}
	}
	return refuseAir("air", o.flags["air"], "humidity", o.flags["humidity"])
}

// job understands the flags and lists on the page what it rests on.
func (o *dryOptions) job(p *dryPage) (dryJob, error) {
	var j dryJob
	paint, inputs, err := o.paint.read(o.app)
	if err != nil {
		return j, err
	}
	j.paint = paint
	p.list(inputs...)
	if err := o.waits(p, &j); err != nil {
		return j, err
	}
	if j.limit, err = o.app.dryLimit(paint); err != nil {
		return j, err
	}
	if err := o.air(p, &j); err != nil {
		return j, err
	}
	p.list(o.fan.value.shown("fan"))
	piece, inputs := o.panel.read()
	j.panel = piece
	p.list(inputs...)
	p.list(input{j.limit, quantity.Share})
	p.list(instruments()...)
	p.list(paint.figures()...)
	return j, nil
}

// waits settles how long there is between coats and after them.
func (o *dryOptions) waits(p *dryPage, j *dryJob) error {
	names := []string{"after"}
	if j.paint.count > 1 {
		names = []string{"between", "after"}
	}
	by, list, err := read(o.flags, names...)
	if err != nil {
		return err
	}
	p.list(list...)
	j.between, j.after, j.horizon = by["between"], by["after"], followed
	if j.between.ID == "" {
		j.between = uncertain.Exact("between", 0, "s", "one coat")
	}
	if j.after.ID != "" {
		j.horizon = max(1.3*j.after.High, 2*3600)
	}
	return nil
}

// air settles what the coats dry in.
func (o *dryOptions) air(p *dryPage, j *dryJob) error {
	j.air.fan = o.fan.value
	if o.log.file == "" {
		by, list, err := read(o.flags, "air", "humidity")
		if err != nil {
			return err
		}
		j.air.temperature, j.air.humidity = by["air"], by["humidity"]
		p.list(list...)
		return nil
	}
	var err error
	j.air.log, err = o.log.read(o.app, 1.3*j.between.High*float64(j.paint.count)+j.horizon+1)
	return err
}

// dryLimit is the water over rest at which a film is too wet to be sanded or
// closed over, by the rules in force.
func (a *app) dryLimit(paint wetPaint) (uncertain.Input, error) {
	b, err := a.base()
	if err != nil {
		return uncertain.Input{}, err
	}
	computes := rulebase.ClosingColour
	if paint.primes() {
		computes = rulebase.ClosingPrimer
	}
	c, ok := b.CalculationOf(computes)
	if !ok {
		return uncertain.Input{}, fmt.Errorf("the rules in force say no more when a film is too wet; leave out --rules")
	}
	return uncertain.Input{ID: "limit-" + c.ID, Low: c.Limit.Low, High: c.Limit.High, Unit: uncertain.Share, Assumed: true, Source: string(c.Basis)}, nil
}

// tellAll fills the page.
func (j dryJob) tellAll(p *dryPage, all []dried) {
	p.title = "Drying of " + j.paint.called(p.sys) + ", " + j.inAir(p)
	if j.after.ID != "" {
		p.title += fmt.Sprintf(": %s after the last coat", quantity.FormatRange(quantity.Duration, j.after.Low, j.after.High, p.sys))
		j.tellAfter(p, all)
	} else {
		j.tellTimes(p, all)
	}
	needed := uncertain.Summarise(ofAll(all, func(x dried) float64 {
		if j.after.ID != "" {
			return x.last() + x.after
		}
		return x.last() + min(x.sandable, j.horizon)
	})).High
	wet := j.air.asShown(0, max(needed, 3600))
	warnOfAir(p, wet, j.air.humidity.High)
	j.tellMeaning(p)
	if j.air.log != nil {
		j.air.log.tellEnd(needed)
		p.notes = append(p.notes, j.air.log.notes...)
	}
}

// inAir is the air in the words of a title.
func (j dryJob) inAir(p *dryPage) string {
	fan := j.air.fan.said(p.sys)
	if j.panel.flat {
		fan += ", lying flat"
	}
	if l := j.air.log; l != nil {
		return fmt.Sprintf("in the air of %s from %s, %s", l.name, l.clock(0), fan)
	}
	return fmt.Sprintf("in air of %s and %s, %s", quantity.FormatRange(quantity.Temperature, j.air.temperature.Low, j.air.temperature.High, p.sys),
		quantity.FormatRange(quantity.Humidity, j.air.humidity.Low, j.air.humidity.High, p.sys), fan)
}
