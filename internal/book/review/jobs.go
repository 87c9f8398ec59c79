package review

import (
	"cmp"
	"fmt"
	"io"
	"slices"

	"filmfault/internal/rulebase"
	"filmfault/internal/source"
	"filmfault/internal/yamldoc"
)

// JobsSchema is the version of jobs.yaml that this program reads.
const JobsSchema = 1

// Jobs is how many jobs a shop did, sound ones and failed ones, by month: what
// failures are counted against.
type Jobs struct {
	// South says that the shop lies south of the equator: its seasons are the
	// other way round.
	South bool
	Lines []JobsLine
	// Broken is where errors are in files that were left out for them.
	Broken []string
}

// JobsLine is the jobs of one month: all of them, or, when Split has an id, those
// with that answer to a fact.
type JobsLine struct {
	Month Month
	Done  int
	Split Trait
}

// Given reports whether there are jobs to count against.
func (j Jobs) Given() bool { return len(j.Lines) > 0 }

// And joins the jobs of two folders.
func (j Jobs) And(k Jobs) Jobs {
	return Jobs{South: j.South || k.South, Lines: slices.Concat(j.filled(), k.filled()), Broken: slices.Concat(j.Broken, k.Broken)}
}

// filled is the lines with one for all jobs of each month, so that a total of one
// folder does not hide the parts of another.
func (j Jobs) filled() []JobsLine {
	out := slices.Clone(j.Lines)
	total, _ := j.byMonth()
	done := j.done()
	for _, m := range sorted(done) {
		if _, ok := total[m]; !ok {
			out = append(out, JobsLine{Month: m, Done: done[m]})
		}
	}
	return out
}

// ReadJobs reads a file such as
//
//	schema: 1
//	hemisphere: north          # or south; north when it is left out
//	jobs:
//	  - {month: 2026-03, done: 28}
//	  - {month: 2026-04, done: 31}
//	  - {month: 2026-04, done: 12, tool: spray}
//
// A line with a fact or a line of the job (board, board-lot, primer-lot,
// paint-lot, drying) counts some of the month's jobs; a month that has only such
// lines has as many jobs as the fullest of its splits.
//
// A month later than that of today is refused: its jobs are not done. The error
// is that of reading.
func ReadJobs(b *rulebase.Base, r io.Reader, name string, today Day) (Jobs, []byte, source.List, error) {
	data, diags, err := yamldoc.ReadAll(r, name, yamldoc.DefaultLimits())
	if err != nil || diags.HasErrors() {
		return Jobs{}, nil, diags, err
	}
	jobs, diags := ParseJobs(b, name, data, today)
	return jobs, data, diags, nil
}

// ParseJobs is ReadJobs for bytes at hand.
func ParseJobs(b *rulebase.Base, name string, data []byte, today Day) (Jobs, source.List) {
	doc, diags := yamldoc.Parse(name, data, yamldoc.DefaultLimits())
	if diags.HasErrors() {
		return Jobs{}, diags
	}
	p := jobsParser{base: b, today: today, d: &diags, seen: map[JobsLine]bool{}}
	f := doc.Fields(p.d, "a file of jobs done", "schema", "hemisphere", "jobs", "notes")
	if n, ok := f.Need(p.d, "schema").Whole(p.d, "the schema"); ok && n != JobsSchema {
		p.d.Error(f.Get("schema").Span(), "schema", fmt.Sprintf("there is no schema %d of jobs done that this filmfault knows", n), fmt.Sprintf("schema: %d", JobsSchema))
	}
	jobs := Jobs{South: p.south(f.Get("hemisphere"))}
	for _, item := range f.Need(p.d, "jobs").Items(p.d, "the jobs") {
		if line, ok := p.line(item); ok {
			jobs.Lines = append(jobs.Lines, line)
		}
	}
	p.splits(jobs, f.Get("jobs").Span())
	if diags.HasErrors() {
		return Jobs{}, diags
	}
	return jobs, diags
}

type jobsParser struct {
	base  *rulebase.Base
	today Day
	d     *source.List
	seen  map[JobsLine]bool // months and answers, without their numbers
}

func (p jobsParser) south(v yamldoc.Value) bool {
	if v.Kind() == yamldoc.Missing {
		return false
	}
	word := v.Text(p.d, "the hemisphere")
	if word != "" && word != "north" && word != "south" {
		p.d.Error(v.Span(), "hemisphere", fmt.Sprintf("%q is no hemisphere", word), "north or south")
	}
	return word == "south"
}

// line reads the jobs of one month.
func (p jobsParser) line(item yamldoc.Value) (JobsLine, bool) {
	before := p.d.Errors()
	f := item.FieldsKeepingUnknown(p.d, "a line of jobs", "month", "done", "note")
	var out JobsLine
	if v := f.Need(p.d, "month"); v.IsText() {
		m, err := ParseMonth(v.TextOr(""))
		if err != nil {
			p.d.Error(v.Span(), "month", err.Error(), "a month such as 2026-04")
		}
		if err == nil && m > p.today.Month() {
			p.d.Error(v.Span(), "month", fmt.Sprintf("the month %s is still to come; today is %s", m, p.today), "months up to the present one")
		}
		out.Month = m
	} else {
		v.Text(p.d, "the month")
	}
	v := f.Need(p.d, "done")
	if n, ok := v.Whole(p.d, "the jobs done"); ok {
		if n < 0 || n > 1_000_000 {
			p.d.Error(v.Span(), "done", fmt.Sprintf("%d jobs in a month cannot be", n), "how many jobs were finished in the month")
		}
		out.Done = n
	}
	p.split(f, &out)
	key := JobsLine{Month: out.Month, Split: out.Split}
	if p.d.Errors() == before && p.seen[key] {
		p.d.Error(f.Span(), "twice", fmt.Sprintf("the month %s%s is here a second time", out.Month, splitWords(out.Split)), "one line with all of its jobs")
	}
	p.seen[key] = true
	return out, p.d.Errors() == before
}

// split reads by what a line splits the jobs of its month.
func (p jobsParser) split(f yamldoc.Fields, out *JobsLine) {
	for i, key := range f.Unknown() {
		if i > 0 {
			p.d.Error(f.KeySpan(key), "split", "a line splits the jobs of its month by one fact only", "a line for each fact")
			return
		}
		text := f.Get(key).Text(p.d, key)
		if text == "" {
			return
		}
		t, err := trait(p.base, key, text)
		if err != nil {
			at := f.KeySpan(key)
			if slices.Contains(traitIDs(p.base), p.base.Current(key)) {
				at = f.Get(key).Span() // the answer is what is wrong
			}
			p.d.Error(at, "split", err.Error(), "month, done, and one fact with its answer, such as tool: spray")
			return
		}
		out.Split = t
	}
}

func splitWords(t Trait) string {
	if t.ID == "" {
		return ""
	}
	return " with " + words(t.ID) + " " + t.Answer
}

// splits refuses parts that add up to more than the whole.
func (p jobsParser) splits(jobs Jobs, at source.Span) {
	total, parts := jobs.byMonth()
	for _, m := range sorted(parts) {
		all, ok := total[m]
		for _, id := range sorted(parts[m]) {
			if n := parts[m][id]; ok && n > all {
				p.d.Error(at, "split", fmt.Sprintf("the jobs of %s by %s add up to %d, more than the %d done", m, words(id), n, all), "parts that add up to the month's jobs at most")
			}
		}
	}
}

// byMonth adds up lines: those without a split, and those with one by its fact.
func (j Jobs) byMonth() (total map[Month]int, parts map[Month]map[string]int) {
	total, parts = map[Month]int{}, map[Month]map[string]int{}
	for _, l := range j.Lines {
		if l.Split.ID == "" {
			total[l.Month] += l.Done
			continue
		}
		if parts[l.Month] == nil {
			parts[l.Month] = map[string]int{}
		}
		parts[l.Month][l.Split.ID] += l.Done
	}
	return total, parts
}

// done is the jobs by month.
func (j Jobs) done() map[Month]int {
	out, parts := j.byMonth()
	for m, by := range parts {
		if _, ok := out[m]; ok {
			continue
		}
		for _, n := range by {
			out[m] = max(out[m], n)
		}
	}
	return out
}

// with is the jobs with one answer to a fact by month, and whether any are given.
func (j Jobs) with(t Trait) (map[Month]int, bool) {
	out := map[Month]int{}
	for _, l := range j.Lines {
		if l.Split == t {
			out[l.Month] += l.Done
		}
	}
	return out, len(out) > 0
}

// split lists the answers by which jobs are split, in order.
func (j Jobs) split() []Trait {
	var out []Trait
	for _, l := range j.Lines {
		if l.Split.ID != "" {
			out = append(out, l.Split)
		}
	}
	slices.SortFunc(out, func(a, b Trait) int { return cmp.Or(cmp.Compare(a.ID, b.ID), cmp.Compare(a.Answer, b.Answer)) })
	return slices.Compact(out)
}
