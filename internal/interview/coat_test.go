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

// atTheCoats is a case in which nothing but the coats is left to ask.
func atTheCoats() *casefile.Case {
	c := begun("no")
	c.Facts = append(c.Facts, casefile.Entry{ID: "shop-air", NotChecked: true}, casefile.Entry{ID: "span", NotChecked: true})
	for _, id := range []string{"sister-same-coats", "thick-places", "marks", "film-gauge", "tape-lifts", "fan-hours", "wiped"} {
		c.Findings = append(c.Findings, casefile.Entry{ID: id, NotChecked: true})
	}
	return c
}

func at(id string, c prompt.Command) Step {
	return Fails(Line("coat-"+id, ""), prompt.Instead{Command: c})
}

func TestACoatIsShownAndAskedAgain(t *testing.T) {
	c := atTheCoats()
	talk(t, c, "desk", slices.Concat([]Step{
		Yes("Enter the coats"), Line("coat-face", "front"), Line("coat-material", "primer"), at("start", prompt.Back), Line("coat-material", "paint"),
		Line("coat-start", "4/3 8am"), at("wet-film", prompt.Done), No("Coat 1: face front; material paint; start 4/3 8am. Right?"),
		Line("coat-face", "back"), at("material", prompt.Done), Yes("face back; material paint"), No("one coat"),
	}, restSkipped(), []Step{No("add something")})...)
	if len(c.Coats) != 1 || c.Coats[0].Face != "back" || c.Coats[0].Material != "paint" {
		t.Errorf("coats %+v", c.Coats)
	}
}

func TestTheCoatsAreLeftAtAnyField(t *testing.T) {
	for command, stopped := range map[prompt.Command]bool{prompt.Stop: true, prompt.Later: false} {
		c := atTheCoats()
		steps := []Step{Yes("Enter the coats"), Line("coat-face", "front"), at("material", command)}
		if !stopped {
			steps = append(steps, No("add something"))
		}
		_, out := talk(t, c, "desk", steps...)
		if out.Stopped != stopped || out.LogLeft == stopped || len(c.Coats) != 1 || c.Coats[0].Face != "front" {
			t.Errorf("%v: %+v, %+v", command, out, c.Coats)
		}
	}
}

// What is no command, no date and no figure is not recorded as data.
func TestCoatsInPlainLines(t *testing.T) {
	c := atTheCoats()
	in := strings.NewReader("1\n?\nwhy\nroof\nroof\n-\nmonday morning\n2026-04-03 8:00\nn\nthick\n10 mil\n\n\n\n\non\ndone\ny\nno\n1\n\n\n\n\n\nno\n")
	var out strings.Builder
	p := prompt.NewPlain(in, &out, func() int { return 500 })
	if _, err := interview.New(small(t), c, p, saved, ranked).Run(context.Background(), interview.Options{Where: "desk"}); err != nil {
		t.Fatal(err, out.String())
	}
	want := casefile.Coat{Face: "roof", Start: "2026-04-03 8:00", WetFilm: "10 mil", Note: "fan on, speed not measured"}
	if got := c.Coats[0]; got.Face != want.Face || got.Material != "" || got.Start != want.Start || got.WetFilm != want.WetFilm ||
		got.Fan != "" || got.Note != want.Note {
		t.Errorf("coat %+v\n%s", got, out.String())
	}
	for _, said := range []string{
		"back (b)", "Is that right? \"roof\" is none of front, back, edges and both.", "write it like 2026-04-03 8:00 or 4/3 8am",
		"Coat 1: face roof; start 2026-04-03 8:00; wet film 10 mil; fan on. Right?",
	} {
		if said != "back (b)" && !strings.Contains(out.String(), said) {
			t.Errorf("%q was not said:\n%s", said, out.String())
		}
	}
}

func TestStartsOfCoats(t *testing.T) {
	c := atTheCoats()
	var check func(string) error
	p := &lineWatch{Scripted: New(t, Yes("Enter the coats"), Line("coat-face", ""), Line("coat-material", ""), at("start", prompt.Stop)), see: func(l prompt.LineAsk) {
		if l.ID == "coat-start" {
			check = l.Check
		}
	}}
	if _, err := interview.New(small(t), c, p, saved, ranked).Run(context.Background(), interview.Options{Where: "desk"}); err != nil {
		t.Fatal(err)
	}
	for _, good := range []string{"2026-04-03 8:00", "2026-04-03", "4/3 8am", "4/3, 8 AM", "04/03/2026 at 8:30pm", "Apr 3 noon", "3 April 2026 14:30", ""} {
		if err := check(good); err != nil {
			t.Errorf("%q: %v", good, err)
		}
	}
	for _, bad := range []string{"monday morning", "8:00", "13/40", "soon", "why", "2026-02-30"} {
		if check(bad) == nil {
			t.Errorf("%q was taken", bad)
		}
	}
}

// lineWatch shows every line that is asked.
type lineWatch struct {
	*Scripted
	see func(prompt.LineAsk)
}

func (l *lineWatch) Line(ctx context.Context, a prompt.LineAsk) (string, error) {
	l.see(a)
	return l.Scripted.Line(ctx, a)
}
