package console

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestDataDir goes by the base directory rules of desktop systems on Linux, and
// by common practice elsewhere.
func TestDataDir(t *testing.T) {
	for _, row := range []struct {
		name, system string
		env          map[string]string
		want         string
	}{
		{"nothing known", "linux", nil, ""},
		{"home alone", "linux", map[string]string{"HOME": "/h"}, "/h/.local/share"},
		{"the variable counts more", "linux", map[string]string{"HOME": "/h", "XDG_DATA_HOME": "/data"}, "/data"},
		{"a relative one is ignored", "linux", map[string]string{"HOME": "/h", "XDG_DATA_HOME": "data"}, "/h/.local/share"},
		{"a relative home is none", "freebsd", map[string]string{"HOME": "h"}, ""},
		{"a Mac", "darwin", map[string]string{"HOME": "/h", "XDG_DATA_HOME": "/data"}, "/h/Library/Application Support"},
		{"a Mac without a home", "darwin", map[string]string{"XDG_DATA_HOME": "/data"}, ""},
		{"Windows", "windows", map[string]string{"HOME": "/h", "APPDATA": `D:\a`}, `D:\a`},
	} {
		t.Run(row.name, func(t *testing.T) {
			got := dataDir(row.system, func(k string) string { return row.env[k] })
			require.Equal(t, row.want, filepath.ToSlash(got))
		})
	}
}

func TestEditor(t *testing.T) {
	c, _, _ := Test("", WithEnv("EDITOR", "ed"), WithEnv("VISUAL", "big -w"))
	require.Equal(t, "big -w", c.Editor())
	c, _, _ = Test("", WithEnv("EDITOR", "ed"))
	require.Equal(t, "ed", c.Editor())
	none := func(string) string { return "" }
	require.Equal(t, "notepad", editor("windows", none))
	require.Equal(t, "vi", editor("linux", none))
	require.Equal(t, "vi", editor("darwin", none))
}
