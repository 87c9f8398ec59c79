package implied

import (
	"context"
	"slices"

	"filmfault/internal/replay"
	"filmfault/internal/rulebase"
	"filmfault/internal/uncertain"
)

// Event is one thing that went wrong by the log, and what would have kept it
// from happening.
type Event struct {
	// Calculation is that of the rules; its ID is "" for an event that does not
	// enter the network.
	Calculation rulebase.Calculation
	Title       string
	// Chance as logged, over the draws, and its mean.
	Chance uncertain.Range
	Mean   float64
	// Alone is each departure undone; none for an event that did not happen.
	Alone []Undone
	// Smallest are the smallest sets of departures, of two at most, each of which
	// undone would have kept the film sound; empty when none of them would.
	Smallest [][]replay.Departure

	chance []float64
}

// Undone is one departure undone, the rest as logged.
type Undone struct {
	replay.Departed
	// Mean is the chance of the event without it.
	Mean float64
	// Sound says that it alone would have kept the film sound.
	Sound bool
	// Share is, per draw, the part of the event that is its fault.
	Share []float64
}

// sunEvent is the event that a wet finish is put in sun; it enters no ranking.
const sunEvent = "The finish too wet when it was put in sun"

// soundBelow is the chance of an event below which a film counts as sound.
const soundBelow = clearlyBelow

// ButFor undoes each departure of the job alone, and pairs of them, and says
// which would have kept each event from happening. Errors: those of a replay.
func (l *Log) ButFor(ctx context.Context, draws int) ([]Event, error) {
	b := butFor{l: l, ctx: ctx, draws: draws}
	var out []Event
	for _, x := range l.events() {
		e, err := b.event(x)
		if err != nil {
			return nil, err
		}
		if e != nil {
			out = append(out, *e)
		}
	}
	return out, nil
}

// asked is an event to ask about: a film and its limit, or the bend.
type asked struct {
	calculation rulebase.Calculation
	title       string
	layer       replay.Layer
	bend        bool
}

func (l *Log) events() []asked {
	var out []asked
	primer, ok := l.base.CalculationOf(rulebase.ClosingPrimer)
	if ok {
		out = append(out, asked{primer, primer.Title, replay.Primer, false})
	}
	colour, ok := l.base.CalculationOf(rulebase.ClosingColour)
	if ok {
		sun := colour
		sun.ID = ""
		out = append(out, asked{colour, colour.Title, replay.Colour, false}, asked{sun, sunEvent, replay.Whole, false})
	}
	if c, ok := l.base.CalculationOf(rulebase.CoatsBow); ok && l.bend != nil {
		out = append(out, asked{c, c.Title, 0, true})
	}
	return out
}

type butFor struct {
	l     *Log
	ctx   context.Context
	draws int
	runs  map[string]*replay.Outcome
}

// concerns reports whether a departure can have a part in the event.
func (x asked) concerns(d replay.Departure) bool {
	if d == replay.Shade {
		return x.layer == replay.Whole && !x.bend
	}
	return bends(d) == x.bend
}

// bends reports whether a departure is one of the coats' balance, which bends
// and does not wet.
func bends(d replay.Departure) bool {
	return slices.Contains([]replay.Departure{replay.BareBack, replay.Coats, replay.Kinds, replay.Films}, d)
}

func (b *butFor) event(x asked) (*Event, error) {
	chance := b.logged(x)
	if chance == nil {
		return nil, nil
	}
	e := &Event{Calculation: x.calculation, Title: x.title, Chance: uncertain.Summarise(chance), Mean: mean(chance), chance: chance}
	if e.Mean < negligible {
		return e, nil // there is nothing to keep from happening
	}
	var mine []replay.Departure
	for _, d := range b.l.Departures {
		if !x.concerns(d.Departure) {
			continue
		}
		without, err := b.chance(x, []replay.Departure{d.Departure})
		if err != nil {
			return nil, err
		}
		mine = append(mine, d.Departure)
		e.Alone = append(e.Alone, Undone{Departed: d, Mean: mean(without), Sound: mean(without) < soundBelow, Share: shares(chance, without)})
	}
	if e.Mean < soundBelow {
		return e, nil
	}
	return e, b.smallest(x, e, mine)
}

// smallest finds the smallest sets that keep the film sound.
func (b *butFor) smallest(x asked, e *Event, mine []replay.Departure) error {
	for _, u := range e.Alone {
		if u.Sound {
			e.Smallest = append(e.Smallest, []replay.Departure{u.Departure})
		}
	}
	if len(e.Smallest) > 0 {
		return nil
	}
	for i, first := range mine {
		for _, second := range mine[i+1:] {
			without, err := b.chance(x, []replay.Departure{first, second})
			if err != nil {
				return err
			}
			if mean(without) < soundBelow {
				e.Smallest = append(e.Smallest, []replay.Departure{first, second})
			}
		}
	}
	return nil
}

// shares is, per draw, the part of an event's probability that would not be.
func shares(chance, without []float64) []float64 {
	out := make([]float64, len(without))
	for s := range out { // the first draws
		if chance[s] > 0 {
			out[s] = min(1, max(0, 1-without[s]/chance[s]))
		}
	}
	return out
}

// logged is the probability of an event per draw as logged, in all draws.
func (b *butFor) logged(x asked) []float64 {
	if x.bend {
		return replay.TooFar(b.l.bend, limit(x.calculation))
	}
	return b.l.Outcome.TooWet(x.layer, limit(x.calculation))
}

// chance is the probability of an event per draw with departures undone.
func (b *butFor) chance(x asked, undo []replay.Departure) ([]float64, error) {
	if x.bend {
		return make([]float64, b.draws), nil // equal faces bend nothing
	}
	o, err := b.run(undo, x.layer)
	if err != nil {
		return nil, err
	}
	return o.TooWet(x.layer, limit(x.calculation)), nil
}

// run replays once for each film and set of departures.
func (b *butFor) run(undo []replay.Departure, film replay.Layer) (*replay.Outcome, error) {
	key := film.String()
	for _, d := range undo {
		key += " " + string(d)
	}
	if o, ok := b.runs[key]; ok {
		return o, nil
	}
	o, err := b.l.Job.Run(b.ctx, uncertain.NewDraws(b.draws, Seed), replay.Undoing(undo...), film)
	if err != nil {
		return nil, err
	}
	if b.runs == nil {
		b.runs = map[string]*replay.Outcome{}
	}
	b.runs[key] = o
	return o, nil
}
