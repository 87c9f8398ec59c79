package render_test

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/casebook"
	"filmfault/internal/casefile"
	"filmfault/internal/console"
	"filmfault/internal/diagnosis"
	"filmfault/internal/report"
	"filmfault/internal/report/render"
	"filmfault/internal/rulebase"
	"filmfault/rules"
)

// evaluations works out every case of the casebook, by its id.
func evaluations(t *testing.T) map[string]*diagnosis.Evaluation {
	t.Helper()
	l, err := rulebase.Load(rulebase.Layer{Name: "rules", FS: rules.FS})
	require.NoError(t, err)
	require.NotNil(t, l.Base, "%v", l.Diagnostics)
	r, err := diagnosis.Prepare(l.Base)
	require.NoError(t, err)
	entries, err := casebook.FS.ReadDir(".")
	require.NoError(t, err)
	out := map[string]*diagnosis.Evaluation{}
	for _, x := range entries {
		id, ok := strings.CutSuffix(x.Name(), ".yaml")
		if !ok || id == "jobs" { // the jobs done in each month, no case
			continue
		}
		data, err := casebook.FS.ReadFile(x.Name())
		require.NoError(t, err)
		c, diags, err := casefile.Parse(x.Name(), data)
		require.NoError(t, err)
		require.False(t, diags.HasErrors(), "%v", diags)
		s, diags := diagnosis.Resolve(r.Base, c)
		require.False(t, diags.HasErrors(), "%v", diags)
		if out[id], err = r.Evaluate(s); err != nil {
			t.Fatalf("%s: %v", id, err)
		}
	}
	return out
}

// page is something the program prints, at a width.
type page struct {
	name string
	text func(t *testing.T, width int) string
}

// pages lists what is printed of a case as text.
func pages(t *testing.T, id string, e *diagnosis.Evaluation) []page {
	t.Helper()
	d, err := report.Build(e, nil, id, report.Everything())
	require.NoError(t, err)
	x, err := report.Explain(e, d.Ranking[0].Cause)
	require.NoError(t, err)
	prices, err := e.Price(func(f rulebase.Finding) bool { return f.Measurement != nil })
	require.NoError(t, err)
	m := report.Measurements(e, prices, id)
	same := report.Compare(e, e, id, "colour=light, a-rather-long-name-of-a-finding=an-answer")
	return []page{
		{"diagnose", func(t *testing.T, width int) string {
			return printed(t, func(b *bytes.Buffer) error { return render.Text(b, d, width) })
		}},
		{"ranking", func(t *testing.T, width int) string {
			return printed(t, func(b *bytes.Buffer) error { return render.Ranking(b, d, width) })
		}},
		{"why", func(t *testing.T, width int) string {
			return printed(t, func(b *bytes.Buffer) error { return render.Explanation(b, x, "text", width) })
		}},
		{"measure", func(t *testing.T, width int) string {
			return printed(t, func(b *bytes.Buffer) error { return render.Measurements(b, m, width) })
		}},
		{"whatif", func(t *testing.T, width int) string {
			return printed(t, func(b *bytes.Buffer) error { return render.Compared(b, same, "text", width) })
		}},
		{"markdown", func(t *testing.T, _ int) string {
			return printed(t, func(b *bytes.Buffer) error { return render.Markdown(b, d) })
		}},
	}
}

func printed(t *testing.T, to func(*bytes.Buffer) error) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, to(&b))
	return b.String()
}

// TestPages prints every page of every case of the casebook. No line is wider
// than asked for, nothing is there that a terminal acts on, and nothing is said
// that must never be said.
func TestPages(t *testing.T) {
	for id, e := range evaluations(t) {
		for _, p := range pages(t, id, e) {
			for _, width := range []int{50, 80} {
				text := p.text(t, width)
				name := id + " " + p.name
				require.NotEmpty(t, text, name)
				require.True(t, strings.HasSuffix(text, "\n"), name)
				requireSafe(t, name, text)
				requireNeverSaid(t, name, text)
				if p.name != "markdown" {
					requireWidth(t, name, text, width)
				}
			}
		}
	}
}

func requireWidth(t *testing.T, name, text string, width int) {
	t.Helper()
	for _, line := range strings.Split(text, "\n") {
		require.LessOrEqual(t, console.DisplayWidth(line), width, "%s: %q", name, line)
		require.Equal(t, strings.TrimRight(line, " "), line, "%s: blanks at the end", name)
	}
}

// requireSafe wants no escape code, no other control character, and no number
// that is none.
func requireSafe(t *testing.T, name, text string) {
	t.Helper()
	for _, r := range text {
		require.True(t, r == '\n' || r >= ' ' && r != 0x7f, "%s: %q", name, r)
	}
	require.NotRegexp(t, `\bNaN\b|[+-]Inf\b|%!|<nil>`, text, name)
}

// neverSaid lists what a result must never say.
func neverSaid() []string {
	return []string{
		`safe to hang`, `no structural risk`, `structurally (safe|sound)`, `defective (product|paint|primer|board|material)`,
		`\b(is|are|was|were|been) proved\b`, `\bproven\b`, `no fault\b`, `not moisture`, `just retouch`, `\bper (ASTM|ISO|SSPC|NACE)\b`,
		`according to (ASTM|ISO|SSPC)`, `(is|are) (to blame|at fault|liable)`, `(must|should|has to|have to) pay`, `\bbits\b`,
		`100 %( |$)(likely|certain)`, `\bguarantee`,
	}
}

func requireNeverSaid(t *testing.T, name, text string) {
	t.Helper()
	flat := strings.Join(strings.Fields(text), " ")
	for _, phrase := range neverSaid() {
		m := regexp.MustCompile("(?i)" + phrase).FindStringIndex(flat)
		if m != nil {
			t.Errorf("%s says %q", name, flat[max(0, m[0]-40):min(len(flat), m[1]+40)])
		}
	}
}

// TestCautionsComeFirst wants the cautions of all that a page proposes before
// the proposals.
func TestCautionsComeFirst(t *testing.T) {
	for id, e := range evaluations(t) {
		d, err := report.Build(e, nil, id, report.Everything())
		require.NoError(t, err)
		text := strings.Join(strings.Fields(printed(t, func(b *bytes.Buffer) error { return render.Text(b, d, 80) })), " ")
		markdown := strings.Join(strings.Fields(printed(t, func(b *bytes.Buffer) error { return render.Markdown(b, d) })), " ")
		first := firstOf(text, "WHAT WOULD CONFIRM IT", "NEXT TO FIND OUT", "WHAT TO DO NOW")
		firstMarkdown := firstOf(markdown, "## What would confirm it", "## Next to find out", "## What to do now")
		for _, caution := range owed(e, d) {
			require.Contains(t, text[:first], strings.Join(strings.Fields(caution.Short), " "), "%s: %s", id, caution.ID)
			require.Contains(t, markdown[:firstMarkdown], strings.Join(strings.Fields(caution.Text), " ")[:20], "%s: %s", id, caution.ID)
		}
	}
}

// owed lists the cautions of the measurements and questions that a page tells,
// without those whose danger the facts rule out.
func owed(e *diagnosis.Evaluation, d *report.Document) []rulebase.Caution {
	b := e.Rules.Base
	var out []rulebase.Caution
	add := func(finding string) {
		f, _ := b.Finding(finding)
		for _, id := range f.Cautions {
			c, _ := b.Caution(id)
			if len(c.Unless) == 0 || !rulebase.Hold(c.Unless, e.Sheet.Facts) {
				out = append(out, c)
			}
		}
	}
	for _, m := range d.Proposed() {
		add(m.Measurement)
	}
	for _, q := range d.Asked() {
		add(q.Finding)
	}
	return out
}

// firstOf is where the first of some headings stands, the end if none does.
func firstOf(text string, headings ...string) int {
	at := len(text)
	for _, h := range headings {
		if i := strings.Index(text, h); i >= 0 {
			at = min(at, i)
		}
	}
	return at
}

// TestMeasureSaysEachCautionBeforeItsMeasurement reads the page of `measure` the
// same way.
func TestMeasureSaysEachCautionBeforeItsMeasurement(t *testing.T) {
	for id, e := range evaluations(t) {
		prices, err := e.Price(func(f rulebase.Finding) bool { return f.Measurement != nil })
		require.NoError(t, err)
		m := report.Measurements(e, prices, id)
		text := printed(t, func(b *bytes.Buffer) error { return render.Measurements(b, m, 80) })
		flat := strings.Join(strings.Fields(text), " ")
		for i, x := range m.Measurements {
			at := strings.Index(flat, fmt.Sprintf(" %d. %s: ", i+1, x.Measurement))
			if at < 0 {
				break // the page tells the first few
			}
			for _, w := range x.Warnings {
				require.Contains(t, flat[:at], strings.Join(strings.Fields(w), " "), "%s %s", id, x.Measurement)
			}
			require.Equal(t, len(x.Warnings), len(x.Cautions), "%s %s", id, x.Measurement)
			for _, c := range x.Cautions {
				require.Contains(t, flat, strings.Join(strings.Fields(c), " "), "%s %s", id, x.Measurement)
			}
		}
	}
}

// TestWhatWasTypedCannotStartMarkup puts markup and escape codes into a case.
func TestWhatWasTypedCannotStartMarkup(t *testing.T) {
	for id, e := range evaluations(t) {
		d, err := report.Build(e, nil, id, report.Options{})
		require.NoError(t, err)
		d.Title = "<script>alert(1)</script> [x](y) | **b** `c`\n# Head\x1b[2J"
		markdown := printed(t, func(b *bytes.Buffer) error { return render.Markdown(b, d) })
		require.NotContains(t, markdown, "<script>")
		require.NotContains(t, markdown, "\n# Head")
		requireSafe(t, id, markdown)
		requireSafe(t, id, printed(t, func(b *bytes.Buffer) error { return render.Text(b, d, 50) }))
		break
	}
}
