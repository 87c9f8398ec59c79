package review

import (
	"cmp"
	"math"
	"slices"
)

// tables fills the tables of the document.
func (b *builder) tables() {
	settled := slices.DeleteFunc(slices.Clone(b.kept), func(r Record) bool { return r.Verdict == nil })
	b.doc.Causes = b.table("cause", settled, func(r Record) []string { return ends(r.Verdict) })
	trees := b.table("tree", settled, func(r Record) []string { return b.trees(r.Verdict) })
	failures := b.table("failure", b.kept, func(r Record) []string { return r.Failures })
	b.doc.Tables = []Table{trees, failures}
	for _, id := range []string{"season", "board", "board-lot", "primer-lot", "paint-lot", "tool", "topcoat", "colour", "drying"} {
		b.doc.Tables = append(b.doc.Tables, b.table(id, b.kept, func(r Record) []string {
			if a := r.Trait(id); a != "" {
				return []string{a}
			}
			return nil
		}))
	}
}

// trees lists the families of causes that a settled case is counted under.
func (b *builder) trees(v *Outcome) []string {
	var out []string
	for _, id := range ends(v) {
		if e, ok := b.base.Event(id); ok && e.Tree != "" {
			id = e.Tree
		}
		out = append(out, id)
	}
	return once(out)
}

// line is a row of a table being added up.
type line struct {
	id    string
	cases int
	parts float64 // cases, those with several answers in parts
	costs purse
}

// last orders what stands for no answer, behind all answers.
func last(id string) int { return slices.Index([]string{NoFault, Unlisted, Undecided, NotKnown}, id) }

func (b *builder) table(by string, cases []Record, of func(Record) []string) Table {
	lines := map[string]*line{}
	for _, r := range cases {
		ids := of(r)
		if len(ids) == 0 {
			ids = []string{NotKnown}
		}
		money := b.money.of(r)
		for i, id := range ids {
			l := lines[id]
			if l == nil {
				l = &line{id: id, costs: purse{}}
				lines[id] = l
			}
			l.cases++
			l.parts += 1 / float64(len(ids))
			l.costs.add(money.part(i, len(ids)))
		}
	}
	return Table{By: by, Of: len(cases), Rows: b.rows(by, lines, len(cases))}
}

// rows orders the lines, the dearest first, and adds their shares up.
func (b *builder) rows(by string, lines map[string]*line, cases int) []Row {
	list := make([]*line, 0, len(lines))
	total := Cents(0)
	for _, l := range lines {
		list = append(list, l)
		total += l.costs[b.money.main]
	}
	slices.SortFunc(list, func(x, y *line) int {
		return cmp.Or(
			cmp.Compare(last(x.id), last(y.id)),
			cmp.Compare(y.costs[b.money.main], x.costs[b.money.main]),
			cmp.Compare(math.Round(y.parts*1e9), math.Round(x.parts*1e9)),
			cmp.Compare(x.id, y.id),
		)
	})
	out := []Row{}
	parts, cost := 0.0, Cents(0)
	for _, l := range list {
		parts, cost = parts+l.parts, cost+l.costs[b.money.main]
		row := Row{ID: l.id, Title: b.rowTitle(by, l.id), Cases: l.cases, Costs: l.costs.list(b.money)}
		row.Share, row.SoFar = share(l.parts, float64(cases)), share(parts, float64(cases))
		if total > 0 {
			row.CostShare, row.CostSoFar = number(float64(l.costs[b.money.main])/float64(total)), number(float64(cost)/float64(total))
		}
		out = append(out, row)
	}
	return out
}

// rowTitle is what a row is called.
func (b *builder) rowTitle(by, id string) string {
	switch {
	case id == NotKnown:
		return "not known"
	case id == NoFault:
		return "No fault"
	case id == Unlisted:
		return "Something the rules do not list"
	case id == Undecided:
		return "Settled, but no cause confirmed"
	case by == "cause" || by == "failure":
		return b.title(id)
	case slices.Contains(jobTraits(), by):
		return b.spelled(by, id)
	}
	return words(id)
}

// verdicts counts what verdicts say of each cause, those confirmed most first.
func (b *builder) verdicts() []Verdict {
	by := map[string]*Verdict{}
	at := func(id string) *Verdict {
		if by[id] == nil {
			e, _ := b.base.Event(id)
			by[id] = &Verdict{Cause: id, Title: b.title(id), Tree: e.Tree}
		}
		return by[id]
	}
	for _, r := range b.kept {
		if r.Verdict == nil {
			continue
		}
		for _, id := range r.Verdict.Confirmed {
			at(id).Confirmed++
		}
		for _, id := range r.Verdict.RuledOut {
			at(id).RuledOut++
		}
		for _, id := range r.Verdict.NotExamined {
			at(id).NotExamined++
		}
	}
	out := []Verdict{}
	for _, v := range by {
		out = append(out, *v)
	}
	slices.SortFunc(out, func(x, y Verdict) int {
		return cmp.Or(cmp.Compare(y.Confirmed, x.Confirmed), cmp.Compare(y.RuledOut, x.RuledOut), cmp.Compare(y.NotExamined, x.NotExamined), cmp.Compare(x.Cause, y.Cause))
	})
	return out
}
