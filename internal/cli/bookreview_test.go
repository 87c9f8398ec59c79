package cli

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"filmfault/internal/book/booktest"
	"filmfault/internal/console"
)

// reviewed runs the command by itself.
func reviewed(t *testing.T, ctx context.Context, args ...string) (out, talk string, err error) {
	t.Helper()
	c, o, e := console.Test("")
	cmd := newBookReview(&app{console: c})
	cmd.SetArgs(args)
	cmd.SilenceErrors, cmd.SilenceUsage = true, true
	err = cmd.ExecuteContext(ctx)
	return o.String(), e.String(), err
}

// written writes an invented book of so many cases into a folder.
func written(t *testing.T, cases int) string {
	t.Helper()
	dir := t.TempDir()
	for name, f := range booktest.Folder(cases, 1) {
		path := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, f.Data, 0o644))
	}
	return dir
}

func TestReviewOfAFolder(t *testing.T) {
	dir := written(t, 30)
	out, talk, err := reviewed(t, context.Background(), "--book", dir)
	require.NoError(t, err)
	require.Empty(t, talk)
	require.Contains(t, out, ": 30 cases")
	again, _, err := reviewed(t, context.Background(), "--book", dir)
	require.NoError(t, err)
	require.Equal(t, out, again, "same book, same bytes")
}

func TestReviewLeavesAnUnreadableFileOut(t *testing.T) {
	dir := written(t, 3)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "newer.yaml"), []byte("schema: 9\n"), 0o644))
	require.NoError(t, os.Symlink("nowhere", filepath.Join(dir, "gone.yaml")))
	out, talk, err := reviewed(t, context.Background(), "--book", dir, "--format", "json")
	require.ErrorIs(t, err, errTold, "exit code 3, as the help of casebook list has it")
	require.Contains(t, out, `"cases": 3,`)
	require.Contains(t, talk, "use a newer")
	require.Contains(t, talk, "gone.yaml cannot be")
}

func TestReviewCanBeStopped(t *testing.T) {
	ctx, stop := context.WithCancelCause(context.Background())
	stop(console.ErrInterrupted)
	out, _, err := reviewed(t, ctx, "--book", written(t, 3))
	require.ErrorIs(t, err, console.ErrInterrupted)
	require.Empty(t, out)
}

// TestProgressIsToldSeldom: not in the first second, then every five seconds, and
// not at the end.
func TestProgressIsToldSeldom(t *testing.T) {
	c, _, talk := console.Test("")
	a := &app{console: c}
	step := a.steadily("reading the casebook", 3)
	step()
	require.Empty(t, talk.String(), "the clock stands")
	late, _, talk := console.Test("", console.WithTime(time.Date(2026, 6, 1, 12, 0, 2, 0, time.UTC)))
	a.console = late
	step()
	require.Equal(t, "reading the casebook, 2 of 3 done ...\n", talk.String())
	step()
	require.Equal(t, "reading the casebook, 2 of 3 done ...\n", talk.String())
}
