package cli_test

import (
	"bytes"
	"encoding/json"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/casebook"
	"filmfault/internal/book"
)

// names lists the names of each object in the JSON of `diagnose`, by the path
// to it; the names under "" are those of the whole. Others rely on them: a
// change needs a new schema number.
func names() map[string]string {
	return map[string]string{
		"":                "schema case rules failures ranking unlisted stories prevented_by next calculations conflicts cautions",
		"rules":           "digest layers",
		"failures":        "failure state",
		"ranking":         "cause title trees role contributed present low high weights confirm repair prevent caution",
		"ranking.weights": "finding answer log_odds factor",
		"ranking.confirm": "measurement method decides minutes damage if_met if_not",
		"unlisted":        "failure contributed",
		"stories":         "causes conditions probability",
		"next":            "finding worth minutes changes_leader",
		"calculations":    "name value unit low high assumed",
		"conflicts":       "finding answer against factor",
	}
}

func bookIDs(t *testing.T) []string {
	t.Helper()
	entries, err := casebook.FS.ReadDir(".")
	require.NoError(t, err)
	var ids []string
	for _, e := range entries {
		if id, ok := strings.CutSuffix(e.Name(), ".yaml"); ok && e.Name() != book.Jobs {
			ids = append(ids, id)
		}
	}
	return ids
}

// TestJSONNames diagnoses the whole casebook and compares the names of every
// object with those that are fixed.
func TestJSONNames(t *testing.T) {
	ids := bookIDs(t)
	if testing.Short() { // a few are enough for what is shared between them
		ids = ids[:6]
	}
	code, out, talk := run(t, append([]string{"diagnose", "--format", "json"}, ids...)...)
	require.Equal(t, 0, code, talk)
	var cases []map[string]any
	require.NoError(t, json.Unmarshal([]byte(out), &cases))
	require.Len(t, cases, len(ids))
	met := map[string]bool{}
	for _, c := range cases {
		require.EqualValues(t, 1, c["schema"])
		compareNames(t, "", c, met)
	}
	if testing.Short() {
		return
	}
	for path := range names() {
		if path != "conflicts" { // no case of the casebook need have one
			require.True(t, met[path], "no case has %q", path)
		}
	}
}

// compareNames compares the names of an object, and of those in it.
func compareNames(t *testing.T, path string, x map[string]any, met map[string]bool) {
	t.Helper()
	want, known := names()[path]
	require.True(t, known, "an object where none was promised: %q", path)
	met[path] = true
	require.ElementsMatch(t, strings.Fields(want), slices.Collect(maps.Keys(x)), path)
	for key, v := range x {
		below := strings.TrimPrefix(path+"."+key, ".")
		switch v := v.(type) {
		case map[string]any:
			compareNames(t, below, v, met)
		case []any:
			for _, item := range v {
				if object, ok := item.(map[string]any); ok {
					compareNames(t, below, object, met)
				}
			}
		case nil:
			require.Contains(t, []string{"ranking.low", "ranking.high", "ranking.confirm.if_met", "ranking.confirm.if_not"}, below, "null")
		}
	}
}

// TestJSONOrder wants the names in the order of the design, so that a person
// can read the result from the top.
func TestJSONOrder(t *testing.T) {
	_, out, _ := run(t, "diagnose", "--format", "json", "harbour-cafe")
	var order []string
	for _, m := range regexp.MustCompile(`(?m)^  "([a-z_]+)":`).FindAllStringSubmatch(out, -1) {
		order = append(order, m[1])
	}
	require.Equal(t, strings.Fields(names()[""]), order)
}

// TestJSONNumbers wants at most four digits after the point, none for a whole
// number, and no exponent, in every JSON the program prints.
func TestJSONNumbers(t *testing.T) {
	for _, args := range [][]string{
		{"diagnose", "harbour-cafe"}, {"why", "harbour-cafe"}, {"measure", "harbour-cafe"}, {"whatif", "harbour-cafe", "colour=light"},
	} {
		code, out, talk := run(t, append(args, "--format", "json")...)
		require.Equal(t, 0, code, talk)
		d := json.NewDecoder(bytes.NewReader([]byte(out)))
		d.UseNumber()
		for {
			token, err := d.Token()
			if err != nil {
				break
			}
			if n, ok := token.(json.Number); ok {
				require.Regexp(t, `^-?(0|[1-9]\d*)(\.\d{1,4})?$`, n.String(), "%v", args)
			}
		}
	}
}
