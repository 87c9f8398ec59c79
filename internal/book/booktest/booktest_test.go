package booktest_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"filmfault/internal/book"
	"filmfault/internal/book/booktest"
	"filmfault/internal/casefile"
)

// TestEveryCaseReadsWithoutAComplaint, and is of ordinary length: the cases built
// in are 900 to 2700 bytes long, those with a job, costs and a ranking longer.
func TestEveryCaseReadsWithoutAComplaint(t *testing.T) {
	folder := booktest.Folder(200, 9)
	require.Len(t, folder, 201)
	settled := 0
	for name, f := range folder {
		if name == book.Jobs {
			continue
		}
		c, diags, err := casefile.Parse(name, f.Data)
		require.NoError(t, err)
		require.Empty(t, diags)
		require.True(t, c.Invented)
		require.Greater(t, len(f.Data), 1500)
		if c.Verdict != nil {
			settled++
		}
	}
	require.InDelta(t, 160, settled, 25, "four in five")
}

func TestTheSeedDecides(t *testing.T) {
	texts := func(f fstest.MapFS) map[string]string {
		out := map[string]string{}
		for name, x := range f {
			out[name] = string(x.Data)
		}
		return out
	}
	require.Equal(t, texts(booktest.Folder(20, 1)), texts(booktest.Folder(20, 1)))
	require.NotEqual(t, texts(booktest.Folder(20, 1)), texts(booktest.Folder(20, 2)))
}
