package diagnosis

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"time"

	"filmfault/internal/bdd"
	"filmfault/internal/inference"
	"filmfault/internal/rulebase"
	"filmfault/internal/source"
)

// WidthLimits bounds what a rule base may ask of the machine. A field that is
// zero stands for its default.
type WidthLimits struct {
	Nodes   int              // most nodes of a diagram
	Time    time.Duration    // longest time to build one
	Answers int              // findings taken as answered
	Now     func() time.Time // the clock; nil leaves the time out
}

// The default limits.
const (
	widestAnswers = 25
	longestBuild  = 2 * time.Second
)

func (l WidthLimits) orDefault() WidthLimits {
	l.Nodes = cmp.Or(l.Nodes, inference.DefaultLimit)
	l.Time = cmp.Or(l.Time, longestBuild)
	l.Answers = cmp.Or(l.Answers, widestAnswers)
	if l.Now == nil {
		l.Now = func() time.Time { return time.Time{} }
	}
	return l
}

// Width reports every failure for which the rules are too wide to be solved
// exactly: with that failure seen, no fact known, and the findings of the widest
// support answered. It names the finding whose removal helps most. Too many
// nodes are an error; too much time is a warning, since the machine has a share
// in it. Width belongs to checking rules, not to every use of them.
func (r *Rules) Width(l WidthLimits) (source.List, error) {
	l = l.orDefault()
	var d source.List
	for _, failure := range r.Base.Failures() {
		w := r.widest(failure, l)
		built, err := w.build(-1)
		if err == nil && !built.fits {
			err = w.report(built, &d)
		}
		if err != nil {
			return nil, err
		}
	}
	return d, nil
}

// report says which finding makes a case too wide.
func (w widestCase) report(b built, d *source.List) error {
	f, left, err := w.helpsMost(b.size)
	if err != nil {
		return err
	}
	limit, tell := fmt.Sprintf("%d nodes", w.limits.Nodes), d.Error
	if b.slow {
		limit, tell = w.limits.Time.String(), d.Warn
	}
	tell(f.Span, "too-wide",
		fmt.Sprintf("with %s seen and %d of the findings answered the rules cannot be solved exactly within %s; taking %s out helps most (%s)",
			w.failure.ID, len(w.findings), limit, f.ID, left),
		"hang it on a gate above the events it names, or cut rows")
	return nil
}

// widestCase is the hardest case of one failure.
type widestCase struct {
	rules    *Rules
	failure  rulebase.Gate
	findings []rulebase.Finding // answered, the widest first
	limits   WidthLimits
}

// widest picks the findings that make the hardest case of a failure: those that
// may be asked with it and rest on the most events; of equals the first id.
func (r *Rules) widest(failure rulebase.Gate, l WidthLimits) widestCase {
	e := &Evaluation{Rules: r, Sheet: Sheet{
		Facts: rulebase.Facts{}, Failures: map[string]string{failure.ID: rulebase.StateSeen},
	}}
	support := r.supports()
	w := widestCase{rules: r, failure: failure, limits: l}
	for _, f := range r.Base.Findings {
		if e.Askable(f) {
			w.findings = append(w.findings, f)
		}
	}
	slices.SortFunc(w.findings, func(a, b rulebase.Finding) int {
		return cmp.Or(cmp.Compare(support[b.ID], support[a.ID]), cmp.Compare(a.ID, b.ID))
	})
	w.findings = w.findings[:min(l.Answers, len(w.findings))]
	return w
}

// supports counts, for every finding, the basic events that its answer depends
// on, through gates.
func (r *Rules) supports() map[string]int {
	below := map[string]map[string]bool{}
	for _, e := range r.Base.Events {
		below[e.ID] = map[string]bool{e.ID: true}
	}
	join := func(into map[string]bool, id string) {
		for e := range below[id] {
			into[e] = true
		}
	}
	for _, g := range r.Base.Gates { // inputs come before gates
		below[g.ID] = map[string]bool{}
		for _, in := range g.Inputs {
			join(below[g.ID], in.ID)
		}
	}
	out := map[string]int{}
	for _, f := range r.Base.Findings {
		events := map[string]bool{}
		for _, row := range f.Rows {
			for _, ref := range row.If {
				join(events, ref.ID)
			}
		}
		for _, in := range f.AnyOf {
			join(events, in.ID)
		}
		out[f.ID] = len(events)
	}
	return out
}

// built is how a case was compiled.
type built struct {
	size int  // nodes of the diagram, the limit when there were too many
	fits bool // it stayed within the limits
	slow bool // it took too long
}

// build compiles the case without one of its findings; with all of them when
// out is below 0.
func (w widestCase) build(out int) (built, error) {
	net := w.rules.structure(rulebase.Facts{}, "", nil)
	net.addFailure(w.failure)
	use := inference.Use{
		Evidence: []int{net.failure[w.failure.ID]},
		Seen:     []inference.Node{net.node[w.failure.ID]},
		Limit:    w.limits.Nodes,
	}
	for i, f := range w.findings {
		if i != out {
			net.addFinding(f, rulebase.Facts{})
			use.Evidence = append(use.Evidence, net.finding[f.ID])
		}
	}
	start := w.limits.Now()
	compiled, err := net.model.Compile(use)
	took := w.limits.Now().Sub(start)
	switch {
	case errors.Is(err, bdd.ErrTooWide):
		return built{size: w.limits.Nodes}, nil
	case err != nil:
		return built{}, err
	}
	slow := took > w.limits.Time
	return built{compiled.Size(), !slow, slow}, nil
}

// patience is how many times the longest build the search for the finding may
// take.
const patience = 5

// helpsMost is the finding without which the fewest nodes are needed, and that
// number in words; the widest where none helps. It looks no further when its
// patience is at an end.
func (w widestCase) helpsMost(before int) (rulebase.Finding, string, error) {
	best, at := before, 0
	start := w.limits.Now()
	for i := range w.findings {
		if w.limits.Now().Sub(start) > patience*w.limits.Time {
			break
		}
		b, err := w.build(i)
		if err != nil {
			return rulebase.Finding{}, "", err
		}
		if b.size < best {
			best, at = b.size, i
		}
	}
	if best == before {
		return w.findings[at], "and is not enough by itself", nil
	}
	return w.findings[at], fmt.Sprintf("%d nodes are left", best), nil
}
