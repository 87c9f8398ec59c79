package learn

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// byOdds learns the odds between the causes of each failure and holds how frequent
// the failures are.
func (l *Learned) byOdds(moves []*Move, kept []Case) error {
	r, err := diagnosis.Prepare(l.base)
	if err != nil {
		return err
	}
	p := priors{rules: r, of: map[string]map[string]float64{}}
	if err := l.expect(moves, kept, p); err != nil {
		return err
	}
	if !slices.ContainsFunc(moves, func(m *Move) bool { return m.Expected > 0 }) {
		return nil
	}
	s, err := newScaler(l.base, moves, p, l.teaching(kept))
	if err != nil {
		return err
	}
	for i, m := range moves {
		if m.Expected > 0 {
			s.factor[i] = (l.Strength*m.Written + float64(m.Confirmed)) / (l.Strength*m.Written + m.Expected)
		}
	}
	if err := s.hold(); err != nil {
		return err
	}
	for i, m := range moves {
		m.Home = s.home[i].failure
		if m.Home != "" && m.Written > 0 {
			l.odds(m, s.home[i].share, s.scaled(i)/s.factor[i])
			m.scale(s.scaled(i), exact)
		}
	}
	return l.frequent(s)
}

// teaching is how many cases of each failure say something of a cause.
func (l *Learned) teaching(kept []Case) map[string]int {
	out := map[string]int{}
	for _, c := range kept {
		says := slices.ContainsFunc(c.Judged, func(j Judged) bool { return j.Measured || !l.MeasuredOnly })
		if !says {
			continue
		}
		for _, f := range c.Seen {
			out[f]++
		}
	}
	return out
}

// frequent tells how frequent the failures are that the rates learned move, or
// that were held.
func (l *Learned) frequent(s *scaler) error {
	now, err := s.now()
	if err != nil {
		return err
	}
	for _, g := range l.base.Failures() {
		x, stays := now[g.ID], math.Abs(now[g.ID]-s.written[g.ID]) <= 1e-9
		if held := slices.Contains(s.held, g.ID); held || !stays {
			l.Totals = append(l.Totals, Total{Failure: g, Written: s.written[g.ID], After: x, Held: held && stays})
		}
	}
	return nil
}

// exact keeps the digits that hold a failure's total to 1e-9.
func exact(x float64) float64 { return math.Round(x*1e12) / 1e12 }

// expect adds up, for each cause, the cases that would have confirmed it.
func (l *Learned) expect(moves []*Move, kept []Case, p priors) error {
	for _, c := range kept {
		if len(c.Judged) == 0 {
			continue
		}
		if l.Before != nil {
			if err := l.Before(); err != nil {
				return err
			}
		}
		shares, err := p.contributions(c.Seen, c.Absent, c.Facts)
		if err != nil {
			return fmt.Errorf("case %s: %w", c.ID, err)
		}
		for _, m := range moves {
			if _, ok := l.judged(c, m.Cause.ID); ok {
				m.Expected += shares[m.Cause.ID]
			}
		}
	}
	return nil
}

// odds is what becomes of the cause's share in the cases that examined it, or in
// those of its home where none did, and the interval of the rate that goes by it.
func (l *Learned) odds(m *Move, share, scale float64) {
	weight := l.Strength * m.Written
	confirmed, ruledOut := 0.0, 0.0
	if m.Expected > 0 {
		share = m.Expected / float64(m.examined())
		confirmed, ruledOut = float64(m.Confirmed), float64(m.RuledOut)
	}
	if share <= 0 || m.Written == 0 {
		return
	}
	a, b := weight+confirmed, max(1e-9, weight*(1/share-1)+ruledOut)
	m.Share = Share{Written: share, After: a / (a + b), Low: quantile(a, b, lowEnd), High: quantile(a, b, highEnd)}
	m.Low = min(mostRate, m.Written/share*scale*m.Share.Low)
	m.High = min(mostRate, m.Written/share*scale*m.Share.High)
}

// priors gives what the rules expect of a case before anything was found, worked
// out once for each set of facts and failures.
type priors struct {
	rules *diagnosis.Rules
	of    map[string]map[string]float64
}

// contributions is, by cause, the share of the cases with these failures seen and
// absent and these facts to which it contributed. What is absent belongs to it: a
// cause of two failures is the less likely where only one was seen.
func (p priors) contributions(seen, absent []string, facts rulebase.Facts) (map[string]float64, error) {
	key := fmt.Sprint(seen, absent)
	for _, f := range slices.Sorted(maps.Keys(facts)) {
		key += " " + f + "=" + facts[f]
	}
	if out, ok := p.of[key]; ok {
		return out, nil
	}
	s := diagnosis.Sheet{Facts: facts, Failures: map[string]string{}}
	for _, f := range seen {
		s.Failures[f] = rulebase.StateSeen
	}
	for _, f := range absent {
		s.Failures[f] = rulebase.StateAbsent
	}
	e, err := p.rules.Evaluate(s)
	if err != nil {
		return nil, err
	}
	out := map[string]float64{}
	for _, r := range e.Ranking() {
		out[r.Cause.ID] = r.Contributed
	}
	p.of[key] = out
	return out, nil
}
