package review

import (
	"cmp"
	"slices"
)

// changed is a practice being added up.
type changed struct {
	Change
	money purse
}

// changes finds what each practice would have avoided at most, the dearest first.
// Causes with the same prevention are one practice; a case two of them stand
// behind counts as one.
func (b *builder) changes() []Change {
	by := map[string]*changed{}
	for _, r := range b.kept {
		if r.Verdict == nil || r.Verdict.NoFault {
			continue
		}
		ids := ends(r.Verdict)
		practices := b.practices(by, ids)
		for _, text := range sorted(practices) {
			c := by[text]
			for _, i := range practices[text] {
				c.money.add(b.money.of(r).part(i, len(ids)))
			}
			if len(practices[text]) == len(ids) {
				c.Alone++
			} else {
				c.Among++
			}
		}
	}
	return b.best(by)
}

// practices sorts the ends of a case by the practice that prevents them.
func (b *builder) practices(by map[string]*changed, ids []string) map[string][]int {
	out := map[string][]int{}
	for i, id := range ids {
		e, ok := b.base.Event(id)
		if !ok || e.Prevent == "" {
			continue
		}
		c := by[e.Prevent]
		if c == nil {
			c = &changed{Change: Change{Prevent: e.Prevent}, money: purse{}}
			by[e.Prevent] = c
		}
		if named := (Named{id, e.Title}); !slices.Contains(c.Causes, named) {
			c.Causes = append(c.Causes, named)
		}
		out[e.Prevent] = append(out[e.Prevent], i)
	}
	return out
}

func (b *builder) best(by map[string]*changed) []Change {
	list := make([]*changed, 0, len(by))
	for _, c := range by {
		slices.SortFunc(c.Causes, func(x, y Named) int { return cmp.Compare(x.ID, y.ID) })
		c.Costs = c.money.list(b.money)
		list = append(list, c)
	}
	slices.SortFunc(list, func(x, y *changed) int {
		return cmp.Or(
			cmp.Compare(y.money[b.money.main], x.money[b.money.main]),
			cmp.Compare(y.Alone, x.Alone),
			cmp.Compare(y.Among, x.Among),
			cmp.Compare(x.Causes[0].ID, y.Causes[0].ID),
		)
	})
	out := make([]Change, len(list))
	for i, c := range list {
		out[i] = c.Change
	}
	return out
}
