package casefile

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"time"
)

// ErrBusy says that others kept saving the same file for too long.
var ErrBusy = errors.New("other programs keep saving this file; try again in a moment")

// lock is a file beside a case, there while somebody saves it. The zero lock is
// that of a folder that takes no lock file: it keeps nobody out.
//
// It is a file made with O_EXCL and nothing else, since that is what folders on
// a network do alike. It holds a token that nobody else has: the name of the
// half-written file beside it follows from the token, so that whoever finds the
// lock of a dead process knows what to clear away.
//
// A lock can be taken from a process that is only slow. The holder therefore
// looks whether it is still its own right before the one step that counts.
type lock struct {
	path, token string
}

// patience is how long saving waits for others.
type patience struct {
	// stale is how long a lock stays as it is before its holder counts as dead.
	// It is measured by waiting, since the clock of a network folder is another.
	stale time.Duration
	// most is how long to wait for holders that come and go.
	most time.Duration
}

func ordinaryPatience() patience { return patience{stale: 5 * time.Second, most: 30 * time.Second} }

// The pauses between two looks at a lock: short at first, since a save takes
// milliseconds.
const (
	firstPause = 2 * time.Millisecond
	mostPause  = 50 * time.Millisecond
)

// lockPath is the lock of a case file. It is hidden, so that it is no case.
func lockPath(path string) string {
	return filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+".lock")
}

// take waits for the lock of a file. The error is ErrBusy; a folder that takes
// no lock file gives a lock that keeps nobody out.
func take(path string, p patience) (*lock, error) {
	l := &lock{lockPath(path), rand.Text()}
	w := watch{pause: firstPause}
	for {
		err := l.create()
		if err == nil {
			return l, nil
		}
		// Some systems refuse a name for a moment after its file was removed.
		if !errors.Is(err, fs.ErrExist) && w.refused() {
			return &lock{}, nil
		}
		now, ok := look(l.path)
		if !ok {
			return &lock{}, nil
		}
		if w.sees(now) >= p.stale || dead(now.text) {
			if !clearLock(l.path, now) {
				return &lock{}, nil // it cannot be removed either: go without
			}
			w.same = 0
			continue
		}
		if w.waited >= p.most {
			return nil, fmt.Errorf("%s: %w", path, ErrBusy)
		}
		w.wait()
	}
}

// sight is a lock as it is seen: by its time too, since another person's may be
// closed to reading.
type sight struct {
	text string
	at   int64 // when it was written, by the folder's clock
}

// look sees a lock; nothing in it when it is gone. It reports false when
// something else than a file has its name.
func look(path string) (sight, bool) {
	info, err := os.Lstat(path)
	if err != nil {
		return sight{}, true
	}
	text, _ := os.ReadFile(path) // what cannot be read is empty
	return sight{string(text), info.ModTime().UnixNano()}, info.Mode().IsRegular()
}

// watch follows what is seen of a lock from look to look.
type watch struct {
	sight
	same, waited, pause time.Duration
	refusals            int
}

// sees says for how long the lock has looked like this.
func (w *watch) sees(now sight) time.Duration {
	if now != w.sight {
		w.sight, w.same = now, 0
	}
	return w.same
}

// refused counts that the folder took no lock file, and says when to believe it.
func (w *watch) refused() bool {
	const enough = 3
	w.refusals++
	return w.refusals >= enough
}

func (w *watch) wait() {
	<-time.After(w.pause)
	w.same += w.pause
	w.waited += w.pause
	w.pause = min(2*w.pause, mostPause)
}

// create makes the lock file; fs.ErrExist when there is one. A lock that cannot
// be written whole, on a full disk, is not left there.
func (l *lock) create() error {
	f, err := os.OpenFile(l.path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	if err != nil {
		return err
	}
	_, err = f.WriteString(l.text())
	if err = errors.Join(err, f.Close()); err != nil {
		_ = os.Remove(l.path) // the error of the writing is the one to tell
	}
	return err
}

const lockWords = "\nfilmfault is saving the file beside this one. If no filmfault is running, this file may go.\n"

// text is what a lock file holds: token, process, machine.
func (l *lock) text() string {
	return fmt.Sprintf("%s %d %s%s", l.token, os.Getpid(), machine(), lockWords)
}

// holder reads a lock file; false when it is not whole.
func holder(text string) (token string, process int, host string, ok bool) {
	line, whole := strings.CutSuffix(text, lockWords)
	if !whole {
		return "", 0, "", false
	}
	n, err := fmt.Sscanf(line, "%s %d %s", &token, &process, &host)
	plain := strings.Trim(token, "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567") == "" // it becomes part of a name
	return token, process, host, err == nil && n == 3 && plain
}

// nowhere is the machine where nothing tells one from another.
const nowhere = "-"

// machine is what tells this system, as long as it is up, from every other whose
// processes have numbers of their own.
func machine() string {
	boot, err := os.ReadFile("/proc/sys/kernel/random/boot_id")
	if err != nil {
		return nowhere
	}
	space, err := os.Readlink("/proc/self/ns/pid")
	if err != nil {
		return nowhere
	}
	return strings.TrimSpace(string(boot)) + "/" + space
}

// dead reports whether the holder of a lock is known to be gone: a process of
// this machine that is there no more. Where that cannot be known, the lock goes
// stale by waiting.
func dead(text string) bool {
	_, process, host, ok := holder(text)
	if !ok || host == nowhere || host != machine() {
		return false
	}
	p, err := os.FindProcess(process)
	if err != nil {
		return true
	}
	return errors.Is(p.Signal(syscall.Signal(0)), os.ErrProcessDone)
}

// clearLock removes a lock that still looks like this, and what its holder left
// half written. It reports false when it cannot be removed.
func clearLock(path string, seen sight) bool {
	if now, ok := look(path); !ok || now != seen {
		return ok // somebody was quicker
	}
	if token, _, _, ok := holder(seen.text); ok {
		_ = os.Remove(newPath(path, token)) // it is there only sometimes
	}
	err := os.Remove(path)
	return err == nil || errors.Is(err, fs.ErrNotExist)
}

// mine reports whether the lock is still held.
func (l *lock) mine() bool {
	if l.path == "" {
		return true
	}
	now, err := os.ReadFile(l.path)
	return err == nil && string(now) == l.text()
}

// release lets others save.
func (l *lock) release() {
	if l.path != "" && l.mine() {
		_ = os.Remove(l.path) // one that cannot be removed goes stale
	}
}
