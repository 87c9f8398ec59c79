package book_test

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
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

// TestNoFileHidesAnother: files of one name on one shelf all keep an id, by which
// they are found; over a plain id another shelf still wins.
func TestNoFileHidesAnother(t *testing.T) {
	b := book.Book{Shelves: []book.Shelf{
		{Name: "low", FS: fstest.MapFS{"alone.yaml": file("schema: 1\ntitle: low\n"), "case.yaml": file("schema: 1\n")}},
		{Name: "shop", FS: fstest.MapFS{
			"alone.yml": file("schema: 1\ntitle: high\n"), "jobs/rossi/case.yaml": file("schema: 1\ntitle: Rossi\n"), "jobs/bianchi/case.yaml": file("schema: 1\n"),
			"twice/x.yaml": file("schema: 1\n"), "twice/x.yml": file("schema: 1\n"), "y.yaml": file("schema: 1\n"), "in/y.yml": file("schema: 1\n"),
		}},
	}}
	for range 5 {
		all, err := b.Places()
		require.NoError(t, err)
		require.Equal(t, []string{"alone", "case", "in/y", "jobs/bianchi/case", "jobs/rossi/case", "twice/x.yaml", "twice/x.yml", "y"}, ids(all))
		same := book.Namesakes(all)
		require.Len(t, same, 3)
		require.Equal(t, []string{"jobs/bianchi/case", "jobs/rossi/case"}, ids(same[0]))
		require.Equal(t, "case", same[0][0].Plain())
	}
	for id, title := range map[string]string{"alone": "high", "jobs/rossi/case": "Rossi"} {
		p, ok, err := b.Find(id)
		require.NoError(t, err)
		require.True(t, ok)
		require.Equal(t, title, p.Read().Case.Title)
	}
}

// locked is a folder of files in which one folder cannot be looked into.
type locked struct {
	fstest.MapFS
	name string
}

func (l locked) ReadDir(name string) ([]fs.DirEntry, error) {
	if name == l.name {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return l.MapFS.ReadDir(name)
}

// TestALockedFolderLeavesTheRest: it is told of like a broken file.
func TestALockedFolderLeavesTheRest(t *testing.T) {
	folder := fstest.MapFS{"a.yaml": file("schema: 1\n"), "sub/b.yaml": file("schema: 1\n"), "z.yaml": file("schema: 1\n")}
	b := book.Book{Shelves: []book.Shelf{{Name: "shop", FS: locked{folder, "sub"}}}}
	all, err := b.Places()
	require.NoError(t, err)
	require.Equal(t, []string{"a", "sub", "z"}, ids(all))
	it := all[1].Read()
	require.Nil(t, it.Case)
	require.ErrorIs(t, it.Err, fs.ErrPermission)
	require.Equal(t, "shop/sub", it.Shown())
	_, ok, err := b.Find("sub")
	require.NoError(t, err)
	require.False(t, ok, "it is no case")
	_, err = book.Book{Shelves: []book.Shelf{{FS: locked{folder, "."}}}}.Places()
	require.ErrorIs(t, err, fs.ErrPermission, "without its folder there is no book")
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
