package listing_test

import (
	"bytes"
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"filmfault/internal/book"
	"filmfault/internal/book/listing"
	"filmfault/internal/book/review"
	"filmfault/internal/console"
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

// shelf is four cases, made so that every order and filter tells them apart.
func shelf() fstest.MapFS {
	out := fstest.MapFS{}
	for id, text := range map[string]string{
		"a": "title: Open one\nstarted: 2025-03-01T10:00:00Z\nfacts: {colour: light, season: spring}\nfailures: {chalking: seen, bow: absent}\n",
		"b": "title: Dear one\njob: {finished: 2024-05-01}\nfacts: {colour: dark, season: spring, thickness: {value: 1 1/2 in}}\nfailures: {blistering: seen}\n" +
			"verdict: {settled: 2024-06-01, causes: [{cause: thick-pass, state: confirmed}], costs: [{what: lift, amount: \"180\"}, {what: paint, amount: \"1,020\"}]}\n",
		"c": "title: |\n  Sound\n  one | *\njob: {seen: 2023-01-31}\nfacts: {season: autumn}\nfailures: {bow: seen}\nverdict: {no-fault: yes, costs: [{what: lift, amount: 90.50}, {what: tea, amount: much}]}\n",
		"d": "title: Strange one\nfacts: {season: autumn}\nfailures: {bow: seen, blistering: seen}\nverdict: {settled: 2024-01-02, unlisted: yes}\n",
	} {
		out[id+".yaml"] = &fstest.MapFile{Data: []byte("schema: 1\n" + text)}
	}
	return out
}

func list(t testing.TB, order string, asked review.Asked) *listing.List {
	t.Helper()
	b := base(t)
	f, err := review.ParseFilter(b, asked)
	require.NoError(t, err)
	places, err := book.Book{Shelves: []book.Shelf{{Name: "book", FS: shelf()}}}.Places()
	require.NoError(t, err)
	var rows []listing.Row
	for _, p := range places {
		rows = append(rows, listing.Pick(b, p.Read(), f))
	}
	l, err := listing.New(rows, order, len(places), 0)
	require.NoError(t, err)
	return l
}

func ids(l *listing.List) string {
	var out []string
	for _, r := range l.Cases {
		out = append(out, r.Case)
	}
	return strings.Join(out, " ")
}

func TestOrders(t *testing.T) {
	for order, want := range map[string]string{
		"id": "a b c d", "date": "c d b a", "failure": "b d c a", "cause": "c d b a", "cost": "b c a d",
	} {
		require.Equal(t, want, ids(list(t, order, review.Asked{})), order)
	}
	_, err := listing.New(nil, "weight", 0, 0)
	require.ErrorIs(t, err, listing.ErrOrder)
}

// TestCostsAreThoseOfAReview: a sign and its code are one, an amount without a
// currency is in the only other one of the book, whatever the filter leaves.
func TestCostsAreThoseOfAReview(t *testing.T) {
	b := base(t)
	made := func(asked review.Asked, costs ...string) *listing.List {
		f, err := review.ParseFilter(b, asked)
		require.NoError(t, err)
		folder := fstest.MapFS{}
		for i, c := range costs {
			state := map[bool]string{true: "dark", false: "light"}[i == 0]
			text := "schema: 1\nfacts: {colour: " + state + "}\nfailures: {bow: seen}\nverdict: {no-fault: yes, costs: [" + c + "]}\n"
			folder[string(rune('a'+i))+".yaml"] = &fstest.MapFile{Data: []byte(text)}
		}
		places, err := book.Book{Shelves: []book.Shelf{{Name: "book", FS: folder}}}.Places()
		require.NoError(t, err)
		var rows []listing.Row
		in := review.Input{}
		for _, p := range places {
			rows = append(rows, listing.Pick(b, p.Read(), f))
			in.Records = append(in.Records, *review.Take(b, p.Read()).Record)
		}
		l, err := listing.New(rows, "cost", len(places), 0)
		require.NoError(t, err)
		if len(l.Cases) == 1 {
			require.Equal(t, review.Build(b, in, f).Totals.Costs, l.Cases[0].Costs)
		}
		return l
	}
	paid := func(amounts ...string) string {
		for i, a := range amounts {
			amounts[i] = "{what: lift, amount: \"" + a + "\"}"
		}
		return strings.Join(amounts, ", ")
	}
	l := made(review.Asked{}, paid("90"), paid("$100"), paid("200 USD", "$5"), "")
	require.Equal(t, "c b a d", ids(l))
	require.Equal(t, []review.Amount{{Currency: "USD", Amount: 9000}}, l.Cases[2].Costs)
	require.Equal(t, []review.Amount{}, l.Cases[3].Costs)
	l = made(review.Asked{Where: []string{"colour=dark"}}, paid("90"), paid("$100"), paid("200 USD"))
	require.Equal(t, []review.Amount{{Currency: "USD", Amount: 9000}}, l.Cases[0].Costs, "of the whole book")
	require.Equal(t, "c a d b", ids(made(review.Asked{}, paid("5 EUR", "1 CAD"), paid("900"), paid("7 EUR"), paid("3 GBP"))), "most lines first, none last")
}

func TestFilters(t *testing.T) {
	for want, asked := range map[string]review.Asked{
		"b d": {Failure: "blistering"}, "c d": {Where: []string{"season=autumn"}}, "b": {Where: []string{"season=spring", "colour=dark"}},
		"a": {Open: true}, "b c d": {Settled: true}, "b c": {To: "2024-05", From: "2023-01-31", Settled: true, Where: []string{"thickness=not-known"}},
	} {
		got := ids(list(t, "id", asked))
		if asked.To != "" {
			require.Equal(t, "c d", got, "b states its thickness")
			continue
		}
		require.Equal(t, want, got)
	}
	require.Equal(t, "b", ids(list(t, "id", review.Asked{Cause: "thick-pass"})))
	require.Equal(t, "b", ids(list(t, "id", review.Asked{Where: []string{"thickness=medium"}})), "a figure counts as its band")
	require.Equal(t, "a b", ids(list(t, "id", review.Asked{From: "2024-05-01"})), "the day of an interview counts where no other is known")
}

func TestTextKeepsTheForm(t *testing.T) {
	l := list(t, "id", review.Asked{})
	var b bytes.Buffer
	require.NoError(t, listing.Text(&b, l, 80))
	require.Equal(t, `a: Open one (open)
b: Dear one (settled: thick-pass)
c: Sound one | * (settled: no fault)
d: Strange one (settled: something the rules do not list)
4 of 4 cases shown.
`, b.String())
	l.Unreadable, l.Order = 1, "cost"
	b.Reset()
	require.NoError(t, listing.Text(&b, l, 30))
	require.Contains(t, strings.Join(strings.Fields(b.String()), " "), "c: Sound one | * (settled: no fault), 90.50 and more that cannot be read")
	require.Contains(t, strings.Join(strings.Fields(b.String()), " "), "4 of 4 cases shown; 1 file could not be read.")
}

// TestLinesFit: whatever is in a title, a line is no wider than asked for, and no
// case looks like two.
func TestLinesFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := []listing.Row{}
		for range rapid.IntRange(0, 4).Draw(t, "n") {
			rows = append(rows, listing.Row{Case: rapid.StringMatching(`[a-z]{1,12}(-[0-9]{3})?`).Draw(t, "id"), Title: rapid.String().Draw(t, "title"), State: "open"})
		}
		l, err := listing.New(rows, "id", 9, 2)
		require.NoError(t, err)
		width := rapid.SampledFrom([]int{50, 80}).Draw(t, "width")
		var b bytes.Buffer
		require.NoError(t, listing.Text(&b, l, width))
		cases := 0
		for line := range strings.SplitSeq(strings.TrimSuffix(b.String(), "\n"), "\n") {
			require.LessOrEqual(t, console.DisplayWidth(line), width)
			if !strings.HasPrefix(line, "  ") {
				cases++
			}
		}
		require.Equal(t, len(rows)+1, cases)
	})
}

func TestMarkdownIsOneTable(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, listing.Markdown(&b, list(t, "date", review.Asked{})))
	for _, line := range strings.Split(b.String(), "\n")[:6] {
		require.Equal(t, 8, len(regexp.MustCompile(`(?:^|[^\\])\|`).FindAllString(line, -1)), line)
	}
	require.Contains(t, b.String(), `Sound one \| \*`)
	require.Contains(t, b.String(), "| b | Dear one | 2024-05-01 | blistering | settled | thick-pass | 1,200 |")
}

// TestJSONNames are fixed; others rely on them.
func TestJSONNames(t *testing.T) {
	data, err := json.Marshal(list(t, "id", review.Asked{}))
	require.NoError(t, err)
	var back map[string]any
	require.NoError(t, json.Unmarshal(data, &back))
	require.ElementsMatch(t, []string{"schema", "shown", "of", "unreadable", "order", "cases"}, names(back))
	rows := back["cases"].([]any)
	require.ElementsMatch(t, []string{"case", "file", "title", "invented", "date", "season", "failures", "state", "causes", "no_fault", "unlisted", "costs", "costs_unread"},
		names(rows[0].(map[string]any)))
	require.Equal(t, []any{}, rows[0].(map[string]any)["causes"], "a list is never null")
	require.Equal(t, map[string]any{"currency": "", "amount": 1200.0}, rows[1].(map[string]any)["costs"].([]any)[0])
	require.EqualValues(t, 1, rows[2].(map[string]any)["costs_unread"])
}

func names(m map[string]any) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}
