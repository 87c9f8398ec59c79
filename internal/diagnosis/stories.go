package diagnosis

import (
	"slices"

	"filmfault/internal/inference"
)

// leastStory is the smallest probability of a story that is told.
const leastStory = 0.01

// mostPreventing bounds the sets of causes listed as preventing.
const mostPreventing = 6

// Story is a smallest set of events that together explain every failure seen,
// with the probability that all its members hold and did.
type Story struct {
	Causes, Conditions []string
	Unlisted           []string // gates whose unlisted cause is a member
	Probability        float64
}

// Stories lists the stories of at least 1 %, the likeliest first.
func (e *Evaluation) Stories() ([]Story, error) {
	list, err := e.compiled.Stories(e.evidence, e.posterior, leastStory)
	if err != nil {
		return nil, err
	}
	out := make([]Story, len(list))
	for i, s := range list {
		out[i] = e.story(s)
	}
	slices.SortStableFunc(out, func(a, b Story) int { return descending(a.Probability, b.Probability) })
	return out, nil
}

func (e *Evaluation) story(s inference.Story) Story {
	out := Story{Probability: s.Probability}
	for _, x := range s.Events {
		if gate, ok := e.net.unlisted[x]; ok {
			out.Unlisted = append(out.Unlisted, gate)
			continue
		}
		id := e.net.id[x]
		if at := slices.IndexFunc(e.net.entered, func(c entered) bool { return c.event == x }); at >= 0 {
			out.Causes = append(out.Causes, e.atFault(e.net.entered[at])...)
			continue
		}
		if ev, _ := e.Rules.Base.Event(id); ev.Cause {
			out.Causes = append(out.Causes, id)
		} else {
			out.Conditions = append(out.Conditions, id)
		}
	}
	for _, c := range out.Causes { // a story is never likelier than its parts
		out.Probability = min(out.Probability, e.expected(contributedTo(c)))
	}
	return out
}

// mostlyAtFault is the share of a computed event from which undoing a cause
// alone would more likely than not have prevented it.
const mostlyAtFault = 0.5

// atFault lists the causes that a computed event, where it contributed, was mostly
// the fault of, or the one it was most.
func (e *Evaluation) atFault(x entered) []string {
	all := e.expected(contributedTo(x.Calculation.Gate))
	var out []string
	most, best := -1.0, ""
	for _, c := range x.causes {
		p := ratio(e.expected(contributedTo(c)), all)
		if p >= mostlyAtFault {
			out = append(out, c)
		}
		if p > most {
			most, best = p, c
		}
	}
	if out == nil {
		out = []string{best}
	}
	return out
}

// PreventedBy lists the smallest sets of causes that meet every story told
// which has a cause in it: without them none of those would have happened.
func (e *Evaluation) PreventedBy(stories []Story) [][]string {
	sets := make([]inference.CutSet, len(stories))
	for i, s := range stories {
		for _, c := range s.Causes {
			sets[i] = append(sets[i], e.net.node[c])
		}
		slices.Sort(sets[i])
	}
	all := func(inference.Node) bool { return true }
	var out [][]string
	for _, s := range inference.HittingSets(sets, all, mostPreventing) {
		var causes []string
		for _, x := range s {
			causes = append(causes, e.net.id[x])
		}
		out = append(out, causes)
	}
	return out
}
