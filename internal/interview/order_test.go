package interview_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"filmfault/internal/casefile"
	"filmfault/internal/interview"
	"filmfault/internal/prompt"
	. "filmfault/internal/prompt/prompttest"
)

// safely answers the safety look with no danger.
func safely(mayCut string) map[string]prompt.Reply {
	return map[string]prompt.Reply{
		"overhead": {Choice: "no"}, "lighted": {Choice: "no"}, "old-coating": {Choice: "no"}, "may-cut": {Choice: mayCut},
	}
}

func meet(t *testing.T, c *casefile.Case, where string, p *person) interview.Outcome {
	t.Helper()
	out, err := interview.New(small(t), c, p, saved, ranked).Run(context.Background(), interview.Options{Where: where})
	if err != nil {
		t.Fatal(err, p.log())
	}
	return out
}

// inOrder fails unless the parts were heard one after another.
func inOrder(t *testing.T, p *person, parts ...string) {
	t.Helper()
	last := -1
	for _, part := range parts {
		at := p.place(part)
		if at <= last {
			t.Errorf("%q came at %d, after something at %d\n%s", part, at, last, p.log())
			return
		}
		last = at
	}
}

func TestPartsAtTheSign(t *testing.T) {
	c := &casefile.Case{}
	p := &person{
		t: t, answers: safely("yes"), seen: map[string]string{"blistering": "seen", "bow": "absent"},
		yes: func(string) bool { return true },
	}
	out := meet(t, c, "sign", p)
	inOrder(t, p, "line title", "ask overhead", "ask lighted", "ask may-cut", "say Photographs first", "pick failures",
		"ask season", "ask dried", "ask sister-same-coats", "ask thick-places", "ask tape-lifts",
		"say From here on the questions cut", "ask inside", "confirm What is left to ask is in the shop's log")
	for _, never := range []string{"ask span", "ask shop-air", "ask fan-hours", "ask string-line", "confirm Enter the coats"} {
		if p.place(never) >= 0 {
			t.Errorf("%q was heard\n%s", never, p.log())
		}
	}
	if !out.LogLeft || !c.LogLater || !strings.Contains(out.Reason, "log is left for later") {
		t.Errorf("the log was not left: %+v", out)
	}
	if f := casefile.Find(c.Failures, "bow"); f == nil || f.Answer != "absent" {
		t.Errorf("bow: %+v", f)
	}
	if f := casefile.Find(c.Failures, "peeling"); f == nil || !f.NotChecked {
		t.Errorf("peeling was not looked for: %+v", f)
	}
}

func TestResumedAtTheDesk(t *testing.T) {
	c := begun("yes")
	c.LogLater = true
	c.Findings = []casefile.Entry{{ID: "sister-same-coats", Answer: "thin"}, {ID: "inside", NotChecked: true}}
	p := &person{t: t}
	out := meet(t, c, "desk", p)
	inOrder(t, p, "ask film-gauge", "ask tape-lifts", "ask pull-test", "ask shop-air", "ask fan-hours", "ask wiped", "confirm Enter the coats")
	if last := p.heard[len(p.heard)-1]; !strings.HasPrefix(last, "confirm Enter the coats") {
		t.Errorf("the coats do not come last: %s", p.log())
	}
	if p.place("ask inside") >= 0 || p.place("ask sister") >= 0 {
		t.Errorf("a question answered before, or not checked, was asked again\n%s", p.log())
	}
	if out.LogLeft || c.LogLater {
		t.Error("the log is still said to be left")
	}
}

func TestLogAtHandAtTheSign(t *testing.T) {
	p := &person{t: t, answers: safely("yes"), seen: map[string]string{"blistering": "seen"}}
	out := meet(t, &casefile.Case{}, "sign", p)
	inOrder(t, p, "ask inside", "confirm What is left to ask", "ask shop-air", "ask fan-hours", "confirm Enter the coats")
	if out.LogLeft {
		t.Error("the log was left although it was at hand")
	}
}

func TestByPhoneNothingIsTouched(t *testing.T) {
	p := &person{t: t, answers: safely("yes"), seen: map[string]string{"blistering": "seen"}}
	meet(t, &casefile.Case{}, "phone", p)
	inOrder(t, p, "say Ask for photographs", "ask sister-same-coats", "ask shop-air", "ask fan-hours")
	for _, never := range []string{"ask tape-lifts", "ask inside", "ask wiped", "confirm Enter the coats"} {
		if p.place(never) >= 0 {
			t.Errorf("%q was heard\n%s", never, p.log())
		}
	}
}

func TestNoCutWithoutLeave(t *testing.T) {
	for name, mayCut := range map[string]prompt.Reply{
		"no": {Choice: "no"}, "not checked": {Command: prompt.NotChecked}, "probably": {Choice: "yes", Probably: true},
	} {
		answers := safely("no")
		answers["may-cut"] = mayCut
		p := &person{t: t, answers: answers, seen: map[string]string{"blistering": "seen"}, yes: func(string) bool { return true }}
		out := meet(t, &casefile.Case{}, "sign", p)
		for _, never := range []string{"ask inside", "ask pull-test", "ask marks", "cut into the finish"} {
			if p.place(never) >= 0 {
				t.Errorf("%s: %q was heard\n%s", name, never, p.log())
			}
		}
		if !out.Left.NoCutting || !strings.Contains(out.Reason, "leave to cut") {
			t.Errorf("%s: nothing says that cutting would tell more: %+v", name, out)
		}
	}
}

func TestCautionsComeFirst(t *testing.T) {
	answers := safely("yes")
	answers["lighted"] = prompt.Reply{Choice: "yes"}
	p := &person{t: t, answers: answers, seen: map[string]string{"blistering": "seen"}, yes: func(string) bool { return true }}
	meet(t, &casefile.Case{}, "sign", p)
	inOrder(t, p, "ask lighted", "say Caution: Treat it as live. Have it locked out.", "ask may-cut",
		"caution: Tape springs back. Mind your eyes.", "ask tape-lifts",
		"confirm Treat it as live. Has that been seen to", "say From here on",
		"caution: Cut away from yourself. Wear a glove. Treat it as live.", "ask inside")
}

func TestDangerNotSeenTo(t *testing.T) {
	answers := safely("yes")
	answers["lighted"] = prompt.Reply{Command: prompt.NotChecked}
	p := &person{
		t: t, answers: answers, seen: map[string]string{"blistering": "seen"},
		yes: func(q string) bool { return strings.Contains(q, "for later") },
	}
	out := meet(t, &casefile.Case{}, "sign", p)
	inOrder(t, p, "ask lighted", "say Caution: Treat it as live.", "confirm Treat it as live.", "ask pull-test")
	if p.place("ask inside") >= 0 {
		t.Errorf("a danger was not seen to, and the question was asked\n%s", p.log())
	}
	if !slices.Equal(out.Left.Unsafe, []string{"wiring"}) {
		t.Errorf("left: %+v", out.Left)
	}
}

func TestLooseOverheadIsNotTouched(t *testing.T) {
	answers := safely("yes")
	answers["overhead"] = prompt.Reply{Choice: "yes"}
	p := &person{
		t: t, answers: answers, seen: map[string]string{"blistering": "seen"},
		yes: func(q string) bool { return strings.Contains(q, "for later") },
	}
	meet(t, &casefile.Case{}, "sign", p)
	inOrder(t, p, "ask overhead", "say Caution: A loose piece can fall. Keep people out", "confirm A loose piece can fall.", "ask thick-places")
	for _, never := range []string{"ask tape-lifts", "ask film-gauge", "ask inside", "ask pull-test"} {
		if p.place(never) >= 0 {
			t.Errorf("%q was heard\n%s", never, p.log())
		}
	}
}

func TestNothingSeen(t *testing.T) {
	c := begun("no")
	c.Failures = nil
	p, out := talk(t, c, "sign", Set("failures", map[string]string{"bow": "absent"}), Yes("once more"),
		Set("failures", nil), No("once more"))
	if !out.Stopped || !strings.Contains(out.Reason, "No failure is marked as seen") {
		t.Errorf("outcome %+v", out)
	}
	if f := casefile.Find(c.Failures, "bow"); f == nil || f.Answer != "absent" {
		t.Errorf("going through the list again lost what was marked: %+v", c.Failures)
	}
	k := p.Picked()[1]
	at := slices.IndexFunc(k.Items, func(i prompt.Choice) bool { return i.ID == "bow" })
	if k.Start[at] != "absent" || k.Rest != "absent" {
		t.Errorf("the list does not show what was marked: %+v", k)
	}
}

func TestNothingLeftToAsk(t *testing.T) {
	c := begun("yes")
	for _, f := range small(t).Base.Findings {
		c.Findings = append(c.Findings, casefile.Entry{ID: f.ID, NotChecked: true})
	}
	_, out := talk(t, c, "sign", Yes("Nothing more needs asking"), Line("add", "blister inside"), Choose("add-which", "inside"),
		Choose("inside", "dry"))
	if casefile.Find(c.Findings, "inside").Answer != "dry" {
		t.Errorf("the answer was not taken: %+v", c.Findings)
	}
	if slices.Contains(out.Left.NotChecked, "inside") || !slices.Contains(out.Left.NotChecked, "marks") {
		t.Errorf("left: %+v", out.Left)
	}
}
