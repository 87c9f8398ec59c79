package cli

import (
	"errors"
	"regexp"
	"strconv"
	"strings"

	"filmfault/internal/physics/bow"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

var expansionForm = regexp.MustCompile(`(?i)^([0-9.]{1,12}(?:e-[0-9]{1,2})?)(?: ?- ?([0-9.]{1,12}(?:e-[0-9]{1,2})?))? ?(?:in/in)? ?(?:/|per) ?(?:deg|degree)? ?([KCF])$`)

// readExpansion reads how much a board grows with heat, such as "6e-5/K", as an
// input in 1/K.
func readExpansion(s string) (uncertain.Input, error) {
	const write = "write it as 6e-5/K, 3.3e-5/F or 5e-5 - 1e-4 /K"
	m := expansionForm.FindStringSubmatch(strings.TrimSpace(s))
	if m == nil {
		return uncertain.Input{}, errors.New("it is no growth with heat; " + write)
	}
	low, err := strconv.ParseFloat(m[1], 64)
	high := low
	if err == nil && m[2] != "" {
		high, err = strconv.ParseFloat(m[2], 64)
	}
	if strings.EqualFold(m[3], "F") {
		low, high = low*1.8, high*1.8
	}
	if err != nil || low < 1e-6 || high > 1e-3 || low > high {
		return uncertain.Input{}, errors.New("boards grow by 1e-6 to 1e-3 of their length per K, the smaller number first; " + write)
	}
	return uncertain.Input{ID: "board-expansion", Low: low, High: high, Unit: "1/K", Source: "stated"}, nil
}

// checkBoard refuses a board of which too little or too much is said.
func (o *bowOptions) checkBoard() error {
	density, stiffness := o.flags["density"].given, o.flags["stiffness"].given
	switch {
	case !o.flags["board"].given:
		return usagef("--board is missing: how thick is the board? For example --board \"1 in\"")
	case density && stiffness:
		return usagef("state --density or --stiffness, not both: the density only stands for the stiffness")
	case !density && !stiffness:
		return usagef("--density is missing; for example --density \"15 lb/ft3\", or --stiffness \"100 MPa\" if it was measured")
	}
	return moreThanNothing(o.flags, "board", "density", "stiffness", "over", "backer", "backer-cover")
}

// layBoard puts the board on the panel.
func (o *bowOptions) layBoard(p *bowPage) error {
	if err := o.checkBoard(); err != nil {
		return err
	}
	by, list, err := read(o.flags, "board", "density", "stiffness", "over")
	if err != nil {
		return err
	}
	const anyDensity = 240 // kg/m3; stands in where the stiffness is stated
	low, high := by["density"].Low, by["density"].High
	if by["density"].ID == "" {
		low, high = anyDensity, anyDensity
	}
	soft, err := bow.Foam(by["board"], low)
	if err != nil {
		return err
	}
	stiff, err := bow.Foam(by["board"], high)
	if err != nil {
		return err
	}
	p.panel.Board, p.length = soft, by["over"].Mid()
	p.panel.Board.Stiffness.High = stiff.Stiffness.High
	if s := by["stiffness"]; s.ID != "" {
		s.ID = "board-stiffness"
		p.panel.Board.Stiffness = s
	}
	if o.expansion.given {
		p.panel.Board.Expansion = o.expansion.value
	}
	for _, in := range list {
		switch in.in.ID {
		case "stiffness": // told as that of the board
		case "over":
			p.list(in.kind, middle(in.in))
		default:
			p.list(in.kind, in.in)
		}
	}
	p.list(quantity.Pressure, p.panel.Board.Stiffness)
	p.list(quantity.Number, p.panel.Board.Poisson)
	return nil
}

// middle is an input of which only the middle is used.
func middle(in uncertain.Input) uncertain.Input {
	in.Low, in.High = in.Mid(), in.Mid()
	return in
}

// warm puts differences of temperature through the board on the panel.
func (o *bowOptions) warm(p *bowPage) error {
	by, list, err := read(o.flags, "face-hotter-by", "wet-cooler-by")
	if err != nil {
		return err
	}
	if o.wet.value == "" && o.flags["wet-cooler-by"].given {
		return usagef("which face is wet? Add --wet front or --wet back")
	}
	for _, in := range list {
		if in.in.ID == "face-hotter-by" || o.wet.value != "" {
			p.list(in.kind, in.in)
		}
	}
	if in := by["face-hotter-by"]; in.ID != "" {
		p.panel.Heats = append(p.panel.Heats, bow.Heat{Name: p.heatName(in), Difference: in})
	}
	if o.wet.value != "" {
		in := by["wet-cooler-by"]
		if in.Low < 0 {
			return usagef("a wet face is cooler: write --wet-cooler-by without a minus")
		}
		if o.wet.value == "front" {
			in.Low, in.High = -in.High, -in.Low
		}
		p.panel.Heats = append(p.panel.Heats, bow.Heat{Name: "wet " + o.wet.value + ", cooler", Difference: in})
	}
	if len(p.panel.Heats) == 0 {
		if o.expansion.given {
			return usagef("--expansion is of use with --face-hotter-by or --wet only; add one of them")
		}
		p.panel.Board.Expansion = uncertain.Input{} // nothing rests on it
		return nil
	}
	// Shown in millionths, as whole numbers are easier to read.
	shown := p.panel.Board.Expansion
	shown.Low, shown.High, shown.Unit = shown.Low*1e6, shown.High*1e6, "millionths per K"
	p.list(quantity.Number, shown)
	return nil
}

// heatName says how much hotter or cooler the front is.
func (p *bowPage) heatName(in uncertain.Input) string {
	if in.High < 0 {
		return "heat, front cooler by " + quantity.FormatRange(quantity.TemperatureDifference, -in.High, -in.Low, p.units)
	}
	return "heat, front hotter by " + quantity.FormatRange(quantity.TemperatureDifference, in.Low, in.High, p.units)
}

// layBacker puts a wooden backer on the panel.
func (o *bowOptions) layBacker(p *bowPage) error {
	lost, gained := o.flags["backer-lost"].given, o.flags["backer-gained"].given
	switch backer := o.flags["backer"].given; {
	case !backer && (lost || gained || o.flags["backer-cover"].given):
		return usagef("--backer is missing: how thick is the wood? For example --backer \"3/4 in\"")
	case !backer:
		return nil
	case lost == gained:
		return usagef("say once how the wood's moisture changed since it was bonded, for example --backer-lost \"3 %%\" or --backer-gained \"3 %%\"; 0 %% if it did not")
	}
	by, list, err := read(o.flags, "backer", "backer-lost", "backer-gained", "backer-cover")
	if err != nil {
		return err
	}
	for _, in := range list {
		p.list(in.kind, in.in)
	}
	wood := bow.Lamina{Name: "wooden backer", Thickness: by["backer"], Cover: by["backer-cover"], Wetting: by["backer-gained"],
		Swelling: bow.WoodAlong(), Stiffness: woodStiffness("along", 8e9, 13e9)}
	if lost {
		wood.Wetting = by["backer-lost"]
		wood.Wetting.Low, wood.Wetting.High = -by["backer-lost"].High, -by["backer-lost"].Low
	}
	if o.grain.value == "across" {
		wood.Swelling, wood.Stiffness = bow.WoodAcross(), woodStiffness("across", 0.4e9, 1.2e9)
	}
	p.list(quantity.Pressure, wood.Stiffness)
	p.list(quantity.Share, wood.Swelling)
	p.panel.Back = append(p.panel.Back, wood)
	return nil
}

// woodStiffness is Young's modulus of common softwood and hardwood in Pa.
func woodStiffness(grain string, low, high float64) uncertain.Input {
	return uncertain.Input{ID: "wood-stiffness-" + grain, Low: low, High: high, Unit: "Pa", Spread: uncertain.EvenInLog, Assumed: true,
		Source: "USDA Wood Handbook chapter 5, from memory"}
}
