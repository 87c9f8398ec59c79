package casefile

import (
	"bytes"
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// errLost says that the lock was taken away while the new file was written.
var errLost = errors.New("the lock was lost")

// attempts is how often to begin again after a lost lock.
const attempts = 4

// locked does work under the lock of path, again when the lock was lost.
func locked(path string, p patience, work func(*lock) error) error {
	for range attempts {
		l, err := take(path, p)
		if err != nil {
			return err
		}
		err = work(l)
		l.release()
		if !errors.Is(err, errLost) {
			return err
		}
	}
	return fmt.Errorf("%s: %w", path, ErrBusy)
}

// replace puts data in the place of a file that still holds last; a file that is
// gone is written anew. What is there is never touched but by the rename, so
// that a crash leaves the old file or the new one.
func replace(path string, data, last []byte, p patience) error {
	return locked(path, p, func(l *lock) error {
		mode, err := unchanged(path, last)
		if err != nil {
			return err
		}
		fresh, err := writeNew(path, l.token, data, mode)
		if err != nil {
			return err
		}
		defer os.Remove(fresh) // it is not there any more when all went well
		// Writing takes time, and an editor asks for no lock: look again.
		if _, err := unchanged(path, last); err != nil {
			return err
		}
		if !l.mine() {
			return errLost
		}
		if err := rename(fresh, path); err != nil {
			return cannotWrite(path, err)
		}
		syncFolder(path)
		return nil
	})
}

// unchanged wants the file to hold last, or not to be there, and gives the mode
// to write it with, 0 for a new one.
func unchanged(path string, last []byte) (fs.FileMode, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return 0, nil
	case err != nil:
		return 0, err
	case info.Mode().Perm()&0o222 == 0: // a file is replaced by a new one, which its own mode does not prevent
		return 0, fmt.Errorf("%s: %w", path, ErrProtected)
	}
	now, err := os.ReadFile(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return 0, nil
	case err != nil:
		return 0, err
	case !bytes.Equal(now, last):
		return 0, fmt.Errorf("%s: %w", path, ErrChanged)
	}
	return info.Mode().Perm(), nil
}

// CreateFile writes a file that must not be there yet: it appears whole, or not
// at all. What has the name already is fs.ErrExist. A mode of 0 is that of any
// new file.
func CreateFile(path string, data []byte, mode fs.FileMode) error {
	return locked(path, ordinaryPatience(), func(l *lock) error {
		if _, err := os.Lstat(path); err == nil {
			return &fs.PathError{Op: "create", Path: path, Err: fs.ErrExist}
		}
		fresh, err := writeNew(path, l.token, data, mode)
		if err != nil {
			return err
		}
		defer os.Remove(fresh)
		err = os.Link(fresh, path) // fails when the name is taken, which a rename would not
		if errors.Is(err, fs.ErrExist) {
			return &fs.PathError{Op: "create", Path: path, Err: fs.ErrExist}
		}
		if err != nil { // this folder knows no second names; the lock keeps others of us out
			if _, err := os.Lstat(path); err == nil {
				return &fs.PathError{Op: "create", Path: path, Err: fs.ErrExist}
			}
			if !l.mine() {
				return errLost
			}
			if err := rename(fresh, path); err != nil {
				return cannotWrite(path, err)
			}
		}
		syncFolder(path)
		return nil
	})
}

// newPath is where the new file is written before it takes its place. It does
// not hold the file's own name, which may be as long as names can be.
func newPath(path, token string) string {
	return filepath.Join(filepath.Dir(path), ".filmfault-"+token+".new")
}

// writeNew writes data to a new file beside path, down to the disk; mode 0 is
// that of a new file. Nothing is left when it fails.
func writeNew(path, token string, data []byte, mode fs.FileMode) (string, error) {
	if token == "" {
		token = rand.Text()
	}
	name := newPath(path, token)
	f, err := os.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	if err != nil {
		return "", cannotWrite(path, err)
	}
	if mode != 0 {
		// Where modes are not to be had, the file has none to lose.
		_ = f.Chmod(mode)
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		_ = os.Remove(name)
		return "", cannotWrite(path, err)
	}
	return name, nil
}

// rename puts a file in the place of another. A system may refuse while somebody
// has the other open for reading, so it is tried a few times.
func rename(from, to string) error {
	pause := firstPause
	for i := 0; ; i++ {
		err := os.Rename(from, to)
		if !errors.Is(err, fs.ErrPermission) || i == attempts {
			return err
		}
		<-time.After(pause)
		pause *= 2
	}
}

// syncFolder makes a rename outlast a loss of power, where the system can.
func syncFolder(path string) {
	d, err := os.Open(filepath.Dir(path))
	if err != nil {
		return
	}
	defer d.Close()
	_ = d.Sync() // many systems cannot; the file itself is on the disk
}

// cannotWrite names the case and not the file beside it that was being written.
func cannotWrite(path string, err error) error {
	if _, gone := os.Stat(filepath.Dir(path)); errors.Is(gone, fs.ErrNotExist) {
		return fmt.Errorf("%s: its folder is not there: %w", path, fs.ErrNotExist)
	}
	var inFile *fs.PathError
	if errors.As(err, &inFile) {
		err = inFile.Err
	}
	return &fs.PathError{Op: "write", Path: path, Err: err}
}
