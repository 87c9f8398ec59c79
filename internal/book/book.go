// Package book is a shop's casebook: case files in folders, one file a case, read
// side by side with no index that could go stale. A folder of the shop's wins
// over the built-in cases: a case of the same id there takes the place of one
// below it.
//
// It finds, reads and orders cases; what they mean is for packages above it. A
// file that cannot be read does not keep the others from being used: it is an
// Item with its problems. It sits on casefile and source.
package book

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"io/fs"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/source"
)

// Shelf is one folder of cases.
type Shelf struct {
	// Name goes before the names of its files in messages.
	Name string
	FS   fs.FS
	// Dir is where it lies on disk, "" for one that cannot be written to.
	Dir string
}

// Book is shelves, the ones that win last.
type Book struct{ Shelves []Shelf }

// Place is a case file: its shelf and its name there, with slashes.
type Place struct {
	ID    string // the file's name without its ending
	Shelf Shelf
	Name  string
}

// Shown is the name of the file in messages.
func (p Place) Shown() string { return path.Join(p.Shelf.Name, p.Name) }

// Path is where the file lies on disk, "" for a built-in one.
func (p Place) Path() string {
	if p.Shelf.Dir == "" {
		return ""
	}
	return filepath.Join(p.Shelf.Dir, filepath.FromSlash(p.Name))
}

// Open opens a file that a case names, as seen from its own folder.
func (p Place) Open(name string) (fs.File, error) {
	return p.Shelf.FS.Open(path.Join(path.Dir(p.Name), filepath.ToSlash(name)))
}

// Places lists the case files of all shelves in order of their ids. Folders are
// looked into, but for those named logs, shops and photos and hidden ones. The
// error is that of reading a folder.
func (b Book) Places() ([]Place, error) {
	by := map[string]Place{}
	for _, s := range b.Shelves {
		err := fs.WalkDir(s.FS, ".", func(name string, d fs.DirEntry, err error) error {
			switch {
			case errors.Is(err, fs.ErrNotExist) && name == ".":
				return nil // a book that has not been begun
			case err != nil:
				return err
			case d.IsDir() && skipped(name):
				return fs.SkipDir
			}
			if ext := path.Ext(name); !d.IsDir() && (ext == ".yaml" || ext == ".yml") && !strings.HasPrefix(path.Base(name), ".") && path.Base(name) != Jobs {
				id := strings.TrimSuffix(path.Base(name), ext)
				by[id] = Place{ID: id, Shelf: s, Name: name}
			}
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	out := make([]Place, 0, len(by))
	for _, p := range by {
		out = append(out, p)
	}
	slices.SortFunc(out, func(a, b Place) int { return cmp.Compare(a.ID, b.ID) })
	return out, nil
}

// Jobs is the name of the file in which a shop keeps how many jobs it did; it is
// no case.
const Jobs = "jobs.yaml"

func skipped(name string) bool {
	base := path.Base(name)
	return name != "." && (strings.HasPrefix(base, ".") || slices.Contains([]string{"logs", "shops", "photos"}, base))
}

// Find finds a case by its id.
func (b Book) Find(id string) (Place, bool, error) {
	all, err := b.Places()
	if err != nil {
		return Place{}, false, err
	}
	i := slices.IndexFunc(all, func(p Place) bool { return p.ID == id })
	if i < 0 {
		return Place{}, false, nil
	}
	return all[i], true, nil
}

// Item is a case of the book, or why it cannot be read.
type Item struct {
	Place
	Case     *casefile.Case // nil when it cannot be read
	Data     []byte
	Problems source.List
	Err      error
}

// Read reads one case.
func (p Place) Read() Item {
	it := Item{Place: p}
	data, err := fs.ReadFile(p.Shelf.FS, p.Name)
	if err != nil {
		it.Err = err
		return it
	}
	it.Case, it.Data, it.Problems, it.Err = casefile.Read(bytes.NewReader(data), p.Shown())
	it.Data = data
	if it.Problems.HasErrors() {
		it.Case = nil
	}
	return it
}

// Each reads the places on all processors and calls use for each in their order,
// a few being read ahead, so that memory stays flat over any number of cases. It
// ends with the error of use, or of the context.
func Each(ctx context.Context, places []Place, use func(Item) error) error {
	return InOrder(ctx, places, Place.Read, use)
}

// InOrder works the places out side by side and calls use for each result in
// their order.
func InOrder[T any](ctx context.Context, places []Place, work func(Place) T, use func(T) error) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	ahead := make(chan chan T, 4*runtime.NumCPU())
	running := make(chan struct{}, runtime.NumCPU())
	go func() {
		defer close(ahead)
		for _, p := range places {
			slot := make(chan T, 1)
			select {
			case ahead <- slot:
			case <-ctx.Done():
				return
			}
			running <- struct{}{}
			go func() {
				slot <- work(p)
				<-running
			}()
		}
	}()
	for slot := range ahead {
		if err := use(<-slot); err != nil {
			return err
		}
	}
	return context.Cause(ctx)
}
