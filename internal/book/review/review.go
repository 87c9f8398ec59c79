// Package review reads a casebook the way its owner does at the end of a season:
// what failed, what it cost, which causes stand behind it and which come back,
// how many failures there were for the jobs done, which other jobs share a bad
// lot, what practice would have saved how much, and how good the rankings were.
//
// It is pure: it takes what others read (Take, ParseJobs) and gives one Document
// that package page lays out. It judges no case anew; a verdict and a ranking
// count as they were written. The order of the cases changes nothing.
//
// How things are counted:
//
//   - A case belongs to the day its job was finished: `finished` of its job, else
//     the day of the last coat in its log; failing both, to the first known day of
//     when it was seen, settled and begun. Failures for a hundred jobs go by the
//     day of finishing alone.
//   - A settled case goes to its confirmed causes, to "no fault", to "unlisted",
//     or to "no cause confirmed". Where several share it, rows count it whole, but
//     shares and costs split it evenly, so that they add up.
//   - A verdict is by a measurement if the case holds its reading and the reading
//     says the same by the rules; all others are opinion.
//   - Failures for a hundred jobs set the cases of a month against the jobs done
//     in it. Cases settled as no fault are no failures. Intervals are Wilson's (E. B. Wilson, Probable inference, the law of
//     succession, and statistical inference, Journal of the American Statistical
//     Association 22, 1927, 209-212) at 90 %.
//   - Rankings are scored as they stood when a case was settled: a confirmed cause
//     is a hit, one ruled out a miss, one not examined is left out. A case of something that the rules do
//     not list is a miss for the first place and the first three. The score is
//     G. W. Brier's (Verification of forecasts expressed in terms of probability,
//     Monthly Weather Review 78, 1950, 1-3), in the form of one mean square a
//     forecast, half of his own. The bars of the reliability diagram are the 5 and
//     95 % points of the binomial distribution of the mean forecast of each tenth.
package review

import (
	"cmp"
	"slices"
	"strings"

	"filmfault/internal/rulebase"
)

// Input is everything a review rests on.
type Input struct {
	Books   []string // names of the folders
	Records []Record // the cases that could be read
	Left    []LeftOut
	Jobs    Jobs
}

// builder is a review being made.
type builder struct {
	base   *rulebase.Base
	filter Filter
	all    []Record // of the book, by id
	kept   []Record // those the filter lets through, by id
	jobs   Jobs
	money  currencies
	typed  map[Trait]string // lines of jobs as they are shown
	doc    *Document
}

// Build makes the review of the cases that the filter lets through.
func Build(base *rulebase.Base, in Input, f Filter) *Document {
	b := &builder{base: base, filter: f, jobs: in.Jobs}
	var invented []Record
	b.all, invented = parted(in.Records)
	slices.SortFunc(b.all, func(x, y Record) int { return cmp.Or(cmp.Compare(x.ID, y.ID), cmp.Compare(x.File, y.File)) })
	for _, r := range b.all {
		if f.Keeps(r) {
			b.kept = append(b.kept, r)
		}
	}
	b.money, b.typed = currenciesOf(b.all, b.kept), spellings(b.all)
	b.doc = &Document{Schema: Schema, Books: in.Books, Rules: Rules{base.Digest, base.Layers}, Filter: f.told(), LeftOut: orNone(slices.Clone(in.Left))}
	slices.SortFunc(b.doc.LeftOut, func(x, y LeftOut) int { return cmp.Compare(x.File, y.File) })
	for _, r := range invented {
		if f.Keeps(r) {
			b.doc.Totals.InventedOut++
		}
	}
	b.totals()
	b.tables()
	b.doc.Verdicts = b.verdicts()
	b.trend()
	b.doc.Rates = b.rates()
	b.doc.Repeats = b.repeats()
	b.doc.AtRisk = b.atRisk()
	b.doc.Changes = b.changes()
	b.doc.Rankings = b.scores()
	b.notes()
	return b.doc
}

// parted tells a book's own cases from invented ones, which must not count among
// them. A book of nothing else is a demonstration, and is all told.
func parted(records []Record) (own, invented []Record) {
	for _, r := range records {
		if r.Invented {
			invented = append(invented, r)
		} else {
			own = append(own, r)
		}
	}
	if len(own) == 0 {
		return invented, nil
	}
	return own, invented
}

// title is what the rules call a cause or failure, its id when they do not know
// it.
func (b *builder) title(id string) string {
	if e, ok := b.base.Event(id); ok {
		return e.Title
	}
	if g, ok := b.base.Gate(id); ok {
		return g.Title
	}
	return words(id)
}

// spellings finds for each line of a job how it is shown: as it was typed, the
// first of several ways in alphabetical order.
func spellings(all []Record) map[Trait]string {
	out := map[Trait]string{}
	for _, r := range all {
		for _, t := range r.Spelled {
			key := Trait{t.ID, folded(t.Answer)}
			if old, ok := out[key]; !ok || t.Answer < old {
				out[key] = t.Answer
			}
		}
	}
	return out
}

// spelled is a line of a job as it is shown.
func (b *builder) spelled(by, answer string) string {
	return cmp.Or(b.typed[Trait{by, answer}], answer)
}

// words writes an id for a reader.
func words(id string) string { return strings.ReplaceAll(id, "-", " ") }

// orNone is a list that JSON shows as an empty one and not as null.
func orNone[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
