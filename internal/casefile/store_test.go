package casefile_test

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"filmfault/internal/casefile"
)

// someToken has the form of a token of a lock.
const someToken = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

// locked is a case with a lock beside it that holds this text.
func locked(t *testing.T, text string) (*casefile.Store, string) {
	t.Helper()
	s, path := opened(t)
	require.NoError(t, os.WriteFile(casefile.LockPath(path), []byte(text), 0o644))
	s.Wait(60*time.Millisecond, time.Second)
	s.Case.Title = "Changed"
	return s, path
}

// requireAlone wants nothing but the case in its folder.
func requireAlone(t testing.TB, path string) {
	t.Helper()
	entries, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	require.Equal(t, []string{filepath.Base(path)}, names)
}

func requireTitle(t testing.TB, path, title string) {
	t.Helper()
	s, diags, _, err := casefile.OpenFile(path)
	require.NoError(t, err)
	require.Empty(t, diags)
	require.Equal(t, title, s.Case.Title)
}

// gone is the number of a process that is there no more.
func gone(t *testing.T) int {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^$")
	require.NoError(t, cmd.Run())
	return cmd.Process.Pid
}

// TestALockGoesStaleByWaiting: another machine, half a lock, an empty one and a
// word that is no token all say nothing about who is alive.
func TestALockGoesStaleByWaiting(t *testing.T) {
	for name, text := range map[string]string{
		"another machine": casefile.LockText(someToken, 1, "elsewhere"),
		"no machine":      casefile.LockText(someToken, 1, "-"),
		"half written":    casefile.LockText(someToken, 1, casefile.Machine())[:40],
		"empty":           "",
		"not ours":        "mine, hands off",
		"wrong token":     casefile.LockText("../../x", 1, "elsewhere"),
	} {
		t.Run(name, func(t *testing.T) {
			s, path := locked(t, text)
			start := time.Now()
			require.NoError(t, s.Save())
			require.GreaterOrEqual(t, time.Since(start), 60*time.Millisecond, "the lock was not respected")
			requireTitle(t, path, "Changed")
			requireAlone(t, path)
		})
	}
}

// TestALockOfADeadProcessIsCleared at once, with what the process left behind.
func TestALockOfADeadProcessIsCleared(t *testing.T) {
	if casefile.Machine() == "-" {
		t.Skip("processes of other machines cannot be told from ours here")
	}
	s, path := locked(t, casefile.LockText(someToken, gone(t), casefile.Machine()))
	require.NoError(t, os.WriteFile(casefile.NewPath(path, someToken), []byte("sche"), 0o644))
	s.Wait(time.Hour, time.Hour)
	require.NoError(t, s.Save())
	requireTitle(t, path, "Changed")
	requireAlone(t, path)
}

// TestALockOfALiveProcessIsWaitedFor until it goes stale: a number may be that
// of another process by now.
func TestALockOfALiveProcessIsWaitedFor(t *testing.T) {
	s, path := locked(t, casefile.LockText(someToken, os.Getppid(), casefile.Machine()))
	start := time.Now()
	require.NoError(t, s.Save())
	require.GreaterOrEqual(t, time.Since(start), 60*time.Millisecond)
	requireAlone(t, path)
	require.GreaterOrEqual(t, casefile.StaleOrdinarily(), 2*time.Second, "a slow disk is not a dead process")
}

// TestAReleasedLockIsTakenSoon: who waits does not wait longer than needed.
func TestAReleasedLockIsTakenSoon(t *testing.T) {
	s, path := locked(t, casefile.LockText(someToken, 1, "elsewhere"))
	s.Wait(time.Hour, time.Hour)
	go func() {
		time.Sleep(30 * time.Millisecond)
		_ = os.Remove(casefile.LockPath(path))
	}()
	require.NoError(t, s.Save())
	requireTitle(t, path, "Changed")
	requireAlone(t, path)
}

// TestBusyIsSaidInTime where holders come and go without an end, and the case is
// left as it was.
func TestBusyIsSaidInTime(t *testing.T) {
	s, path := locked(t, "")
	s.Wait(time.Hour, 100*time.Millisecond)
	require.ErrorIs(t, s.Save(), casefile.ErrBusy)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, full, string(data))
	require.Equal(t, "Changed", s.Case.Title, "what was typed is still there to be saved")
}

// TestAFolderThatTakesNoLockStillSaves: the lock's name is taken by a folder, or
// too long for a file.
func TestAFolderThatTakesNoLockStillSaves(t *testing.T) {
	s, path := opened(t)
	require.NoError(t, os.MkdirAll(filepath.Join(casefile.LockPath(path), "full"), 0o755))
	s.Wait(time.Hour, time.Hour)
	s.Case.Title = "Changed"
	require.NoError(t, s.Save())
	requireTitle(t, path, "Changed")

	long := filepath.Join(t.TempDir(), strings.Repeat("n", 250)+".yaml")
	s, err := casefile.Create(long, &casefile.Case{ID: "long"})
	require.NoError(t, err)
	s.Wait(time.Hour, time.Hour)
	s.Case.Title = "Changed"
	require.NoError(t, s.Save())
	requireTitle(t, long, "Changed")
	requireAlone(t, long)
}

// TestAStolenLockIsNoticed takes the lock away while another writes, over and
// over: who lost it begins again, and no save is lost.
func TestAStolenLockIsNoticed(t *testing.T) {
	s, path := opened(t)
	s.Wait(time.Hour, time.Hour)
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		for {
			select {
			case <-stop:
				return
			default:
				_ = os.Remove(casefile.LockPath(path))
				time.Sleep(3 * time.Millisecond)
			}
		}
	}()
	for i := range 200 {
		s.Case.Title = fmt.Sprint("Changed ", i)
		if err := s.Save(); err != nil {
			require.ErrorIs(t, err, casefile.ErrBusy) // lost too often in a row
			continue
		}
		requireTitle(t, path, s.Case.Title)
	}
	close(stop)
	<-stopped
	requireAlone(t, path)
}

// TestReplaceFileKeepsEveryByte of a text that was edited, over a file that need
// be no case itself, and refuses what is no case or was changed meanwhile.
func TestReplaceFileKeepsEveryByte(t *testing.T) {
	path := filepath.Join(t.TempDir(), "case.yaml")
	broken := "schema: 1\nfailures: [\n"
	require.NoError(t, os.WriteFile(path, []byte(broken), 0o644))
	text := "# Ours.\nschema:   1\ntitle: 'Odd   quotes'\nfailures: {bow: seen}\n"
	require.NoError(t, casefile.ReplaceFile(path, []byte(text), []byte(broken)))
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, text, string(data))
	requireAlone(t, path)

	require.ErrorContains(t, casefile.ReplaceFile(path, []byte(broken), []byte(text)), "no case")
	require.NoError(t, os.WriteFile(path, []byte("schema: 1\n"), 0o644))
	require.ErrorIs(t, casefile.ReplaceFile(path, []byte(text), []byte(text+"\n")), casefile.ErrChanged)
	data, err = os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "schema: 1\n", string(data))
}

// TestCreateLeavesNothingWhenItFails, least of all an empty file that keeps the
// name.
func TestCreateLeavesNothingWhenItFails(t *testing.T) {
	path := filepath.Join(t.TempDir(), "case.yaml")
	_, err := casefile.Create(path, &casefile.Case{ID: "a\x00b"})
	require.Error(t, err)
	_, err = os.Lstat(path)
	require.ErrorIs(t, err, fs.ErrNotExist)
	require.NoError(t, os.Symlink("nowhere", path))
	_, err = casefile.Create(path, &casefile.Case{ID: "a"})
	require.ErrorIs(t, err, fs.ErrExist, "a name that is taken by a link is taken")
}

// TestAFolderThatVanishes: the save says so, and the case can be put elsewhere.
func TestAFolderThatVanishes(t *testing.T) {
	s, path := opened(t)
	require.NoError(t, os.RemoveAll(filepath.Dir(path)))
	s.Case.Title = "Changed"
	err := s.Save()
	require.ErrorIs(t, err, fs.ErrNotExist)
	require.ErrorContains(t, err, path+": its folder is not there")
	elsewhere := t.TempDir()
	require.NoError(t, s.Aside(elsewhere))
	requireTitle(t, filepath.Join(elsewhere, "case-1.yaml"), "Changed")
}

// TestAsideTakesTheNextName, whoever else is putting cases aside at the time.
func TestAsideTakesTheNextName(t *testing.T) {
	const writers = 12
	dir := t.TempDir()
	done := make(chan error, writers)
	for i := range writers {
		go func() {
			s := &casefile.Store{Path: filepath.Join(dir, "case.yaml"), Case: &casefile.Case{Title: fmt.Sprint("Writer ", i)}}
			s.Wait(time.Hour, time.Hour)
			done <- s.Aside(dir)
		}()
	}
	for range writers {
		require.NoError(t, <-done)
	}
	titles := map[string]bool{}
	for i := 1; i <= writers; i++ {
		s, _, _, err := casefile.OpenFile(filepath.Join(dir, fmt.Sprintf("case-%d.yaml", i)))
		require.NoError(t, err)
		titles[s.Case.Title] = true
	}
	require.Len(t, titles, writers, "one was written over another")
}

// tmpfs is a small file system of its own, or skips the test: making one takes
// an administrator.
func tmpfs(t *testing.T, options string) string {
	t.Helper()
	folder := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", options, "tmpfs", folder).CombinedOutput(); err != nil {
		t.Skipf("no file system can be mounted here: %v %s", err, out)
	}
	t.Cleanup(func() {
		out, err := exec.Command("umount", folder).CombinedOutput()
		require.NoError(t, err, string(out))
	})
	return folder
}

// TestAFullDisk: the old case stays whole, nothing is left beside it, and once
// there is room the same store saves.
func TestAFullDisk(t *testing.T) {
	path := filepath.Join(tmpfs(t, "size=64k"), "case.yaml")
	require.NoError(t, os.WriteFile(path, []byte(full), 0o644))
	s, _, _, err := casefile.OpenFile(path)
	require.NoError(t, err)
	s.Case.Title = "Changed"
	rest := filepath.Join(filepath.Dir(path), "rest")
	err = os.WriteFile(rest, make([]byte, 1<<20), 0o644)
	require.Error(t, err)
	err = s.Save()
	require.ErrorContains(t, err, "no space left on device")
	require.ErrorContains(t, err, path)
	_, err = casefile.Create(filepath.Join(filepath.Dir(path), "other.yaml"), &casefile.Case{ID: "other"})
	require.Error(t, err)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, full, string(data))
	require.NoError(t, os.Remove(rest))
	requireAlone(t, path)
	require.NoError(t, s.Save())
	requireTitle(t, path, "Changed")
}

// TestAReadOnlyFolder, by its mode where that binds and by its file system else.
func TestAReadOnlyFolder(t *testing.T) {
	s, path := opened(t)
	if os.Geteuid() == 0 {
		path = filepath.Join(tmpfs(t, "size=1m"), "case.yaml")
		require.NoError(t, os.WriteFile(path, []byte(full), 0o644))
		out, err := exec.Command("mount", "-o", "remount,ro", filepath.Dir(path)).CombinedOutput()
		require.NoError(t, err, string(out))
		s.Path = path
	} else {
		require.NoError(t, os.Chmod(filepath.Dir(path), 0o555))
		defer os.Chmod(filepath.Dir(path), 0o755)
	}
	s.Case.Title = "Changed"
	start := time.Now()
	err := s.Save()
	require.Error(t, err)
	require.Less(t, time.Since(start), time.Second)
	require.True(t, errors.Is(err, fs.ErrPermission) || strings.Contains(err.Error(), "read-only"), "%v", err)
	requireAlone(t, path)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, full, string(data))
}

// TestAsideIsAsPrivateAsTheCase that it stands for, and can be written to.
func TestAsideIsAsPrivateAsTheCase(t *testing.T) {
	s, path := opened(t)
	require.NoError(t, os.Chmod(path, 0o400))
	require.NoError(t, s.Aside(filepath.Dir(path)))
	info, err := os.Stat(s.Path)
	require.NoError(t, err)
	require.Equal(t, fs.FileMode(0o600), info.Mode().Perm())
}
