package interview_test

import (
	"context"
	"os"
	"testing"
	"testing/fstest"

	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/interview"
	"filmfault/internal/prompt/prompttest"
	"filmfault/internal/rulebase"
	"filmfault/rules"
)

// small is a rule base small enough to know what it asks.
func small(t testing.TB) *diagnosis.Rules {
	t.Helper()
	return oneFile(t, "small.yaml")
}

func oneFile(t testing.TB, name string) *diagnosis.Rules {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return prepared(t, rulebase.Layer{Name: "test", FS: fstest.MapFS{name: {Data: data}}})
}

// shipped is the rule base that is built in.
func shipped(t testing.TB) *diagnosis.Rules {
	t.Helper()
	return prepared(t, rulebase.Layer{Name: "built-in", FS: rules.FS})
}

func prepared(t testing.TB, layer rulebase.Layer) *diagnosis.Rules {
	t.Helper()
	loaded, err := rulebase.Load(layer)
	if err != nil {
		t.Fatal(err)
	}
	if loaded.Diagnostics.HasErrors() {
		t.Fatal(loaded.Diagnostics)
	}
	r, err := diagnosis.Prepare(loaded.Base)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func saved() error { return nil }

func ranked(*diagnosis.Evaluation) string { return "THE RANKING" }

// talk runs a scripted conversation about a case and returns what came of it.
func talk(t *testing.T, c *casefile.Case, where string, script ...prompttest.Step) (*prompttest.Scripted, interview.Outcome) {
	t.Helper()
	p := prompttest.New(t, script...)
	out, err := interview.New(small(t), c, p, saved, ranked).Run(context.Background(), interview.Options{Where: where})
	if err != nil {
		t.Fatal(err)
	}
	return p, out
}

// begun is a case that has been through safety and failures.
func begun(mayCut string) *casefile.Case {
	return &casefile.Case{
		ID: "c", Title: "Bakery",
		Facts: []casefile.Entry{
			{ID: "overhead", Answer: "no"}, {ID: "lighted", Answer: "no"}, {ID: "may-cut", Answer: mayCut},
			{ID: "season", Answer: "cold"}, {ID: "dried", NotChecked: true},
		},
		Failures: []casefile.Entry{{ID: "blistering", Answer: "seen"}, {ID: "peeling", NotChecked: true}, {ID: "bow", Answer: "absent"}},
	}
}

// asked lists the ids of the questions put.
func asked(p *prompttest.Scripted) []string {
	var out []string
	for _, a := range p.Asked() {
		out = append(out, a.ID)
	}
	return out
}
