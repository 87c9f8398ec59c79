package casefile

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/google/renameio/v2/maybe"

	"filmfault/internal/source"
)

// ErrChanged says that the file on disk is not the one that was read or last
// written: somebody else has been at work on it.
var ErrChanged = errors.New("the file was changed by another program since it was read")

// ErrProtected says that nobody may write to the file.
var ErrProtected = errors.New("the file is write-protected")

// Store keeps one case in one file. Every save replaces the file whole, so
// that neither a crash nor a full disk leaves half a case.
type Store struct {
	Path string
	Case *Case
	last []byte // bytes on disk as far as we know; nil when there is no file
}

// OpenFile reads the case at path. A missing file is fs.ErrNotExist.
func OpenFile(path string) (*Store, source.List, []byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, nil, nil, err
	}
	defer f.Close()
	c, data, diags, err := Read(f, path)
	if err != nil || diags.HasErrors() {
		return nil, diags, data, err
	}
	return &Store{Path: path, Case: c, last: data}, diags, data, nil
}

// Create begins a new case at path and writes it at once, to find out before
// anything is typed whether it can be kept. It never overwrites.
func Create(path string, c *Case) (*Store, error) {
	s := &Store{Path: path, Case: c, last: []byte{}}
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644) // nobody else can begin it too
	if err != nil {
		return nil, err
	}
	if err := f.Close(); err != nil {
		return nil, err
	}
	return s, s.Save()
}

// Save writes the case. It refuses with ErrChanged rather than overwrite what
// another program wrote; nothing changes on disk when it fails.
func (s *Store) Save() error {
	data, err := s.Case.Bytes()
	if err != nil {
		return err
	}
	if bytes.Equal(data, s.last) {
		return nil
	}
	// A file is replaced by a new one, which its own mode does not prevent.
	if info, err := os.Stat(s.Path); err == nil && info.Mode().Perm()&0o222 == 0 {
		return fmt.Errorf("%s: %w", s.Path, ErrProtected)
	}
	now, err := os.ReadFile(s.Path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if s.last != nil {
			s.last = nil // removed under us: write it anew
		}
	case err != nil:
		return err
	case !bytes.Equal(now, s.last):
		return fmt.Errorf("%s: %w", s.Path, ErrChanged)
	}
	if err := maybe.WriteFile(target(s.Path), data, 0o644); err != nil {
		return err
	}
	s.last = data
	return s.reread(data)
}

// target is the file behind a link, so that the link stays one.
func target(path string) string {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		return real
	}
	return path
}

// reread takes what was written for the document whose keys are kept.
func (s *Store) reread(data []byte) error {
	c, diags, err := Parse(s.Path, data)
	if err != nil {
		return err
	}
	if diags.HasErrors() {
		return fmt.Errorf("%s cannot be read back: %s", s.Path, diags[0])
	}
	s.Case.document = c.document
	return nil
}

// Aside moves the store to a free name beside its own, for when the file at
// Path cannot be written.
func (s *Store) Aside(dir string) error {
	base := filepath.Base(s.Path)
	ext := filepath.Ext(base)
	for i := 1; i < 100; i++ {
		path := filepath.Join(dir, fmt.Sprintf("%s-%d%s", base[:len(base)-len(ext)], i, ext))
		if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
			s.Path, s.last = path, nil
			return s.Save()
		}
	}
	return fmt.Errorf("no free name beside %s", base)
}
