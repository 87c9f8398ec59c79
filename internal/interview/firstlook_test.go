package interview_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"filmfault/internal/casefile"
	"filmfault/internal/interview"
	"filmfault/internal/prompt"
	. "filmfault/internal/prompt/prompttest"
	"filmfault/internal/rulebase"
)

func TestAListBrokenOffIsKeptAndShownAgain(t *testing.T) {
	c := begun("no")
	c.Failures = nil
	saves := 0
	p := New(t, Fails(Set("failures", map[string]string{"blistering": "seen", "bow": "absent"}), prompt.ErrInterrupted))
	_, err := interview.New(small(t), c, p, func() error { saves++; return nil }, ranked).Run(context.Background(), interview.Options{Where: "sign"})
	if !errors.Is(err, prompt.ErrInterrupted) || len(c.Failures) != 2 || saves < 2 {
		t.Fatalf("%v, %d saves, %+v", err, saves, c.Failures)
	}
	q, _ := talk(t, c, "sign", Set("failures", map[string]string{"bow": "not-looked"}), Command("sister-same-coats", prompt.Stop))
	if start := strings.Join(q.Picked()[0].Start, " "); !strings.Contains(start, "seen") || !strings.Contains(start, "absent") {
		t.Errorf("the list shows %s", start)
	}
	if f := casefile.Find(c.Failures, "bow"); !f.NotChecked || f.Answer != "" {
		t.Errorf("what was unmarked is still marked: %+v", f)
	}
	if said := strings.Join(q.Said(), " "); !strings.Contains(said, "Never press them flat") {
		t.Errorf("what to do now was not said: %s", said)
	}
}

// Before the first look at most five facts are asked, and what the first
// question needs.
func TestFiveFactsBeforeTheFirstLook(t *testing.T) {
	r := shipped(t)
	for _, g := range r.Base.Failures() {
		p := &person{t: t, answers: safely("yes"), seen: map[string]string{g.ID: "seen"}, yes: func(string) bool { return true }}
		for _, f := range r.Base.Findings {
			p.answers[f.ID] = prompt.Reply{Command: prompt.Stop}
		}
		c := &casefile.Case{Title: "Bakery"}
		if _, err := interview.New(r, c, p, saved, nil).Run(context.Background(), interview.Options{Where: rulebase.AtSign}); err != nil {
			t.Fatal(err)
		}
		before := 0
		for _, h := range p.heard {
			id := strings.TrimPrefix(h, "ask ")
			if _, ok := r.Base.Finding(id); ok && id != h {
				break
			}
			if f, ok := r.Base.Fact(id); ok && id != h && f.Stage == rulebase.StageStart {
				before++
			}
		}
		if before > 5+1 { // one more that the first question needs
			t.Errorf("%s: %d facts before the first look\n%s", g.ID, before, p.log())
		}
	}
}

// At the desk the log waits until the looking, touching and cutting that tells
// anything is through, and the coats come last.
func TestTheLogComesLastAtTheDesk(t *testing.T) {
	r := shipped(t)
	p := &person{t: t, answers: safely("yes"), seen: map[string]string{"blistering": "seen"}, yes: func(q string) bool { return !strings.Contains(q, "coats") }}
	if _, err := interview.New(r, &casefile.Case{Title: "Bakery"}, p, saved, nil).Run(context.Background(), interview.Options{Where: rulebase.AtDesk}); err != nil {
		t.Fatal(err)
	}
	logAt, cuts := -1, 0
	for i, h := range p.heard {
		f, ok := r.Base.Finding(strings.TrimPrefix(h, "ask "))
		switch {
		case ok && logAt < 0 && f.Stage == rulebase.StageLog && f.ID != "sister-same-coats" && f.ID != "held-elsewhere":
			logAt = i
		case ok && logAt < 0 && f.Stage == rulebase.StageCut:
			cuts++
		case strings.HasPrefix(h, "confirm Enter the coats") && i < len(p.heard)-1:
			t.Errorf("the coats do not come last\n%s", p.log())
		}
	}
	if logAt < 0 || cuts < 5 || p.place("ask shop-air") > logAt || p.place("confirm Enter the coats") < 0 {
		t.Errorf("the log at %d after %d cuts\n%s", logAt, cuts, p.log())
	}
}
