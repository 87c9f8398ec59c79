package airlog

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// ErrTooLarge says that a file is over the limit of Options.MaxBytes.
var ErrTooLarge = errors.New("the log is too large")

// ErrNotText says that a file is no text, such as a spreadsheet or the logger's
// own format.
var ErrNotText = errors.New("the log is not a text file: export it from the logger's program as CSV")

// load reads a whole file as text. A file that can tell its size is refused
// without being read, any other after limit bytes.
func load(r io.Reader, limit int64) (string, error) {
	if limit <= 0 {
		limit = defaultMaxBytes
	}
	if s, ok := r.(interface{ Stat() (fs.FileInfo, error) }); ok {
		if info, err := s.Stat(); err == nil && info.Size() > limit {
			return "", tooLarge(limit)
		}
	}
	data, err := io.ReadAll(io.LimitReader(r, limit+1))
	if err != nil {
		return "", fmt.Errorf("reading the log: %w", err)
	}
	if int64(len(data)) > limit {
		return "", tooLarge(limit)
	}
	return decode(data)
}

// tooLarge is the refusal of a file over the limit.
func tooLarge(limit int64) error {
	return fmt.Errorf("%w: it has over %.3g MB; export the days of the job only", ErrTooLarge, float64(limit)/(1<<20))
}

// decode turns bytes into text: UTF-8 and UTF-16 with or without a byte-order
// mark, and what is neither as Latin-1, in which old exports write the degree
// sign.
func decode(data []byte) (string, error) {
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xfe")):
		return fromUTF16(data[2:], binary.LittleEndian)
	case bytes.HasPrefix(data, []byte("\xfe\xff")):
		return fromUTF16(data[2:], binary.BigEndian)
	case len(data) > 3 && data[0] != 0 && data[1] == 0 && data[2] != 0 && data[3] == 0:
		return fromUTF16(data, binary.LittleEndian)
	case len(data) > 3 && data[0] == 0 && data[1] != 0 && data[2] == 0 && data[3] != 0:
		return fromUTF16(data, binary.BigEndian)
	case bytes.IndexByte(data, 0) >= 0:
		return "", ErrNotText
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if utf8.Valid(data) {
		return string(data), nil
	}
	return fromLatin1(data), nil
}

// fromUTF16 decodes UTF-16; an odd last byte is dropped.
func fromUTF16(data []byte, order binary.ByteOrder) (string, error) {
	units := make([]uint16, len(data)/2)
	for i := range units {
		units[i] = order.Uint16(data[2*i:])
	}
	text := string(utf16.Decode(units))
	if strings.ContainsRune(text, 0) {
		return "", ErrNotText
	}
	return text, nil
}

// fromLatin1 decodes ISO 8859-1.
func fromLatin1(data []byte) string {
	var b strings.Builder
	b.Grow(len(data) + len(data)/8)
	for _, c := range data {
		b.WriteRune(rune(c))
	}
	return b.String()
}

// lines walks through the lines of a text, whatever ends them.
type lines struct {
	text   string
	number int // of the line last given, from 1
}

// next gives the next line, or false at the end.
func (l *lines) next() (string, bool) {
	if l.text == "" {
		return "", false
	}
	l.number++
	end := strings.IndexAny(l.text, "\r\n")
	if end < 0 {
		line := l.text
		l.text = ""
		return line, true
	}
	line := l.text[:end]
	if strings.HasPrefix(l.text[end:], "\r\n") {
		end++
	}
	l.text = l.text[end+1:]
	return line, true
}

// split cuts a line into its cells, without blanks around them. A cell in
// double quotes may hold the delimiter; two quotes in it are one. cells is used
// again for the result.
func split(line string, delimiter byte, cells []string) []string {
	cells = cells[:0]
	for {
		line = strings.TrimLeft(line, " ")
		if strings.HasPrefix(line, `"`) {
			var cell string
			cell, line = quoted(line[1:])
			end := strings.IndexByte(line, delimiter)
			cells = append(cells, strings.TrimSpace(cell))
			if end < 0 {
				return cells
			}
			line = line[end+1:]
			continue
		}
		end := strings.IndexByte(line, delimiter)
		if end < 0 {
			return append(cells, strings.TrimSpace(line))
		}
		cells = append(cells, strings.TrimSpace(line[:end]))
		line = line[end+1:]
	}
}

// quoted reads a cell up to its closing quote, or to the end of the line when
// there is none.
func quoted(line string) (cell, rest string) {
	end := strings.IndexByte(line, '"')
	if end < 0 {
		return line, ""
	}
	if !strings.HasPrefix(line[end+1:], `"`) {
		return line[:end], line[end+1:]
	}
	var b strings.Builder
	for end >= 0 {
		b.WriteString(line[:end])
		line = line[end+1:]
		if !strings.HasPrefix(line, `"`) {
			return b.String(), line
		}
		b.WriteByte('"')
		line = line[1:]
		end = strings.IndexByte(line, '"')
	}
	b.WriteString(line)
	return b.String(), ""
}
