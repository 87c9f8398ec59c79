package console_test

import (
	"os"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"

	"filmfault/internal/console"
)

// openPTY gives the two ends of a pseudo-terminal of this size.
func openPTY(t *testing.T, width, height uint16) (keyboard, terminal *os.File) {
	t.Helper()
	keyboard, terminal, err := pty.Open()
	if err != nil {
		t.Skipf("no pseudo-terminal to be had here: %v", err)
	}
	t.Cleanup(func() { _ = keyboard.Close(); _ = terminal.Close() })
	require.NoError(t, pty.Setsize(keyboard, &pty.Winsize{Rows: height, Cols: width}))
	return keyboard, terminal
}

func TestTerminalsAreToldFromOtherDevices(t *testing.T) {
	_, terminal := openPTY(t, 80, 24)
	null, err := os.OpenFile(os.DevNull, os.O_RDWR, 0)
	require.NoError(t, err)
	defer func() { require.NoError(t, null.Close()) }()

	require.True(t, console.IsTerminal(terminal))
	// The null device is a character device too; it must not pass for a screen.
	require.False(t, console.IsTerminal(null))
	require.False(t, console.IsTerminal((*os.File)(nil)))
	require.False(t, console.IsTerminal("text"))
}

func TestSystemUsesTheProcessStreams(t *testing.T) {
	c := console.System()
	require.Same(t, os.Stdin, c.InFile())
	require.Same(t, os.Stderr, c.ErrFile())
	require.Equal(t, os.Stdout, c.Out())
	require.Equal(t, os.Stderr, c.Err())
	require.Equal(t, os.Stdin, c.In())
	require.WithinDuration(t, time.Now(), c.Now(), time.Minute)
	t.Setenv("FILMFAULT_TEST_WORD", "primer")
	require.Equal(t, "primer", c.Env("FILMFAULT_TEST_WORD"))
}

func TestTestConsoleIsFixed(t *testing.T) {
	t.Setenv("COLUMNS", "33") // the real environment must not leak in
	at := time.Date(2025, 3, 4, 5, 6, 7, 0, time.UTC)
	c, out, err := console.Test("typed", console.WithTime(at))
	_, _ = c.Out().Write([]byte("result"))
	_, _ = c.Err().Write([]byte("talk"))
	require.Equal(t, "result", out.String())
	require.Equal(t, "talk", err.String())
	require.Equal(t, 80, c.Width())
	require.Equal(t, at, c.Now())
	require.Nil(t, c.InFile())
	require.Nil(t, c.ErrFile())
	require.False(t, c.IsInTerminal() || c.IsOutTerminal() || c.IsErrTerminal())
	require.True(t, c.Plain())
	require.False(t, c.Color())
}

func TestWidth(t *testing.T) {
	for _, row := range []struct {
		name    string
		columns string
		window  int
		want    int
	}{
		{"nothing known", "", 0, 80},
		{"the window counts", "", 132, 132},
		{"COLUMNS counts more", "60", 132, 60},
		{"no number", "wide", 132, 132},
		{"too small to be meant", "3", 132, 132},
		{"negative", "-60", 0, 80},
		{"too large to be meant", "100000", 132, 132},
		{"a window below the least", "", 9, 20},
		{"the least that is taken", "20", 132, 20},
	} {
		t.Run(row.name, func(t *testing.T) {
			c, _, _ := console.Test("", console.WithEnv("COLUMNS", row.columns), console.WithSize(row.window, 24))
			require.Equal(t, row.want, c.Width())
		})
	}
}

func TestTerminalSizeIsTheTalkWindows(t *testing.T) {
	_, terminal := openPTY(t, 57, 19)
	null, err := os.OpenFile(os.DevNull, os.O_RDWR, 0)
	require.NoError(t, err)
	defer func() { require.NoError(t, null.Close()) }()

	for name, files := range map[string][2]*os.File{
		"talk on the screen":         {null, terminal},
		"only results on the screen": {terminal, null},
	} {
		t.Run(name, func(t *testing.T) {
			c, _, _ := console.Test("", console.WithFiles(null, files[0], files[1]))
			w, h := c.TerminalSize()
			require.Equal(t, []int{57, 19, 57}, []int{w, h, c.Width()})
		})
	}
	c, _, _ := console.Test("", console.WithFiles(null, null, null))
	w, h := c.TerminalSize()
	require.Equal(t, []int{0, 0, 80}, []int{w, h, c.Width()})
}

func TestColor(t *testing.T) {
	screen := console.WithTerminals()
	for _, row := range []struct {
		name string
		opts []console.Option
		want bool
	}{
		{"on a screen", []console.Option{screen}, true},
		{"not on a screen", nil, false},
		{"refused", []console.Option{screen, console.WithEnv("NO_COLOR", "1")}, false},
		{"dumb terminal", []console.Option{screen, console.WithEnv("TERM", "dumb")}, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			c, _, _ := console.Test("", row.opts...)
			require.Equal(t, row.want, c.Color())
			require.Equal(t, row.want, c.TalkColor())
		})
	}
}

func TestColorGoesByTheStreamItIsFor(t *testing.T) {
	_, terminal := openPTY(t, 80, 24)
	file, err := os.CreateTemp(t.TempDir(), "report")
	require.NoError(t, err)
	defer func() { require.NoError(t, file.Close()) }()
	c, _, _ := console.Test("", console.WithFiles(terminal, file, terminal))
	require.False(t, c.Color(), "results go to a file")
	require.True(t, c.TalkColor(), "questions go to a screen")
}

func TestPlain(t *testing.T) {
	usual := []console.Option{console.WithTerminals(), console.WithEnv("TERM", "xterm")}
	for _, row := range []struct {
		name string
		opts []console.Option
		want bool
	}{
		{"a usual terminal", usual, false},
		{"no terminal", []console.Option{console.WithEnv("TERM", "xterm")}, true},
		{"TERM not set", []console.Option{console.WithTerminals()}, true},
		{"dumb terminal", append(usual[:2:2], console.WithEnv("TERM", "dumb")), true},
		{"asked for", append(usual[:2:2], console.WithEnv("FILMFAULT_PLAIN", "1")), true},
		{"asked for by all programs", append(usual[:2:2], console.WithEnv("ACCESSIBLE", "1")), true},
	} {
		t.Run(row.name, func(t *testing.T) {
			c, _, _ := console.Test("", row.opts...)
			require.Equal(t, row.want, c.Plain())
		})
	}
}

func TestPlainWhenOneEndIsNoTerminal(t *testing.T) {
	_, terminal := openPTY(t, 80, 24)
	null, err := os.OpenFile(os.DevNull, os.O_RDWR, 0)
	require.NoError(t, err)
	defer func() { require.NoError(t, null.Close()) }()
	for name, row := range map[string]struct {
		in, out, err *os.File
		want         bool
	}{
		"both ends":             {terminal, terminal, terminal, false},
		"results to a file":     {terminal, null, terminal, false},
		"answers from a file":   {null, terminal, terminal, true},
		"questions to a file":   {terminal, terminal, null, true},
		"nothing is a terminal": {null, null, null, true},
	} {
		t.Run(name, func(t *testing.T) {
			c, _, _ := console.Test("", console.WithEnv("TERM", "xterm"), console.WithFiles(row.in, row.out, row.err))
			require.Equal(t, row.want, c.Plain())
		})
	}
}

func TestUnicode(t *testing.T) {
	for _, row := range []struct {
		name             string
		all, ctype, lang string
		want             bool
	}{
		{"nothing set", "", "", "", false},
		{"LANG", "", "", "de_DE.UTF-8", true},
		{"small letters, no hyphen", "", "", "en_US.utf8", true},
		{"not Unicode", "", "", "en_US.ISO-8859-1", false},
		{"LC_CTYPE counts more than LANG", "", "C", "en_US.UTF-8", false},
		{"LC_ALL counts most", "C.UTF-8", "C", "C", true},
	} {
		t.Run(row.name, func(t *testing.T) {
			c, _, _ := console.Test("", console.WithEnv("LC_ALL", row.all),
				console.WithEnv("LC_CTYPE", row.ctype), console.WithEnv("LANG", row.lang))
			require.Equal(t, row.want, c.Unicode())
		})
	}
}
