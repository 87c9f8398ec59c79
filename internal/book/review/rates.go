package review

import (
	"fmt"
	"slices"
	"strings"
)

// NoJobs is what a review says where no jobs done are given.
const NoJobs = "No jobs done are given, so these are counts of failures alone. Counts of failures alone make the weather look guilty " +
	"every summer: more jobs are done then, so more of them fail, be the air good or bad. Write how many jobs were finished in each month " +
	"into jobs.yaml in the book's folder, and failures are told for a hundred jobs."

// WithJobs is how to read rates.
const WithJobs = "Seasons are those of the month of finishing. Where the intervals of two lines overlap by much, chance alone can make the difference between them."

// Method names the interval and its source.
const Method = "90 % interval after Wilson (1927), Journal of the American Statistical Association 22, 209-212"

func (b *builder) rates() Rates {
	out := Rates{Says: b.noJobs(), Method: Method, Months: []Rate{}, Seasons: []Rate{}, Trend: []Rate{}, Splits: []Split{}, Notes: []string{}}
	if !b.jobs.Given() {
		return out
	}
	out.Given, out.Says = true, WithJobs
	done := b.against(&out)
	cases := b.failed(&out, done)
	all := Rate{Of: "all"}
	seasons := map[string]Rate{}
	for _, m := range sorted(done) {
		out.Months = append(out.Months, rateOf(Rate{Of: m.String(), Jobs: done[m], Cases: cases[m]}))
		name := m.season(b.jobs.South)
		s := seasons[name]
		seasons[name] = Rate{Of: name, Jobs: s.Jobs + done[m], Cases: s.Cases + cases[m]}
		all.Jobs, all.Cases = all.Jobs+done[m], all.Cases+cases[m]
	}
	for _, name := range seasons4(seasons) {
		out.Seasons = append(out.Seasons, rateOf(seasons[name]))
	}
	out.trend(sorted(done))
	all = rateOf(all)
	out.All = &all
	out.Splits = b.splits()
	out.fewer()
	out.Notes = append(out.Notes, b.brokenJobs()...)
	return out
}

// noJobs says why there are no rates: a file that was left out must not read as
// if nobody had written it.
func (b *builder) noJobs() string {
	return strings.Join(append(b.brokenJobs(), NoJobs), " ")
}

func (b *builder) brokenJobs() []string {
	if len(b.jobs.Broken) == 0 {
		return nil
	}
	return []string{"Jobs done were left out because of errors in their file, at " + strings.Join(b.jobs.Broken, " and at ") + "."}
}

// failed counts the failures of each month. A case settled as no fault is none,
// and one in a month in which no job was done has nothing to be held against.
func (b *builder) failed(out *Rates, done map[Month]int) map[Month]int {
	cases, sound, idle, unknown := map[Month]int{}, 0, map[Month]int{}, 0
	for _, r := range b.kept {
		m := r.Finished.Month()
		n, ok := done[m]
		switch {
		case r.sound():
			sound++
		case m == 0 || !ok:
			unknown++
		case n == 0:
			idle[m]++
		default:
			cases[m]++
		}
	}
	out.Outside = unknown
	if sound > 0 {
		out.Notes = append(out.Notes, fmt.Sprintf("%s counted here, being settled as no fault.", notCounted(sound)))
	}
	for _, m := range sorted(idle) {
		out.Outside += idle[m]
		out.Notes = append(out.Notes, fmt.Sprintf("%s counted here: jobs.yaml has none done in %s.", notCounted(idle[m]), m))
	}
	if unknown > 0 {
		out.Notes = append(out.Notes, fmt.Sprintf("%s counted here: no day of finishing is known, or the month has no jobs to count against.", notCounted(unknown)))
	}
	return cases
}

// sound reports whether a case was settled as no fault.
func (r Record) sound() bool { return r.Verdict != nil && r.Verdict.NoFault }

func seasons4(have map[string]Rate) []string {
	return slices.DeleteFunc(seasons(), func(s string) bool { _, ok := have[s]; return !ok })
}

// trend adds up the twelve months of the calendar that end with the last one, and
// the twelve before them. Where one of these is missing there is no trend: two
// years of unlike months would tell of the seasons and not of the shop.
func (r *Rates) trend(of []Month) {
	const year = 12
	n := len(of)
	if n == 0 || of[n-1]-of[0] < 2*year-1 {
		return
	}
	if n < 2*year || of[n-2*year] != of[n-1]-(2*year-1) {
		r.Notes = append(r.Notes, fmt.Sprintf("The latest year is not set against the one before: jobs.yaml lacks months between %s and %s.", of[n-1]-(2*year-1), of[n-1]))
		return
	}
	add := func(of string, part []Rate) Rate {
		out := Rate{Of: of}
		for _, r := range part {
			out.Jobs, out.Cases = out.Jobs+r.Jobs, out.Cases+r.Cases
		}
		return rateOf(out)
	}
	r.Trend = []Rate{add("year before", r.Months[n-2*year:n-year]), add("latest year", r.Months[n-year:])}
}

// against is the jobs that the cases are counted against, by month: those the
// filter lets through as far as jobs.yaml tells them apart.
func (b *builder) against(out *Rates) map[Month]int {
	done := b.jobs.done()
	out.Of = "all jobs"
	for _, w := range b.filter.Where {
		part, ok := b.jobs.with(w)
		if ok && len(b.filter.Where) == 1 {
			done, out.Of = part, "jobs with "+words(w.ID)+" "+w.Answer
			break
		}
		out.Notes = append(out.Notes, fmt.Sprintf("The jobs counted against are not only those with %s %s: jobs.yaml does not split them so.", words(w.ID), w.Answer))
	}
	if !b.filter.dated() {
		return done
	}
	cut := map[Month]int{}
	for m, n := range done {
		if b.filter.whole(m) {
			cut[m] = n
		}
	}
	if b.filter.From != 0 && b.filter.From != b.filter.From.Month().first() || b.filter.To != 0 && b.filter.To != b.filter.To.Month().last() {
		out.Notes = append(out.Notes, "Only whole months are counted against the jobs done in them.")
	}
	return cut
}

// splits is the rates by each fact by which jobs are split, over the months for
// which they are.
func (b *builder) splits() []Split {
	out := []Split{}
	if len(b.filter.Where) > 0 {
		return out // jobs are not split by two facts at once
	}
	for _, t := range b.jobs.split() {
		done, _ := b.jobs.with(t)
		r := Rate{Of: t.Answer}
		for m, n := range done {
			if !b.filter.dated() || b.filter.whole(m) {
				r.Jobs += n
			}
		}
		for _, c := range b.kept {
			m := c.Finished.Month()
			if done[m] > 0 && !c.sound() && t.of(c) && (!b.filter.dated() || b.filter.whole(m)) {
				r.Cases++
			}
		}
		if len(out) == 0 || out[len(out)-1].By != t.ID {
			out = append(out, Split{By: t.ID})
		}
		at := &out[len(out)-1]
		at.Rows = append(at.Rows, rateOf(r))
	}
	return out
}

// rateOf works a rate out where there are at least as many jobs as cases.
func rateOf(r Rate) Rate {
	if r.Jobs > 0 && r.Cases <= r.Jobs {
		low, high := Wilson(r.Cases, r.Jobs, z90)
		r.PerHundred, r.Low, r.High = number(100*float64(r.Cases)/float64(r.Jobs)), number(100*low), number(100*high)
	}
	return r
}

// fewer notes lines with fewer jobs than failures.
func (r *Rates) fewer() {
	n := 0
	for _, m := range r.Months {
		if m.Cases > m.Jobs {
			n++
		}
	}
	if n > 0 {
		r.Notes = append(r.Notes, fmt.Sprintf("In %s there are more failures than jobs done; jobs.yaml must lack some there.", months(n)))
	}
}

func months(n int) string {
	if n == 1 {
		return "one month"
	}
	return fmt.Sprintf("%d months", n)
}

func notCounted(n int) string {
	if n == 1 {
		return "One case is not"
	}
	return fmt.Sprintf("%d cases are not", n)
}
