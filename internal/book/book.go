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
	// ID is the file's name without its ending, with its folders before it where
	// several files of the shelf have that name.
	ID    string
	Shelf Shelf
	Name  string

	broken error // why a folder cannot be looked into
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
// looked into, but for those named logs, shops and photos and hidden ones. A
// folder below a shelf that cannot be looked into is a place too, which reads as
// an Item with its error, so that it is told of and the rest can be used. The
// error is that of reading the folder of a shelf itself.
func (b Book) Places() ([]Place, error) {
	by, out := map[string]Place{}, []Place{}
	for _, s := range b.Shelves {
		files, broken, err := s.files()
		if err != nil {
			return nil, err
		}
		for _, p := range named(files) {
			by[p.ID] = p
		}
		out = append(out, broken...)
	}
	for _, p := range by {
		out = append(out, p)
	}
	slices.SortFunc(out, func(a, b Place) int { return cmp.Or(cmp.Compare(a.ID, b.ID), cmp.Compare(a.Shown(), b.Shown())) })
	return out, nil
}

// files lists the case files of a shelf, without ids, and its folders that cannot
// be looked into.
func (s Shelf) files() (files, broken []Place, err error) {
	err = fs.WalkDir(s.FS, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return nil // a book that has not been begun, or a folder that went meanwhile
		case err != nil && name == ".":
			return err
		case err != nil:
			broken = append(broken, Place{ID: name, Shelf: s, Name: name, broken: err})
			return nil
		case d.IsDir() && skipped(name):
			return fs.SkipDir
		}
		if !d.IsDir() && isCase(name) {
			files = append(files, Place{Shelf: s, Name: name})
		}
		return nil
	})
	return files, broken, err
}

func isCase(name string) bool {
	base, ext := path.Base(name), path.Ext(name)
	return (ext == ".yaml" || ext == ".yml") && !strings.HasPrefix(base, ".") && base != Jobs
}

// Plain is the id of a file whose name no other file of its shelf has.
func (p Place) Plain() string { return strings.TrimSuffix(path.Base(p.Name), path.Ext(p.Name)) }

// named gives the files of one shelf their ids. Files of one name all go by their
// folders and name, lest one of them hide the others, and where even these are
// the same, as of a .yaml beside a .yml, by their endings too.
func named(files []Place) []Place {
	longer := make([]int, len(files))
	ids := func(i int) string {
		p := files[i]
		return []string{p.Plain(), strings.TrimSuffix(p.Name, path.Ext(p.Name)), p.Name}[longer[i]]
	}
	for again := true; again; {
		again = false
		by := map[string][]int{}
		for i := range files {
			by[ids(i)] = append(by[ids(i)], i)
		}
		for _, same := range by {
			for _, i := range same {
				if len(same) > 1 && longer[i] < 2 {
					longer[i]++
					again = true
				}
			}
		}
	}
	for i := range files {
		files[i].ID = ids(i)
	}
	return files
}

// Namesakes lists, for each name that several files of one shelf have, the places
// of these files, which go by longer ids for that.
func Namesakes(places []Place) [][]Place {
	type key struct{ shelf, plain string }
	by, order := map[key][]Place{}, []key{}
	for _, p := range places {
		if p.broken != nil {
			continue
		}
		k := key{p.Shelf.Name, p.Plain()}
		if by[k] = append(by[k], p); len(by[k]) == 2 {
			order = append(order, k)
		}
	}
	slices.SortFunc(order, func(a, b key) int { return cmp.Or(cmp.Compare(a.plain, b.plain), cmp.Compare(a.shelf, b.shelf)) })
	var out [][]Place
	for _, k := range order {
		out = append(out, by[k])
	}
	return out
}

// Broken reports whether this is no case but a folder that cannot be looked into.
func (p Place) Broken() bool { return p.broken != nil }

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
	i := slices.IndexFunc(all, func(p Place) bool { return p.ID == id && !p.Broken() })
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
	it := Item{Place: p, Err: p.broken}
	if p.Broken() {
		return it
	}
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

// InOrder works a list out side by side and calls use for each result in its
// order. It ends with the error of use, or of the context.
func InOrder[P, T any](ctx context.Context, list []P, work func(P) T, use func(T) error) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	ahead := make(chan chan T, 4*runtime.NumCPU())
	running := make(chan struct{}, runtime.NumCPU())
	go func() {
		defer close(ahead)
		for _, p := range list {
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
