package prompt

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"filmfault/internal/console"
)

// maxLine is the longest line that is read, in bytes. A longer one is a file
// sent by mistake, not something a person typed.
const maxLine = 64 << 10

// errTooLong is returned, once, for a line over maxLine. The line is gone and
// reading may go on.
var errTooLong = errors.New("that line is too long")

// Feed reads typed text and lets go of a read at once when its context ends.
// What was read but not used stays for the next question, so nothing typed
// ahead is lost when several readers share one Feed.
//
// It reads only while somebody waits. A read that was let go of stays open in
// the background, and its text goes to whoever asks next.
type Feed struct {
	src      io.Reader
	terminal bool
	buf      []byte
	held     error      // came together with the last bytes, still to be told
	open     chan chunk // the read in progress, nil when there is none
}

type chunk struct {
	data []byte
	err  error
}

// NewFeed makes a Feed that reads from src.
func NewFeed(src io.Reader) *Feed {
	return &Feed{src: src, terminal: console.IsTerminal(src)}
}

// Peek waits for the next byte and leaves it in place.
func (f *Feed) Peek(ctx context.Context) (byte, error) {
	if ctx.Err() != nil {
		return 0, stopped(ctx)
	}
	for len(f.buf) == 0 {
		if err := f.fill(ctx); err != nil {
			return 0, err
		}
	}
	return f.buf[0], nil
}

// Byte waits for the next byte and takes it.
func (f *Feed) Byte(ctx context.Context) (byte, error) {
	b, err := f.Peek(ctx)
	if err == nil {
		f.buf = f.buf[1:]
	}
	return b, err
}

// Read implements io.Reader for code that has no context to give.
func (f *Feed) Read(p []byte) (int, error) {
	if _, err := f.Peek(context.Background()); err != nil {
		if errors.Is(err, ErrEndOfInput) {
			err = io.EOF
		}
		return 0, err
	}
	n := copy(p, f.buf)
	f.buf = f.buf[n:]
	return n, nil
}

// line waits for one typed line and returns it without its line end.
func (f *Feed) line(ctx context.Context) (string, error) {
	if ctx.Err() != nil {
		return "", stopped(ctx)
	}
	seen := 0
	for {
		if i := bytes.IndexByte(f.buf[seen:], '\n'); i >= 0 {
			return f.take(seen+i, 1)
		}
		if seen = len(f.buf); seen > maxLine+len("\r") {
			return "", f.discard(ctx)
		}
		if err := f.fill(ctx); err != nil {
			return f.lastLine(err)
		}
	}
}

// lastLine settles what to do with a line that has no end. From a pipe it is a
// line like any other. At a terminal the person pressed Ctrl-D in place of
// Enter, so it was never given as an answer.
func (f *Feed) lastLine(err error) (string, error) {
	if !errors.Is(err, ErrEndOfInput) {
		return "", err
	}
	if f.terminal || len(f.buf) == 0 {
		f.buf = nil
		return "", err
	}
	return f.take(len(f.buf), 0)
}

// take removes n bytes and the line end after them from the buffer.
func (f *Feed) take(n, end int) (string, error) {
	text := strings.TrimSuffix(string(f.buf[:n]), "\r")
	f.buf = f.buf[n+end:]
	if len(text) > maxLine {
		return "", errTooLong
	}
	return text, nil
}

// discard drops the rest of a line that is too long, without keeping it.
func (f *Feed) discard(ctx context.Context) error {
	for {
		if i := bytes.IndexByte(f.buf, '\n'); i >= 0 {
			f.buf = f.buf[i+1:]
			return errTooLong
		}
		f.buf = nil
		if err := f.fill(ctx); errors.Is(err, ErrEndOfInput) {
			f.held = io.EOF
			return errTooLong
		} else if err != nil {
			return err
		}
	}
}

// fill waits until there is at least one more byte in the buffer.
func (f *Feed) fill(ctx context.Context) error {
	if ctx.Err() != nil {
		return stopped(ctx)
	}
	if err := f.held; err != nil {
		f.held = nil
		return readError(err)
	}
	if f.open == nil {
		f.open = make(chan chunk, 1)
		go readChunk(f.src, f.open)
	}
	select {
	case <-ctx.Done():
		return stopped(ctx)
	case c := <-f.open:
		f.open = nil
		return f.keep(c)
	}
}

func (f *Feed) keep(c chunk) error {
	if len(c.data) == 0 {
		return readError(c.err)
	}
	f.buf = append(f.buf, c.data...)
	f.held = c.err
	return nil
}

// readChunk reads until there is something to tell. A reader that keeps
// returning nothing at all is broken and is given up on.
func readChunk(src io.Reader, to chan<- chunk) {
	data := make([]byte, 4096)
	for range 100 {
		if n, err := src.Read(data); n > 0 || err != nil {
			to <- chunk{data: data[:n], err: err}
			return
		}
	}
	to <- chunk{err: io.ErrNoProgress}
}

func readError(err error) error {
	if errors.Is(err, io.EOF) {
		return ErrEndOfInput
	}
	return fmt.Errorf("reading what was typed: %w", err)
}
