package review

import (
	"cmp"
	"slices"
)

// RepeatDays is within how many days a cause confirmed again is told: it says
// that what was done about it did not hold.
const RepeatDays = 60

// confirmation is one time that a cause was confirmed.
type confirmation struct {
	day     Day
	done    Day    // the job's finishing
	id      string // of the case
	changed string
}

// repeats finds causes that were confirmed again within RepeatDays, the latest
// first. A run goes on as long as each time follows the one before.
func (b *builder) repeats() []Repeat {
	by := map[string][]confirmation{}
	for _, r := range b.kept {
		if r.Verdict == nil || r.Verdict.Settled == 0 || r.Verdict.NoFault {
			continue
		}
		for _, id := range r.Verdict.Confirmed {
			by[id] = append(by[id], confirmation{r.Verdict.Settled, r.Finished, r.ID, r.Verdict.Changed})
		}
	}
	out := []Repeat{}
	for _, id := range sorted(by) {
		times := by[id]
		slices.SortStableFunc(times, func(x, y confirmation) int { return cmp.Or(cmp.Compare(x.day, y.day), cmp.Compare(x.id, y.id)) })
		for len(times) > 0 {
			n := run(times)
			if n > 1 {
				out = append(out, Repeat{Cause: id, Title: b.title(id), Times: repeated(times[:n])})
			}
			times = times[n:]
		}
	}
	slices.SortStableFunc(out, func(x, y Repeat) int {
		return cmp.Or(cmp.Compare(y.Times[len(y.Times)-1].Settled, x.Times[len(x.Times)-1].Settled), cmp.Compare(x.Cause, y.Cause))
	})
	return out
}

// run is how many of the times follow each other closely, from the first on.
func run(times []confirmation) int {
	n := 1
	for n < len(times) && times[n].day-times[n-1].day <= RepeatDays {
		n++
	}
	return n
}

func repeated(times []confirmation) []Repeated {
	out := make([]Repeated, len(times))
	for i, t := range times {
		out[i] = Repeated{Case: t.id, Settled: t.day.String(), Changed: t.changed, Finished: t.done.String()}
		if i > 0 {
			out[i].After = number(float64(t.day - times[i-1].day))
			if t.done != 0 {
				after := t.done >= times[0].day
				out[i].AfterChange = &after
			}
		}
	}
	return out
}
