package cli

import (
	"errors"
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"filmfault/internal/physics/bow"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

type bowOptions struct {
	app           *app
	flags         map[string]*quantityFlag
	front, back   *coatFlag
	expansion     *wordFlag[uncertain.Input]
	hollow, wet   *choice
	grain         *choice
	format, units *choice
}

func newCalcBow(a *app) *cobra.Command {
	o := &bowOptions{
		app: a, flags: bowQuantities(), front: &coatFlag{face: bow.Front}, back: &coatFlag{face: bow.Back},
		expansion: &wordFlag[uncertain.Input]{kind: "figure", understand: readExpansion},
		hollow:    &choice{known: []string{"front", "back"}}, wet: &choice{known: []string{"front", "back"}},
		grain: &choice{value: "along", known: []string{"along", "across"}},
	}
	cmd := &cobra.Command{
		Use:   "bow",
		Short: "How far unequal coats, heat and a wooden backer bow a panel, and which way",
		Long: "How far unequal coats, heat through the board and a wooden backer bow a panel, and which\n" +
			"way. A coat is written as material and wet film: \"acrylic-paint 4 mil\", with x2 for two\n" +
			"coats and dry for a dry film. Name the coats from the board outwards, each with its own\n" +
			"--front or --back. Materials: high-build-primer, acrylic-paint, alkyd-enamel,\n" +
			"two-part-urethane, filler. With --measured it says how much of your bow the coats explain.",
		Example: "  filmfault calc bow --board \"1 in\" --density \"15 lb/ft3\" \\\n" +
			"    --front \"high-build-primer 10 mil x2\" --front \"acrylic-paint 4 mil x2\" --back \"acrylic-paint 4 mil\"\n" +
			"  filmfault calc bow --board \"1 in\" --density \"15 lb/ft3\" --front \"high-build-primer 10 mil\" \\\n" +
			"    --face-hotter-by 20F --measured \"1/2 in\" --over \"8 ft\" --hollow back",
		Args: takes(0, 0, ""),
		RunE: func(*cobra.Command, []string) error { return runCalcBow(o) },
	}
	o.addFlags(cmd)
	return cmd
}

// bowQuantities are the flags of `calc bow` that take quantities.
func bowQuantities() map[string]*quantityFlag {
	return map[string]*quantityFlag{
		"board":          {kind: quantity.Length, unit: "in"},
		"density":        {kind: quantity.Density, unit: "lb/ft3"},
		"stiffness":      {kind: quantity.Pressure},
		"over":           {kind: quantity.Length, assumed: "4 ft", because: "a usual straightedge; common practice, no source"},
		"measured":       {kind: quantity.Length, unit: "in"},
		"face-hotter-by": {kind: quantity.TemperatureDifference, unit: "F"},
		"wet-cooler-by":  {kind: quantity.TemperatureDifference, unit: "F", assumed: "4-12 F", because: "a drying face comes near the wet bulb; judgement, no source"},
		"backer":         {kind: quantity.Length, unit: "in"},
		"backer-lost":    {kind: quantity.Share, unit: "%"},
		"backer-gained":  {kind: quantity.Share, unit: "%"},
		"backer-cover":   {kind: quantity.Share, unit: "%", assumed: "100 %", because: "a full sheet"},
	}
}

// addFlags adds the flags of `calc bow`.
func (o *bowOptions) addFlags(cmd *cobra.Command) {
	quantityFlags(cmd, o.flags, map[string]string{
		"board": "thickness of the board", "density": "density of the board", "stiffness": "Young's modulus of the board, in place of its density",
		"over": "length of the straightedge", "measured": "bow as measured at the middle of the straightedge",
		"face-hotter-by": "how much hotter the front is than the back; a minus is colder",
		"wet-cooler-by":  "how much cooler the wet face is",
		"backer":         "thickness of a wooden backer bonded to the back",
		"backer-lost":    "moisture the wood has lost since, such as 3 %", "backer-gained": "moisture the wood has taken up since",
		"backer-cover": "share of the back that the wood covers",
	})
	add := cmd.Flags()
	add.Var(o.front, "front", "a coat on the front; may be repeated")
	add.Var(o.back, "back", "a coat on the back; may be repeated")
	add.Var(o.expansion, "expansion", "growth of the board with heat, such as 6e-5/K or 3.3e-5/F")
	add.Var(o.hollow, "hollow", "the face that was hollow when measured")
	add.Var(o.wet, "wet", "a face that is wet and cooler")
	add.Var(o.grain, "backer-grain", "how the grain of the wood runs to the straightedge")
	o.format, o.units = formatFlag(cmd), unitsFlag(cmd)
}

// bowPage gathers what `calc bow` prints.
type bowPage struct {
	results []measured
	notes   []string
	inputs  []input
	listed  map[string]bool
	draws   uncertain.Draws
	units   quantity.System
	panel   bow.Panel
	length  float64 // of the straightedge, m
}

// list puts inputs on the page, each once.
func (p *bowPage) list(kind quantity.Kind, inputs ...uncertain.Input) {
	for _, in := range inputs {
		if in.ID != "" && !p.listed[in.ID] {
			p.listed[in.ID] = true
			p.inputs = append(p.inputs, input{in, kind})
		}
	}
}

// strapFirst is said before anything on a bow.
const strapFirst = "never loosen, lift or detach a bowed panel while it hangs. Strap it first, and clear people from below."

func runCalcBow(o *bowOptions) error {
	p := &bowPage{listed: map[string]bool{}, draws: uncertain.NewDraws(draws, drawsSeed), units: system(o.units)}
	if err := o.bend(p); err != nil {
		return inUnits(err, p.units)
	}
	title := fmt.Sprintf("Bow of a board of %s over %s", quantity.FormatRange(quantity.Length, o.flags["board"].value.Low, o.flags["board"].value.High, p.units),
		quantity.Format(quantity.Length, p.length, p.units))
	return o.app.printCautioned([]string{strapFirst}, title, p.results, p.notes, p.inputs, o.format, o.units)
}

// bend makes the panel, computes its bow and fills the page.
func (o *bowOptions) bend(p *bowPage) error {
	if err := o.checkMeasured(); err != nil {
		return err
	}
	for _, step := range []func(*bowPage) error{o.layBoard, o.layCoats, o.layBacker, o.warm} {
		if err := step(p); err != nil {
			return err
		}
	}
	if len(p.panel.Front)+len(p.panel.Back)+len(p.panel.Heats) == 0 {
		return usagef("there is nothing that could bow the board; name a coat, for example --front \"high-build-primer 10 mil x2\", or say --face-hotter-by \"20 F\"")
	}
	prediction, err := bow.Predict(p.panel, p.length, p.draws)
	if err != nil {
		return tooMuch(err)
	}
	p.tellParts(prediction)
	if o.flags["measured"].given {
		if err := o.explain(p, prediction); err != nil {
			return err
		}
	}
	p.tellLimits(o)
	return nil
}

// tooMuch says what to do about a bow that is no longer one.
func tooMuch(err error) error {
	var out *uncertain.OutOfRange
	if errors.As(err, &out) && out.Name == "curvature times length" {
		return usagef("so strong a curve is no bow any more over that length; look at the figures again, or take a shorter --over")
	}
	return err
}

// checkMeasured refuses a reading of which a part is missing.
func (o *bowOptions) checkMeasured() error {
	m := o.flags["measured"]
	switch {
	case !m.given && o.hollow.value != "":
		return usagef("--hollow says which way a measured bow goes; add --measured, for example --measured \"1/2 in\"")
	case !m.given:
		return nil
	case m.value.Low < 0:
		return usagef("a measured bow is a gap and has no minus; say --hollow front or --hollow back")
	case m.value.Mid() == 0:
		return usagef("the panel was measured flat: there is no bow to explain; leave --measured out")
	case o.hollow.value == "":
		return usagef("which face is hollow? Add --hollow front or --hollow back")
	case !o.flags["over"].given:
		return usagef("a bow means nothing without the length it was measured over; add --over, for example --over \"8 ft\"")
	}
	return nil
}

// twoDigits rounds a range of lengths to two digits that count, in inches or
// mm: these figures are not known better.
func twoDigits(r uncertain.Range, sys quantity.System) uncertain.Range {
	unit := 0.0254
	if sys == quantity.SI {
		unit = 0.001
	}
	round := func(v float64) float64 {
		if v == 0 || math.IsInf(v, 0) {
			return v
		}
		digit := math.Pow(10, math.Floor(math.Log10(math.Abs(v)/unit))-1) * unit
		return math.Round(v/digit) * digit
	}
	return uncertain.Range{Mid: round(r.Mid), Low: round(r.Low), High: round(r.High)}
}
