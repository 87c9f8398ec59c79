package surveyprompt

import (
	"context"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"filmfault/internal/prompt"
)

// pressed is the list of keys survey gets to see, and why they end.
func pressed(in io.Reader) ([]string, error) {
	k := &keys{ctx: context.Background(), feed: prompt.NewFeed(in)}
	var got []string
	data := make([]byte, 64)
	for {
		n, err := k.Read(data)
		if err != nil {
			return got, err
		}
		got = append(got, string(data[:n]))
	}
}

func TestKeys(t *testing.T) {
	const up, down = "\x1b[A", "\x1b[B"
	for _, row := range []struct {
		name, typed string
		want        []string
	}{
		{"letters", "aé日", []string{"a", "é", "日"}},
		{"enter", "\r\n", []string{"\n", "\n"}},
		{"arrows", "\x1b[A\x1b[B\x1bOA\x1bOB", []string{up, down, up, down}},
		{"arrows with Ctrl", "\x1b[1;5A", []string{up}},
		{"left, right, Home, End", "\x1b[C\x1b[D\x1b[H\x1bOF", nil},
		{"Page Up, F5, Delete", "\x1b[5~\x1b[15~\x1b[3~x", []string{"x"}},
		{"the cursor's place, unasked", "\x1b[12;40R", nil},
		{"Esc alone", "\x1b", nil},
		{"Esc, then a letter", "\x1bj", []string{"j"}},
		{"Esc, then an arrow", "\x1b\x1b[A", []string{up}},
		{"a sequence broken off", "\x1b[1\nx", []string{"\n", "x"}},
		{"a sequence broken off by a letter outside ASCII", "\x1b[é", []string{"é"}},
		{"editing", "\x08\x7f\x17\x15\x18\t\x0e\x10", []string{"\x08", "\x7f", "\x17", "\x18", "\x18", "\t", "\x0e", "\x10"}},
		{"control keys without a meaning", "\x00\x01\x02\x06\x1a\x1cx", []string{"x"}},
		{"broken letters", "\xffa\xe9b\xe6\x97", []string{"a", "b"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			for how, in := range map[string]io.Reader{
				"at once":      strings.NewReader(row.typed),
				"byte by byte": iotest.OneByteReader(strings.NewReader(row.typed)), // a slow link
			} {
				got, err := pressed(in)
				require.ErrorIs(t, err, prompt.ErrEndOfInput, how)
				require.Equal(t, row.want, got, how)
			}
		})
	}
}

func TestKeysThatEndAQuestion(t *testing.T) {
	got, err := pressed(strings.NewReader("ab\x03c"))
	require.ErrorIs(t, err, prompt.ErrInterrupted)
	require.Equal(t, []string{"a", "b"}, got)
	got, err = pressed(strings.NewReader("ab\x04c"))
	require.ErrorIs(t, err, prompt.ErrEndOfInput)
	require.Equal(t, []string{"a", "b"}, got)
	for _, half := range []string{"", "\x1b", "\x1b[", "\xe6"} {
		gone := errors.New("the keyboard is gone")
		_, err = pressed(io.MultiReader(strings.NewReader(half), iotest.ErrReader(gone)))
		require.ErrorIs(t, err, gone)
	}
}

func FuzzKeys(f *testing.F) {
	f.Add([]byte("a\x1b[A\x1bO\x1b[1;5\xff\xe6\x97\xa5\r"))
	f.Fuzz(func(t *testing.T, in []byte) {
		got, err := pressed(strings.NewReader(string(in)))
		if !errors.Is(err, prompt.ErrEndOfInput) && !errors.Is(err, prompt.ErrInterrupted) {
			t.Fatal(err)
		}
		for _, key := range got {
			if len([]rune(key)) != 1 && key != "\x1b[A" && key != "\x1b[B" || strings.Contains("\x00\x03\x04\x1b", key) {
				t.Fatalf("survey would see %q", key)
			}
		}
	})
}

func TestRecolour(t *testing.T) {
	for in, want := range map[string]string{
		"plain":                         "plain",
		"\x1b[1;92m? \x1b[0m":           "\x1b[1;35m? \x1b[0m",
		"\x1b[1;99mtitle":               "\x1b[1mtitle",
		"\x1b[36m[hint]":                "\x1b[35m[hint]",
		"\x1b[37mpale\x1b[97mpaler":     "palepaler",
		"\x1b[39m  option":              "\x1b[39m  option",
		"\x1b[31mwrong\x1b[91mwronger":  "\x1b[31mwrong\x1b[31mwronger",
		"\x1b[mreset":                   "\x1b[mreset",
		"\x1b[2K\x1b[0G\x1b[?25l moves": "\x1b[2K\x1b[0G\x1b[?25l moves",
	} {
		require.Equal(t, want, string(recolour([]byte(in), true)))
	}
	require.Equal(t, "a\x1b[2Kb", string(recolour([]byte("\x1b[1;92ma\x1b[2K\x1b[0mb"), false)))
}
