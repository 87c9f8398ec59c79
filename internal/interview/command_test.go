package interview_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"filmfault/internal/casefile"
	"filmfault/internal/interview"
	"filmfault/internal/prompt"
	. "filmfault/internal/prompt/prompttest"
)

func TestWhyAndRanking(t *testing.T) {
	p, _ := talk(t, begun("no"), "sign",
		Command("sister-same-coats", prompt.Why), Command("sister-same-coats", prompt.Ranking), Command("sister-same-coats", prompt.Stop))
	said := strings.Join(p.Said(), "\n")
	for _, want := range []string{
		"The part that held tells which difference mattered.", "Primer closed over wet", "Dust left on the board",
		`"Thin places" would speak for`, "THE RANKING",
	} {
		if !strings.Contains(said, want) {
			t.Errorf("%q was not said:\n%s", want, said)
		}
	}
	for _, never := range []string{"bit", "0.", "%"} {
		if strings.Contains(said, never) {
			t.Errorf("%q was said:\n%s", never, said)
		}
	}
}

func TestWhyAFactIsAsked(t *testing.T) {
	c := begun("no")
	c.Facts = c.Facts[:1]
	p, _ := talk(t, c, "sign", Command("lighted", prompt.Why), Choose("lighted", "no"), Choose("may-cut", "no"),
		Command("season", prompt.Why), Command("season", prompt.Stop))
	said := strings.Join(p.Said(), "\n")
	if !strings.Contains(said, "what may be touched") || !strings.Contains(said, "how usual some causes are: Primer closed over wet.") {
		t.Errorf("said:\n%s", said)
	}
}

func TestBackKeepsTheAnswerUntilItIsReplaced(t *testing.T) {
	c := begun("no")
	c.Facts = c.Facts[:3]
	p, _ := talk(t, c, "sign",
		Choose("season", "cold"), Type("dried", "overnight"),
		Command("sister-same-coats", prompt.Back), Command("dried", prompt.Back), Choose("season", "cold"),
		Command("sister-same-coats", prompt.Back), Choose("dried", "(leave)"),
		Command("sister-same-coats", prompt.Stop))
	if got := casefile.Find(c.Facts, "season").Answer; got != "cold" {
		t.Errorf("season %q", got)
	}
	if got := casefile.Find(c.Facts, "dried").Value; got != "overnight" {
		t.Errorf("dried %q", got)
	}
	if how := p.Asked()[3].How; !strings.HasPrefix(how, "Your answer so far: overnight.") {
		t.Errorf("the answer so far is not shown: %q", how)
	}
	if p.Asked()[0].Allow.Back || !p.Asked()[1].Allow.Back {
		t.Error("back is offered where there is nothing before, or not where there is")
	}
}

func TestBackToTheFailures(t *testing.T) {
	c := begun("no")
	c.Failures, c.Facts = nil, c.Facts[:3]
	talk(t, c, "sign", Set("failures", map[string]string{"blistering": "seen"}),
		Command("season", prompt.Back), Set("failures", map[string]string{"peeling": "absent"}),
		Command("season", prompt.Stop))
	if casefile.Find(c.Failures, "blistering").Answer != "seen" || casefile.Find(c.Failures, "peeling").Answer != "absent" {
		t.Errorf("failures %+v", c.Failures)
	}
}

func TestBackInterrupted(t *testing.T) {
	c := begun("no")
	p := New(t, Choose("sister-same-coats", "thin"), Command("thick-places", prompt.Back),
		Fails(Choose("sister-same-coats", "none"), prompt.ErrInterrupted))
	_, err := interview.New(small(t), c, p, saved, ranked).Run(context.Background(), interview.Options{Where: "sign"})
	if !errors.Is(err, prompt.ErrInterrupted) || casefile.Find(c.Findings, "sister-same-coats").Answer != "thin" {
		t.Errorf("%v, %+v", err, c.Findings)
	}
}

func TestAddAFinding(t *testing.T) {
	c := begun("no")
	p, _ := talk(t, c, "sign",
		Command("sister-same-coats", prompt.Add), Line("add", "tape"), Choose("add-which", "tape-lifts"),
		Say("tape-lifts", prompt.Reply{Choice: "yes", Probably: true}),
		Command("sister-same-coats", prompt.Stop))
	e := casefile.Find(c.Findings, "tape-lifts")
	if e == nil || e.Answer != "yes" || e.Sure != "probably" || e.Asked != "Does tape lift the finish beside it?" {
		t.Errorf("entry %+v", e)
	}
	if a := p.Asked()[2]; a.Allow.Add || a.Allow.Back || a.Caution == "" {
		t.Errorf("as asked: %+v", a)
	}
}

func TestAddAFailureAndChangeAFact(t *testing.T) {
	c := begun("no")
	p, _ := talk(t, c, "sign",
		Command("sister-same-coats", prompt.Add), Line("add", "peels"), Choose("add-which", "peeling"), Choose("peeling", "seen"),
		Command("sister-same-coats", prompt.Add), Line("add", "painted season"), Choose("add-which", "season"), Choose("season", "cold"),
		Command("sister-same-coats", prompt.Stop))
	if casefile.Find(c.Failures, "peeling").Answer != "seen" || casefile.Find(c.Facts, "season").Answer != "cold" {
		t.Errorf("%+v\n%+v", c.Failures, c.Facts)
	}
	if !slices.Contains(p.Said(), "Peeling. Keep people out. Never tape it down.") {
		t.Errorf("what to do about it was not said: %q", p.Said())
	}
}

func TestAddANote(t *testing.T) {
	c := begun("no")
	c.Notes = "from the phone"
	talk(t, c, "sign",
		Command("sister-same-coats", prompt.Add), Line("add", "note: smells of solvent"),
		Command("sister-same-coats", prompt.Add), Line("add", "zebra"),
		Command("sister-same-coats", prompt.Add), Line("add", "fridge of a fish shop, primer"),
		Command("sister-same-coats", prompt.Add), Line("add", ""),
		Say("sister-same-coats", prompt.Reply{Command: prompt.Stop, Note: "it rains"}))
	want := "from the phone\nsmells of solvent\nzebra\nfridge of a fish shop, primer\nWhat with the same coats held? it rains"
	if c.Notes != want {
		t.Errorf("notes %q, want %q", c.Notes, want)
	}
}

func TestAddWithoutLeaveToCutOrdersNoCut(t *testing.T) {
	p, _ := talk(t, begun("no"), "sign",
		Command("sister-same-coats", prompt.Add), Line("add", "blister inside"), Choose("add-which", "inside"), Choose("inside", "(leave)"),
		Command("sister-same-coats", prompt.Stop))
	if how := p.Asked()[2].How; !strings.Contains(how, "only what is known already") {
		t.Errorf("how %q", how)
	}
}

func TestSearchOffersFiveAtMost(t *testing.T) {
	c := begun("yes")
	p := &adder{Scripted: New(t, Line("add", "blister primer paint"))}
	facts := []casefile.Entry{{ID: "old-coating", Answer: "no"}}
	c.Facts = append(facts, c.Facts...)
	for _, f := range shipped(t).Base.Facts {
		if casefile.Find(c.Facts, f.ID) == nil {
			c.Facts = append(c.Facts, casefile.Entry{ID: f.ID, NotChecked: true})
		}
	}
	c.Facts = casefile.Drop(casefile.Drop(c.Facts, "dried"), "season")
	c.Facts = append(c.Facts, casefile.Entry{ID: "season", Answer: "summer"})
	c.Failures = nil
	for _, g := range shipped(t).Base.Failures() {
		c.Failures = append(c.Failures, casefile.Entry{ID: g.ID, NotChecked: true})
	}
	*casefile.Find(c.Failures, "blistering") = casefile.Entry{ID: "blistering", Answer: "seen"}
	if _, err := interview.New(shipped(t), c, p, saved, nil).Run(context.Background(), interview.Options{Where: "sign"}); err != nil {
		t.Fatal(err)
	}
	if n := len(p.offer.Choices); n != 5+2 {
		t.Errorf("%d choices: %v", n, p.offer.Choices)
	}
	if p.first.Allow.Ranking {
		t.Error("the ranking is offered though nobody can show it")
	}
}

// adder adds something at the first question, whichever that is, takes nothing
// of what is offered, and stops.
type adder struct {
	*Scripted
	first, offer prompt.Ask
}

func (p *adder) Ask(_ context.Context, a prompt.Ask) (prompt.Reply, error) {
	switch {
	case p.first.ID == "":
		p.first = a
		return prompt.Reply{Command: prompt.Add}, nil
	case a.ID == "add-which":
		p.offer = a
		return prompt.Reply{Choice: "(nothing)"}, nil
	}
	return prompt.Reply{Command: prompt.Stop}, nil
}

func TestStopAtOnce(t *testing.T) {
	_, out := talk(t, &casefile.Case{Title: "x"}, "sign", Command("overhead", prompt.Stop))
	if !out.Stopped || out.Reason != "You stopped the questions." {
		t.Errorf("outcome %+v", out)
	}
}

func TestLogLeftAtTheDesk(t *testing.T) {
	c := begun("no")
	for _, id := range []string{"sister-same-coats", "thick-places", "marks", "film-gauge", "tape-lifts"} {
		c.Findings = append(c.Findings, casefile.Entry{ID: id, NotChecked: true})
	}
	p, out := talk(t, c, "desk", Choose("shop-air", "dry"), Command("fan-hours", prompt.Later))
	if !c.LogLater || !out.LogLeft {
		t.Errorf("the log was not left: %+v", out)
	}
	if !p.Asked()[1].Allow.Later {
		t.Error("later is not offered in the log")
	}
}

func TestNotCheckedIsNotNo(t *testing.T) {
	c := &casefile.Case{}
	p := &person{t: t, seen: map[string]string{"blistering": "seen"}, yes: func(string) bool { return true }}
	meet(t, c, "sign", p)
	for _, e := range slices.Concat(c.Facts, c.Findings) {
		if !e.NotChecked || e.Answer != "" || e.Value != "" || e.Asked == "" {
			t.Errorf("not checked was kept as %+v", e)
		}
	}
}

func TestValuesAreKeptAsTyped(t *testing.T) {
	c := begun("no")
	c.Facts = c.Facts[:4]
	c.Failures = append(c.Failures[:2], casefile.Entry{ID: "bow", Answer: "seen"})
	p, _ := talk(t, c, "sign", Type("dried", "overnight"), Type("span", "1/8 in"), Command("sister-same-coats", prompt.Stop))
	for id, want := range map[string]string{"dried": "overnight", "span": "1/8 in"} {
		if got := casefile.Find(c.Facts, id).Value; got != want {
			t.Errorf("%s: %q, want %q", id, got, want)
		}
	}
	v := p.Asked()[0].Value
	if err := v.Check("12 mil"); err == nil || !strings.Contains(err.Error(), "12 mil") {
		t.Errorf("a film for a time: %v", err)
	}
	if len(p.Asked()[0].Choices) != 2 {
		t.Errorf("a band cannot be picked: %+v", p.Asked()[0].Choices)
	}
}

func TestAFigureIsReadInWordsAndDoubted(t *testing.T) {
	c := begun("no")
	c.Facts = c.Facts[:4]
	p, _ := talk(t, c, "sign", Type("dried", "30 years"), Command("sister-same-coats", prompt.Stop))
	v := p.Asked()[0].Value
	if why := v.Doubt("30 years"); !strings.Contains(why, "very much") || v.Doubt("9") != "" {
		t.Errorf("doubts %q and %q", why, v.Doubt("9"))
	}
	for typed, want := range map[string]string{"9": "9 h (8 h or more)", "5 h": "5 h (under 8 h)", "what": "what"} {
		if got := v.Reading(typed); got != want {
			t.Errorf("%s reads %q, want %q", typed, got, want)
		}
	}
	if v.Example != "8 h" {
		t.Errorf("example %q", v.Example)
	}
}

func TestMeasurementNamesItsToolAndMethod(t *testing.T) {
	c := begun("yes")
	c.Findings = []casefile.Entry{{ID: "sister-same-coats", NotChecked: true}, {ID: "marks", NotChecked: true}, {ID: "thick-places", NotChecked: true}}
	p, _ := talk(t, c, "sign", Type("film-gauge", "11 mil"), Command("tape-lifts", prompt.Stop))
	want := "Take: film gauge. Method: After the gauge's sheet. It takes about 5 minutes."
	if a := p.Asked()[0]; a.How != want || a.Value.Example == "" {
		t.Errorf("asked %+v", a)
	}
}

func TestFailingSave(t *testing.T) {
	c := begun("no")
	saves := 0
	save := func() error {
		if saves++; saves < 3 {
			return errors.New("the disk is full")
		}
		return nil
	}
	p := New(t, Choose("sister-same-coats", "thin"), Choose("thick-places", "no"), Command("film-gauge", prompt.NotChecked), Command("tape-lifts", prompt.Stop))
	out, err := interview.New(small(t), c, p, save, ranked).Run(context.Background(), interview.Options{Where: "sign"})
	if err != nil || out.Unsaved != nil || len(c.Findings) != 3 {
		t.Errorf("%v, %+v, %+v", err, out, c.Findings)
	}
	said := strings.Join(p.Said(), "\n")
	if strings.Count(said, "the disk is full") != 1 || !strings.Contains(said, "saved again") {
		t.Errorf("said:\n%s", said)
	}
}

func TestSaveThatNeverSucceeds(t *testing.T) {
	c, full := begun("no"), errors.New("the disk is full")
	p := New(t, Choose("sister-same-coats", "thin"), Fails(Choose("thick-places", "no"), prompt.ErrEndOfInput))
	out, err := interview.New(small(t), c, p, func() error { return full }, ranked).Run(context.Background(), interview.Options{Where: "sign"})
	if !errors.Is(err, prompt.ErrEndOfInput) || !errors.Is(out.Unsaved, full) || len(c.Findings) != 1 {
		t.Errorf("%v, %+v, %+v", err, out, c.Findings)
	}
}

func TestCaseThatDoesNotFitTheRules(t *testing.T) {
	c := begun("no")
	c.Findings = []casefile.Entry{{ID: "unheard-of", Answer: "yes"}}
	p := New(t)
	_, err := interview.New(small(t), c, p, saved, ranked).Run(context.Background(), interview.Options{Where: "sign"})
	if err == nil || !strings.Contains(err.Error(), "unheard-of") {
		t.Errorf("error %v", err)
	}
}
