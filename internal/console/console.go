// Package console owns everything the program shares with the terminal it was
// started in: the three streams, whether they are terminals, how wide the
// window is, whether colour is wanted, the environment, the clock, signals.
//
// It refuses to ask questions (package prompt does) and to lay out results
// (package report/render does): it only says what the surroundings can take.
//
// It sits at the bottom: it imports no other package of this program, and it is
// the only one that may touch os.Stdin, os.Stdout, os.Stderr and time.Now, so
// that every other package can be run in a test with streams and clock of the
// test's choosing.
package console

import (
	"io"
	"os"
	"strconv"
	"strings"
	"time"

	"golang.org/x/term"
)

const (
	defaultWidth = 80
	minWidth     = 20
	maxWidth     = 1000
)

// Console is the program's surroundings. Make one with System or, in tests,
// with Test. It does not change after it is made.
type Console struct {
	in        stream
	out       stream
	err       stream
	inReader  io.Reader
	outWriter io.Writer
	errWriter io.Writer
	env       func(key string) string
	now       func() time.Time
	size      func() (width, height int)
}

// stream is what is known about one of the three streams.
type stream struct {
	file     *os.File
	terminal bool
}

// System is the console of the running process.
func System() *Console {
	c := &Console{env: os.Getenv, now: time.Now}
	c.useFiles(os.Stdin, os.Stdout, os.Stderr)
	return c
}

// useFiles makes the console read from and write to these files.
func (c *Console) useFiles(in, out, err *os.File) {
	c.in, c.inReader = inspect(in), in
	c.out, c.outWriter = inspect(out), out
	c.err, c.errWriter = inspect(err), err
	c.size = c.measure
}

func inspect(f *os.File) stream {
	return stream{file: f, terminal: IsTerminal(f)}
}

// IsTerminal says whether v is a file connected to a terminal. It asks the
// system for the terminal's settings; the file's mode will not do, as it marks
// the null device as a terminal too.
func IsTerminal(v any) bool {
	f, ok := v.(*os.File)
	return ok && f != nil && term.IsTerminal(int(f.Fd()))
}

// In is where typed text comes from.
func (c *Console) In() io.Reader { return c.inReader }

// Out takes results, and nothing but results: it may be a file or a pipe.
func (c *Console) Out() io.Writer { return c.outWriter }

// Err takes prompts, progress, hints and complaints.
func (c *Console) Err() io.Writer { return c.errWriter }

// InFile is the file behind In, or nil when there is none.
func (c *Console) InFile() *os.File { return c.in.file }

// ErrFile is the file behind Err, or nil when there is none.
func (c *Console) ErrFile() *os.File { return c.err.file }

// IsInTerminal says whether answers come from a keyboard.
func (c *Console) IsInTerminal() bool { return c.in.terminal }

// IsOutTerminal says whether results go to a screen.
func (c *Console) IsOutTerminal() bool { return c.out.terminal }

// IsErrTerminal says whether talk goes to a screen.
func (c *Console) IsErrTerminal() bool { return c.err.terminal }

// TerminalSize is the true size of the window talk goes to, or of the one
// results go to; zeros when neither is known. Only code that moves the cursor
// needs it, everything else should use Width.
func (c *Console) TerminalSize() (width, height int) { return c.size() }

func (c *Console) measure() (width, height int) {
	for _, s := range []stream{c.err, c.out} {
		if !s.terminal {
			continue
		}
		if w, h, err := term.GetSize(int(s.file.Fd())); err == nil && w > 0 {
			return w, h
		}
	}
	return 0, 0
}

// Width is the number of columns to wrap text to: COLUMNS if it is set to
// something sensible, else the window's, else 80. It is never below 20.
func (c *Console) Width() int {
	n, err := strconv.Atoi(c.env("COLUMNS"))
	if err == nil && n >= minWidth && n <= maxWidth {
		return n
	}
	if w, _ := c.size(); w > 0 {
		return max(w, minWidth)
	}
	return defaultWidth
}

// Color says whether results may be coloured. Colour must never be the only
// carrier of a meaning.
func (c *Console) Color() bool { return c.out.terminal && c.colorWanted() }

// TalkColor is Color for talk: results may go to a file while the questions
// are still on a screen.
func (c *Console) TalkColor() bool { return c.err.terminal && c.colorWanted() }

func (c *Console) colorWanted() bool {
	return c.env("NO_COLOR") == "" && c.env("TERM") != "dumb"
}

// Plain says that questions must be asked line by line, without moving the
// cursor: because an end is no screen, because the terminal cannot do it, or
// because the person asked for it, as people with screen readers do.
func (c *Console) Plain() bool {
	if !c.in.terminal || !c.err.terminal {
		return true
	}
	if t := c.env("TERM"); t == "" || t == "dumb" {
		return true
	}
	return c.env("FILMFAULT_PLAIN") != "" || c.env("ACCESSIBLE") != ""
}

// Unicode says whether characters outside ASCII may be written. The first of
// LC_ALL, LC_CTYPE and LANG that is set decides, as elsewhere on the system.
func (c *Console) Unicode() bool {
	for _, key := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if v := c.env(key); v != "" {
			v = strings.ToUpper(v)
			return strings.Contains(v, "UTF-8") || strings.Contains(v, "UTF8")
		}
	}
	return false
}

// Now is the time on the console's clock.
func (c *Console) Now() time.Time { return c.now() }

// Env is the value of an environment variable, empty when it is not set.
func (c *Console) Env(key string) string { return c.env(key) }
