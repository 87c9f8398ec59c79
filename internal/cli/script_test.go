package cli_test

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"filmfault/internal/cli"
	"filmfault/internal/console"
)

var update = flag.Bool("update", false, "write the expected texts in testdata anew")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"filmfault": func() { os.Exit(cli.Main(console.System(), os.Args[1:])) },
	})
}

// TestScripts runs the stories of testdata/scripts, each at the edge of the
// program: a command line, what it prints, what it exits with, what it leaves
// on disk.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "../../testdata/scripts",
		RequireExplicitExec: true,
		UpdateScripts:       *update,
		Cmds:                map[string]func(*testscript.TestScript, bool, []string){"exits": exits},
		Condition:           condition,
		Setup: func(e *testscript.Env) error {
			e.Setenv("COLUMNS", "80")
			e.Setenv("TZ", "UTC")
			return nil
		},
	})
}

// condition is what a line of a script may depend on: [race].
func condition(name string) (bool, error) {
	if name == "race" {
		return raced, nil
	}
	return false, fmt.Errorf("no condition %q", name)
}

// exits runs a command and wants one exit code: `exits 2 filmfault rules chek`.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	err = ts.Exec(args[1], args[2:]...)
	got := 0
	var failed *exec.ExitError
	switch {
	case errors.As(err, &failed):
		got = failed.ExitCode()
	case err != nil:
		ts.Fatalf("%v", err)
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}
