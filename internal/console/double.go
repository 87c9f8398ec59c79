package console

import (
	"bytes"
	"os"
	"strings"
	"time"
)

// Option changes the console that Test makes.
type Option func(*Console)

// Test makes a console for tests: what it reads is given, what it writes is
// kept, no stream is a terminal, the width is 80, the environment is empty and
// the clock stands still at noon UTC on 1 June 2026.
func Test(in string, opts ...Option) (c *Console, out, err *bytes.Buffer) {
	out, err = new(bytes.Buffer), new(bytes.Buffer)
	c = &Console{
		inReader:  strings.NewReader(in),
		outWriter: out,
		errWriter: err,
		env:       func(string) string { return "" },
		now:       func() time.Time { return time.Date(2026, time.June, 1, 12, 0, 0, 0, time.UTC) },
		size:      func() (int, int) { return 0, 0 },
	}
	for _, opt := range opts {
		opt(c)
	}
	return c, out, err
}

// WithEnv sets one environment variable.
func WithEnv(key, value string) Option {
	return func(c *Console) {
		rest := c.env
		c.env = func(k string) string {
			if k == key {
				return value
			}
			return rest(k)
		}
	}
}

// WithSize sets the size of the window.
func WithSize(width, height int) Option {
	return func(c *Console) { c.size = func() (int, int) { return width, height } }
}

// WithTime sets the standing clock.
func WithTime(t time.Time) Option {
	return func(c *Console) { c.now = func() time.Time { return t } }
}

// WithTerminals makes all three streams claim to be terminals.
func WithTerminals() Option {
	return func(c *Console) {
		c.in.terminal, c.out.terminal, c.err.terminal = true, true, true
	}
}

// WithFiles makes the console use real files, such as the ends of a
// pseudo-terminal. The buffers that Test returns then stay empty.
func WithFiles(in, out, err *os.File) Option {
	return func(c *Console) { c.useFiles(in, out, err) }
}
