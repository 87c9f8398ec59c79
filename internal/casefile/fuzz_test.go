package casefile_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/casefile"
	"filmfault/internal/yamldoc"
)

// FuzzParse reads anything. What can be read is written and read again: it is
// the same case, no key that is not known is lost, and writing it once more
// gives the same bytes.
func FuzzParse(f *testing.F) {
	for _, folder := range []string{"../../testdata/bad/cases", "../../casebook", "testdata"} {
		names, err := filepath.Glob(filepath.Join(folder, "*.yaml"))
		if err != nil {
			f.Fatal(err)
		}
		for _, name := range names {
			data, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(string(data))
		}
	}
	f.Add(full)
	f.Fuzz(func(t *testing.T, text string) {
		c, diags, err := casefile.Parse("case.yaml", []byte(text))
		for _, d := range diags {
			require.Equal(t, "case.yaml", d.Span.File)
			require.NotEmpty(t, d.Summary)
			require.NotEmpty(t, d.Remedy)
		}
		if err != nil || diags.HasErrors() {
			require.Nil(t, c)
			return
		}
		data, err := c.Bytes()
		require.NoError(t, err)
		back, diags, err := casefile.Parse("case.yaml", data)
		require.NoError(t, err)
		require.False(t, diags.HasErrors(), "%v\n%s", diags, data)
		require.Equal(t, plain(c), plain(back))
		again, err := back.Bytes()
		require.NoError(t, err)
		require.Equal(t, string(data), string(again))
		requireKeysKept(t, text, string(data))
	})
}

// plain is a case without the places of its parts.
func plain(c *casefile.Case) casefile.Case {
	out := casefile.Case{
		ID: c.ID, Title: c.Title, Invented: c.Invented, Started: c.Started, LogLater: c.LogLater, Notes: c.Notes,
		Facts: entries(c.Facts), Failures: entries(c.Failures), Findings: entries(c.Findings),
	}
	if c.Rules.Digest != "" { // layers without a digest say nothing
		out.Rules = casefile.RulesUsed{Digest: c.Rules.Digest, Layers: append([]string{}, c.Rules.Layers...)}
	}
	for _, x := range c.Coats {
		out.Coats = append(out.Coats, casefile.Coat{
			Face: x.Face, Material: x.Material, Start: x.Start, WetFilm: x.WetFilm, Thinning: x.Thinning, Tool: x.Tool,
			Air: x.Air, Humidity: x.Humidity, Fan: x.Fan, ToNext: x.ToNext, Note: x.Note,
		})
	}
	if v := c.Verdict; v != nil {
		out.Verdict = &casefile.Verdict{Settled: v.Settled, By: v.By, Unlisted: v.Unlisted, NoFault: v.NoFault, Note: v.Note}
		for _, x := range v.Causes {
			out.Verdict.Causes = append(out.Verdict.Causes, casefile.Finding{Cause: x.Cause, State: x.State, By: x.By})
		}
	}
	return out
}

func entries(list []casefile.Entry) []casefile.Entry {
	var out []casefile.Entry
	for _, e := range list {
		out = append(out, casefile.Entry{
			ID: e.ID, Answer: e.Answer, Value: e.Value, NotChecked: e.NotChecked, Sure: e.Sure, Source: e.Source, Note: e.Note, Asked: e.Asked,
		})
	}
	return out
}

// requireKeysKept wants every key of the outermost map in both texts.
func requireKeysKept(t *testing.T, before, after string) {
	t.Helper()
	for _, key := range outerKeys(before) {
		if !known(key) {
			require.Contains(t, outerKeys(after), key)
		}
	}
}

func known(key string) bool {
	return strings.Contains(" schema case title invented started rules facts failures findings log verdict notes ", " "+key+" ")
}

func outerKeys(text string) []string {
	doc, diags := yamldoc.Parse("case.yaml", []byte(text), yamldoc.DefaultLimits())
	return doc.FieldsKeepingUnknown(&diags, "the case").Keys()
}
