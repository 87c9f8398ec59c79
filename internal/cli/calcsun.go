package cli

import (
	"errors"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"filmfault/internal/console"
	"filmfault/internal/physics/sunheat"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

type sunOptions struct {
	app                 *app
	flags               map[string]*quantityFlag
	colour              *choice
	facing              *wordFlag[compass]
	tilt                *wordFlag[float64]
	day                 *wordFlag[date]
	hour, solarHour     *wordFlag[float64]
	latitude, longitude *wordFlag[float64]
	zone                *wordFlag[float64]
	format, units       *choice
}

func newCalcSun(a *app) *cobra.Command {
	o := &sunOptions{
		app: a, flags: sunQuantities(),
		colour: &choice{known: sunColours()},
		facing: &wordFlag[compass]{kind: "direction", understand: readFacing},
		tilt:   &wordFlag[float64]{kind: "degrees", understand: readTilt},
		day:    &wordFlag[date]{kind: "date", understand: readDate},
		hour:   &wordFlag[float64]{kind: "time", understand: readHour}, solarHour: &wordFlag[float64]{kind: "time", understand: readHour},
		latitude: &wordFlag[float64]{kind: "degrees", understand: readLatitude}, longitude: &wordFlag[float64]{kind: "degrees", understand: readLongitude},
		zone: &wordFlag[float64]{kind: "zone", understand: readZone},
	}
	cmd := &cobra.Command{
		Use:   "sun",
		Short: "How hot the sun makes a face, and which weak spots that heat may raise",
		Long: "How hot the sun makes a face under a clear sky, the pressures that heat makes under the\n" +
			"film, and how large a weak spot must be before they may make it grow. Without an hour it\n" +
			"is the one at which this face gets most sun. With --surface your own reading of the face\n" +
			"takes the place of the sun.",
		Example: "  filmfault calc sun --colour dark --facing w --day \"July 4\" --latitude 40 --air 95F\n" +
			"  filmfault calc sun --surface 150F --closed-at 65F --film \"12 mil\"",
		Args: takes(0, 0, ""),
		RunE: func(*cobra.Command, []string) error { return runCalcSun(o) },
	}
	o.addFlags(cmd)
	return cmd
}

// sunQuantities are the flags of `calc sun` that take quantities. A share is
// only read with its unit: .92 could be meant as 92 % or as .92 %.
func sunQuantities() map[string]*quantityFlag {
	return map[string]*quantityFlag{
		"absorptance": {kind: quantity.Share},
		"air":         {kind: quantity.Temperature, unit: "F", needed: true},
		"wind":        {kind: quantity.AirSpeed, unit: "mph", assumed: "1-5 mph", because: "light air at a face between buildings; judgement, no source"},
		"surface":     {kind: quantity.Temperature, unit: "F"},
		"closed-at":   {kind: quantity.Temperature, unit: "F", assumed: "70 F", because: "a usual shop; common practice, no source"},
		"film":        {kind: quantity.Film, unit: "mil"},
	}
}

// addFlags adds the flags of `calc sun`.
func (o *sunOptions) addFlags(cmd *cobra.Command) {
	quantityFlags(cmd, o.flags, map[string]string{
		"absorptance": "share of sunlight taken up, as measured, such as \"92 %\"; else by --colour",
		"air":         "temperature of the air", "wind": "wind at the face",
		"surface":   "measured temperature of the face, in place of the sun",
		"closed-at": "temperature at which the film closed over",
		"film":      "dry film above a weak spot",
	})
	add := cmd.Flags()
	add.Var(o.colour, "colour", "how dark the face is")
	add.Var(o.facing, "facing", "where the face looks: n, ne, e, ... or degrees from north by east")
	add.Var(o.tilt, "tilt", "upright, level, or degrees from looking up; upright if not stated")
	add.Var(o.day, "day", "a date such as \"July 4\", or a month")
	add.Var(o.hour, "hour", "time on the clock, such as \"4 pm\"; needs --longitude")
	add.Var(o.solarHour, "solar-hour", "time by the sun, which stands highest at 12")
	add.Var(o.latitude, "latitude", "such as 40 N")
	add.Var(o.longitude, "longitude", "such as 75 W")
	add.Var(o.zone, "zone", "zone of the clock, such as EDT or UTC-4")
	o.format, o.units = formatFlag(cmd), unitsFlag(cmd)
}

// sunColours names the colours that have an absorptance.
func sunColours() []string {
	var names []string
	for c := sunheat.White; c <= sunheat.Black; c++ {
		names = append(names, c.String())
	}
	return names
}

// sunPage gathers what `calc sun` prints.
type sunPage struct {
	title           string
	results         []measured
	notes, cautions []string
	inputs          []input
	draws           uncertain.Draws
	units           quantity.System
	// hot is the temperature of the face in K in each draw, and assumed the ids
	// of what it rests on that nobody stated.
	hot     []float64
	assumed []string
}

// rest adds the ids of assumed inputs to those the face and what follows rest on.
func (p *sunPage) rest(ids ...string) {
	p.assumed = slices.Concat(p.assumed, ids)
	slices.Sort(p.assumed)
	p.assumed = slices.Compact(p.assumed)
}

// assumedOf gives the ids of the assumed among inputs, sorted: of all, or of
// those named.
func assumedOf(inputs []input, ids ...string) []string {
	var list []uncertain.Input
	for _, in := range inputs {
		if len(ids) == 0 || slices.Contains(ids, in.in.ID) {
			list = append(list, in.in)
		}
	}
	return uncertain.Assumed(list...)
}

// add puts a result on the page.
func (p *sunPage) add(name string, value uncertain.Range, unit string, kind quantity.Kind, source string) {
	p.results = append(p.results, measured{uncertain.Result{Name: name, Value: value, Unit: unit, Assumed: p.assumed, Source: source}, kind})
}

func runCalcSun(o *sunOptions) error {
	p := &sunPage{draws: uncertain.NewDraws(draws, drawsSeed), units: system(o.units)}
	if err := moreThanNothing(o.flags, "film"); err != nil {
		return err
	}
	heat := o.shine
	if o.flags["surface"].given {
		heat = o.takeReading
	}
	if err := heat(p); err != nil {
		return inUnits(err, p.units)
	}
	if err := o.press(p); err != nil {
		return inUnits(err, p.units)
	}
	return o.app.printCautioned(p.cautions, p.title, p.results, p.notes, p.inputs, o.format, o.units)
}

// takeReading lets a measured temperature of the face stand for the sun.
func (o *sunOptions) takeReading(p *sunPage) error {
	if flag := o.sunFlag(); flag != "" {
		return usagef("--surface is your own reading of the face and takes the place of the sun; leave out --%s, or leave out --surface", flag)
	}
	by, list, err := read(o.flags, "surface")
	if err != nil {
		return err
	}
	for i := range p.draws.Len() {
		p.hot = append(p.hot, p.draws.Value(by["surface"], i))
	}
	p.title, p.inputs = "Heat under the film of a face as read", list
	p.add("face temperature, as read", uncertain.Summarise(p.hot), "K", quantity.Temperature, "")
	o.warn(p)
	return nil
}

// sunFlag is the first flag given that says something of the sun, or "".
func (o *sunOptions) sunFlag() string {
	for _, f := range []struct {
		name  string
		given bool
	}{
		{"colour", o.colour.value != ""}, {"absorptance", o.flags["absorptance"].given}, {"facing", o.facing.given},
		{"tilt", o.tilt.given}, {"day", o.day.given}, {"hour", o.hour.given}, {"solar-hour", o.solarHour.given},
		{"latitude", o.latitude.given}, {"longitude", o.longitude.given}, {"zone", o.zone.given},
		{"air", o.flags["air"].given}, {"wind", o.flags["wind"].given},
	} {
		if f.given {
			return f.name
		}
	}
	return ""
}

// burning is a face temperature in K, 140 F, that burns skin in seconds
// (common practice, no source).
const burning = 333.15

// warn puts the caution on the page when the face may be hot enough to burn.
func (o *sunOptions) warn(p *sunPage) {
	if uncertain.Summarise(p.hot).High > burning {
		p.cautions = append(p.cautions, fmt.Sprintf("a face over %s burns skin. Work the shade side, and do not lean on the face or lay a hand on it.",
			quantity.Format(quantity.Temperature, burning, p.units)))
	}
}

// inUnits words a refusal of a figure in the units of the page, as wrong use:
// the figure was typed.
func inUnits(err error, sys quantity.System) error {
	var out *uncertain.OutOfRange
	if errors.As(err, &out) {
		return usagef("%s; state it within those limits", out.In(sys))
	}
	return err
}

// moreThanNothing refuses a quantity of nothing where there must be some.
func moreThanNothing(flags map[string]*quantityFlag, names ...string) error {
	for _, name := range names {
		if f := flags[name]; f.given && f.value.Low <= 0 {
			return usagef("--%s must be more than nothing; for example --%s \"%s\"", name, name, f.kind.Example())
		}
	}
	return nil
}

// printCautioned prints a calculation with its cautions before anything else. In
// JSON they are the first notes.
func (a *app) printCautioned(cautions []string, title string, results []measured, notes []string, in []input, format, units *choice) error {
	if format.value == "json" {
		for _, c := range slices.Backward(cautions) {
			notes = slices.Insert(notes, 0, "Caution first: "+c)
		}
		return a.printCalculation(title, results, notes, in, format, units)
	}
	for _, c := range cautions {
		text := console.Wrap("Caution first: "+c, min(a.console.Width(), 100), "!  ", "   ")
		if _, err := fmt.Fprintf(a.console.Out(), "%s\n\n", text); err != nil {
			return fmt.Errorf("the result was not written: %w", err)
		}
	}
	return a.printCalculation(title, results, notes, in, format, units)
}

// wordFlag is a flag whose text is understood as soon as it is read.
type wordFlag[T any] struct {
	kind       string // what the help calls its value
	understand func(string) (T, error)
	typed      string
	value      T
	given      bool
}

func (f *wordFlag[T]) String() string { return f.typed }
func (f *wordFlag[T]) Type() string   { return f.kind }

func (f *wordFlag[T]) Set(s string) error {
	v, err := f.understand(s)
	if err != nil {
		return err
	}
	f.typed, f.value, f.given = s, v, true
	return nil
}
