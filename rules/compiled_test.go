package rules_test

import (
	"encoding/json"
	"flag"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/rulebase"
	"filmfault/rules"
)

var update = flag.Bool("update", false, "make the compiled form of the rules anew")

// TestCompiled: the compiled form is that of the files beside it, and says what
// they say.
func TestCompiled(t *testing.T) {
	layer := rulebase.Layer{Name: "rules", FS: rules.FS}
	loaded, err := rulebase.Load(layer)
	require.NoError(t, err)
	require.NotNil(t, loaded.Base, "%v", loaded.Diagnostics)
	if *update {
		data, err := loaded.Base.Compile()
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(rules.Compiled, data, 0o644))
		t.Skip("made anew; run the test again")
	}
	data, err := rules.FS.ReadFile(rules.Compiled)
	require.NoError(t, err)
	base, ok := rulebase.LoadCompiled(layer, data)
	require.True(t, ok, "the rules have changed; make their compiled form anew: go test ./rules -update")
	require.Equal(t, written(t, loaded.Base), written(t, base))
	for _, e := range loaded.Base.Events {
		require.Equal(t, loaded.Base.Trees(e.ID), base.Trees(e.ID))
	}
	require.Equal(t, loaded.Base.IDs(), base.IDs())
	require.Equal(t, ids(loaded.Base.Failures()), ids(base.Failures()))
}

// TestCompiledOfOtherFiles: a compiled form is not used for files that differ.
func TestCompiledOfOtherFiles(t *testing.T) {
	data, err := rules.FS.ReadFile(rules.Compiled)
	require.NoError(t, err)
	_, ok := rulebase.LoadCompiled(rulebase.Layer{Name: "rules", FS: os.DirFS("../testdata/bad/rules")}, data)
	require.False(t, ok)
	_, ok = rulebase.LoadCompiled(rulebase.Layer{Name: "rules", FS: rules.FS}, data[:len(data)/2])
	require.False(t, ok)
}

// written is all that a base states, nothing and an empty list being the same.
func written(t *testing.T, b *rulebase.Base) string {
	data, err := json.Marshal(b)
	require.NoError(t, err)
	var plain any
	require.NoError(t, json.Unmarshal(data, &plain))
	out, err := json.Marshal(drop(plain))
	require.NoError(t, err)
	return string(out)
}

func drop(x any) any {
	switch v := x.(type) {
	case map[string]any:
		for k, y := range v {
			v[k] = drop(y)
		}
	case []any:
		if len(v) == 0 {
			return nil
		}
		for i := range v {
			v[i] = drop(v[i])
		}
	}
	return x
}

func ids(list []rulebase.Gate) []string {
	var out []string
	for _, g := range list {
		out = append(out, g.ID)
	}
	return out
}
