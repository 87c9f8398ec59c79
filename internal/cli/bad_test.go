package cli_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/cli"
	"filmfault/internal/console"
)

// run runs a command line in the test's folder.
func run(t testing.TB, args ...string) (code int, out, talk string) {
	t.Helper()
	c, o, e := console.Test("")
	code = cli.Main(c, args)
	return code, o.String(), e.String()
}

// TestBadCases diagnoses each broken case and compares what is said, to the
// letter. Nothing is printed as a result, the exit code is 3, and the file
// stays as it was.
func TestBadCases(t *testing.T) {
	folder, err := filepath.Abs("../../testdata/bad/cases")
	require.NoError(t, err)
	names, err := filepath.Glob(filepath.Join(folder, "*.yaml"))
	require.NoError(t, err)
	require.Greater(t, len(names), 50)
	for _, path := range names {
		name := filepath.Base(path)
		t.Run(strings.TrimSuffix(name, ".yaml"), func(t *testing.T) {
			t.Chdir(t.TempDir())
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(name, data, 0o644))
			code, out, talk := run(t, "diagnose", name)
			require.Equal(t, 3, code, talk)
			require.Empty(t, out)
			requireQuiet(t, talk)
			compareWith(t, strings.TrimSuffix(path, ".yaml")+".txt", talk)
			requireUntouched(t, name, data)
		})
	}
}

// requireQuiet wants no character that a terminal would act on.
func requireQuiet(t testing.TB, text string) {
	t.Helper()
	for _, r := range text {
		require.True(t, r == '\n' || r >= ' ' && r != 0x7f, "%q", text)
	}
}

func requireUntouched(t testing.TB, name string, data []byte) {
	t.Helper()
	now, err := os.ReadFile(name)
	require.NoError(t, err)
	require.Equal(t, string(data), string(now))
	entries, err := os.ReadDir(".")
	require.NoError(t, err)
	require.Len(t, entries, 1, "something was left in the folder")
}

func compareWith(t testing.TB, path, got string) {
	t.Helper()
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
		return
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, string(want), got)
}

// TestBadCasesAreNotWrittenTo tries to record a reading in each broken case: the
// file is not touched.
func TestBadCasesAreNotWrittenTo(t *testing.T) {
	names, err := filepath.Glob("../../testdata/bad/cases/*.yaml")
	require.NoError(t, err)
	for _, path := range names {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".yaml"), func(t *testing.T) {
			refuses(t, path, "measure", "CASE", "thumb-twist=moves")
		})
	}
}

// TestBadCasesAreNotGoneOnWith tries to go on with the interview of some broken
// cases: nothing is asked and the file is not touched.
func TestBadCasesAreNotGoneOnWith(t *testing.T) {
	for _, name := range []string{"latin1", "newer", "duplicate-key", "unknown-finding", "wrong-unit", "empty"} {
		t.Run(name, func(t *testing.T) {
			refuses(t, filepath.Join("../../testdata/bad/cases", name+".yaml"), "interview", "CASE", "--plain")
		})
	}
}

// refuses runs a command on a copy of a file, put where CASE stands: exit code
// 3, no result, no question, the copy unchanged.
func refuses(t *testing.T, path string, args ...string) {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	name := filepath.Base(path)
	require.NoError(t, os.WriteFile(name, data, 0o644))
	args[1] = name
	code, out, talk := run(t, args...)
	require.Equal(t, 3, code, talk)
	require.Empty(t, out)
	require.NotContains(t, talk, "Where are you now")
	requireUntouched(t, name, data)
}

// runInto is run with results going to a file.
func runInto(t testing.TB, results *os.File, args ...string) (code int, talk string) {
	t.Helper()
	in, err := os.Open(os.DevNull)
	require.NoError(t, err)
	defer in.Close()
	said, err := os.CreateTemp(t.TempDir(), "talk")
	require.NoError(t, err)
	defer said.Close()
	c, _, _ := console.Test("", console.WithFiles(in, results, said))
	code = cli.Main(c, args)
	data, err := os.ReadFile(said.Name())
	require.NoError(t, err)
	return code, string(data)
}

// TestBadLogs diagnoses each case with a broken job log: what is wrong is told to
// the letter, the diagnosis goes on without the log, and says so.
func TestBadLogs(t *testing.T) {
	folder, err := filepath.Abs("../../testdata/bad/logs")
	require.NoError(t, err)
	names, err := filepath.Glob(filepath.Join(folder, "*.yaml"))
	require.NoError(t, err)
	require.Greater(t, len(names), 20)
	for _, path := range names {
		name := filepath.Base(path)
		t.Run(strings.TrimSuffix(name, ".yaml"), func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.CopyFS(dir, os.DirFS(filepath.Join(folder, "beside"))))
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			t.Chdir(dir)
			require.NoError(t, os.WriteFile(name, data, 0o644))
			code, out, talk := run(t, "diagnose", name)
			require.Equal(t, 0, code, talk)
			require.Contains(t, out, "LIKELIEST CAUSES")
			require.NotContains(t, out, "WHAT THE JOB LOG IMPLIES")
			require.Contains(t, talk, "the job log was left out")
			requireQuiet(t, talk)
			compareWith(t, strings.TrimSuffix(path, ".yaml")+".txt", talk)
		})
	}
}
