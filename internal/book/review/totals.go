package review

import "slices"

// ends lists under what a settled case is counted: its confirmed causes, or what
// stands for none.
func ends(v *Outcome) []string {
	switch {
	case v.NoFault:
		return []string{NoFault}
	case v.Unlisted:
		return append(slices.Clone(v.Confirmed), Unlisted)
	case len(v.Confirmed) == 0:
		return []string{Undecided}
	}
	return v.Confirmed
}

func (b *builder) totals() {
	t := &b.doc.Totals
	t.Cases = len(b.kept)
	sum, days, measured := purse{}, []int{}, 0
	for _, r := range b.kept {
		if r.Invented {
			t.Invented++
		}
		if r.Finished == 0 {
			t.Unfinished++
		}
		if r.Day() == 0 {
			t.Undated++
		}
		if len(r.Costs) > 0 {
			t.Costed++
		}
		sum.add(b.money.of(r))
		if r.Finished != 0 && r.Seen != 0 {
			days = append(days, int(r.Seen-r.Finished))
		}
		if t.count(r.Verdict) {
			measured++
		}
		b.doc.Unread = append(b.doc.Unread, r.Unread...)
	}
	b.doc.Unread = orNone(b.doc.Unread)
	t.Measured, t.Days, t.Costs = shareOf(measured, t.Settled), daysOf(days), sum.list(b.money)
}

// count counts a verdict and reports whether a measurement decided it.
func (t *Totals) count(v *Outcome) bool {
	if v == nil {
		t.Open++
		return false
	}
	t.Settled++
	for _, end := range ends(v) {
		switch end {
		case NoFault:
			t.NoFault++
		case Unlisted:
			t.Unlisted++
		case Undecided:
			t.Undecided++
		}
	}
	return v.Measured
}

// daysOf sums up days; the median of an even number is between the middle two.
func daysOf(days []int) Days {
	out := Days{Cases: len(days)}
	if len(days) == 0 {
		return out
	}
	slices.Sort(days)
	n := len(days)
	out.Low, out.High = number(float64(days[0])), number(float64(days[n-1]))
	out.Median = number(float64(days[(n-1)/2]+days[n/2]) / 2)
	return out
}
