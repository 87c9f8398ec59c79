package cli

import (
	"context"

	"github.com/spf13/cobra"

	"filmfault/internal/plot"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

type standOptions struct {
	app           *app
	paint         paintFlags
	flags         map[string]*quantityFlag
	fan           *wordFlag[fan]
	panel         panelFlags
	chart         *chartOptions
	format, units *choice
}

func newCalcStand(a *app) *cobra.Command { return newStandOptions(a).command() }

func newStandOptions(a *app) *standOptions {
	return &standOptions{
		app: a, paint: newPaintFlags(), fan: &wordFlag[fan]{kind: "on|speed", understand: readFan},
		flags: map[string]*quantityFlag{
			"dry":          {kind: quantity.Film, unit: "mil"},
			"stood":        {kind: quantity.Duration, unit: "h", assumed: "overnight", because: "a night between two days of work"},
			"air":          {kind: quantity.Temperature, unit: "F", needed: true},
			"humidity":     {kind: quantity.Humidity, unit: "%", needed: true},
			"fan-air":      {kind: quantity.Temperature, unit: "F"},
			"fan-humidity": {kind: quantity.Humidity, unit: "%"},
		},
	}
}

// command is the command that the options are those of.
func (o *standOptions) command() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "stand",
		Short: "What water a dried film takes up in damp air, and how long a fan needs to take it off",
		Long: "What water a dried waterborne film on sealed board takes up while it stands in damp air, how\n" +
			"likely that is too much to close it over, and how long it has to be under the fan again. The\n" +
			"film begins at rest in air of 50 %. A fan blows the air it stands in unless told otherwise.",
		Example: "  filmfault calc stand --dry \"4 mil\" --stood overnight --air 60F --humidity 85% --fan-air 70F --fan-humidity 50%\n" +
			"  filmfault calc stand --wet \"10 mil\" --coats 2 --stood \"3 days\" --air 65F --humidity 80% --fan \"400 fpm\" --plot",
		Args: takes(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error { return runCalcStand(cmd.Context(), o) },
	}
	o.paint.add(cmd)
	quantityFlags(cmd, o.flags, map[string]string{
		"dry": "dry film in all, in place of wet coats", "stood": "how long it stood",
		"air": "temperature of the air it stood in", "humidity": "relative humidity there",
		"fan-air": "temperature of the air under the fan; else as it stood", "fan-humidity": "relative humidity there; else as it stood",
	})
	cmd.Flags().Var(o.fan, "fan", "on, or the speed of the air at the face, such as \"300 fpm\"")
	o.panel.add(cmd)
	o.chart = courseChart(cmd)
	o.format, o.units = formatFlag(cmd), unitsFlag(cmd)
	return cmd
}

func runCalcStand(ctx context.Context, o *standOptions) error {
	if err := o.check(); err != nil {
		return err
	}
	p := &dryPage{sys: system(o.units)}
	j, err := o.job(p)
	if err != nil {
		return err
	}
	p.horizon = followed
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
func (o *standOptions) check() error {
	if err := o.chart.check(o.format); err != nil {
		return err
	}
	if err := o.checkFilm(); err != nil {
		return err
	}
	if o.fan.value.word == fanOff {
		return usagef("--fan: this tells what a fan takes off; state its speed at the face, or on")
	}
	if err := moreThanNothing(o.flags, "stood"); err != nil {
		return err
	}
	if stood := o.flags["stood"]; stood.given && stood.value.High > longestJob {
		return usagef("--stood %q is longer than is followed; 60 days are the most", stood.value.Typed)
	}
	if err := refuseAir("air", o.flags["air"], "humidity", o.flags["humidity"]); err != nil {
		return err
	}
	return refuseAir("fan-air", o.flags["fan-air"], "fan-humidity", o.flags["fan-humidity"])
}

// The dry films that are followed, in m.
const thinnestDry, thickestDry = 0.1 * mil, 150 * mil

// checkFilm wants the film to be stated once.
func (o *standOptions) checkFilm() error {
	dry, wet := o.flags["dry"], ""
	for _, name := range []string{"wet", "solids", "thinner-of-paint", "thinner-of-mix"} {
		if o.paint.flags[name].given {
			wet = name
		}
	}
	if o.paint.coats.given {
		wet = "coats"
	}
	switch {
	case dry.given && wet != "":
		return usagef("state the film once: --dry as it is, or --wet and --coats as they were laid; leave out --%s, or --dry", wet)
	case !dry.given && wet != "wet" && !o.paint.flags["wet"].given:
		return usagef("how thick is the film? Write for example --dry \"4 mil\", or as it was laid, --wet \"10 mil\" --coats 2")
	case dry.given && (dry.value.Low < thinnestDry || dry.value.High > thickestDry):
		return usagef("--dry %q is no dry film; write the dry film of all coats, such as --dry \"4 mil\"", dry.value.Typed)
	}
	return nil
}

// job understands the flags and lists on the page what it rests on.
func (o *standOptions) job(p *dryPage) (standJob, error) {
	var j standJob
	paint, inputs, err := o.paint.read(o.app)
	if err != nil {
		return j, err
	}
	by, list, err := read(o.flags, "dry", "stood", "air", "humidity", "fan-air", "fan-humidity")
	if err != nil {
		return j, err
	}
	j.paint, j.dry, j.stood = paint, by["dry"], by["stood"]
	if j.dry.ID == "" {
		p.list(inputs...)
	}
	p.list(list...)
	j.standing = steadyAir{by["air"], by["humidity"], ofReplay(stillAirID)}
	blown := o.fan.value
	if blown.word == fanUnsaid {
		blown.word = fanOn
	}
	j.blown, j.fan = steadyAir{by["fan-air"], by["fan-humidity"], blown.speed()}, blown
	j.same = j.blown.temperature.ID == "" && j.blown.humidity.ID == ""
	if j.blown.temperature.ID == "" {
		j.blown.temperature = by["air"]
	}
	if j.blown.humidity.ID == "" {
		j.blown.humidity = by["humidity"]
	}
	piece, inputs := o.panel.read()
	j.panel = piece
	if j.limit, err = o.app.dryLimit(paint); err != nil {
		return j, err
	}
	p.list(input{j.standing.speed, quantity.AirSpeed}, blown.shown("fan"))
	p.list(inputs...)
	p.list(input{j.limit, quantity.Share})
	p.list(instruments()...)
	p.list(j.figures()...)
	return j, nil
}

// figures lists what is drawn of the material once it has dried.
func (j standJob) figures() []input {
	m := j.paint.material
	out := []input{
		{m.DryDensity, quantity.Density}, {m.Sorption, quantity.Share}, {m.SorptionShape, quantity.Share},
		{m.Diffusion, quantity.Number}, {m.Activation, quantity.Number},
	}
	if j.dry.ID == "" {
		out = append([]input{{m.VolumeSolids, quantity.Share}}, out...)
	}
	return out
}
