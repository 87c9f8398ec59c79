package implied

import (
	"context"
	"fmt"
	"io"
	"os"
	"testing"
	"time"

	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
	"filmfault/rules"
)

func TestExplore(t *testing.T) {
	l, err := rulebase.Load(rulebase.Layer{Name: "rules", FS: rules.FS})
	if err != nil || l.Base == nil {
		t.Fatal(err, l.Diagnostics)
	}
	r, err := diagnosis.Prepare(l.Base)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"/tmp/cold.yaml", "/tmp/good.yaml"} {
		data, _ := os.ReadFile(name)
		c, diags, err := casefile.Parse("cold.yaml", data)
		if err != nil || diags.HasErrors() {
			t.Fatal(err, diags)
		}
		start := time.Now()
		x, err := Of(context.Background(), l.Base, c, func(string) (io.ReadCloser, error) { return nil, os.ErrNotExist }, Ordinary())
		if err != nil {
			t.Fatal(err)
		}
		fmt.Println(time.Since(start), x.Problems, x.Departures)
		for _, f := range x.Figures {
			fmt.Println("  ", f.Name, f.Value, f.Label, len(f.Assumed))
		}
		sheet, diags := diagnosis.Resolve(l.Base, c)
		if diags.HasErrors() {
			t.Fatal(diags)
		}
		for _, s := range []diagnosis.Sheet{sheet, sheet.WithComputed(x.Computed)} {
			start = time.Now()
			e, err := r.Evaluate(s)
			if err != nil {
				t.Fatal(err)
			}
			t1 := time.Since(start)
			sp, err := e.Spreads()
			if err != nil {
				t.Fatal(err)
			}
			fmt.Println(t1, time.Since(start), e.Size())
			for _, k := range e.Ranking()[:6] {
				fmt.Printf("  %-28s %.3f %.3f %v\n", k.Cause.ID, k.Contributed, k.Present, sp[k.Cause.ID])
			}
			st, err := e.Stories()
			if err != nil {
				t.Fatal(err)
			}
			fmt.Println(st[0])
			acc, err := e.Accounts([]string{e.Leader().Cause.ID})
			if err != nil {
				t.Fatal(err)
			}
			fmt.Println(acc[0].Prior, acc[0].Posterior, acc[0].Weights)
		}
	}
}
