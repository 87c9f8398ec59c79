package similar

import (
	"context"
	"errors"
	"math"
	"runtime"
	"slices"
	"sync"

	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// weigher works out what answers tell. Each answer is one evaluation of its own;
// they are listed first and then run side by side.
type weigher struct {
	rules *diagnosis.Rules
	bare  diagnosis.Sheet // the facts and the failures seen, nothing found
	tasks []*task
}

// task is one evaluation: the shares of the causes by a sheet.
type task struct {
	sheet  diagnosis.Sheet
	shares map[string]float64 // nil when the sheet cannot be true
	then   func()             // once this and all tasks before it are done
}

func newWeigher(r *diagnosis.Rules, s diagnosis.Sheet, seen []string) *weigher {
	bare := diagnosis.Sheet{Facts: s.Facts, Failures: map[string]string{}, Doubt: map[string]float64{}}
	for _, f := range seen {
		bare.Failures[f] = rulebase.StateSeen
		if c, doubtful := s.Doubt[f]; doubtful {
			bare.Doubt[f] = c
		}
	}
	return &weigher{rules: r, bare: bare}
}

func (w *weigher) add(s diagnosis.Sheet) *task {
	t := &task{sheet: s}
	w.tasks = append(w.tasks, t)
	return t
}

// findings lists what was found, to be weighed against nothing found.
func (w *weigher) findings(s diagnosis.Sheet) []*said {
	before := w.add(w.bare)
	var out []*said
	for _, a := range s.Answers {
		f, ok := w.rules.Base.Finding(a.Finding)
		if !ok {
			continue
		}
		x := &said{id: f.ID, answers: f.Answers}
		x.answer, x.held = likeliest(a.Weights)
		w.each(x, before, func(i int) diagnosis.Sheet {
			after := w.bare
			after.Answers = []diagnosis.Answered{{
				Finding: f.ID, Answer: f.Answers[i].ID, Shown: f.Answers[i].Text, Sure: 1, Weights: certain(i, len(f.Answers)),
			}}
			return after
		})
		out = append(out, x)
	}
	return out
}

// facts lists the facts known that set rates, each to be weighed against the
// case without it.
func (w *weigher) facts() []*said {
	var out []*said
	for _, f := range w.rules.Base.Facts {
		at, known := rulebase.AnswerIndex(f.Answers, w.bare.Facts[f.ID])
		if !known || !w.setsRates(f.ID) {
			continue
		}
		x := &said{id: f.ID, fact: true, answers: f.Answers, answer: at, held: 1}
		with := func(answer string) diagnosis.Sheet {
			s := w.bare
			s.Facts = withFact(w.bare.Facts, f.ID, answer)
			return s
		}
		w.each(x, w.add(with("")), func(i int) diagnosis.Sheet { return with(f.Answers[i].ID) })
		out = append(out, x)
	}
	return out
}

// each adds a task for every answer, which weighs it against what was before.
func (w *weigher) each(x *said, before *task, after func(int) diagnosis.Sheet) {
	x.weight = make([]float64, len(x.answers))
	for i := range x.answers {
		t := w.add(after(i))
		t.then = func() { x.weight[i] = told(before.shares, t.shares) }
	}
}

// setsRates reports whether a fact sets the rate of an event below a failure
// seen. A fact that does not cannot move a cause.
func (w *weigher) setsRates(fact string) bool {
	b := w.rules.Base
	for _, e := range b.Events {
		if !slices.ContainsFunc(b.Trees(e.ID), func(t string) bool { return w.bare.Failures[t] != "" }) {
			continue
		}
		for _, row := range e.Rate {
			if slices.ContainsFunc(row.When, func(i rulebase.Is) bool { return i.ID == fact }) {
				return true
			}
		}
	}
	return false
}

// run works the tasks out on all processors, then weighs in their order.
func (w *weigher) run(ctx context.Context, steps func(of int) func()) error {
	step := func() {}
	if steps != nil {
		step = steps(len(w.tasks))
	}
	if err := w.evaluate(ctx, step); err != nil {
		return err
	}
	for _, t := range w.tasks {
		if t.then != nil {
			t.then()
		}
	}
	return nil
}

// evaluate works the shares of all tasks out; the error is that of the first task
// that has one.
func (w *weigher) evaluate(ctx context.Context, step func()) error {
	var telling sync.Mutex
	failed := make([]error, len(w.tasks))
	next := make(chan int)
	var done sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(w.tasks)) {
		done.Go(func() {
			for i := range next {
				if ctx.Err() == nil {
					w.tasks[i].shares, failed[i] = w.shares(w.tasks[i].sheet)
					telling.Lock()
					step()
					telling.Unlock()
				}
			}
		})
	}
	for i := range w.tasks {
		next <- i
	}
	close(next)
	done.Wait()
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	for _, err := range failed {
		if err != nil {
			return err
		}
	}
	return nil
}

// shares is how what contributed to the failures seen is shared among the causes,
// and what the rules do not list beside them; nil when the sheet cannot be.
func (w *weigher) shares(s diagnosis.Sheet) (map[string]float64, error) {
	e, err := w.rules.Evaluate(s)
	var never *diagnosis.ContradictionError
	switch {
	case errors.As(err, &never):
		return nil, nil
	case err != nil:
		return nil, err
	}
	out, sum := map[string]float64{}, 0.0
	for _, r := range e.Ranking() {
		out[r.Cause.ID] = r.Contributed
		sum += r.Contributed
	}
	for _, u := range e.Unlisted() {
		out["unlisted: "+u.Gate] = u.Contributed // no id has a colon
		sum += u.Contributed
	}
	for id := range out {
		out[id] /= sum
	}
	return out, nil
}

// smallestShare keeps a cause that a fact alone makes possible from telling
// without bounds.
const smallestShare = 1e-6

// told is the information in nats that takes the shares from before to after; 0
// where one of the two cannot be.
func told(before, after map[string]float64) float64 {
	if before == nil || after == nil {
		return 0
	}
	terms := make([]float64, 0, len(after))
	for id, p := range after {
		if p > 0 {
			terms = append(terms, p*math.Log(p/max(before[id], smallestShare)))
		}
	}
	slices.Sort(terms) // a map has no order, and sums must be the same each time
	sum := 0.0
	for _, x := range terms {
		sum += x
	}
	return max(0, sum)
}
