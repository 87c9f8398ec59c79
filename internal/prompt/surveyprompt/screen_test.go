//go:build linux

package surveyprompt_test

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"filmfault/internal/console"
)

// screen is a terminal's screen as far as lists need one: letters, line ends,
// scrolling, and the few cursor movements survey uses. It answers no queries,
// as some terminals do not, and notes what it did not understand.
type screen struct {
	width, height int
	cells         [][]rune
	row, col      int
	full          bool // a letter stands in the last column; the next one wraps
	savedRow      int
	savedCol      int
	hidden        bool // the cursor
	unknown       []string
	raw           string // everything ever received
	rest          string // the start of a code whose end is still to come
}

func newScreen(width, height int) *screen {
	s := &screen{width: width, height: height}
	for range height {
		s.cells = append(s.cells, s.emptyRow())
	}
	return s
}

func (s *screen) emptyRow() []rune { return []rune(strings.Repeat(" ", s.width)) }

// String is what can be seen, without the empty ends of lines.
func (s *screen) String() string {
	var b strings.Builder
	for _, row := range s.cells {
		b.WriteString(strings.TrimRight(strings.ReplaceAll(string(row), "\x00", ""), " ") + "\n")
	}
	return strings.TrimRight(b.String(), "\n")
}

// feed receives output.
func (s *screen) feed(data string) {
	s.raw += data
	data = s.rest + data
	s.rest = ""
	for data != "" {
		if data[0] == 0x1b {
			n := s.code(data)
			if n == 0 {
				s.rest = data
				return
			}
			data = data[n:]
			continue
		}
		if !utf8.FullRuneInString(data) {
			s.rest = data
			return
		}
		r, n := utf8.DecodeRuneInString(data)
		s.letter(r)
		data = data[n:]
	}
}

func (s *screen) letter(r rune) {
	switch r {
	case '\r':
		s.col, s.full = 0, false
	case '\n':
		s.full = false
		s.down()
	case '\b':
		s.col, s.full = max(0, s.col-1), false
	case '\a':
	default:
		s.put(r)
	}
}

func (s *screen) down() {
	if s.row++; s.row == s.height {
		s.row--
		s.cells = append(s.cells[1:], s.emptyRow())
	}
}

func (s *screen) put(r rune) {
	w := console.DisplayWidth(string(r))
	if w == 0 {
		return
	}
	if s.full || s.col+w > s.width {
		s.col, s.full = 0, false
		s.down()
	}
	s.cells[s.row][s.col] = r
	if w == 2 {
		s.cells[s.row][s.col+1] = 0
	}
	if s.col += w; s.col >= s.width {
		s.col, s.full = s.width-1, true
	}
}

// code obeys the code at the start of data and returns its length, 0 if it is
// not all there yet.
func (s *screen) code(data string) int {
	if len(data) < 2 {
		return 0
	}
	switch data[1] {
	case '7':
		s.savedRow, s.savedCol = s.row, s.col
		return 2
	case '8':
		s.row, s.col, s.full = s.savedRow, s.savedCol, false
		return 2
	case '[':
	default:
		s.unknown = append(s.unknown, data[:2])
		return 2
	}
	end := strings.IndexFunc(data[2:], func(r rune) bool { return r >= '@' && r <= '~' })
	if end < 0 {
		return 0
	}
	s.csi(data[2:2+end], data[2+end])
	return 3 + end
}

func (s *screen) csi(params string, final byte) {
	n, _ := strconv.Atoi(params)
	s.full = s.full && final == 'm'
	switch final {
	case 'A':
		s.row = max(0, s.row-max(1, n))
	case 'B':
		s.row = min(s.height-1, s.row+max(1, n))
	case 'C':
		s.col = min(s.width-1, s.col+max(1, n))
	case 'D':
		s.col = max(0, s.col-max(1, n))
	case 'G':
		s.col = min(s.width, max(1, n)) - 1
	case 'K':
		s.erase(n)
	case 'm':
	case 'h', 'l':
		s.hidden = final == 'l'
	default:
		s.unknown = append(s.unknown, "CSI "+params+string(final))
	}
}

func (s *screen) erase(mode int) {
	from, to := s.col, s.width
	if mode == 1 {
		from, to = 0, s.col+1
	}
	if mode == 2 {
		from = 0
	}
	for i := from; i < to; i++ {
		s.cells[s.row][i] = ' '
	}
}
