package interview_test

import (
	"context"
	"errors"
	"maps"
	"slices"
	"strings"
	"testing"

	"filmfault/internal/casefile"
	"filmfault/internal/interview"
	"filmfault/internal/prompt"
	. "filmfault/internal/prompt/prompttest"
	"filmfault/internal/rulebase"
)

// contradictory is a case whose two answers cannot both be true. One of them
// goes by its old name.
func contradictory() *casefile.Case {
	return &casefile.Case{
		ID: "c", Title: "Bakery",
		Failures: []casefile.Entry{{ID: "blistering", Answer: "seen"}},
		Findings: []casefile.Entry{{ID: "looked-wet", Answer: "yes"}, {ID: "scales", Answer: "no"}},
	}
}

func sure(t *testing.T, c *casefile.Case, script ...Step) (*Scripted, interview.Outcome) {
	t.Helper()
	p := New(t, script...)
	out, err := interview.New(oneFile(t, "sure.yaml"), c, p, saved, ranked).Run(context.Background(), interview.Options{Where: "sign"})
	if err != nil {
		t.Fatal(err)
	}
	return p, out
}

func TestContradiction(t *testing.T) {
	c := contradictory()
	p, _ := sure(t, c, Choose("contradiction", "seen-wet"), Command("seen-wet", prompt.NotChecked))
	if len(c.Findings) != 2 || c.Findings[0].ID != "seen-wet" || !c.Findings[0].NotChecked {
		t.Errorf("findings %+v", c.Findings)
	}
	if text := p.Asked()[0].Choices[0].Text; text != "Was the primer seen wet when it was closed over? (Yes)" {
		t.Errorf("offered %q", text)
	}
}

func TestContradictionLeft(t *testing.T) {
	_, out := sure(t, contradictory(), Command("contradiction", prompt.Stop))
	if !out.Stopped || !strings.Contains(out.Reason, "cannot all be true") {
		t.Errorf("outcome %+v", out)
	}
}

func TestOneOfAGroupIsAsked(t *testing.T) {
	c := contradictory()
	c.Findings = []casefile.Entry{{ID: "seen-wet", NotChecked: true}, {ID: "scales", NotChecked: true}, {ID: "puck", Answer: "no"}}
	p, _ := sure(t, c, No("add something"))
	if len(p.Asked()) != 0 {
		t.Errorf("asked %v", asked(p))
	}
}

func TestRelevant(t *testing.T) {
	base := small(t).Base
	for failure, want := range map[string]string{
		"blistering": "dried season shop-air", "peeling": "dried season shop-air", "bow": "span",
	} {
		got := slices.Sorted(maps.Keys(interview.Relevant(base, []string{failure})))
		if strings.Join(got, " ") != want {
			t.Errorf("%s: %v, want %s", failure, got, want)
		}
	}
	if got := interview.Relevant(base, nil); len(got) != 0 {
		t.Errorf("nothing seen: %v", got)
	}
}

func TestContextEnds(t *testing.T) {
	ctx, cancel := context.WithCancelCause(context.Background())
	gone := errors.New("the shop closes")
	cancel(gone)
	c := begun("yes")
	saves := 0
	_, err := interview.New(small(t), c, New(t), func() error { saves++; return nil }, ranked).Run(ctx, interview.Options{Where: "sign"})
	if !errors.Is(err, gone) || len(c.Findings) != 0 || saves != 1 {
		t.Errorf("%v, %d saves, %+v", err, saves, c.Findings)
	}
}

// With the shipped rules nothing is cut without leave, nothing of the log is
// asked at the sign before everything else, and what held comes first.
func TestShippedRulesAtTheSign(t *testing.T) {
	r := shipped(t)
	for _, mayCut := range []string{"yes", "no"} {
		p := &person{
			t: t, answers: safely(mayCut), seen: map[string]string{"blistering": "seen"},
			yes: func(string) bool { return true },
		}
		c := &casefile.Case{Title: "Bakery"}
		if _, err := interview.New(r, c, p, saved, nil).Run(context.Background(), interview.Options{Where: "sign"}); err != nil {
			t.Fatal(err)
		}
		first := ""
		cut := 0
		for _, h := range p.heard {
			f, ok := r.Base.Finding(strings.TrimPrefix(h, "ask "))
			if !ok || !strings.HasPrefix(h, "ask ") {
				continue
			}
			if first == "" {
				first = f.ID
			}
			if f.Stage == rulebase.StageLog && f.ID != "sister-same-coats" || !slices.Contains(f.Where, rulebase.AtSign) || f.Minutes > 60 {
				t.Errorf("%s was asked at the sign", f.ID)
			}
			if f.Damage != "" && f.Damage != "none" {
				cut++
			}
		}
		if first != "sister-same-coats" {
			t.Errorf("%s came first", first)
		}
		if (cut > 0) != (mayCut == "yes") {
			t.Errorf("leave to cut %s, and %d questions leave damage\n%s", mayCut, cut, p.log())
		}
		if !c.LogLater {
			t.Error("the log was not left for later")
		}
	}
}
