package report_test

import (
	"testing"

	"filmfault/casebook"
	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/report"
	"filmfault/internal/rulebase"
	"filmfault/rules"
)

// The work of one `filmfault diagnose` on the shipped rules, step by step.

func BenchmarkLoadShipped(b *testing.B) {
	for b.Loop() {
		loadShipped(b)
	}
}

func loadShipped(b *testing.B) *rulebase.Base {
	b.Helper()
	l, err := rulebase.Load(rulebase.Layer{Name: "rules", FS: rules.FS})
	if err != nil || l.Base == nil {
		b.Fatal(err, l.Diagnostics)
	}
	return l.Base
}

func BenchmarkPrepareShipped(b *testing.B) {
	base := loadShipped(b)
	for b.Loop() {
		if _, err := diagnosis.Prepare(base); err != nil {
			b.Fatal(err)
		}
	}
}

// worked is the casebook's worked example, ready to evaluate.
func worked(b *testing.B) (*diagnosis.Rules, diagnosis.Sheet) {
	b.Helper()
	r, err := diagnosis.Prepare(loadShipped(b))
	if err != nil {
		b.Fatal(err)
	}
	data, err := casebook.FS.ReadFile("harbour-cafe.yaml")
	if err != nil {
		b.Fatal(err)
	}
	c, diags, err := casefile.Parse("harbour-cafe", data)
	if err != nil || diags.HasErrors() {
		b.Fatal(err, diags)
	}
	s, diags := diagnosis.Resolve(r.Base, c)
	if diags.HasErrors() {
		b.Fatal(diags)
	}
	return r, s
}

func BenchmarkEvaluateWorked(b *testing.B) {
	r, s := worked(b)
	for b.Loop() {
		if _, err := r.Evaluate(s); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReportRankingOnly(b *testing.B) { benchReport(b, report.Options{}) }
func BenchmarkReportEverything(b *testing.B)  { benchReport(b, report.Everything()) }

func benchReport(b *testing.B, o report.Options) {
	r, s := worked(b)
	e, err := r.Evaluate(s)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := report.Build(e, nil, "worked", o); err != nil {
			b.Fatal(err)
		}
	}
}
