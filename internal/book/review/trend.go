package review

// longestRun is how many months a book may span to be listed without gaps.
const longestRun = 1200

// trend counts cases by the month they belong to, none between the first and the
// last left out, and by year.
func (b *builder) trend() {
	months, years := spread{}, spread{}
	for _, r := range b.kept {
		if m := r.Day().Month(); m != 0 {
			months.add(int(m), b.money.of(r))
			years.add(int(m)/12, b.money.of(r))
		}
	}
	b.doc.Months, b.doc.Years = []InMonth{}, []InYear{}
	for _, m := range months.all() {
		c, costs := months.at(m, b.money)
		b.doc.Months = append(b.doc.Months, InMonth{Month: Month(m).String(), Cases: c, Costs: costs})
	}
	for _, y := range years.all() {
		c, costs := years.at(y, b.money)
		b.doc.Years = append(b.doc.Years, InYear{Year: y, Cases: c, Costs: costs})
	}
}

// spread is cases and their cost by a whole number.
type spread map[int]*line

func (s spread) add(at int, money purse) {
	if s[at] == nil {
		s[at] = &line{costs: purse{}}
	}
	s[at].cases++
	s[at].costs.add(money)
}

// all lists the numbers from the first to the last, unless they lie so far apart
// that a day must be wrong: then those that have cases.
func (s spread) all() []int {
	known := sorted(s)
	if len(known) == 0 || known[len(known)-1]-known[0] >= longestRun {
		return known
	}
	var out []int
	for n := known[0]; n <= known[len(known)-1]; n++ {
		out = append(out, n)
	}
	return out
}

func (s spread) at(n int, c currencies) (int, []Amount) {
	l := s[n]
	if l == nil {
		return 0, []Amount{}
	}
	return l.cases, l.costs.list(c)
}
