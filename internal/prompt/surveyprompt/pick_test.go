//go:build linux

package surveyprompt_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/prompt"
	"filmfault/internal/prompt/surveyprompt"
)

func faults() prompt.Pick {
	return prompt.Pick{
		ID:    "failures",
		Title: "What is wrong with the sign?",
		Items: []prompt.Choice{
			{ID: "blisters", Text: "Blisters"}, {ID: "cracks", Text: "Cracks"}, {ID: "chalk", Text: "Chalk comes off on a finger"},
		},
		States: []prompt.Choice{
			{ID: "unknown", Text: "not looked for"}, {ID: "seen", Text: "seen"}, {ID: "absent", Text: "looked for, not there"},
		},
		Default: "unknown",
	}
}

func startPick(s *session, k prompt.Pick) <-chan outcome[[]string] {
	p := surveyprompt.New(s.console())
	return start(s, func(ctx context.Context) ([]string, error) { return p.Pick(ctx, k) })
}

func TestPick(t *testing.T) {
	s := newSession(t, 80, 24)
	done := startPick(s, faults())
	s.awaitList("> (the list is right)")
	s.typed(down, enter)
	s.awaitList("> Blisters: seen")
	s.typed(down, enter)
	s.awaitList("> Cracks: seen")
	s.typed(enter)
	s.awaitList("> Cracks: looked for, not there")
	s.typed(down, enter, enter, enter)
	s.until("the third line as it was", func() bool { return strings.HasSuffix(s.see(), "> Chalk comes off on a finger") })
	s.typed(down)
	s.awaitList("> (the list is right)")
	require.Equal(t, 1, strings.Count(s.see(), "(the list is right)"), "one list, redrawn in place")
	s.typed(enter)
	got, err := finish(s, done)
	require.NoError(t, err)
	require.Equal(t, []string{"seen", "absent", "unknown"}, got)
	s.await("- Cracks: looked for, not there")
	require.NotContains(t, s.see(), "Use arrows")
	s.requireUsable()
}

func TestPickNothingIsTheNonAnswer(t *testing.T) {
	s := newSession(t, 80, 24)
	done := startPick(s, faults())
	s.awaitList("> (the list is right)")
	s.typed(enter)
	got, err := finish(s, done)
	require.NoError(t, err)
	require.Equal(t, []string{"unknown", "unknown", "unknown"}, got)
}

func TestPickTellsEveryChangeAndOffersTheRest(t *testing.T) {
	s := newSession(t, 80, 24)
	k := faults()
	k.Start, k.Rest = []string{"unknown", "absent", "unknown"}, "absent"
	var told []string
	k.Changed = func(item int, state string) { told = append(told, k.Items[item].ID+" "+state) }
	done := startPick(s, k)
	s.awaitList("Cracks: looked for, not there")
	s.typed(down, enter)
	s.awaitList("> Blisters: seen")
	s.typed(up, up)
	s.awaitList("> (all the rest: looked for, not there)")
	s.typed(enter)
	s.awaitList("Chalk comes off on a finger: looked for, not there")
	s.typed("\x03")
	_, err := finish(s, done)
	require.ErrorIs(t, err, prompt.ErrInterrupted)
	require.Equal(t, []string{"blisters seen", "chalk absent"}, told)
	s.requireUsable()
}

func TestPickShowsOneListOnly(t *testing.T) {
	s := newSession(t, 50, 40)
	k := faults()
	k.Items[2].Text = "Chalk comes off on a finger, a cloth or a sleeve when rubbed"
	done := startPick(s, k)
	s.awaitList("> (the list is right)")
	require.Equal(t, 1, strings.Count(s.see(), "Chalk comes"))
	require.Contains(t, s.see(), "…")
	s.typed("sleeve", enter)
	s.awaitList("> Chalk comes off on a finger, a cloth or…: seen")
	s.typed("done", enter)
	got, err := finish(s, done)
	require.NoError(t, err)
	require.Equal(t, []string{"unknown", "unknown", "seen"}, got)
}

func TestLongPicksAreNotDoubled(t *testing.T) {
	k := faults()
	k.Items = nil
	for i := range 25 {
		k.Items = append(k.Items, prompt.Choice{
			ID: fmt.Sprint("i", i), Text: fmt.Sprintf("Fault %d, which can be seen on %s", i+1, strings.Repeat("edges and ", 9)),
		})
	}
	for _, width := range []int{30, 50, 80} {
		t.Run(fmt.Sprint(width), func(t *testing.T) {
			s := newSession(t, width, 20)
			done := startPick(s, k)
			s.awaitList("> (the list is right)")
			for i := range 25 {
				s.typed(down)
				s.awaitList(fmt.Sprintf("\n> Fault %d,", i+1))
				if i%2 == 0 {
					// Eleven times round three states, faster than the list is drawn.
					s.typed(strings.Repeat(enter, 11))
					s.until("the state of the marked line", func() bool { return marked(s.see(), ": looked for") })
				}
				s.until("a single list", func() bool {
					seen := s.see()
					return strings.Count(seen, "Enter changes a line") == 1 && strings.Count(seen, "\n> ") == 1
				})
			}
			s.typed(down, enter)
			got, err := finish(s, done)
			require.NoError(t, err)
			for i, state := range got {
				require.Equal(t, map[bool]string{true: "absent", false: "unknown"}[i%2 == 0], state, i)
			}
		})
	}
}

// marked says whether the line with the mark holds text.
func marked(seen, text string) bool {
	_, line, _ := strings.Cut(seen, "\n> ")
	line, _, _ = strings.Cut(line, "\n")
	return strings.Contains(line, text)
}
