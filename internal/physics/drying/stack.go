package drying

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"filmfault/internal/physics/drying/exchange"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Stack is one face of a board with what is on it.
type Stack struct {
	// Face is the panel and how it stands.
	Face exchange.Face
	// Layers are the coats from the board outwards; none is a bare board.
	Layers []Layer
	// Mask lies over them, or nil.
	Mask *Mask
}

// Check refuses a stack with a part that cannot be.
func (s Stack) Check() error {
	if err := s.Face.Check(); err != nil {
		return err
	}
	for i, l := range s.Layers {
		if err := l.Check(); err != nil {
			return fmt.Errorf("coat %d: %w", i+1, err)
		}
	}
	if s.Mask != nil {
		return s.Mask.Check()
	}
	return nil
}

// Event is something done to the face; exactly one of its fields but Time is
// set. The air changes by its own log.
type Event struct {
	// Time in s, on the clock of the air.
	Time float64
	// Coat is applied over all that is there.
	Coat *Layer
	// Mask is laid on.
	Mask *Mask
	// MaskOff takes the mask off.
	MaskOff bool
	// Sanded is the dry thickness taken off in m, with the water it holds.
	Sanded float64
}

// CoatOn is a coat applied at a time.
func CoatOn(t float64, l Layer) Event { return Event{Time: t, Coat: &l} }

// MaskOn is a mask laid on at a time.
func MaskOn(t float64, m Mask) Event { return Event{Time: t, Mask: &m} }

// MaskOff is the mask taken off at a time.
func MaskOff(t float64) Event { return Event{Time: t, MaskOff: true} }

// SandOff is sanding that takes off a dry thickness in m at a time.
func SandOff(t, dry float64) Event { return Event{Time: t, Sanded: dry} }

// check refuses an event that says nothing, says two things, or cannot be.
func (e Event) check() error {
	said := 0
	for _, is := range []bool{e.Coat != nil, e.Mask != nil, e.MaskOff, e.Sanded != 0} {
		if is {
			said++
		}
	}
	switch {
	case math.IsNaN(e.Time):
		return errors.New("it has no time")
	case said != 1:
		return errors.New("it must be one thing: a coat, a mask on, a mask off or sanding")
	case e.Coat != nil:
		return e.Coat.Check()
	case e.Mask != nil:
		return e.Mask.Check()
	case e.Sanded != 0:
		return uncertain.Within("thickness sanded off", quantity.Film, e.Sanded, 1e-9, 5e-3)
	}
	return nil
}

// Options say from when to when to compute, and how finely. The zero values
// after From and To are the usual ones.
type Options struct {
	// From and To are the times in s.
	From, To float64
	// MaxStep is the longest step in s, 900 when 0.
	MaxStep float64
	// Tolerance is the water that a step may put in the wrong place, as a share
	// of all there is, by an estimate that is on the safe side; .003 when 0.
	Tolerance float64
	// Cells is the number of cells for each coat, 8 when 0, at most 1000.
	Cells int
	// Fixed makes every step as long as it may be, with no estimate: for
	// comparisons.
	Fixed bool
}

// filled gives the options with their usual values.
func (o Options) filled() (Options, error) {
	if o.MaxStep == 0 {
		o.MaxStep = 900
	}
	if o.Tolerance == 0 {
		o.Tolerance = 0.003
	}
	if o.Cells == 0 {
		o.Cells = 8
	}
	if !(o.To >= o.From) || math.IsInf(o.To-o.From, 0) {
		return o, fmt.Errorf("the end, %g s, must not be before the start, %g s", o.To, o.From)
	}
	if err := uncertain.Within("longest step", quantity.Duration, o.MaxStep, 0.01, 1e6); err != nil {
		return o, err
	}
	if err := uncertain.WithinUnit("tolerance of a step", "", o.Tolerance, 1e-9, 1); err != nil {
		return o, err
	}
	return o, uncertain.WithinUnit("cells for each coat", "", float64(o.Cells), 2, 1000)
}

// orderly checks the events and gives them in order of time; those of one time
// keep theirs.
func orderly(events []Event, o Options) ([]Event, error) {
	sorted := append([]Event(nil), events...)
	sort.SliceStable(sorted, func(i, j int) bool { return sorted[i].Time < sorted[j].Time })
	for i, e := range sorted {
		if err := e.check(); err != nil {
			return nil, fmt.Errorf("event %d: %w", i+1, err)
		}
		if e.Time < o.From || e.Time > o.To {
			return nil, fmt.Errorf("event %d is at %g s, outside the time computed, %g to %g s", i+1, e.Time, o.From, o.To)
		}
	}
	return sorted, nil
}
