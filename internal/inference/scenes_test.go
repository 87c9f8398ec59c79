package inference_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/inference"
)

// TestScenes: the random models hold every construct often enough that the
// comparisons above say something about it.
func TestScenes(t *testing.T) {
	count := map[string]int{}
	for i := range scenes() {
		s := generate(rand.New(rand.NewPCG(uint64(firstSeed+i), 0)))
		for what := range s.constructs() {
			count[what]++
		}
		if newOracle(s.spec).given(s.known()).evidence == 0 {
			count["contradiction"]++
		}
	}
	for _, what := range []string{
		"any", "all", "at least", "chance", "negated", "shared", "any-of", "any-of of six", "rows", "five rows", "one row",
		"row of two", "four answers", "two seen", "nothing seen", "left out", "soft", "answered and open", "contradiction",
	} {
		require.Greater(t, count[what], scenes()/80, what)
	}
}

// constructs names what a scene contains.
func (s *scene) constructs() map[string]bool {
	got := map[string]bool{"two seen": len(s.seen) > 1, "nothing seen": len(s.seen) == 0}
	users := map[inference.Node]int{}
	for _, x := range s.nodes {
		for _, in := range x.in {
			got[[]string{"any", "all", "at least"}[x.kind]] = true
			got["chance"] = got["chance"] || in.Chance < 1
			got["negated"] = got["negated"] || in.Negated
			users[in.Node]++
			got["shared"] = got["shared"] || users[in.Node] > 1
		}
	}
	for _, f := range s.findings {
		got["any-of"] = got["any-of"] || len(f.AnyOf) > 0
		got["any-of of six"] = got["any-of of six"] || len(f.AnyOf) == 6
		got["rows"] = got["rows"] || len(f.Rows) > 2
		got["five rows"] = got["five rows"] || len(f.Rows) == 5
		got["one row"] = got["one row"] || len(f.Rows) == 1
		got["four answers"] = got["four answers"] || f.Answers() == 4
		for _, r := range f.Rows {
			got["row of two"] = got["row of two"] || len(r.Events) == 2
		}
	}
	for i, w := range s.evidence {
		got["left out"] = got["left out"] || w == nil
		got["soft"] = got["soft"] || w != nil && entropyBits(w) > 0 // certain weights have none
		got["answered and open"] = got["answered and open"] || slices.Contains(s.open, s.use[i])
	}
	for what, yes := range got {
		if !yes {
			delete(got, what)
		}
	}
	return got
}
