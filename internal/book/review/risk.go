package review

import (
	"cmp"
	"slices"
)

// week is what jobs share that were finished in the same week.
const week = "week"

// sharing lists by what jobs are taken to share a cause.
func sharing() []string { return []string{"primer-lot", "paint-lot", "board-lot", week} }

// shared is what a case has of it.
func shared(r Record, by string) string {
	if by == week {
		return r.Finished.Week()
	}
	return r.Trait(by)
}

// atRisk finds the jobs that share something with a confirmed cause. The cases
// with the cause are those the filter lets through, the others are of the whole
// book: a filter by the cause would hide them.
func (b *builder) atRisk() []AtRisk {
	out := []AtRisk{}
	for _, by := range sharing() {
		groups := map[string][]*Record{}
		for i := range b.all {
			if v := shared(b.all[i], by); v != "" {
				groups[v] = append(groups[v], &b.all[i])
			}
		}
		for _, v := range sorted(groups) {
			if a := b.riskOf(by, v, groups[v]); len(a.Causes) > 0 {
				out = append(out, a)
			}
		}
	}
	slices.SortStableFunc(out, func(x, y AtRisk) int {
		return cmp.Or(
			cmp.Compare(rank(x), rank(y)),
			cmp.Compare(len(y.Causes[0].Confirmed), len(x.Causes[0].Confirmed)),
			cmp.Compare(len(y.Open), len(x.Open)),
		)
	})
	return out
}

// rank puts lots with open cases first, then lots without, then weeks.
func rank(a AtRisk) int {
	switch {
	case a.Shares == week:
		return 2
	case len(a.Open) == 0:
		return 1
	}
	return 0
}

// riskOf is what the causes confirmed in a group mean for the rest of it.
func (b *builder) riskOf(by, value string, group []*Record) AtRisk {
	out := AtRisk{Shares: by, Value: b.spelled(by, value), Open: []string{}, Causes: []Spreading{}}
	confirmed := map[string][]string{}
	for _, r := range group {
		switch {
		case r.Verdict == nil:
			out.Open = append(out.Open, r.ID)
		case !r.Verdict.NoFault && b.filter.Keeps(*r):
			for _, id := range r.Verdict.Confirmed {
				confirmed[id] = append(confirmed[id], r.ID)
			}
		}
	}
	for _, id := range sorted(confirmed) {
		s := Spreading{Cause: id, Title: b.title(id), Confirmed: confirmed[id], Others: []string{}}
		for _, r := range group {
			if by != week && r.Verdict != nil && !slices.Contains(r.Verdict.Confirmed, id) && !slices.Contains(r.Verdict.RuledOut, id) {
				s.Others = append(s.Others, r.ID)
			}
		}
		if len(out.Open)+len(s.Others) > 0 {
			out.Causes = append(out.Causes, s)
		}
	}
	slices.SortStableFunc(out.Causes, func(x, y Spreading) int { return cmp.Compare(len(y.Confirmed), len(x.Confirmed)) })
	return out
}
