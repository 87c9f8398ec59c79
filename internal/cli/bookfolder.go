package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"filmfault/casebook"
	"filmfault/internal/book"
)

// bookFolder is the folder of the shop's own cases: the one that was named, or
// the one in the person's folder for data. It need not exist yet.
func (a *app) bookFolder() (string, error) {
	if a.ownBook != "" {
		info, err := os.Stat(a.ownBook)
		if err == nil && !info.IsDir() {
			return "", usagef("--book: %s is no folder; name the folder that your cases are kept in", a.ownBook)
		}
		return a.ownBook, nil
	}
	data := a.console.DataDir()
	if data == "" {
		return "", errors.New("the system does not say where your data is kept (HOME is not set); name a folder for your cases with --book DIR")
	}
	return filepath.Join(data, "filmfault", "cases"), nil
}

// ownShelf is the folder of the shop's own cases as a shelf; false when it has
// not been begun, or when there is no place for it.
func (a *app) ownShelf() (book.Shelf, bool) {
	dir, err := a.bookFolder()
	if err != nil || noFolder(dir) {
		return book.Shelf{}, false
	}
	return book.Shelf{Name: filepath.ToSlash(dir), FS: os.DirFS(dir), Dir: dir}, true
}

// builtInShelf holds the built-in cases.
func builtInShelf() book.Shelf { return book.Shelf{Name: "casebook", FS: casebook.FS} }

func noFolder(dir string) bool {
	info, err := os.Stat(dir)
	return err != nil || !info.IsDir()
}

// badBook is what is wrong with the folder that --book names, if anything: one
// that is not there yet can be begun.
func (a *app) badBook() error {
	if a.ownBook == "" {
		return nil
	}
	_, err := a.bookFolder()
	return err
}

// namedBook wants the folder that --book names to be there, for commands that
// only read.
func (a *app) namedBook() error {
	if a.ownBook != "" && noFolder(a.ownBook) {
		return fmt.Errorf("--book: there is no folder %q; name the folder that your cases are kept in", a.ownBook)
	}
	return nil
}

// ownCase finds a case of the shop's own folder by its id. That may have slashes,
// where several files of the folder have one name.
func (a *app) ownCase(id string) (book.Place, bool, error) {
	shelf, ok := a.ownShelf()
	if !ok || id == "" || strings.Contains(id, `\`) {
		return book.Place{}, false, a.badBook()
	}
	p, ok, err := book.Book{Shelves: []book.Shelf{shelf}}.Find(id)
	if err != nil {
		err = fmt.Errorf("the folder of your cases, %s, cannot be read: %w", shelf.Dir, reason(err))
	}
	return p, ok, err
}

// ownPlaces lists the cases of the shop's own folder; none when it cannot be
// read, for lists that are only a help.
func (a *app) ownPlaces() []book.Place {
	shelf, ok := a.ownShelf()
	if !ok {
		return nil
	}
	places, err := book.Book{Shelves: []book.Shelf{shelf}}.Places()
	if err != nil {
		return nil
	}
	return places
}

// caseIDs lists the ids of the shop's own cases and of the built-in ones.
func (a *app) caseIDs() []string {
	var ids []string
	for _, p := range a.ownPlaces() {
		if !p.Broken() {
			ids = append(ids, p.ID)
		}
	}
	return append(ids, bookIDs()...)
}

// noFile reports whether a name is that of no file, so that it may be an id. A
// folder is no case file either: a shop may keep one for each job.
func noFile(name string) bool {
	info, err := os.Stat(name)
	return errors.Is(err, fs.ErrNotExist) || err == nil && info.IsDir()
}

// longestID is the most letters of an id: it is part of the names of files.
const longestID = 100

// fitID says what keeps an id from being the name of a file in the book.
func fitID(id string) error {
	bad := strings.IndexFunc(id, func(r rune) bool { return r < ' ' || r == 0x7f || strings.ContainsRune(`/\:*?"<>|`, r) })
	switch {
	case strings.TrimSpace(id) == "":
		return errors.New("it is empty")
	case bad >= 0:
		return fmt.Errorf("%q cannot be in the name of a file", id[bad:bad+1])
	case id != strings.TrimSpace(id):
		return errors.New("it begins or ends with a blank")
	case strings.HasSuffix(id, "."):
		return errors.New("it ends with a dot, which the name of a file cannot everywhere")
	case isDevice(id):
		return errors.New("that is the name of a device and not of a file on some systems")
	case strings.HasPrefix(id, "."), strings.HasPrefix(id, "-"):
		return fmt.Errorf("it begins with %q", id[:1])
	case id+".yaml" == book.Jobs:
		return errors.New("that is the name of the file of jobs done")
	case len(id) > longestID:
		return fmt.Errorf("it is longer than %d letters", longestID)
	}
	return nil
}

// isDevice reports whether a name is one that Windows keeps for a device, which it
// does in any case of letters and whatever ending follows. A casebook may be
// carried from one system to another.
func isDevice(id string) bool {
	name, _, _ := strings.Cut(strings.ToUpper(id), ".")
	name = strings.TrimRight(name, " ")
	if slices.Contains([]string{"CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$"}, name) {
		return true
	}
	for _, port := range []string{"COM", "LPT"} {
		if rest, ok := strings.CutPrefix(name, port); ok {
			return slices.Contains([]string{"0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "¹", "²", "³"}, rest)
		}
	}
	return false
}
