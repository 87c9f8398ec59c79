// Package similar finds the past cases that are nearest to one case, and says in
// what they are near. It is pure: it is given sheets and gives a Document that
// Text and Markdown lay out. It judges nothing: a similar case is no proof, it
// says what was found the last time and by which measurement.
//
// # The weight of an answer
//
// Cases are near by weight of evidence and not by how many words they share. The
// weight of an answer is the information that it gives, by the rules in force,
// about the causes below the failures of the case asked about. With q(c) the
// share of a cause among what contributed to these failures before anything was
// found, and P(a|c) the probability of answer a when c contributed, it is
//
//	w(a) = sum over c of q(c) r(c) ln r(c),  r(c) = P(a|c)/P(a)
//
// in nats: the logarithm of each cause's likelihood ratio, averaged over the
// causes (S. Kullback and R. A. Leibler, On information and sufficiency, Annals of
// Mathematical Statistics 22, 1951, 79-86). What the rules list not at all is one
// cause more. Several causes may contribute to one failure, so that their posterior
// probabilities, which package diagnosis works out exactly, need not add up to 1.
// q(c) is therefore the posterior probability of c without the answer, divided by
// the sum of those of all causes, and q(c) r(c) the same with the answer, divided by
// its own sum. r(c) is then P(a|c)/P(a) but for the ratio of the two sums, which is
// 1 where just one cause can contribute. The rows that the facts leave in force,
// any-ofs, chances and base rates all count. A fact weighs in the same
// way, by what it does to the base rates, the other facts being as they are. An
// answer that leaves every cause where it was weighs nothing, however often it is
// given. Findings of one group count one by one.
//
// # Nearness
//
// Two cases share an answer with its weight and differ in a question with the
// smaller weight of their two answers. Of an answer in doubt the likeliest is
// taken, and it counts in proportion to how far it is held; of two such answers to
// a question the more doubtful one says how far. Then
//
//	nearness = (shared - different) / weight of all answers of the case asked
//
// so that a case is nearest to itself with 1, and what a past case was asked
// besides does not take it further away. It is below 0 where two cases differ
// more than they agree. Failures in common come first: a case with fewer of them
// comes after, and one with none is not near at all.
package similar

import (
	"cmp"
	"context"
	"maps"
	"math"
	"slices"

	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// Asked is a case that others are compared with, its answers weighed once. It
// does not change and may be shared.
type Asked struct {
	Seen  []string // failures, in the order of the rules
	Total float64  // weight of all its answers, in nats

	base   *rulebase.Base
	said   []said          // what weighs, the heaviest first
	matter map[string]bool // ids of facts and findings that a past case is read for
}

// Mentions reports whether a case file may have a failure in common: whether one
// of their ids, new or old, is a word in it. Most files of a large book need not
// be read any further.
func (a *Asked) Mentions(file []byte) bool {
	for len(file) > 0 {
		n := 0
		for n < len(file) && inID(file[n]) {
			n++
		}
		if n > 0 && slices.Contains(a.Seen, a.base.Current(string(file[:n]))) {
			return true
		}
		file = file[min(n+1, len(file)):]
	}
	return false
}

// inID reports whether a byte can be in an id.
func inID(c byte) bool { return c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '-' }

// said is one answer of the case asked about.
type said struct {
	id      string
	fact    bool
	answers []rulebase.Answer
	answer  int       // the one given, or the likeliest
	held    float64   // how far, at most 1
	weight  []float64 // of each answer, in nats
}

// total is the weight of what was said, as far as it is held.
func (x said) total() float64 { return x.held * x.weight[x.answer] }

// negligible is the weight in nats below which an answer tells nothing.
const negligible = 1e-6

// Prepare weighs the answers of a case by the rules, on all processors. steps is
// told how many steps that takes and gives what is called after each, never twice
// at once; it may be nil. The error is diagnosis.ErrNothingSeen, one that wraps bdd.ErrTooWide, or that of the
// context.
func Prepare(ctx context.Context, r *diagnosis.Rules, s diagnosis.Sheet, steps func(of int) (step func())) (*Asked, error) {
	a := &Asked{Seen: s.Seen(r.Base), base: r.Base}
	if len(a.Seen) == 0 {
		return nil, diagnosis.ErrNothingSeen
	}
	w := newWeigher(r, s, a.Seen)
	all := append(w.findings(s), w.facts()...)
	if err := w.run(ctx, steps); err != nil {
		return nil, err
	}
	for _, x := range all {
		if t := x.total(); t > negligible {
			a.said = append(a.said, *x)
			a.Total += t
		}
	}
	slices.SortStableFunc(a.said, func(x, y said) int {
		return cmp.Or(descending(x.total(), y.total()), cmp.Compare(x.id, y.id))
	})
	a.matter = map[string]bool{}
	for _, x := range a.said {
		a.matter[x.id] = true
		f, _ := a.base.Finding(x.id)
		for _, n := range f.Needs {
			a.matter[n.ID] = true // where it fails the finding is no evidence
		}
	}
	return a, nil
}

// narrowed is a case with only the answers that are compared, to spare reading
// the others by the rules.
func (a *Asked) narrowed(c *casefile.Case) *casefile.Case {
	n := &casefile.Case{Failures: c.Failures}
	for _, e := range c.Facts {
		if a.matter[a.base.Current(e.ID)] {
			n.Facts = append(n.Facts, e)
		}
	}
	for _, e := range c.Findings {
		if a.matter[a.base.Current(e.ID)] {
			n.Findings = append(n.Findings, e)
		}
	}
	return n
}

// descending orders on values rounded to 1e-9, so that noise never decides.
func descending(a, b float64) int {
	return cmp.Compare(math.Round(b*1e9), math.Round(a*1e9))
}

// Answer is one question that both cases answered: the likeliest answers, and the
// weight with which they agree or differ.
type Answer struct {
	ID          string
	Fact        bool
	Here, There string  // ids of the answers
	Weight      float64 // in nats
}

// Match is a past case beside the one asked about.
type Match struct {
	Nearness          float64  // at most 1
	Common            []string // failures seen in both
	OnlyHere, OnlyOld []string // failures seen in one of the two
	Shared, Different []Answer // the heaviest first
}

// Compare sets a past case beside the one asked about. With no failure in common
// the match is empty but for its failures.
func (a *Asked) Compare(s diagnosis.Sheet) Match {
	var m Match
	for _, f := range a.Seen {
		if s.Failures[f] == rulebase.StateSeen {
			m.Common = append(m.Common, f)
		} else {
			m.OnlyHere = append(m.OnlyHere, f)
		}
	}
	for _, f := range s.Seen(a.base) {
		if !slices.Contains(a.Seen, f) {
			m.OnlyOld = append(m.OnlyOld, f)
		}
	}
	if len(m.Common) == 0 {
		return m
	}
	sum := 0.0
	for _, x := range a.said {
		there, held, ok := x.in(s)
		if !ok {
			continue
		}
		answer := Answer{ID: x.id, Fact: x.fact, Here: x.answers[x.answer].ID, There: x.answers[there].ID}
		answer.Weight = min(x.held, held) * min(x.weight[x.answer], x.weight[there])
		switch {
		case answer.Weight <= negligible:
		case there == x.answer:
			m.Shared, sum = append(m.Shared, answer), sum+answer.Weight
		default:
			m.Different, sum = append(m.Different, answer), sum-answer.Weight
		}
	}
	if a.Total > 0 {
		m.Nearness = sum / a.Total
	}
	heaviest(m.Shared)
	heaviest(m.Different)
	return m
}

func heaviest(list []Answer) {
	slices.SortStableFunc(list, func(x, y Answer) int {
		return cmp.Or(descending(x.Weight, y.Weight), cmp.Compare(x.ID, y.ID))
	})
}

// in is the answer of a past case to the same question, and how far it is held.
func (x said) in(s diagnosis.Sheet) (answer int, held float64, ok bool) {
	if x.fact {
		answer, ok = rulebase.AnswerIndex(x.answers, s.Facts[x.id])
		return answer, 1, ok
	}
	for _, a := range s.Answers {
		if a.Finding == x.id {
			answer, held = likeliest(a.Weights)
			return answer, held, true
		}
	}
	return 0, 0, false
}

func certain(answer, of int) []float64 {
	w := make([]float64, of)
	w[answer] = 1
	return w
}

// likeliest is the answer that the weights speak for most, the first of equals,
// and its share of them.
func likeliest(w []float64) (answer int, held float64) {
	sum := 0.0
	for i, x := range w {
		sum += x
		if x > w[answer] {
			answer = i
		}
	}
	return answer, w[answer] / sum
}

// withFact is facts with one of them as given, without it when answer is "".
func withFact(f rulebase.Facts, id, answer string) rulebase.Facts {
	out := maps.Clone(f)
	delete(out, id)
	if answer != "" {
		out[id] = answer
	}
	return out
}
