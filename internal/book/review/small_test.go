package review_test

import (
	"context"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"filmfault/internal/book"
	"filmfault/internal/book/review"
	"filmfault/internal/rulebase"
	"filmfault/internal/source"
	"filmfault/rules"
)

// smallRules are rules that a book can be worked out by hand with.
const smallRules = `schema: 1
title: Small
facts:
  - id: season
    question: When was it painted?
    stage: start
    answers: [{id: winter, text: Winter}, {id: spring, text: Spring}]
  - id: tool
    question: With what?
    stage: start
    answers: [{id: brush, text: Brushed}, {id: spray, text: Sprayed}]
  - id: thickness
    question: How thick is the board?
    stage: start
    value: {kind: length, unit: in}
    answers: [{id: thin, text: under 1 in, below: 1 in}, {id: thick, text: 1 in or more, from: 1 in}]
causes:
  - {id: wet-primer, title: Primer closed over wet, tree: vapour-drive, mechanism: Water., rate: 0.1, basis: judgement,
     confirm: [{measurement: weigh, answer: "yes"}], repair: Strip., prevent: Weigh a coupon.}
  - {id: no-key, title: Too smooth, tree: adhesion, mechanism: Smooth., rate: 0.1, basis: judgement, was: [too-smooth],
     confirm: [{measurement: scuff, answer: "yes"}], repair: Strip., prevent: Scuff it.}
  - {id: dirty, title: Dirt on it, tree: adhesion, mechanism: Dirt., rate: 0.1, basis: judgement,
     confirm: [{measurement: wipe, answer: "yes"}], repair: Strip., prevent: Scuff it.}
failures:
  - {id: blisters, title: Blisters, any: [wet-primer, dirty], question: "Are there any?", unlisted: 0.05, make-safe: None., temporary: None., never: None.}
  - {id: peeling, title: Peeling, any: [no-key, dirty], question: "Does it peel?", unlisted: 0.05, make-safe: None., temporary: None., never: None.}
measurements:
  - {id: weigh, question: "Lighter?", why: It tells., stage: look, where: sign, minutes: 1, method: Scale, decides: Any, basis: judgement,
     rows: [{if: wet-primer, say: {"yes": often}}, {otherwise: {"yes": seldom}}]}
  - {id: scuff, question: "Does it hold?", why: It tells., stage: look, where: sign, minutes: 1, method: Pad, decides: Any, basis: judgement,
     rows: [{if: no-key, say: {"yes": often}}, {otherwise: {"yes": seldom}}]}
  - {id: wipe, question: "Does it wipe off?", why: It tells., stage: look, where: sign, minutes: 1, method: Rag, decides: Any, basis: judgement,
     rows: [{if: dirty, say: {"yes": often}}, {otherwise: {"yes": seldom}}]}
`

// smallBook is seven cases, a broken one, and the jobs of three months.
func smallBook() fstest.MapFS {
	out := fstest.MapFS{}
	for name, text := range map[string]string{
		"a.yaml": `schema: 1
job: {finished: 2026-01-10, seen: 2026-01-20, primer-lot: P 1}
facts: {tool: brush, season: winter, thickness: {value: 1/2 in}}
failures: {blisters: seen, peeling: absent}
findings: {weigh: "yes", scuff: "no"}
verdict:
  settled: 2026-02-01
  causes:
    - {cause: wet-primer, state: confirmed, by: weigh}
    - {cause: no-key, state: ruled-out, by: scuff}
  costs: [{what: lift, amount: 180}, {what: paint, amount: $20}]
  changed: Coupons are weighed.
  ranking: [{cause: wet-primer, contributed: 0.6}, {cause: no-key, contributed: 0.3}]
`,
		"b.yaml": `schema: 1
job: {finished: 2026-01-31, seen: 2026-02-04, primer-lot: "p  1"}
facts: {tool: spray, season: winter, thickness: {value: 2 in, source: assumed}}
failures: {blisters: seen, peeling: seen}
verdict:
  settled: 2026-04-02
  causes:
    - {cause: wet-primer, state: confirmed, by: a look}
    - {cause: too-smooth, state: confirmed}
  costs: [{what: paint, amount: "$100.01"}]
  ranking: [{cause: no-key, contributed: 0.5}, {cause: dirty, contributed: 0.4}, {cause: wet-primer, contributed: 0.2}]
`,
		"c.yaml": `schema: 1
job: {finished: 2026-02-15, seen: 2026-03-15, primer-lot: P 2}
failures: {blisters: seen}
`,
		"d.yaml": `schema: 1
job: {primer-lot: P 1}
failures: {blisters: seen}
`,
		"e.yaml": `schema: 1
log: {coats: [{material: primer, start: "2026-02-18 09:00"}, {material: paint, start: "2026-02-20 09:00"}]}
failures: {peeling: seen}
findings: {weigh: "no"}
verdict:
  settled: 2026-06-10
  no-fault: true
  causes: [{cause: wet-primer, state: ruled-out, by: weigh}]
  costs:
    - what: talk
      amount: a lot
`,
		"f.yaml": `schema: 1
job: {finished: 2026-03-01, primer-lot: P 1}
failures: {peeling: seen}
verdict:
  settled: 2026-06-11
  unlisted: true
  causes: [{cause: dirty, state: not-examined}]
  costs: [{what: paint, amount: 50 CAD}]
  ranking: [{cause: dirty, contributed: 0.9}, {cause: no-key, contributed: 0.1}]
`,
		"g.yaml": "schema: 1\nfacts:\n  tool: [brush\n",
		"h.yaml": `schema: 1
job: {finished: 2026-03-31}
failures: {peeling: seen}
verdict:
  settled: 2026-06-12
  causes: [{cause: no-key, state: ruled-out, by: scuff}]
  ranking: [{cause: no-key, contributed: 0.8}]
`,
		"jobs.yaml": `schema: 1
jobs:
  - {month: 2026-01, done: 10}
  - {month: 2026-01, done: 4, tool: spray}
  - {month: 2026-02, done: 8}
  - {month: 2026-03, done: 12, note: with the fair}
`,
	} {
		out[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return out
}

// loaded makes a base of rules from one text.
func loaded(t testing.TB, layers ...rulebase.Layer) *rulebase.Base {
	t.Helper()
	l, err := rulebase.Load(layers...)
	require.NoError(t, err)
	require.NotNil(t, l.Base, "%v", l.Diagnostics)
	return l.Base
}

func small(t testing.TB) *rulebase.Base {
	t.Helper()
	return loaded(t, rulebase.Layer{Name: "small", FS: fstest.MapFS{"small.yaml": {Data: []byte(smallRules)}}})
}

// shipped is the rules that are built in.
func shipped(t testing.TB) *rulebase.Base {
	t.Helper()
	return loaded(t, rulebase.Layer{Name: "rules", FS: rules.FS})
}

// input reads a folder as the command does, and gives what there was to say.
func input(t testing.TB, b *rulebase.Base, folder fstest.MapFS) (review.Input, source.List) {
	t.Helper()
	places, err := book.Book{Shelves: []book.Shelf{{Name: "book", FS: folder}}}.Places()
	require.NoError(t, err)
	in, said := review.Input{Books: []string{"book"}}, source.List{}
	require.NoError(t, book.InOrder(context.Background(), places, func(p book.Place) review.Reading { return review.Take(b, p.Read()) }, func(r review.Reading) error {
		said = append(said, r.Problems...)
		if r.Record == nil {
			in.Left = append(in.Left, r.LeftOut())
		} else {
			in.Records = append(in.Records, *r.Record)
		}
		return r.Err
	}))
	if f, ok := folder[book.Jobs]; ok {
		jobs, diags := review.ParseJobs(b, "book/"+book.Jobs, f.Data, review.Day(740_000))
		require.Empty(t, diags)
		in.Jobs = jobs
	}
	return in, said
}

// reviewed is the review of the small book.
func reviewed(t testing.TB, asked review.Asked) *review.Document {
	t.Helper()
	b := small(t)
	f, err := review.ParseFilter(b, asked)
	require.NoError(t, err)
	in, _ := input(t, b, smallBook())
	return review.Build(b, in, f)
}
