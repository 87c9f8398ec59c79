package book_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"filmfault/internal/book"
)

func file(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text)} }

func ids(list []book.Place) []string {
	var out []string
	for _, p := range list {
		out = append(out, p.ID)
	}
	return out
}

func TestAFolderOfTheShopsWins(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "2026", "logs"), 0o755))
	for name, text := range map[string]string{
		"b.yaml": "schema: 1\ntitle: mine\n", "2026/d.yml": "schema: 1\n", "2026/logs/x.yaml": "no case", ".hidden.yaml": "", "jobs.yaml": "schema: 1\n", "notes.txt": "",
	} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	b := book.Book{Shelves: []book.Shelf{
		{Name: "casebook", FS: fstest.MapFS{"a.yaml": file("schema: 1\n"), "b.yaml": file("schema: 1\ntitle: built in\n")}},
		{Name: dir, FS: os.DirFS(dir), Dir: dir},
		{Name: "gone", FS: os.DirFS(filepath.Join(dir, "gone")), Dir: "gone"},
	}}
	all, err := b.Places()
	require.NoError(t, err)
	require.Equal(t, []string{"a", "b", "d"}, ids(all))
	p, ok, err := b.Find("b")
	require.NoError(t, err)
	require.True(t, ok)
	require.Equal(t, "mine", p.Read().Case.Title)
	require.Equal(t, filepath.Join(dir, "b.yaml"), p.Path())
	_, ok, err = b.Find("c")
	require.NoError(t, err)
	require.False(t, ok)
	require.Empty(t, all[0].Path(), "a built-in case cannot be written to")
}

// TestOneBrokenFileLeavesTheRest: it is named with its line and column.
func TestOneBrokenFileLeavesTheRest(t *testing.T) {
	folder := fstest.MapFS{}
	for i := range 50 {
		folder[fmt.Sprintf("c%02d.yaml", i)] = file("schema: 1\n")
	}
	folder["c17.yaml"] = file("schema: 1\nfacts:\n   - half\n  edited\n")
	all, err := book.Book{Shelves: []book.Shelf{{Name: "book", FS: folder}}}.Places()
	require.NoError(t, err)
	var order, broken []string
	require.NoError(t, book.Each(context.Background(), all, func(it book.Item) error {
		order = append(order, it.ID)
		if it.Case == nil {
			broken = append(broken, it.Problems[0].Span.String())
		}
		return nil
	}))
	require.Equal(t, ids(all), order)
	require.Len(t, broken, 1)
	require.Regexp(t, `^book/c17\.yaml:\d+:\d+$`, broken[0])
}

func TestAUseThatFailsEndsIt(t *testing.T) {
	folder := fstest.MapFS{}
	for i := range 500 {
		folder[fmt.Sprintf("c%03d.yaml", i)] = file("schema: 1\n")
	}
	all, err := book.Book{Shelves: []book.Shelf{{FS: folder}}}.Places()
	require.NoError(t, err)
	enough := errors.New("enough")
	n := 0
	require.ErrorIs(t, book.Each(context.Background(), all, func(book.Item) error { n++; return enough }), enough)
	require.Equal(t, 1, n)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	require.ErrorIs(t, book.Each(ctx, all, func(book.Item) error { return nil }), context.Canceled)
}
