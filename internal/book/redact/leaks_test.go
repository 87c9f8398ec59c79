package redact_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/book/redact"
	"filmfault/internal/casefile"
)

// TestPathsThatLeadOutAreCut in the ways of any system; those below the case's
// folder stay.
func TestPathsThatLeadOutAreCut(t *testing.T) {
	for path, want := range map[string]string{
		"/srv/jobs/lopez/a.jpg": "a.jpg", `C:\Jobs\Lopez\a.jpg`: "a.jpg", `D:a.jpg`: "a.jpg", `\\box\jobs\a.jpg`: "a.jpg", "../lopez/a.jpg": "a.jpg",
		"pics/../../lopez/a.jpg": "a.jpg", `pics\..\..\a.jpg`: "a.jpg", "~/lopez/a.jpg": "a.jpg", "file:///srv/a.jpg": "a.jpg", "../..": "[file]", "/": "[file]",
		"/srv/lopez/": "lopez", "pics/a.jpg": "pics/a.jpg", `pics\a.jpg`: `pics\a.jpg`, "a..b.jpg": "a..b.jpg",
	} {
		c := &casefile.Case{
			Photos: []casefile.Photo{{File: path}}, Rules: casefile.RulesUsed{Layers: []string{path}},
			Log: casefile.Log{Shop: path, Logger: casefile.Logger{File: path}},
		}
		r := redact.Case(c, trade(t))
		require.Equal(t, []string{want, want, want, want}, []string{r.Case.Photos[0].File, r.Case.Rules.Layers[0], r.Case.Log.Shop, r.Case.Log.Logger.File}, path)
		told := strings.Join(r.Lines(nil), "\n")
		if want == path {
			require.NotContains(t, told, "cut")
			continue
		}
		require.Contains(t, told, "Paths were cut to the names of the files: in rules.layers, log.shop, log.logger, photos.file.")
		require.Equal(t, path, c.Photos[0].File, "the case itself stays as it is")
	}
}

// TestNamesWithoutBlanks are found within a sentence, and what is around stays.
func TestNamesWithoutBlanks(t *testing.T) {
	for _, x := range []struct{ customer, note, want string }{
		{"王小明", "王小明来电", "[customer]来电"},
		{"王小明", "小明来电, 王小明", "[customer]来电, [customer]"},
		{"김철수", "철수가 전화", "[customer]가 전화"},
		{"タナカ", "タナカさん", "[customer]さん"},
		{"สมชาย", "คุณสมชายโทรมา", "คุณ[customer]โทรมา"},
		{"Иванов", "Иванову не звонить", "[customer] не звонить"},
		{"王小明", "大小不明", "大小不明"},
	} {
		r := redact.Case(&casefile.Case{Job: casefile.Job{Customer: x.customer}, Notes: x.note}, trade(t))
		require.Equal(t, x.want, r.Case.Notes)
	}
}

// TestShortNamesWithAnEnding are found; words that only begin so stay.
func TestShortNamesWithAnEnding(t *testing.T) {
	r := redact.Case(&casefile.Case{Job: casefile.Job{Customer: "Orr", Contact: "Jo"}, Notes: "The Orrs or Orr's or Orr’s or orres or Jos; Orrery, Joke"}, trade(t))
	require.Equal(t, "The [customer] or [customer]'s or [customer]’s or [customer] or [contact]; Orrery, Joke", r.Case.Notes)
}

// TestNumbersThatMayBeReadings go unless a unit or a word of measuring is by them;
// where no word says that somebody is called, a person is asked to look.
func TestNumbersThatMayBeReadings(t *testing.T) {
	for _, x := range []struct {
		note, want string
		look       bool
	}{
		{"call 612 345 678", "call [phone]", false},
		{"tel. 22 33 44 55", "tel. [phone]", false},
		{"Ring Ana: 5550142", "Ring Ana: [phone]", false},
		{"Ana 612 345 678", "Ana [phone]", true},
		{"Ana 22-33-44-55.", "Ana [phone].", true},
		{"12-14-13-15 by Ana, 12.04.24-15.04.24", "[phone] by Ana, 12.04.24-15.04.24", true},
		{"Ana 5550142", "Ana [phone]", true},
		{"film 250 300 280", "film 250 300 280", false},
		{"250 300 280 µm", "250 300 280 µm", false},
		{"12 14 13 15 mil all over", "12 14 13 15 mil all over", false},
		{"front 12 14 13 15", "front 12 14 13 15", false},
		{"about 5550142 g", "about 5550142 g", false},
		{"lot 5550142, dried 20240416", "lot 5550142, dried 20240416", false},
		{"12.50 13.25 and 12 14 13 15 16", "12.50 13.25 and 12 14 13 15 16", false},
	} {
		r := redact.Case(&casefile.Case{Notes: x.note}, trade(t))
		require.Equal(t, x.want, r.Case.Notes)
		require.Equal(t, x.look, len(r.Look) > 0, x.note)
	}
}
