package prompt_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/prompt"
)

func faults() prompt.Pick {
	return prompt.Pick{
		ID:    "failures",
		Title: "What is wrong with the sign?",
		Items: []prompt.Choice{
			{ID: "blisters", Text: "Blisters"},
			{ID: "cracks", Text: "Cracks"},
			{ID: "chalk", Text: "Chalk comes off on a finger"},
			{ID: "sticky", Text: "Sticky to the touch"},
		},
		States: []prompt.Choice{
			{ID: "unknown", Text: "not looked for"},
			{ID: "seen", Text: "seen"},
			{ID: "absent", Text: "looked for, not there"},
		},
		Default: "unknown",
	}
}

func TestPickUnderstands(t *testing.T) {
	const u, s, a = "unknown", "seen", "absent"
	for _, row := range []struct {
		typed string
		want  []string
	}{
		{"", []string{u, u, u, u}},
		{"2", []string{u, s, u, u}},
		{"1 3", []string{s, u, s, u}},
		{"1,3", []string{s, u, s, u}},
		{"1, 3-4 seen", []string{s, u, s, s}},
		{"2 - 4", []string{u, s, s, s}},
		{"2 looked for, not there", []string{u, a, u, u}},
		{"2 looked", []string{u, a, u, u}},
		{"2 absent", []string{u, a, u, u}},
		{"1 seen\nrest absent", []string{s, a, a, a}},
		{"rest absent\n2 seen", []string{a, s, a, a}},
		{"2\n2 not looked for", []string{u, u, u, u}},
		{"cracks", []string{u, s, u, u}},
		{"cracks = absent", []string{u, a, u, u}},
		{"Chalk comes off on a finger = seen", []string{u, u, s, u}},
		{"2 = absent", []string{u, a, u, u}},
		{"LIST\n?\n4", []string{u, u, u, s}},
	} {
		t.Run(row.typed, func(t *testing.T) {
			p, out := newPlain(row.typed + "\ndone\n")
			got, err := p.Pick(t.Context(), faults())
			require.NoError(t, err, out.String())
			require.Equal(t, row.want, got)
			require.NoError(t, faults().Accepts(got))
		})
	}
}

func TestPickRefuses(t *testing.T) {
	for _, row := range []struct{ typed, says string }{
		{"", `Type "done" when the list is right.`},
		{"5", `"5" is no number on the list; they go from 1 to 4.`},
		{"0", `"0" is no number on the list`},
		{"1 9", `"9" is no number on the list`},
		{"3-2", `"3-2" is no number on the list`},
		{"1-", `"1-" is no number on the list`},
		{"99999999999999999999", "is no number on the list"},
		{"1 green", `"green" is not clear; say one of "not looked for", "seen", "looked for, not there".`},
		{"green", `"green" is nothing on the list.`},
		{"rest green", `"green" is not clear`},
		{"cracks = green", `"green" is not clear`},
		{"1 \xff", "cannot read"},
	} {
		t.Run(row.typed, func(t *testing.T) {
			p, out := newPlain(row.typed + "\ndone\n")
			got, err := p.Pick(t.Context(), faults())
			require.NoError(t, err)
			require.Equal(t, []string{"unknown", "unknown", "unknown", "unknown"}, got, "a refused line changes nothing")
			require.Contains(t, unwrapped(out.String()), row.says)
		})
	}
}

func TestPickIsLostAtTheEndOfInput(t *testing.T) {
	p, _ := newPlain("1 seen\n")
	got, err := p.Pick(t.Context(), faults())
	require.ErrorIs(t, err, prompt.ErrEndOfInput)
	require.Nil(t, got)
}

func TestPickTellsEveryChange(t *testing.T) {
	k := faults()
	k.Start, k.Rest = []string{"unknown", "seen", "unknown", "unknown"}, "absent"
	var told []string
	k.Changed = func(item int, state string) { told = append(told, k.Items[item].ID+" "+state) }
	p, out := newPlain("1\n3 absent\n")
	_, err := p.Pick(t.Context(), k)
	require.ErrorIs(t, err, prompt.ErrEndOfInput)
	require.Equal(t, []string{"blisters seen", "chalk absent"}, told)
	require.Contains(t, out.String(), "2. Cracks (seen)")

	for _, typed := range []string{"rest", "all the rest: looked for, not there", "rest absent"} {
		p, out = newPlain(typed + "\ndone\n")
		got, err := p.Pick(t.Context(), k)
		require.NoError(t, err)
		require.Equal(t, []string{"absent", "seen", "absent", "absent"}, got, typed)
		require.Contains(t, unwrapped(out.String()), `"rest" for all the rest: looked for, not there.`)
	}
}

func TestPickShows(t *testing.T) {
	p, out := newPlain("2\nlist\ndone\n")
	_, err := p.Pick(t.Context(), faults())
	require.NoError(t, err)
	require.Equal(t, `
What is wrong with the sign?
  1. Blisters
  2. Cracks
  3. Chalk comes off on a finger
  4. Sticky to the touch
Type numbers and then "seen" or "looked for, not there", or "rest" and then one
of them. Numbers alone mean "seen". What you do not name stays "not looked for".
Type "done" at the end.
> Cracks: seen.
>   1. Blisters
  2. Cracks (seen)
  3. Chalk comes off on a finger
  4. Sticky to the touch
> `, out.String())
}

func TestMistakesInAListAreErrors(t *testing.T) {
	p, _ := newPlain("done\ndone\n")
	_, err := p.Pick(t.Context(), prompt.Pick{ID: "none"})
	require.ErrorContains(t, err, `list "none" is empty`)
	wrong := faults()
	wrong.Default = "maybe"
	_, err = p.Pick(t.Context(), wrong)
	require.ErrorContains(t, err, `the default "maybe" is none of the states`)
	wrong = faults()
	wrong.Rest = "maybe"
	require.ErrorContains(t, wrong.Check(), `the state for the rest, "maybe", is none of the states`)
	wrong = faults()
	wrong.Start = []string{"seen"}
	require.ErrorContains(t, wrong.Check(), "1 states for 4 items")
}

func TestPickAccepts(t *testing.T) {
	k := faults()
	require.ErrorContains(t, k.Accepts([]string{"seen"}), "1 states for 4 items")
	require.ErrorContains(t, k.Accepts([]string{"seen", "seen", "seen", "maybe"}), `"maybe" is no state of "sticky"`)
	require.NoError(t, k.Accepts([]string{"seen", "absent", "unknown", "seen"}))
}
