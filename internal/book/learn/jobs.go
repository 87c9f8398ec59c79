package learn

import (
	"fmt"
	"strconv"

	"filmfault/internal/rulebase"
)

// byJobs learns rates from the number of jobs done.
func (l *Learned) byJobs(moves []*Move) error {
	in, err := comesIn(l.base)
	if err != nil {
		return fmt.Errorf("how often a job with a cause comes in: %w", err)
	}
	for _, m := range moves {
		share := in[m.Cause.ID]
		if !m.Examined() || m.Written == 0 || share == 0 {
			continue
		}
		l.rate(m, share)
	}
	return nil
}

// rate moves one rate: share is the part of the jobs with the cause that come in
// because of it.
func (l *Learned) rate(m *Move, share float64) {
	told := float64(l.Jobs) * share * m.share()
	m.Expected = told * m.Written
	told = max(told, float64(m.Confirmed)) // at least these had it
	a := l.Strength*m.Written + float64(m.Confirmed)
	b := l.Strength*(1-m.Written) + told - float64(m.Confirmed)
	m.scale(a/(a+b)/m.Written, readable)
	m.Low, m.High = quantile(a, b, lowEnd), quantile(a, b, highEnd)
}

// readable rounds a rate to the four digits that a person reads.
func readable(x float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 3, 64), 64)
	if err != nil {
		return x // not reached: what was formatted is a number
	}
	return r
}

// comesIn is, by cause, the share of the jobs with it that come in because of it:
// it contributes to a failure, and the failure shows.
func comesIn(b *rulebase.Base) (map[string]float64, error) {
	m := newModel(b)
	t, err := m.totals()
	if err != nil {
		return nil, err
	}
	if _, err := t.of(m.rates()); err != nil {
		return nil, err
	}
	contributed, err := m.contributed(t.others)
	if err != nil {
		return nil, err
	}
	out := map[string]float64{}
	for _, e := range b.Events {
		if r := e.Rate.For(rulebase.Facts{}); r > 0 {
			out[e.ID] = min(1, contributed[e.ID]/r)
		}
	}
	return out, nil
}
