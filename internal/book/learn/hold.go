package learn

import (
	"math"
	"slices"

	"filmfault/internal/rulebase"
)

// scaler holds the totals of failures while the odds between their causes move:
// one scale for each failure held, on the rates of the causes at home there.
type scaler struct {
	moves   []*Move
	totals  *totals
	written map[string]float64 // how frequent each failure is, by the rules
	held    []string           // failures, base order
	home    []home             // per move
	factor  []float64          // per move: what its odds move by
	scale   map[string]float64 // per failure held
	rates   []float64          // per event of the base, as written
	at      []int              // per move: place of its event in the base
}

// home is the failure that a cause is learned with, and its share in such cases;
// "" for a cause of no failure that the book has cases of.
type home struct {
	failure string
	share   float64
}

func newScaler(b *rulebase.Base, moves []*Move, p priors, cases map[string]int) (*scaler, error) {
	m := newModel(b)
	t, err := m.totals()
	if err != nil {
		return nil, err
	}
	s := &scaler{moves: moves, totals: t, rates: m.rates(), scale: map[string]float64{}, home: make([]home, len(moves))}
	place := map[string]int{}
	for i, e := range b.Events {
		place[e.ID] = i
	}
	for _, x := range moves {
		s.factor, s.at = append(s.factor, 1), append(s.at, place[x.Cause.ID])
	}
	if s.written, err = t.of(s.rates); err != nil {
		return nil, err
	}
	return s, s.findHomes(b, p, cases)
}

// findHomes finds for each cause the failure that the cases are expected to owe it
// most, the first of the base where two are level. A failure is held if at least
// half of what leads to it is at home there; any other follows from those, for the
// few causes left to it would have to make up for all that the many do.
func (s *scaler) findHomes(b *rulebase.Base, p priors, cases map[string]int) error {
	most, shares := make([]float64, len(s.moves)), map[string]map[string]float64{}
	for _, g := range b.Failures() {
		if cases[g.ID] == 0 {
			continue
		}
		of, err := p.contributions([]string{g.ID}, nil, rulebase.Facts{})
		if err != nil {
			return err
		}
		shares[g.ID] = of
		for i, m := range s.moves {
			x := of[m.Cause.ID]
			if due := x * float64(cases[g.ID]); due > most[i]*(1+1e-9) {
				most[i], s.home[i] = due, home{g.ID, x}
			}
		}
	}
	for _, g := range b.Failures() {
		own, all := 0.0, 0.0
		for i, m := range s.moves {
			x := shares[g.ID][m.Cause.ID]
			all += x
			if s.home[i].failure == g.ID {
				own += x
			}
		}
		if own > 0 && own >= all/2 {
			s.held, s.scale[g.ID] = append(s.held, g.ID), 1
		}
	}
	return nil
}

// scaled is what a move's rate is multiplied by.
func (s *scaler) scaled(i int) float64 {
	if x, held := s.scale[s.home[i].failure]; held {
		return s.factor[i] * x
	}
	return s.factor[i]
}

// now is how frequent the failures are with the factors and scales as they stand.
func (s *scaler) now() (map[string]float64, error) {
	rates := slices.Clone(s.rates)
	for i, at := range s.at {
		if x := s.scaled(i); x != 1 {
			rates[at] = min(mostRate, rates[at]*x)
		}
	}
	return s.totals.of(rates)
}

// The accuracy to which totals are held, and after how many rounds it is given up.
const (
	heldTo = 1e-12
	rounds = 200
)

// hold finds the scales, one failure after the other until all totals stand: what
// one moves disturbs another only through the causes that they share. A failure
// that no scale holds is left to follow.
func (s *scaler) hold() error {
	for range rounds {
		stand := true
		for _, f := range slices.Clone(s.held) {
			now, err := s.now()
			if err != nil {
				return err
			}
			if math.Abs(now[f]-s.written[f]) <= heldTo {
				continue
			}
			stand = false
			if err := s.holdOne(f); err != nil {
				return err
			}
		}
		if stand {
			break
		}
	}
	return nil
}

// holdOne scales the causes at home at a failure until it is as frequent as it
// was. Its total rises with the scale: the scale is bracketed, and the bracket
// narrowed by the line through its ends and by halving in turn.
func (s *scaler) holdOne(failure string) error {
	off := func(x float64) (float64, error) {
		s.scale[failure] = x
		now, err := s.now()
		return now[failure] - s.written[failure], err
	}
	low, high := s.scale[failure], s.scale[failure]
	atLow, err := off(low)
	atHigh := atLow
	for i := 0; err == nil && atLow > 0 && i < doublings; i++ {
		low /= 2
		atLow, err = off(low)
	}
	for i := 0; err == nil && atHigh < 0 && i < doublings; i++ {
		high *= 2
		atHigh, err = off(high)
	}
	if err != nil {
		return err
	}
	if atLow > 0 || atHigh < 0 {
		delete(s.scale, failure)
		s.held = slices.DeleteFunc(s.held, func(f string) bool { return f == failure })
		return nil
	}
	return narrow(low, high, atLow, atHigh, off)
}

// doublings is how far a scale is looked for: a thousand times either way.
const doublings = 10

// narrow leaves the function at a root between two places where it has different
// signs.
func narrow(low, high, atLow, atHigh float64, f func(float64) (float64, error)) error {
	for i := range 200 {
		x := (low + high) / 2
		if i%3 != 2 && atHigh > atLow {
			x = low - atLow*(high-low)/(atHigh-atLow)
		}
		y, err := f(x)
		if err != nil || math.Abs(y) <= heldTo/4 || high-low <= 1e-15*high {
			return err
		}
		if y < 0 {
			low, atLow = x, y
		} else {
			high, atHigh = x, y
		}
	}
	return nil
}
