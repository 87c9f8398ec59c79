//go:build unix

package cli_test

import (
	"bytes"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// heard keeps what a running program says, for a test to wait for words of it.
type heard struct {
	lock sync.Mutex
	text bytes.Buffer
}

// Write adds to what was heard.
func (h *heard) Write(p []byte) (int, error) {
	h.lock.Lock()
	defer h.lock.Unlock()
	return h.text.Write(p)
}

func (h *heard) String() string {
	h.lock.Lock()
	defer h.lock.Unlock()
	return h.text.String()
}

// TestInterruptedInterview stops an interview with a signal while it waits for
// an answer: exit code 130, and the file holds exactly the answers given.
func TestInterruptedInterview(t *testing.T) {
	for _, signal := range []os.Signal{syscall.SIGINT, syscall.SIGTERM} {
		t.Run(signal.String(), func(t *testing.T) {
			folder := t.TempDir()
			cmd := exec.Command("filmfault", "interview", "case.yaml", "--plain", "--at", "sign") // see TestMain
			cmd.Dir = folder
			in, err := cmd.StdinPipe()
			require.NoError(t, err)
			var out, talk heard
			cmd.Stdout, cmd.Stderr = &out, &talk
			require.NoError(t, cmd.Start())
			_, err = io.WriteString(in, "Bakery\n1\n")
			require.NoError(t, err)
			require.Eventually(t, func() bool {
				return strings.Contains(talk.String(), "lighted or wired")
			}, 20*time.Second, 10*time.Millisecond, "%s", talk.String())
			require.NoError(t, cmd.Process.Signal(signal))
			var failed *exec.ExitError
			require.True(t, errors.As(cmd.Wait(), &failed))
			require.Equal(t, 130, failed.ExitCode(), talk.String())
			require.Empty(t, out.String())
			require.Contains(t, talk.String(), "Go on with: filmfault interview case.yaml")
			data, err := os.ReadFile(filepath.Join(folder, "case.yaml"))
			require.NoError(t, err)
			require.Equal(t, 1, strings.Count(string(data), "answer:"))
			require.Contains(t, string(data), "title: Bakery")
		})
	}
}
