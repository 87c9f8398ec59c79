package cli_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const soundCase = `schema: 1
case: sound
failures:
  blistering: seen # south side
`

// TestHugeCase gives a file of 100 MB: one message, and memory stays small
// because no more than the limit is read.
func TestHugeCase(t *testing.T) {
	t.Chdir(t.TempDir())
	f, err := os.Create("huge.yaml")
	require.NoError(t, err)
	line := []byte("# " + strings.Repeat("x", 1021) + "\n")
	_, err = f.Write(bytes.Repeat(line, 100*1024))
	require.NoError(t, err)
	require.NoError(t, f.Close())
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	code, out, talk := run(t, "measure", "huge.yaml")
	runtime.ReadMemStats(&after)
	require.Equal(t, 3, code)
	require.Empty(t, out)
	require.Equal(t, "huge.yaml: the file is larger than 8388608 bytes, which is more than this program reads [too-big]\n"+
		"  write instead: a smaller file, or several files\n", talk)
	require.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(64<<20))
}

// TestManyEntries gives a small file that asks for a great many entries.
func TestManyEntries(t *testing.T) {
	t.Chdir(t.TempDir())
	text := "schema: 1\nnotes: [" + strings.Repeat("a,", 300_000) + "]\n"
	require.NoError(t, os.WriteFile("many.yaml", []byte(text), 0o644))
	code, out, talk := run(t, "measure", "many.yaml")
	require.Equal(t, 3, code)
	require.Empty(t, out)
	require.Contains(t, talk, "many.yaml: the file has more than 200000 entries")
}

func TestWhatIsNoFile(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.Mkdir("folder", 0o755))
	require.NoError(t, os.WriteFile("file", nil, 0o644))
	require.NoError(t, os.Symlink("loop", "loop"))
	for name, want := range map[string]string{
		"folder":           "filmfault: folder is a folder; name a case file in it\n",
		"folder/none.yaml": "filmfault: there is no case file \"folder/none.yaml\"; `filmfault casebook list`\n  names the built-in cases\n",
		"file/none.yaml":   "filmfault: open file/none.yaml: not a directory\n",
		"loop":             "filmfault: open loop: too many levels of symbolic links\n",
		"":                 "filmfault: there is no case file \"\"; `filmfault casebook list` names the\n  built-in cases\n",
		"harbor-cafe":      "filmfault: there is no case file \"harbor-cafe\"; did you mean harbour-cafe?\n",
		"none\x1b[2J":      "filmfault: there is no case file \"none\\x1b[2J\"; `filmfault casebook list` names\n  the built-in cases\n",
	} {
		code, out, talk := run(t, "measure", name)
		require.Equal(t, 3, code, talk)
		require.Empty(t, out)
		require.Equal(t, want, talk)
	}
}

// TestUnreadableCase uses a file of the system that may be opened by nobody or
// fails on reading: a file's mode binds no administrator.
func TestUnreadableCase(t *testing.T) {
	const name = "/proc/self/mem"
	if _, err := os.Stat(name); err != nil {
		t.Skip("no such file here")
	}
	code, out, talk := run(t, "measure", name)
	require.Equal(t, 3, code)
	require.Empty(t, out)
	require.Contains(t, talk, "filmfault: /proc/self/mem: read /proc/self/mem: input/output error")
}

// TestEndlessCase reads from a device that never ends.
func TestEndlessCase(t *testing.T) {
	if _, err := os.Stat("/dev/zero"); err != nil {
		t.Skip("no such device here")
	}
	code, _, talk := run(t, "measure", "/dev/zero")
	require.Equal(t, 3, code)
	require.Contains(t, talk, "the file is larger than")
}

// TestFolderThatTakesNoFile begins an interview where no file can be made: the
// folder of another program's, one that is a file, one that is not there.
func TestFolderThatTakesNoFile(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("file", nil, 0o644))
	for _, folder := range []string{"/proc", "/sys", "file", "missing"} {
		code, out, talk := run(t, "interview", "--plain", filepath.Join(folder, "case.yaml"))
		require.Equal(t, 3, code, talk)
		require.Empty(t, out)
		told := strings.Join(strings.Fields(talk), " ")
		require.NotContains(t, talk, "Where are you now")
		if folder != "file" {
			require.Contains(t, told, "the case cannot be kept here, so nothing was asked")
			require.Contains(t, told, "give a file in a folder you may write to")
		}
	}
}

// TestReadOnlyFolder records a reading where the folder cannot be written to.
func TestReadOnlyFolder(t *testing.T) {
	folder := mounted(t, "size=1m")
	name := filepath.Join(folder, "case.yaml")
	require.NoError(t, os.WriteFile(name, []byte(soundCase), 0o644))
	remount(t, folder, "ro")
	code, out, talk := run(t, "measure", name, "thumb-twist=moves")
	require.Equal(t, 3, code, talk)
	require.Empty(t, out)
	told := strings.Join(strings.Fields(talk), " ")
	require.Contains(t, told, "the reading was not recorded: ")
	require.Contains(t, told, "read-only file system")
	requireSame(t, name, soundCase)
	code, _, _ = run(t, "diagnose", name)
	require.Equal(t, 0, code, "a case that cannot be written can still be read")
}

// TestFullDisk records a reading where no byte is left: the case stays whole.
func TestFullDisk(t *testing.T) {
	folder := mounted(t, "size=64k")
	name := filepath.Join(folder, "case.yaml")
	require.NoError(t, os.WriteFile(name, []byte(soundCase), 0o644))
	fill(t, filepath.Join(folder, "rest"))
	code, out, talk := run(t, "measure", name, "thumb-twist=moves")
	require.Equal(t, 3, code, talk)
	require.Empty(t, out)
	told := strings.Join(strings.Fields(talk), " ")
	require.Contains(t, told, "the reading was not recorded: ")
	require.Contains(t, told, "no space left on device")
	requireSame(t, name, soundCase)
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	require.Len(t, entries, 2, "half a file was left behind")
}

func requireSame(t *testing.T, name, want string) {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	require.Equal(t, want, string(data))
}

// mounted is a small file system of its own, or skips the test: making one
// takes an administrator.
func mounted(t *testing.T, options string) string {
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

func remount(t *testing.T, folder, options string) {
	t.Helper()
	out, err := exec.Command("mount", "-o", "remount,"+options, folder).CombinedOutput()
	if err != nil {
		t.Skipf("the file system cannot be made read-only here: %v %s", err, out)
	}
}

// fill writes a file until the disk takes no more.
func fill(t *testing.T, name string) {
	t.Helper()
	f, err := os.Create(name)
	require.NoError(t, err)
	defer f.Close()
	for size := 4096; size > 0; size /= 2 {
		for err = nil; err == nil; {
			_, err = f.Write(make([]byte, size))
		}
	}
}

// TestResultsThatCannotBeWritten sends the results to a full device.
func TestResultsThatCannotBeWritten(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("no such device here")
	}
	defer full.Close()
	for _, args := range [][]string{
		{"diagnose", "harbour-cafe"}, {"diagnose", "--format", "json", "harbour-cafe"}, {"why", "harbour-cafe"},
		{"rules", "list"}, {"rules", "show", "colour"}, {"casebook", "list"}, {"casebook", "show", "harbour-cafe"},
	} {
		code, talk := runInto(t, full, args...)
		require.Equal(t, 3, code, "%v", args)
		require.Contains(t, talk, "no space left on device", "%v", args)
	}
}
