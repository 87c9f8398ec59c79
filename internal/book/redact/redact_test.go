package redact_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"filmfault/internal/book/redact"
	"filmfault/internal/casefile"
	"filmfault/internal/rulebase"
	"filmfault/rules"
)

func trade(t testing.TB) redact.Trade {
	t.Helper()
	loaded, err := rulebase.Load(rulebase.Layer{Name: "rules", FS: rules.FS})
	require.NoError(t, err)
	require.NotNil(t, loaded.Base)
	return redact.TradeOf(loaded.Base)
}

func parsed(t testing.TB, text string) *casefile.Case {
	t.Helper()
	c, diags, err := casefile.Parse("case.yaml", []byte(text))
	require.NoError(t, err)
	require.False(t, diags.HasErrors(), "%v", diags)
	return c
}

// copied is the text of a redacted copy, which must read back as a case.
func copied(t testing.TB, c *casefile.Case, words redact.Trade) (redact.Result, string) {
	t.Helper()
	r := redact.Case(c, words)
	data, err := r.Case.Bytes()
	require.NoError(t, err)
	parsed(t, string(data))
	return r, string(data)
}

// invented is a case with its customer's words in every place where a person may
// have typed them.
const invented = `# Harbour called twice
schema: 1
case: harbour-cafe-2
title: "Blisters at the Harbour Café, Quay Street"
job:
  number: HC-118
  customer: The Harbour Café & Sons
  address: 12 Quay Street, Dunmore BT18 9AB
  contact: "Jo Orr, 503-555-0142, jo@harbour.example"
  painter: Al Penrose
  primer-lot: P-2024-0116
  note: Penrose primed it, JO came to look.
facts:
  colour: dark
  season: spring
failures:
  blistering: seen
findings:
  blister-content: {answer: water, note: "Mrs. Orr's needle; the harbour's own photograph", asked: "Open a blister that is still whole with a needle: what is inside?"}
  primer-film: {value: 12 mil, note: "Orrery is no name. al fresco is hers."}
log:
  zone: Europe/Dublin
  shop: shops/two-bench.yaml
  coats:
    - {material: high-build primer, start: "2024-04-16 13:30", note: PENROSE at the bench}
photos:
  - {file: photos/harbour-1.jpg, caption: "Harbour-café from the quay, 2024-04-20"}
  - {file: photos/letters.jpg}
verdict:
  settled: 2024-05-02
  by: A. Penrose
  pays: "harbourcafe pays half"
  note: ring 01632 960983
ref: kept for Orr
notes: >-
  Seen 2024-04-20 and 20.4.2024. Readings 12 14 13 15, film 250 300 280. Call (503) 555-0143 or
  +44 1632 960 983, or write to orders@sign-shop.example, www.sign-shop.example/harbour.
  Deliver to 40 Long Mill Lane or 7 hill street. The
  Harbour
  Café opens at 9.
`

func TestACopyHoldsNoPrivateWord(t *testing.T) {
	r, text := copied(t, parsed(t, invented), trade(t))
	lower := strings.ToLower(text)
	for _, word := range []string{"harbour", "café", "sons", "quay", "dunmore", "bt18", "9ab", "penrose", "@", "555", "0142", "960", "www", "long mill", "hill street", "called twice", "kept for"} {
		require.NotContains(t, lower, word)
	}
	require.NotRegexp(t, `(?i)\b(orr|jo|al)\b`, text)
	for _, kept := range []string{
		"colour: dark", "season: spring", "blister-content:", "answer: water", "value: 12 mil", "Orrery is no name",
		"material: high-build primer", `2024-04-16 13:30`, "P-2024-0116", "photos/letters.jpg", "Readings 12 14 13 15, film 250 300 280",
		"2024-04-20 and 20.4.2024", "Europe/Dublin", "what is inside?", "settled: \"2024-05-02\"",
	} {
		require.Contains(t, text, kept)
	}
	require.Equal(t, []string{"customer", "address", "contact", "painter"}, r.Taken)
	require.Equal(t, "[customer]-2", r.Case.ID)
	require.Equal(t, "Blisters at [customer], [address]", r.Case.Title)
	require.Equal(t, "[customer] pays half", r.Case.Verdict.Pays)
	require.Regexp(t, `^Seen .* Call \[phone\] or \[phone\], or write to \[e-mail\], \[web\]\. Deliver to \[address\] or \[address\]\. \[customer\] opens at 9\.$`,
		strings.Join(strings.Fields(r.Case.Notes), " "))
}

// TestItTellsWhatItDid and what is left for a person to do.
func TestItTellsWhatItDid(t *testing.T) {
	c := parsed(t, invented)
	r, text := copied(t, c, trade(t))
	told := strings.Join(r.Lines(redact.LeftOut([]byte(invented), []byte(text))), "\n")
	for _, want := range []string{
		"Left out of the job: customer, address, contact, painter.",
		`\[phone\] stands 3 times now: in verdict\.note, notes\.`,
		`\[contact\] stands .* findings\.blister-content\.note`,
		"Comments in the file are not copied",
		"keys that filmfault does not know: ref\\.",
		`Look at: the photograph photos/\[customer\]-1\.jpg \(its name held private words: give the file this one\)\.`,
		`Look at: the photograph photos/letters\.jpg\.`,
		`Look at: the shop's file shops/two-bench\.yaml\.`,
		`\[person\] stands once now: in verdict\.by\.`,
	} {
		require.Regexp(t, want, told)
	}
	require.NotContains(t, told, "Penrose")
	require.Equal(t, "The Harbour Café & Sons", c.Job.Customer, "the case itself stays as it is")
	require.Contains(t, c.Notes, "Harbour")
}

// TestWordsOfTheTradeStayWhereTheyMeanSomething: a customer may be called what a
// sign maker says all day.
func TestWordsOfTheTradeStayWhereTheyMeanSomething(t *testing.T) {
	r, text := copied(t, parsed(t, `schema: 1
title: The primer blistered at Prime Stand
job: {customer: Prime Stand, painter: Dark Water}
facts: {colour: dark}
failures: {blistering: seen}
findings:
  blister-content: {answer: water, note: "Dark water came out.", asked: "What is the water?"}
log:
  steps: [{after: 2 h, do: stand, note: Stand said so}]
`), trade(t))
	require.Equal(t, "The primer blistered at [customer]", r.Case.Title)
	require.Equal(t, "dark", r.Case.Facts[0].Answer)
	require.Equal(t, "water", r.Case.Findings[0].Answer)
	require.Equal(t, "[painter] came out.", r.Case.Findings[0].Note)
	require.Empty(t, r.Case.Findings[0].Asked, "a wording with a private word in it goes")
	require.Equal(t, "stand", r.Case.Log.Steps[0].Do)
	require.Equal(t, "[customer] said so", r.Case.Log.Steps[0].Note)
	require.Contains(t, text, "after: 2 h")
}

func TestACaseWithoutAJobIsOnlySearchedForForms(t *testing.T) {
	r, _ := copied(t, parsed(t, "schema: 1\ntitle: Sun 9 days after, 1-2-2024\nnotes: Schulstraße 12 or P.O. Box 33, 12 rue du Port, tel 0171 1234567\n"), trade(t))
	require.Equal(t, "Sun 9 days after, 1-2-2024", r.Case.Title)
	require.Equal(t, "[address] or [address], tel [phone]", r.Case.Notes)
	require.Contains(t, r.Lines(nil)[0], "names no customer")
}

// TestAPersonGoesWhole where a line names one: the rest of a name tells it too.
func TestAPersonGoesWhole(t *testing.T) {
	for _, x := range []struct{ by, pays, wantBy, wantPays string }{
		{"Jane Doe", "Jane Doe", "[person]", "[contact]"},
		{"Al Penrose", "Penrose, half", "[person]", "[painter]"},
		{"Jane and Al Penrose", "Mr Dunmore", "[person]", "[customer]"},
		{"The  shop", "dunmore pays half", "The  shop", "[customer] pays half"},
		{"J. Smith <j@lopez.example>", "the shop, 180", "[person]", "the shop, 180"},
	} {
		c := &casefile.Case{Job: casefile.Job{Customer: "Dunmore Signs", Contact: "jane@x", Painter: "Al Penrose"},
			Verdict: &casefile.Verdict{By: x.by, Settlement: casefile.Settlement{Pays: x.pays}}}
		v := redact.Case(c, trade(t)).Case.Verdict
		require.Equal(t, x.wantBy, v.By)
		require.Equal(t, x.wantPays, v.Pays)
	}
}

// TestPhones: numbers of forms in use, made of digits set aside for fiction
// (555-01xx in North America, 01632 960xxx in Britain), and figures that are none.
func TestPhones(t *testing.T) {
	words := trade(t)
	clean := func(note string) string { return redact.Case(&casefile.Case{Notes: note}, words).Case.Notes }
	for _, phone := range []string{"555-0142", "503-555-0142", "(503) 555-0142", "503.555.0142", "+1 503 555 0142", "5035550142", "01632 960983", "+44 1632 960983", "+49 (0)30 2345678"} {
		require.Equal(t, "call [phone] now", clean("call "+phone+" now"), phone)
	}
	for _, figure := range []string{"2024-04-16", "2024-04-16 13:30", "12.04.2024", "4/16/2024", "12 mil", "250 300 280", "12 14 13 15 16", "1 1/2 in", "0.25 0.30 0.35", "101 325", "64 of 256"} {
		require.Equal(t, "read "+figure+" then", clean("read "+figure+" then"), figure)
	}
}

// place puts words in the way people do.
func placed(t *rapid.T, words []string, name string) string {
	var out []string
	for i := range rapid.IntRange(1, 6).Draw(t, name) {
		w := rapid.SampledFrom(words).Draw(t, name)
		w = rapid.SampledFrom([]func(string) string{strings.ToUpper, strings.ToLower, func(s string) string { return s }, title}).Draw(t, name)(w)
		w = rapid.SampledFrom([]string{"", "(", "the ", "12 ", "for_", "-", "at\n"}).Draw(t, name) + w + rapid.SampledFrom([]string{"", "'s", ",", ")", "-1.jpg", "_x", ".", "\nand", "@", "/b"}).Draw(t, name)
		if len(words[0]) >= 4 && i == 0 {
			w = rapid.SampledFrom([]string{"", "xx", "Mac"}).Draw(t, name) + words[0] + rapid.SampledFrom([]string{"", "s", "ly"}).Draw(t, name)
		}
		out = append(out, w)
	}
	return strings.Join(out, " ")
}

func title(s string) string {
	r := []rune(strings.ToLower(s))
	r[0] = unicode.ToUpper(r[0])
	return string(r)
}

// TestNoPrivateWordSurvives is the property that the copy is made for: of the
// customer, the address, the contact and the painter no word of three letters or
// more is in its bytes, wherever it was typed and however; a word of three as a
// word of its own. Words of the file's own form and of the trade are not drawn.
func TestNoPrivateWordSurvives(t *testing.T) {
	words := trade(t)
	own := strings.Join(slices.Collect(keys(words)), " ") + " schema case title invented started rules digest layers job facts failures findings log photos " +
		"verdict notes number finished board lot note zone logger settled causes unlisted fault pays changed costs what amount ranking ranked file caption asked sure source " +
		"the and for with from not are was our you your his her its who " +
		"customer address contact painter phone mail email web person"
	name := rapid.Custom(func(t *rapid.T) string {
		first := rapid.RuneFrom([]rune("ABCDEFGHJKLMNOPRSTVWÉØÜŠ")).Draw(t, "first")
		return string(first) + rapid.StringOfN(rapid.RuneFrom([]rune("abcdefghijklmnoprstuvwyzéøüšß")), 2, 9, -1).Draw(t, "rest")
	}).Filter(func(s string) bool { return !strings.Contains(own, strings.ToLower(s)) })
	rapid.Check(t, func(t *rapid.T) {
		private := rapid.SliceOfN(name, 4, 8).Draw(t, "names")
		text := func(n string) string { return placed(t, private, n) }
		c := &casefile.Case{
			ID: text("id"), Title: text("title"), Notes: text("notes"),
			Job: casefile.Job{
				Customer: private[0] + " & " + private[1], Address: "12 " + strings.Join(private[2:], " "), Contact: private[1] + " 503-555-0142",
				Painter: private[3], Number: text("number"), PrimerLot: text("lot"), Note: text("note"), Drying: text("drying"),
			},
			Facts:    []casefile.Entry{{ID: "colour", Answer: "dark", Note: text("fact"), Asked: text("asked")}, {ID: text("odd id"), Answer: text("odd")}},
			Failures: []casefile.Entry{{ID: "blistering", Answer: "seen", Note: text("failure")}},
			Findings: []casefile.Entry{{ID: "primer-film", Value: text("value"), Sure: "probably", Note: text("finding")}},
			Coats:    []casefile.Coat{{Material: text("material"), Note: text("coat")}},
			Log:      casefile.Log{Shop: text("shop"), Steps: []casefile.Step{{Do: "sand", Note: text("step")}}, Air: []casefile.AirReading{{Note: text("air")}}},
			Photos:   []casefile.Photo{{File: text("file"), Caption: text("caption")}},
			Rules:    casefile.RulesUsed{Digest: "042", Layers: []string{text("layer")}},
			Verdict: &casefile.Verdict{By: text("by"), Note: text("verdict"), Settlement: casefile.Settlement{
				Pays: text("pays"), Changed: text("changed"), Costs: []casefile.Cost{{What: text("what"), Amount: "180"}},
			}},
		}
		data, err := redact.Case(c, words).Case.Bytes()
		require.NoError(t, err)
		lower := strings.ToLower(string(data))
		for _, w := range private {
			w = strings.ToLower(w)
			if len([]rune(w)) > 3 {
				require.NotContains(t, lower, w)
				continue
			}
			require.NotRegexp(t, `(^|\PL)`+regexp.QuoteMeta(w)+`($|\PL)`, lower)
		}
		require.Contains(t, lower, "colour:")
		require.Contains(t, lower, "answer: dark")
	})
}

func keys(m redact.Trade) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}
