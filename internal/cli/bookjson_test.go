package cli_test

import (
	"encoding/json"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestEveryBookCommandSpeaksJSON runs the commands on one book, one after the
// other as a shop would, and wants one document each with the names promised at
// its top. Names inside are pinned where the documents are made.
func TestEveryBookCommandSpeaksJSON(t *testing.T) {
	t.Chdir(t.TempDir())
	_, text, _ := run(t, "casebook", "show", "garden-gate")
	text = strings.NewReplacer("invented: true", "invented: false", "case: garden-gate", "case: ours").Replace(text)
	require.NoError(t, os.WriteFile("ours.yaml", []byte(text), 0o644))
	for _, c := range []struct{ words, names string }{
		{"add ours.yaml", "schema added"},
		{"show ours", "schema case title invented started rules job failures facts findings log photos verdict notes"},
		{"settle ours --again --confirmed soluble-residue", "schema case file settled by causes unlisted no_fault pays costs changed note ranking ranked_with ranking_kept warnings"},
		{"list", "schema order shown of cases unreadable"},
		{"similar ours", "schema case rules failures weight_nats looked_at in_common near caution unreadable"},
		{"review", "schema books rules filter totals causes verdicts tables months years rates repeats at_risk changes rankings unread left_out notes"},
		{"learn --jobs 100", "schema rules jobs strength measured_only cases rates failures rankings notes"},
		{"replay", "schema rules settled invented without_ranking same_rules changed_by_later_answers cases rankings"},
		{"redact ours", "schema case file copy left_out_of_job replaced keys_left_out look_at"},
		{"export", "schema cases"},
	} {
		t.Run(c.words, func(t *testing.T) {
			args := append([]string{"casebook"}, strings.Fields(c.words)...)
			code, out, talk := run(t, append(args, "--book", "book", "--format", "json")...)
			require.Equal(t, 0, code, talk)
			var document map[string]any
			require.NoError(t, json.Unmarshal([]byte(out), &document), out)
			require.EqualValues(t, 1, document["schema"])
			require.ElementsMatch(t, strings.Fields(c.names), slices.Collect(maps.Keys(document)))
		})
	}
}
