package interview_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/interview"
	"filmfault/internal/prompt"
)

// thorough is somebody who answers everything in every way there is, and enters
// two coats of the log with gaps, two steps, a reading of the air and the panel.
func thorough(t *testing.T) *person {
	answers := safely("yes")
	for id, r := range map[string]prompt.Reply{
		"where":             {Choice: "sign"},
		"season":            {Choice: "cold", Probably: true, Note: "by the invoice"},
		"dried":             {Value: "overnight"},
		"sister-same-coats": {Choice: "thin"},
		"thick-places":      {Choice: "no"},
		"marks":             {Choice: "yes", Note: "a faint one"},
		"film-gauge":        {Value: "11 mil"},
		"tape-lifts":        {Choice: "yes", Probably: true},
		"inside":            {Command: prompt.NotChecked, Note: "could not reach it"},
		"shop-air":          {Choice: "open"},
		"fan-hours":         {Value: "about 2 h", Probably: true},
		"coat-thinning-of":  {Choice: "mix"},
		"panel-stands":      {Choice: "flat"},

		"Step 1: What else happened to the piece, in order?": {Choice: "sand"},
		"Step 2: What was done next?":                        {Choice: "hang"},
	} {
		answers[id] = r
	}
	return &person{
		t: t, answers: answers, seen: map[string]string{"blistering": "seen", "peel-to-board": "absent"},
		lines: func(id, title string) string {
			if id == "title" {
				return "Bakery"
			}
			return map[string]string{
				"Coat 1: Which face did it go on?":       "front",
				"Coat 1: How warm was the air?":          "70ish",
				"Coat 1: How thick was it wet?":          "12 mil",
				"Coat 2: How much was it thinned?":       "5%",
				"Coat 2: With which tool was it put on?": "brush",

				"Step 1: On which face, if not on both?":                                    "front",
				"Step 1: When was it sanded?":                                               "overnight",
				"Step 1: How much film did it take off?":                                    "1 mil",
				"Step 2: When was it hung?":                                                 "4/9 8am",
				"Reading 1: When was the air read?":                                         "4/3 8am",
				"Reading 1: How warm was the air?":                                          "68 F",
				"Reading 1: How humid was the air?":                                         "50 %",
				"In which time zone are the times of the log?":                              "America/Chicago",
				"How long is the piece, the way the air moved over it?":                     "4 ft",
				"How wide is it, across that?":                                              "24 in",
				"Has the shop a file of its own materials and standard? What is it called?": "shop.yaml",
			}[title]
		},
		yes: func(q string) bool {
			return strings.HasPrefix(q, "Enter the coats") || strings.Contains(q, "one coat") || strings.Contains(q, "Fill that in") || strings.HasSuffix(q, "Right?")
		},
	}
}

// disk keeps what is saved, and reads it back as the next run would.
type disk struct {
	t    *testing.T
	c    *casefile.Case
	data []byte
}

func (d *disk) save() error {
	var err error
	d.data, err = d.c.Bytes()
	if err == nil {
		_, err = d.read()
	}
	return err
}

func (d *disk) read() (*casefile.Case, error) {
	c, diags, err := casefile.Parse("case.yaml", d.data)
	if err == nil && diags.HasErrors() {
		err = errors.New(diags[0].String())
	}
	return c, err
}

// sitting is one run from what is on the disk.
func (d *disk) sitting(r *diagnosis.Rules, p prompt.Prompter) error {
	var err error
	if d.c, err = d.read(); err != nil {
		return err
	}
	out, err := interview.New(r, d.c, p, d.save, ranked).Run(context.Background(), interview.Options{})
	return errors.Join(err, out.Unsaved)
}

// watched notes the state of the disk at every question.
type watched struct {
	*person
	d      *disk
	states []string
}

func (w *watched) note() { w.states = append(w.states, string(w.d.data)) }

func (w *watched) Ask(ctx context.Context, a prompt.Ask) (prompt.Reply, error) {
	w.note()
	return w.person.Ask(ctx, a)
}

func (w *watched) Pick(ctx context.Context, k prompt.Pick) ([]string, error) {
	w.note()
	return w.person.Pick(ctx, k)
}

func (w *watched) Line(ctx context.Context, l prompt.LineAsk) (string, error) {
	w.note()
	return w.person.Line(ctx, l)
}

func (w *watched) Confirm(ctx context.Context, q string) (bool, error) {
	w.note()
	return w.person.Confirm(ctx, q)
}

const blank = "schema: 1\ncase: c\n"

// breakOff interrupts at every step-th question, checks that exactly the answers
// before it are kept, goes on, and expects the case of an unbroken talk.
func breakOff(t *testing.T, r *diagnosis.Rules, step int, err error) {
	t.Helper()
	thorough := func() *person {
		p := thorough(t)
		p.anyhow = r.Base.Layers[0] == "built-in"
		return p
	}
	whole := &disk{t: t, data: []byte(blank)}
	w := &watched{person: thorough(), d: whole}
	if e := whole.sitting(r, w); e != nil {
		t.Fatal(e, w.log())
	}
	t.Logf("%s\n%s", w.log(), whole.data)
	for k := 1; k <= w.n; k += step {
		d := &disk{t: t, data: []byte(blank)}
		p := thorough()
		p.at, p.err = k, err
		if e := d.sitting(r, p); !errors.Is(e, err) {
			t.Fatalf("question %d: %v", k, e)
		}
		if got := string(d.data); got != w.states[k-1] {
			t.Errorf("broken off at question %d, %s, the case holds:\n%s\ninstead of:\n%s", k, p.heard[len(p.heard)-1], got, w.states[k-1])
		}
		if e := d.sitting(r, thorough()); e != nil {
			t.Fatal(e)
		}
		if string(d.data) != string(whole.data) {
			t.Errorf("broken off at question %d, %s, the case ends as:\n%s\ninstead of:\n%s", k, p.heard[len(p.heard)-1], d.data, whole.data)
		}
	}
}

func TestBreakOffAnywhere(t *testing.T) { breakOff(t, small(t), 1, prompt.ErrInterrupted) }

func TestInputEnds(t *testing.T) { breakOff(t, small(t), 6, prompt.ErrEndOfInput) }

func TestBreakOffWithShippedRules(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	breakOff(t, shipped(t), 17, prompt.ErrInterrupted)
}
