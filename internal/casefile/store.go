package casefile

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"filmfault/internal/source"
)

// ErrChanged says that the file on disk is not the one that was read or last
// written: somebody else has been at work on it.
var ErrChanged = errors.New("the file was changed by another program since it was read")

// ErrProtected says that nobody may write to the file.
var ErrProtected = errors.New("the file is write-protected")

// Store keeps one case in one file. Every save replaces the file whole, so
// that neither a crash nor a full disk leaves half a case, and under a lock, so
// that of two who save at once one is told ErrChanged.
type Store struct {
	Path string
	Case *Case
	last []byte   // bytes on disk as far as we know; nil when there is no file
	wait patience // for others who save the same file
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
	return &Store{Path: path, Case: c, last: data, wait: ordinaryPatience()}, diags, data, nil
}

// Create begins a new case at path and writes it at once, to find out before
// anything is typed whether it can be kept. It never overwrites.
func Create(path string, c *Case) (*Store, error) {
	s := &Store{Path: path, Case: c, wait: ordinaryPatience()}
	data, document, err := s.bytes()
	if err != nil {
		return nil, err
	}
	if err := CreateFile(path, data, 0); err != nil {
		return nil, err
	}
	s.last, c.document = data, document.document
	return s, nil
}

// Save writes the case. It refuses with ErrChanged rather than overwrite what
// another program wrote; nothing changes on disk when it fails.
func (s *Store) Save() error {
	data, back, err := s.bytes()
	if err != nil || bytes.Equal(data, s.last) {
		return err
	}
	if err := replace(target(s.Path), data, s.last, s.wait); err != nil {
		return err
	}
	s.last, s.Case.document = data, back.document
	return nil
}

// ReplaceFile puts the text of a whole case file, to the letter, in the place of
// a file that still holds last; ErrChanged when it does not. A text that is no
// case is refused.
func ReplaceFile(path string, text, last []byte) error {
	_, diags, err := Parse(path, text)
	switch {
	case err != nil:
		return err
	case diags.HasErrors():
		return fmt.Errorf("it is no case: %s", diags[0])
	}
	return replace(target(path), text, last, ordinaryPatience())
}

// bytes is the case as a file, and as it reads back from there: what cannot be
// read back is not written.
func (s *Store) bytes() ([]byte, *Case, error) {
	data, err := s.Case.Bytes()
	if err != nil {
		return nil, nil, err
	}
	back, diags, err := Parse(s.Path, data)
	if err != nil {
		return nil, nil, err
	}
	if diags.HasErrors() {
		return nil, nil, fmt.Errorf("%s could not be read back: %s", s.Path, diags[0])
	}
	return data, back, nil
}

// target is the file behind a link, so that the link stays one.
func target(path string) string {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		return real
	}
	return path
}

// asideNames is how many names beside a case are tried.
const asideNames = 10_000

// Aside moves the store to a free name in a folder, for when the file at Path
// cannot be written.
func (s *Store) Aside(dir string) error {
	data, back, err := s.bytes()
	if err != nil {
		return err
	}
	mode := fs.FileMode(0)
	if info, err := os.Stat(s.Path); err == nil { // as private as the file it stands for
		mode = info.Mode().Perm() | 0o200
	}
	base := filepath.Base(s.Path)
	ext := filepath.Ext(base)
	for i := 1; i < asideNames; i++ {
		path := filepath.Join(dir, fmt.Sprintf("%s-%d%s", base[:len(base)-len(ext)], i, ext))
		if _, err := os.Lstat(path); err == nil {
			continue
		}
		err := CreateFile(path, data, mode)
		if errors.Is(err, fs.ErrExist) {
			continue // somebody was quicker
		}
		if err == nil {
			s.Path, s.last, s.Case.document = path, data, back.document
		}
		return err
	}
	return fmt.Errorf("no free name beside %s", base)
}
