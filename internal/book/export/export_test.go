package export_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"filmfault/casebook"
	"filmfault/internal/book"
	"filmfault/internal/book/booktest"
	"filmfault/internal/book/export"
	"filmfault/internal/casefile"
	"filmfault/internal/rulebase"
	"filmfault/rules"
)

func base(t testing.TB) *rulebase.Base {
	t.Helper()
	loaded, err := rulebase.Load(rulebase.Layer{Name: "rules", FS: rules.FS})
	require.NoError(t, err)
	require.NotNil(t, loaded.Base)
	return loaded.Base
}

func item(t testing.TB, id, text string) book.Item {
	t.Helper()
	places, err := book.Book{Shelves: []book.Shelf{{Name: "book", FS: fstest.MapFS{id + ".yaml": {Data: []byte("schema: 1\n" + text)}}}}}.Places()
	require.NoError(t, err)
	it := places[0].Read()
	require.NotNil(t, it.Case, "%v", it.Problems)
	return it
}

// row is a case as a table reads it back, by column.
func row(t require.TestingT, x *export.Exporter, it book.Item) map[string]string {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	require.NoError(t, w.WriteAll([][]string{x.Columns(), x.Row(x.Open(it))}))
	back, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, back, 2)
	out := map[string]string{}
	for i, name := range back[0] {
		require.NotContains(t, out, name, "a column stands once")
		out[name] = back[1][i]
	}
	return out
}

const whole = `case: smith-1
title: "Blisters, \"all\" over"
invented: no
started: 2024-05-20T10:00:00Z
rules: {digest: 0123456789ab, layers: [rules, ours]}
job: {number: J-7, finished: 2024-04-18, seen: 2024-05-18, board: medium, board-lot: B1, primer-lot: P1, paint-lot: C1, drying: rack, painter: Ada Zimmer, customer: Smith Bakery, address: 1 Oak Lane, contact: 503-555-0142, note: hung by Smith}
facts: {colour: dark, thickness: {value: 1 1/2 in, source: measured}, moonlight: full}
failures: {blistering: seen, bow: absent, chalking: not-checked}
findings: {blister-content: {answer: water, sure: probably, note: "Smith saw it", asked: "What is inside?"}, groove-thickness: {value: 12 mil, source: remembered}}
log: {zone: Europe/Dublin, coats: [{face: both, material: high-build primer, start: "2024-04-16 13:30", wet-film: 11 mil}], steps: [{after: 2 h, do: sand}], air: [{at: "2024-04-16 13:30", temperature: 58 F, humidity: 62 %}]}
photos: [{file: pics/a.jpg, caption: Face}, {file: pics/b.jpg}]
verdict:
  settled: 2024-06-01
  by: the owner
  pays: us
  changed: weigh coupons
  costs: [{what: lift, amount: "$180"}, {what: paint, amount: "$1,020.50"}]
  causes: [{cause: thick-pass, state: confirmed, by: groove-thickness}, {cause: no-key, state: ruled-out}, {cause: mix-ratio-off, state: not-examined}]
  ranking: [{cause: thick-pass, contributed: 0.62}, {cause: no-key, contributed: 0.1}]
  ranked-with: 0123456789ab
  note: "=not a formula"
notes: |
  -1 is a reading,
  Smith rang.
`

func TestATableHoldsTheCase(t *testing.T) {
	x := export.New(base(t), export.Options{Private: true, Findings: true})
	got := row(t, x, item(t, "smith-1", whole))
	for name, want := range map[string]string{
		"schema": "1", "case": "smith-1", "title": `Blisters, "all" over`, "invented": "no", "started": "2024-05-20T10:00:00Z",
		"job_number": "J-7", "finished": "2024-04-18", "customer": "Smith Bakery", "contact": "503-555-0142", "painter": "Ada Zimmer",
		"state": "settled", "settled": "2024-06-01", "settled_by": "the owner", "confirmed": "thick-pass", "confirmed_by": "groove-thickness",
		"ruled_out": "no-key", "not_examined": "mix-ratio-off", "no_fault": "no", "pays": "us", "cost": "1200.5", "currency": "$",
		"costs": "lift $180; paint $1,020.50", "expected": "thick-pass", "expected_chance": "0.62", "verdict_note": "'=not a formula",
		"failure.blistering": "seen", "failure.bow": "absent", "failure.chalking": "not-checked", "failure.sags": "",
		"fact.colour": "dark", "fact.thickness": "1 1/2 in", "fact.season": "", "finding.blister-content": "water", "finding.groove-thickness": "12 mil",
		"findings": "blister-content=water; groove-thickness=12 mil", "in_doubt": "blister-content; groove-thickness", "other_answers": "moonlight=full",
		"photos": "pics/a.jpg; pics/b.jpg", "rules": "0123456789ab", "notes": "'-1 is a reading,\nSmith rang.\n",
	} {
		require.Equal(t, want, got[name], name)
	}
	require.NotContains(t, export.New(base(t), export.Options{}).Columns(), "finding.blister-content")
}

// TestPrivateLinesStayAtHome unless they are asked for, in both formats.
func TestPrivateLinesStayAtHome(t *testing.T) {
	it := item(t, "smith-1", whole)
	x := export.New(base(t), export.Options{Findings: true})
	line, err := x.JSON(x.Open(it))
	require.NoError(t, err)
	got := row(t, x, it)
	for _, text := range []string{string(line), strings.Join(x.Row(x.Open(it)), "\n"), strings.Join(x.Columns(), "\n")} {
		for _, private := range []string{"Smith", "smith", "Bakery", "Oak", "555", "Ada", "Zimmer", "customer\"", "painter\""} {
			require.NotContains(t, text, private)
		}
	}
	require.NotContains(t, got, "customer")
	require.Contains(t, got, "settled_by")
	require.Empty(t, got["settled_by"])
	require.Contains(t, string(line), `"settled":"2024-06-01","by":"",`)
	require.Equal(t, "[customer]-1", got["case"])
	require.Equal(t, "hung by [customer]", got["job_note"])
	require.Equal(t, "water", got["finding.blister-content"])
	require.Equal(t, "Smith Bakery", it.Case.Job.Customer, "the case stays as it is")
}

// TestNamesAreKeptApart in the order they come in.
func TestNamesAreKeptApart(t *testing.T) {
	var ids export.IDs
	var got []string
	for _, id := range []string{"[customer]", "sign", "[customer]", "[customer]-2", "[customer]", "sign"} {
		got = append(got, ids.Next(id))
	}
	require.Equal(t, []string{"[customer]", "sign", "[customer]-2", "[customer]-2-2", "[customer]-3", "sign"}, got)
}

// TestJSONReadsBackTheSame compares every line of the casebook with its case, by
// the other way round: what is read back makes the case again.
func TestJSONReadsBackTheSame(t *testing.T) {
	x := export.New(base(t), export.Options{Private: true})
	places, err := book.Book{Shelves: []book.Shelf{{Name: "casebook", FS: casebook.FS}, {Name: "b", FS: booktest.Folder(60, 3)},
		{Name: "w", FS: fstest.MapFS{"smith-1.yaml": {Data: []byte("schema: 1\n" + whole)}}}}}.Places()
	require.NoError(t, err)
	for _, p := range places {
		it := p.Read()
		line, err := x.JSON(x.Open(it))
		require.NoError(t, err)
		require.Equal(t, 1, bytes.Count(line, []byte("\n")), "one case, one line")
		require.NotContains(t, string(line), "null,\"ranking", "lists are never null")
		var r export.Record
		d := json.NewDecoder(bytes.NewReader(line))
		d.DisallowUnknownFields()
		require.NoError(t, d.Decode(&r))
		require.Equal(t, export.Schema, r.Schema)
		require.Equal(t, it.ID, r.Case)
		want, err := stripped(it.Case).Bytes()
		require.NoError(t, err)
		got, err := again(r, it.Case.ID).Bytes()
		require.NoError(t, err)
		require.Equal(t, string(want), string(got), p.ID)
	}
}

// stripped is a case without the document it was read from, so that comments and
// foreign keys do not come back.
func stripped(c *casefile.Case) *casefile.Case {
	n := &casefile.Case{
		ID: c.ID, Title: c.Title, Invented: c.Invented, Started: c.Started, Rules: c.Rules, Facts: c.Facts, Failures: c.Failures,
		Findings: c.Findings, Coats: c.Coats, LogLater: c.LogLater, Log: c.Log, Job: c.Job, Photos: c.Photos, Verdict: c.Verdict, Notes: c.Notes,
	}
	n.Log.Place = casefile.Place{}
	return n
}

// again makes a case of a line.
func again(r export.Record, id string) *casefile.Case {
	c := &casefile.Case{
		ID: id, Title: r.Title, Invented: r.Invented, Started: r.Started, Notes: r.Notes,
		Rules: casefile.RulesUsed{Digest: r.Rules.Digest, Layers: r.Rules.Layers},
		Job: casefile.Job{Number: r.Job.Number, Finished: r.Job.Finished, Seen: r.Job.Seen, Board: r.Job.Board, BoardLot: r.Job.BoardLot,
			PrimerLot: r.Job.PrimerLot, PaintLot: r.Job.PaintLot, Drying: r.Job.Drying, Note: r.Job.Note,
			Customer: *r.Job.Customer, Address: *r.Job.Address, Contact: *r.Job.Contact, Painter: *r.Job.Painter},
	}
	entries := func(list []export.Entry) (out []casefile.Entry) {
		for _, e := range list {
			out = append(out, casefile.Entry{ID: e.ID, Answer: e.Answer, Value: e.Value, NotChecked: e.NotChecked, Sure: e.Sure, Source: e.Source, Note: e.Note, Asked: e.Asked})
		}
		return out
	}
	c.Facts, c.Failures, c.Findings = entries(r.Facts), entries(r.Failures), entries(r.Findings)
	for _, p := range r.Photos {
		c.Photos = append(c.Photos, casefile.Photo{File: p.File, Caption: p.Caption})
	}
	if l := r.Log; l != nil {
		c.LogLater, c.Log.Zone, c.Log.Shop = l.Later, l.Zone, l.Shop
		c.Log.Panel = casefile.Panel{Along: l.Panel.Along, Across: l.Panel.Across, Stands: l.Panel.Stands}
		g := l.Logger
		c.Log.Logger = casefile.Logger{File: g.File, Zone: g.Zone, ClockAhead: g.ClockAhead, Temperature: g.Temperature, Humidity: g.Humidity, Dates: g.Dates}
		for _, x := range l.Coats {
			c.Coats = append(c.Coats, casefile.Coat{Face: x.Face, Material: x.Material, Start: x.Start, WetFilm: x.WetFilm, Thinning: x.Thinning,
				ThinningOf: x.ThinningOf, Tool: x.Tool, Air: x.Air, Humidity: x.Humidity, Fan: x.Fan, ToNext: x.ToNext, Note: x.Note})
		}
		for _, x := range l.Steps {
			c.Log.Steps = append(c.Log.Steps, casefile.Step{At: x.At, After: x.After, Do: x.Do, Face: x.Face, Material: x.Material, Speed: x.Speed, TakesOff: x.TakesOff, Note: x.Note})
		}
		for _, x := range l.Air {
			c.Log.Air = append(c.Log.Air, casefile.AirReading{At: x.At, Temperature: x.Temperature, Humidity: x.Humidity, Note: x.Note})
		}
	}
	if v := r.Verdict; v != nil {
		c.Verdict = &casefile.Verdict{Settled: v.Settled, By: v.By, Unlisted: v.Unlisted, NoFault: v.NoFault, Note: v.Note,
			Settlement: casefile.Settlement{Pays: v.Pays, Changed: v.Changed, Rules: v.Rules}}
		for _, x := range v.Causes {
			c.Verdict.Causes = append(c.Verdict.Causes, casefile.Finding{Cause: x.Cause, State: x.State, By: x.By})
		}
		for _, x := range v.Costs {
			c.Verdict.Costs = append(c.Verdict.Costs, casefile.Cost{What: x.What, Amount: x.Amount})
		}
		for _, x := range v.Ranking {
			c.Verdict.Ranking = append(c.Verdict.Ranking, casefile.Standing{Cause: x.Cause, Contributed: x.Contributed})
		}
	}
	return c
}

// TestCellsSurviveAndAreNoFormulas is a property: any text goes through a table
// and back, and nothing but a plain number begins like a formula.
func TestCellsSurviveAndAreNoFormulas(t *testing.T) {
	x := export.New(base(t), export.Options{Private: true})
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(
			rapid.StringMatching(`[=+@ -]{1,2}[-A-Za-z0-9("',;. \n]{0,12}`),
			rapid.StringMatching(`[+-]?[0-9]{1,3}(\.[0-9]{1,3})?`), rapid.StringOf(rapid.RuneFrom([]rune("ab \"',;\n\t|éß=+-@"))),
		).Draw(t, "text")
		got := row(t, x, book.Item{Place: book.Place{ID: "x"}, Case: &casefile.Case{Title: text}})["title"]
		plain := strings.TrimPrefix(got, "'")
		if strings.HasPrefix(text, "'") {
			plain = got
		}
		require.Equal(t, text, plain, "the text itself is kept")
		if strings.HasPrefix(text, "=") || strings.HasPrefix(text, "@") {
			require.Equal(t, "'"+text, got)
		}
		if first := strings.TrimLeft(got, " "); first != "" && strings.ContainsAny(first[:1], "=+-@\t\r\n") {
			var f float64
			_, err := fmt.Sscanf(first, "%g", &f)
			require.NoError(t, err, "%q is no number and would be read as a formula", got)
			require.NotContains(t, first, "(")
		}
	})
}

func TestPlainNumbersAreLeft(t *testing.T) {
	x := export.New(base(t), export.Options{Private: true})
	for text, want := range map[string]string{
		"-12.5": "-12.5", "+3": "+3", "-1e3": "-1e3", "-": "'-", "-1+1": "'-1+1", "+44 1632 960983": "'+44 1632 960983", "=1": "'=1", "@sum": "'@sum",
		"\tx": "'\tx", " =1": "' =1", "a=1": "a=1", "\u00a0=1": "'\u00a0=1", "\u3000\u200b@x": "'\u3000\u200b@x", "\ufeff+a": "'\ufeff+a", "＝1": "'＝1", " ＋1": "' ＋1",
		"－1": "'－1", "＠x": "'＠x", "\u00a0-1": "\u00a0-1", "\u00a0": "\u00a0", "é=1": "é=1", "": "", "-rust": "'-rust", "it's": "it's",
	} {
		it := book.Item{Place: book.Place{ID: "x"}, Case: &casefile.Case{Title: text}}
		require.Equal(t, want, row(t, x, it)["title"], "%q", text)
	}
}

func TestHalfASumIsNone(t *testing.T) {
	x := export.New(base(t), export.Options{Private: true})
	for costs, want := range map[string][2]string{
		`[{what: a, amount: "180"}, {what: b, amount: "20.50"}]`:     {"200.5", ""},
		`[{what: a, amount: 180 EUR}, {what: b, amount: 20 EUR}]`:    {"200", "EUR"},
		`[{what: a, amount: 180 EUR}, {what: b, amount: $20}]`:       {"", ""},
		`[{what: a, amount: "180"}, {what: b, amount: a good deal}]`: {"", ""},
		`[]`: {"", ""},
	} {
		got := row(t, x, item(t, "a", "verdict: {costs: "+costs+"}\n"))
		require.Equal(t, want, [2]string{got["cost"], got["currency"]}, costs)
	}
}

// BenchmarkExport works out every row of a book; B/op over the cases is what a
// case costs, and nothing is held on to.
func BenchmarkExport(b *testing.B) {
	x := export.New(base(b), export.Options{})
	places, err := book.Book{Shelves: []book.Shelf{{Name: "b", FS: booktest.Folder(1000, 1)}}}.Places()
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		for _, p := range places {
			it := p.Read()
			x.Row(x.Open(it))
			if _, err := x.JSON(x.Open(it)); err != nil {
				b.Fatal(err)
			}
		}
	}
}
