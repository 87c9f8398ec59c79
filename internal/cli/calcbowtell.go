package cli

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"filmfault/internal/physics/bow"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// flat is a deflection in m that nobody can measure and rounding may leave.
const flat = 1e-7

// direction says in words which way a bow goes, and turns its range so that
// that way is positive. One whose middle is next to nothing beside its ends goes
// either way.
func direction(r uncertain.Range) (string, uncertain.Range) {
	most := max(math.Abs(r.Low), math.Abs(r.Mid), math.Abs(r.High))
	switch {
	case most < flat:
		return "flat", uncertain.Range{}
	case math.Abs(r.Mid) < most/50:
		return "either way, a minus hollow towards the back", r
	case r.Mid > 0:
		return "hollow towards the front", r
	}
	return "hollow towards the back", uncertain.Range{Mid: -r.Mid, Low: -r.High, High: -r.Low}
}

// tell puts a part of the bow on the page.
func (p *bowPage) tell(name string, r uncertain.Range, of uncertain.Result) {
	words, r := direction(r)
	of.Name, of.Value = name+", "+words, twoDigits(r, p.units)
	p.results = append(p.results, measured{of, quantity.Length})
}

// tellParts puts each coat, each face, heat, backer and the total on the page.
func (p *bowPage) tellParts(of bow.Prediction) {
	total := of.Result()
	total.Assumed = slices.Compact(slices.Sorted(slices.Values(slices.Concat(total.Assumed, assumedOf(p.inputs, "over")))))
	sums := map[string][]float64{}
	count := map[string]int{}
	add := func(name string, values []float64) {
		if sums[name] == nil {
			sums[name] = make([]float64, len(values))
		}
		count[name]++
		for i, v := range values {
			sums[name][i] += v
		}
	}
	for _, part := range of.Parts {
		switch part.Kind {
		case bow.OfCoat:
			p.tell(part.Face.String()+" "+part.Name, part.Deflection, total)
			add("coats of the "+part.Face.String(), part.Values)
			add("coats of both faces", part.Values)
		case bow.OfHeat:
			p.tell(part.Name, part.Deflection, total)
			add("all heat", part.Values)
		default:
			p.tell(part.Name, part.Deflection, total)
		}
	}
	front, back := count["coats of the front"], count["coats of the back"]
	for _, name := range []string{"coats of the front", "coats of the back", "coats of both faces", "all heat"} {
		// A sum of one says nothing new, nor does one of a single face.
		if count[name] > 1 && (name != "coats of both faces" || front > 0 && back > 0) {
			p.tell(name, uncertain.Summarise(sums[name]), total)
		}
	}
	p.tell("total", of.Total, total)
}

// explain sets the bow against the measured one.
func (o *bowOptions) explain(p *bowPage, of bow.Prediction) error {
	by, list, err := read(o.flags, "measured")
	if err != nil {
		return err
	}
	p.list(list[0].kind, middle(list[0].in))
	gap := by["measured"].Mid()
	signed := gap
	if o.hollow.value == "back" {
		signed = -gap
	}
	e, err := of.Explain(bow.Reading{Deflection: signed, Over: p.length})
	if err != nil {
		return tooMuch(err)
	}
	over, name := 48*0.0254, "4 ft"
	if p.units == quantity.SI {
		over, name = 1.2, "1.2 m"
	}
	restated, err := bow.Restate(gap, p.length, over)
	if err != nil {
		return err
	}
	p.results = append(p.results, measured{uncertain.Result{Name: "the measured bow, hollow towards the " + o.hollow.value + ", stated over " + name,
		Value: exactly(restated), Unit: "m"}, quantity.Length})
	p.notes = append(p.notes, p.sentences(o, e)...)
	return nil
}

// sentences say how much of the measured bow is explained.
func (p *bowPage) sentences(o *bowOptions, e bow.Explanation) []string {
	first := e.Sentence(p.units)
	coats := len(o.front.coats)+len(o.back.coats) > 0
	length := func(v float64) string {
		return quantity.Format(quantity.Length, twoDigits(uncertain.Range{Mid: v}, p.units).Mid, p.units)
	}
	over := length(math.Abs(e.Measured)) + " measured over " + quantity.Format(quantity.Length, e.Over, p.units)
	none := max(math.Abs(e.Coats.Low), math.Abs(e.Coats.High)) < flat
	switch {
	case !coats:
		first = "no coat was stated that could explain the " + over
	case none:
		first = "coats explain none of the " + over + ": both faces pull alike"
	}
	out := []string{strings.ToUpper(first[:1]) + first[1:] + "."}
	if coats && !none && e.SameWay > 0.005 && e.SameWay < 0.995 {
		out = append(out, fmt.Sprintf("The coats pull the way the panel bows in %.0f %% of what the inputs allow.", 100*e.SameWay))
	}
	if len(p.panel.Heats) == 0 && !o.flags["backer"].given {
		return out
	}
	words, all := direction(e.All)
	return append(out, fmt.Sprintf("Everything together makes %s, %s, against the %s measured hollow towards the %s.", length(all.Mid), words, length(math.Abs(e.Measured)), o.hollow.value))
}

// tellLimits says what a bow means and how far the figures can be trusted.
func (p *bowPage) tellLimits(o *bowOptions) {
	same := "1/2 in over 8 ft is the curve of 1/8 in over 4 ft"
	if p.units == quantity.SI {
		same = "12 mm over 2.4 m is the curve of 3 mm over 1.2 m"
	}
	p.notes = append(p.notes, "A gap counts for its length only: "+same+". A minus is the other way.")
	if len(o.front.coats)+len(o.back.coats) > 0 {
		p.notes = append(p.notes, "Coats pull as the stress left in them, which nobody measured here: a bow by coats is honest to a factor of five.")
	}
	p.notes = append(p.notes, "The board is taken as flat before, and free: one held by its fixings bows otherwise.")
	if o.flags["face-hotter-by"].given {
		p.notes = append(p.notes, "A bow by heat goes when the board cools: read the gap at dawn and when that face peaks (`filmfault calc sun` gives the hour).")
	}
	if o.wet.value != "" {
		p.notes = append(p.notes, "A bow by a wet face goes when the face has dried.")
	}
	for _, c := range slices.Concat(o.front.coats, o.back.coats) {
		if !c.film.IsExact() {
			p.notes = append(p.notes, "Films stated as a range are drawn apart, as coats and faces may differ, with the middle of the solids.")
			return
		}
	}
}
