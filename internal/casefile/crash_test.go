//go:build unix

package casefile_test

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"filmfault/internal/casefile"
)

// childWork names what the test binary does instead of testing.
const childWork = "CASEFILE_TEST_WORK"

func TestMain(m *testing.M) {
	work := map[string]func(string) error{"save": keepSaving, "create": keepCreating, "race": race, "limited": saveLimited}
	if do, ok := work[os.Getenv(childWork)]; ok {
		if err := do(os.Getenv("CASEFILE_TEST_PATH")); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// child is the test binary at other work, on a path.
func child(work, path string) *exec.Cmd {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childWork+"="+work, "CASEFILE_TEST_PATH="+path)
	return cmd
}

// version is a case that can be told whole: the title says which it is, the
// notes say it again at the very end.
func version(n int) (title, notes string) {
	return fmt.Sprint("Version ", n), strings.Repeat("Line of a long account.\n", 15) + fmt.Sprint("End of version ", n, ".\n")
}

// keepSaving saves version after version, until it is killed.
func keepSaving(path string) error {
	s, _, _, err := casefile.OpenFile(path)
	if err != nil {
		return err
	}
	for n := 0; ; n++ {
		start := time.Now()
		s.Case.Title, s.Case.Notes = version(n)
		if err := s.Save(); err != nil {
			return err
		}
		begun(n, start)
	}
}

// begun says once how long one save takes.
func begun(n int, start time.Time) {
	if n == 0 {
		fmt.Println(time.Since(start).Microseconds())
	}
}

// keepCreating makes case after case beside path, until it is killed.
func keepCreating(path string) error {
	for n := 0; ; n++ {
		start := time.Now()
		c := &casefile.Case{}
		c.Title, c.Notes = version(n)
		if _, err := casefile.Create(fmt.Sprintf("%s-%d.yaml", path, n), c); err != nil {
			return err
		}
		begun(n, start)
	}
}

// fastFolder is a folder whose disk is memory, where there is one: these tests
// wait for the disk thousands of times.
func fastFolder(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("/dev/shm", "casefile")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	return dir
}

// killed runs a child and kills it at some point after it began its work.
func killed(t *testing.T, work, path string, draw *rand.Rand) {
	t.Helper()
	cmd := child(work, path)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	takes, err := strconv.Atoi(strings.TrimSpace(line))
	require.NoError(t, err, line)
	time.Sleep(time.Duration(draw.IntN(2*takes+1)) * time.Microsecond)
	require.NoError(t, cmd.Process.Kill())
	var ended *exec.ExitError
	require.ErrorAs(t, cmd.Wait(), &ended)
	require.Equal(t, syscall.SIGKILL, ended.Sys().(syscall.WaitStatus).Signal(), "it ended by itself")
}

// kills is how often the crash tests kill, shared by a few hands.
func kills(all int) (hands, each int) {
	if testing.Short() {
		all /= 15
	}
	return 2, all / 2
}

// longEnough ends a crash test on a machine that is busy with other things.
const longEnough = 12 * time.Second

// TestKilledWhileSaving kills a process in the middle of a save, thousands of
// times. The file is always whole, the old one or the new one, and what the dead
// process left does not keep the next from saving.
func TestKilledWhileSaving(t *testing.T) {
	hands, each := kills(2000)
	for hand := range hands {
		t.Run(fmt.Sprint("hand ", hand), func(t *testing.T) {
			t.Parallel()
			draw := rand.New(rand.NewPCG(1, uint64(hand)))
			path := filepath.Join(fastFolder(t), "case.yaml")
			require.NoError(t, os.WriteFile(path, []byte(full), 0o644))
			left, done, start := 0, 0, time.Now()
			for ; done < each && time.Since(start) < longEnough; done++ {
				killed(t, "save", path, draw)
				s := requireWhole(t, path)
				if litter(t, path) > 0 {
					left++
				}
				saveAfterwards(t, s)
			}
			require.Greater(t, left, done/100, "it is hardly ever hit in the middle: the test shows nothing")
		})
	}
}

func litter(t *testing.T, path string) int {
	t.Helper()
	entries, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	return len(entries) - 1
}

func requireWhole(t *testing.T, path string) *casefile.Store {
	t.Helper()
	s, diags, data, err := casefile.OpenFile(path)
	require.NoError(t, err)
	require.Empty(t, diags, "%s", data)
	n, err := strconv.Atoi(strings.TrimPrefix(s.Case.Title, "Version "))
	require.NoError(t, err, s.Case.Title)
	_, notes := version(n)
	require.Equal(t, notes, s.Case.Notes)
	return s
}

// saveAfterwards saves after a crash and wants the folder clean again.
func saveAfterwards(t *testing.T, s *casefile.Store) {
	t.Helper()
	s.Wait(2*time.Millisecond, 10*time.Second) // for a lock that was never written to
	s.Case.Title = "Saved afterwards"
	require.NoError(t, s.Save())
	requireAlone(t, s.Path)
}

// TestKilledWhileCreating: a new case appears whole or not at all.
func TestKilledWhileCreating(t *testing.T) {
	hands, each := kills(150)
	draw := rand.New(rand.NewPCG(2, 2))
	for range hands * each {
		dir := fastFolder(t)
		killed(t, "create", filepath.Join(dir, "case"), draw)
		names, err := filepath.Glob(filepath.Join(dir, "*.yaml"))
		require.NoError(t, err)
		require.NotEmpty(t, names)
		for _, name := range names {
			requireWhole(t, name)
		}
		require.NoError(t, os.RemoveAll(dir))
	}
}

// race saves one case after another at a word from outside, each opened before
// the word: the other process does the same. What was changed meanwhile goes
// aside.
func race(path string) error {
	who := filepath.Base(path)
	in := bufio.NewReader(os.Stdin)
	for round := 0; ; round++ {
		s, _, _, err := casefile.OpenFile(filepath.Join(filepath.Dir(path), fmt.Sprintf("round%d.yaml", round)))
		if errors.Is(err, os.ErrNotExist) {
			return nil
		}
		if err != nil {
			return err
		}
		fmt.Println("ready")
		if _, err := in.ReadString('\n'); err != nil {
			return err
		}
		s.Case.Title = who
		err = s.Save()
		if errors.Is(err, casefile.ErrChanged) {
			err = s.Aside(filepath.Dir(path))
		}
		if err != nil {
			return err
		}
	}
}

// racer is a child that races.
type racer struct {
	cmd *exec.Cmd
	in  io.WriteCloser
	out *bufio.Reader
}

func newRacer(t *testing.T, path string) racer {
	t.Helper()
	r := racer{cmd: child("race", path)}
	var err error
	r.in, err = r.cmd.StdinPipe()
	require.NoError(t, err)
	out, err := r.cmd.StdoutPipe()
	require.NoError(t, err)
	r.out = bufio.NewReader(out)
	require.NoError(t, r.cmd.Start())
	return r
}

// TestTwoSaveAtOnce lets two processes save the same case at the same moment, a
// thousand times: one of them is told, and both changes are in files.
func TestTwoSaveAtOnce(t *testing.T) {
	rounds := 1000
	if testing.Short() {
		rounds = 100
	}
	dir := fastFolder(t)
	for i := range rounds {
		require.NoError(t, os.WriteFile(filepath.Join(dir, fmt.Sprintf("round%d.yaml", i)), []byte("schema: 1\n"), 0o644))
	}
	racers := []racer{newRacer(t, filepath.Join(dir, "left")), newRacer(t, filepath.Join(dir, "right"))}
	for range rounds {
		for _, r := range racers {
			line, err := r.out.ReadString('\n')
			require.NoError(t, err)
			require.Equal(t, "ready\n", line)
		}
		for _, r := range racers {
			_, err := io.WriteString(r.in, "go\n")
			require.NoError(t, err)
		}
	}
	for _, r := range racers {
		rest, err := io.ReadAll(r.out)
		require.NoError(t, err)
		require.Empty(t, string(rest))
		require.NoError(t, r.cmd.Wait())
	}
	first := map[string]int{}
	for i := range rounds {
		kept, aside := title(t, dir, i, ""), title(t, dir, i, "-1")
		require.ElementsMatch(t, []string{"left", "right"}, []string{kept, aside}, "round %d", i)
		first[kept]++
	}
	require.Len(t, first, 2, "one always wins: they do not save at the same moment")
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, entries, 2*rounds, "something was left over")
}

func title(t *testing.T, dir string, round int, ending string) string {
	t.Helper()
	s, diags, _, err := casefile.OpenFile(filepath.Join(dir, fmt.Sprintf("round%d%s.yaml", round, ending)))
	require.NoError(t, err)
	require.Empty(t, diags)
	return s.Case.Title
}

// saveLimited saves where no file may grow past some bytes.
func saveLimited(path string) error {
	signal.Ignore(syscall.SIGXFSZ)
	s, _, _, err := casefile.OpenFile(path)
	if err != nil {
		return err
	}
	s.Case.Title, s.Case.Notes = version(1)
	limit, err := strconv.ParseUint(os.Getenv("CASEFILE_TEST_LIMIT"), 10, 64)
	if err != nil {
		return err
	}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: limit, Max: limit}); err != nil {
		return err
	}
	return s.Save()
}

// TestAWriteThatBreaksOff in the lock and in the new file, as on a full disk:
// the old file is whole and nothing else is left. It needs no administrator.
func TestAWriteThatBreaksOff(t *testing.T) {
	for _, limit := range []int{0, 10, 300, 1000} {
		t.Run(fmt.Sprint(limit, " bytes"), func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "case.yaml")
			require.NoError(t, os.WriteFile(path, []byte(full), 0o644))
			cmd := child("limited", path)
			cmd.Env = append(cmd.Env, fmt.Sprint("CASEFILE_TEST_LIMIT=", limit))
			out, err := cmd.Output()
			require.Error(t, err)
			require.Contains(t, string(out), path)
			require.Contains(t, string(out), "file too large")
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			require.Equal(t, full, string(data))
			requireAlone(t, path)
		})
	}
}
