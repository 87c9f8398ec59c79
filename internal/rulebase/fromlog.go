package rulebase

import (
	"maps"
	"slices"

	"filmfault/internal/quantity"
)

// FromLog says that a finding need not be asked where the job log has the answer.
type FromLog struct {
	Reads string // UntilSun, UntilWet, UntilWrapped, UntilGraphics, MostThinner or ColdestSurface
	// Below is the bound of a finding that is answered yes or no, in SI: yes below
	// it. nil for a finding that takes the figure itself.
	Below *float64
}

// What can be read in a log without computing.
const (
	UntilSun       = "until-sun"       // from the last coat until it stood or hung in sun
	UntilWet       = "until-wet"       // until rain, dew or a sprinkler wet it
	UntilWrapped   = "until-wrapped"   // until it was wrapped
	UntilGraphics  = "until-graphics"  // until graphics went on
	MostThinner    = "most-thinner"    // the most any coat of primer was thinned
	ColdestSurface = "coldest-surface" // the least in the first 12 h after a coat
)

// Readable lists what can be read in a log, and the kind of each.
func Readable() map[string]quantity.Kind {
	return map[string]quantity.Kind{
		UntilSun: quantity.Duration, UntilWet: quantity.Duration, UntilWrapped: quantity.Duration, UntilGraphics: quantity.Duration,
		MostThinner: quantity.Share, ColdestSurface: quantity.Temperature,
	}
}

// fromLog reads `from-log: {reads: until-wrapped, below: 3 days}`.
func (it item) fromLog(f Finding) *FromLog {
	if !it.Has("from-log") {
		return nil
	}
	m := it.Get("from-log").Fields(it.d, "from-log", "reads", "below")
	out := FromLog{Reads: m.Need(it.d, "reads").Text(it.d, "what is read")}
	it.among(m.Get("reads"), "thing a log says", out.Reads, slices.Sorted(maps.Keys(Readable())))
	kind, ok := Readable()[out.Reads]
	switch {
	case !ok:
	case f.Value != nil:
		if f.Value.Kind != kind {
			it.d.Error(m.Get("reads").Span(), "from-log", out.Reads+" is "+kind.String()+", and the finding takes "+f.Value.Kind.String(), "something that is "+f.Value.Kind.String())
		}
		if m.Has("below") {
			it.d.Error(m.Get("below").Span(), "from-log", "the finding takes a figure, so that no bound is needed", "from-log: {reads: "+out.Reads+"}")
		}
	case len(f.Answers) != 2 || f.Answers[0].ID != "yes" || f.Answers[1].ID != "no":
		it.d.Error(m.Span(), "from-log", "only a figure, or yes and no, can be read in a log", "value: with answers in bands, or no answers: at all")
	default:
		sub := item{Fields: m, d: it.d, id: it.id}
		m.Need(it.d, "below")
		out.Below = it.bound(sub, "below", &Value{Kind: kind})
	}
	return &out
}
