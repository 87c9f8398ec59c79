package bow

import (
	"fmt"
	"math"

	"filmfault/internal/uncertain"
)

// Face is a side of the panel.
type Face int

// The faces. Front is the side deflections are told from.
const (
	Front Face = iota
	Back
)

// String gives "front" or "back".
func (f Face) String() string {
	if f == Back {
		return "back"
	}
	return "front"
}

// Lamina is what is bonded to a face: a coat, a sheet, a film, a wooden backer.
// Inputs without an ID count as 0, Cover as all; Thickness and Stiffness are
// needed. Materials that are the same should carry the same ids, so that one
// draw serves all of them.
type Lamina struct {
	// Name is what it is told under.
	Name string
	// Coat says that it is a coat of paint, primer or filler.
	Coat bool
	// Thickness in m, Stiffness in Pa, Poisson's ratio.
	Thickness, Stiffness, Poisson uncertain.Input
	// Stress in Pa with which it pulls if held flat; that of a dried coat.
	Stress uncertain.Input
	// Expansion in 1/K, and Warming in K since all was flat.
	Expansion, Warming uncertain.Input
	// Swelling is the strain for a moisture content that rises by 1, Wetting
	// the change of moisture content as a fraction since all was flat.
	Swelling, Wetting uncertain.Input
	// Cover is the share of the panel's width it covers: battens and frames.
	Cover uncertain.Input
}

// Board is the board in the middle.
type Board struct {
	// Thickness in m, Stiffness in Pa, Poisson's ratio, Expansion in 1/K.
	Thickness, Stiffness, Poisson, Expansion uncertain.Input
}

// Heat is a difference of temperature through the thickness of the board, with
// a straight line between the faces: some 20 min after a face was heated on 1
// in of foam, four times as long on 2 in.
type Heat struct {
	// Name is what it is told under: "sun on the front", "wet face".
	Name string
	// Difference is that of the front less that of the back, in K. A wet face
	// is colder.
	Difference uncertain.Input
}

// Panel is a panel with all that may bow it.
type Panel struct {
	Board Board
	// Front and Back are listed from the board outwards.
	Front, Back []Lamina
	Heats       []Heat
}

// Kind says what a part of a bow comes from.
type Kind int

// The kinds.
const (
	OfCoat Kind = iota
	OfSheet
	OfHeat
)

// Part is what one cause adds to the bow. Parts add up draw by draw.
type Part struct {
	Name string
	Kind Kind
	// Face is where the lamina is; Front for a heat.
	Face Face
	// Deflection is in m over the length of the prediction.
	Deflection uncertain.Range
	// Values is the deflection of each draw in m.
	Values []float64
}

// Prediction is the computed bow of a panel.
type Prediction struct {
	// Length is what deflections are over, in m.
	Length float64
	Parts  []Part
	// Total and Values are the sum of all parts, in m: positive for hollow seen
	// from the front.
	Total  uncertain.Range
	Values []float64
	// Assumed lists the ids of assumed inputs.
	Assumed []string
}

// source is where the formula of Predict comes from.
const source = "laminate with one curvature; for two layers Timoshenko 1925"

// Result gives the total as a result: deflection in m over Length.
func (p Prediction) Result() uncertain.Result {
	return uncertain.Result{Name: "bow", Value: p.Total, Unit: "m", Assumed: p.Assumed, Source: source}
}

// Coats gives the deflection in m of all coats together, and of each draw.
func (p Prediction) Coats() (uncertain.Range, []float64) {
	values := make([]float64, len(p.Values))
	for _, part := range p.Parts {
		if part.Kind != OfCoat {
			continue
		}
		for i, v := range part.Values {
			values[i] += v
		}
	}
	return uncertain.Summarise(values), values
}

// Predict computes the bow of a panel over a length in m, as Curvature and
// Deflection do, once per draw. The length is that of the straightedge, or that
// between fixings for a panel that is held. Errors: an input that cannot be
// drawn from, one outside the ranges of Layer, a bow too large for Deflection.
func Predict(panel Panel, length float64, d uncertain.Draws) (Prediction, error) {
	if err := checkLength(length); err != nil {
		return Prediction{}, err
	}
	inputs := panel.inputs()
	for _, in := range inputs {
		if err := in.Check(); err != nil {
			return Prediction{}, fmt.Errorf("bow: %w", err)
		}
	}
	p := Prediction{Length: length, Parts: panel.parts(d.Len()), Values: make([]float64, d.Len()), Assumed: uncertain.Assumed(inputs...)}
	for draw := range d.Len() {
		total, err := panel.draw(d, draw, p.Parts)
		if err != nil {
			return Prediction{}, fmt.Errorf("bow: %w", err)
		}
		if err := checkCurve(total, length); err != nil {
			return Prediction{}, fmt.Errorf("bow: %w", err)
		}
		p.Values[draw] = total
	}
	p.settle()
	return p, nil
}

// settle turns curvatures into deflections and sums them up.
func (p *Prediction) settle() {
	toDeflection := p.Length * p.Length / 8
	scale := func(values []float64) uncertain.Range {
		for i := range values {
			values[i] *= toDeflection
		}
		return uncertain.Summarise(values)
	}
	p.Total = scale(p.Values)
	for i := range p.Parts {
		p.Parts[i].Deflection = scale(p.Parts[i].Values)
	}
}

// inputs lists what a panel rests on: what has an id, and what is needed.
func (p Panel) inputs() []uncertain.Input {
	all := []uncertain.Input{p.Board.Thickness, p.Board.Stiffness}
	add := func(some ...uncertain.Input) {
		for _, in := range some {
			if in.ID != "" {
				all = append(all, in)
			}
		}
	}
	add(p.Board.Poisson, p.Board.Expansion)
	for _, side := range [][]Lamina{p.Front, p.Back} {
		for _, l := range side {
			all = append(all, l.Thickness, l.Stiffness)
			add(l.Poisson, l.Stress, l.Expansion, l.Warming, l.Swelling, l.Wetting, l.Cover)
		}
	}
	for _, h := range p.Heats {
		all = append(all, h.Difference)
	}
	return all
}

// parts lists the causes: laminae from the front to the back, then heats.
func (p Panel) parts(draws int) []Part {
	var parts []Part
	add := func(name string, k Kind, f Face) {
		parts = append(parts, Part{Name: name, Kind: k, Face: f, Values: make([]float64, draws)})
	}
	for i := len(p.Front) - 1; i >= 0; i-- {
		add(p.Front[i].Name, p.Front[i].kind(), Front)
	}
	for _, l := range p.Back {
		add(l.Name, l.kind(), Back)
	}
	for _, h := range p.Heats {
		add(h.Name, OfHeat, Front)
	}
	return parts
}

// kind is what a lamina's part is called.
func (l Lamina) kind() Kind {
	if l.Coat {
		return OfCoat
	}
	return OfSheet
}

// draw computes the curvature of one draw in 1/m and each part's share.
func (p Panel) draw(d uncertain.Draws, draw int, parts []Part) (float64, error) {
	layers, board, err := p.layers(d, draw)
	if err != nil {
		return 0, err
	}
	s := newStack(layers)
	total, depth, part := 0.0, 0.0, 0
	share := func(v float64) {
		parts[part].Values[draw] = v
		total += v
		part++
	}
	boardDepth := 0.0
	for i, l := range layers {
		if i == board {
			boardDepth = depth
		} else {
			share(s.share(l, depth))
		}
		depth += l.Thickness
	}
	expansion := value(d, p.Board.Expansion, draw)
	for _, h := range p.Heats {
		l := layers[board]
		l.FrontStrain = expansion * d.Value(h.Difference, draw)
		if err := l.check(); err != nil {
			return 0, err
		}
		share(s.share(l, boardDepth))
	}
	return total, nil
}

// layers gives the layers of one draw from the front to the back, and which one
// is the board.
func (p Panel) layers(d uncertain.Draws, draw int) ([]Layer, int, error) {
	layers := make([]Layer, 0, len(p.Front)+1+len(p.Back))
	for i := len(p.Front) - 1; i >= 0; i-- {
		layers = append(layers, p.Front[i].layer(d, draw, p.Board))
	}
	layers = append(layers, Layer{Thickness: d.Value(p.Board.Thickness, draw),
		Stiffness: d.Value(p.Board.Stiffness, draw), Poisson: value(d, p.Board.Poisson, draw)})
	for _, l := range p.Back {
		layers = append(layers, l.layer(d, draw, p.Board))
	}
	for _, l := range layers {
		if err := l.check(); err != nil {
			return nil, 0, err
		}
	}
	return layers, len(p.Front), nil
}

// layer is a lamina in one draw: its free strain is beyond that of the board,
// which warms along.
func (l Lamina) layer(d uncertain.Draws, draw int, b Board) Layer {
	out := Layer{Thickness: d.Value(l.Thickness, draw), Stiffness: d.Value(l.Stiffness, draw), Poisson: value(d, l.Poisson, draw)}
	strain := -value(d, l.Stress, draw) / out.plane()
	if l.Expansion.ID != "" {
		strain += (value(d, l.Expansion, draw) - value(d, b.Expansion, draw)) * value(d, l.Warming, draw)
	}
	strain += value(d, l.Swelling, draw) * value(d, l.Wetting, draw)
	if l.Cover.ID != "" {
		out.Stiffness *= math.Max(d.Value(l.Cover, draw), 1e-9)
	}
	out.FrontStrain, out.BackStrain = strain, strain
	return out
}

// value draws an input, 0 for one that was not given.
func value(d uncertain.Draws, in uncertain.Input, draw int) float64 {
	if in.ID == "" {
		return 0
	}
	return d.Value(in, draw)
}
