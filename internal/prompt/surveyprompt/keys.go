package surveyprompt

import (
	"context"
	"os"
	"unicode/utf8"

	"filmfault/internal/prompt"
)

// The keys that mean something in a list, as the terminal sends them.
const (
	ctrlC  = 0x03
	ctrlD  = 0x04
	ctrlH  = 0x08
	tab    = '\t'
	enter  = '\n'
	ctrlN  = 0x0e
	ctrlP  = 0x10
	ctrlU  = 0x15
	ctrlW  = 0x17
	ctrlX  = 0x18
	escape = 0x1b
	rubout = 0x7f
)

// keys is the keyboard as survey gets to see it. Each Read hands over one
// whole key and leaves the rest in the feed, where survey's own buffer would
// lose what was typed ahead. Ctrl-C ends the question here. It keeps from survey
// what survey handles badly:
//
//   - Ctrl-D, which survey takes for the option the mark stands on,
//   - Esc, which silently changes the meaning of the letters j and k,
//   - Alt with a letter, which ends the question with an error,
//   - keys with long codes (Ctrl with an arrow, Page Up), whose tail survey
//     would take for typed letters,
//   - broken UTF-8 and control keys without a meaning, such as Ctrl-Z.
type keys struct {
	ctx  context.Context
	feed *prompt.Feed
	file *os.File
}

// Fd lets survey switch the terminal's echo off and on.
func (k *keys) Fd() uintptr { return k.file.Fd() }

// Read waits for one key.
func (k *keys) Read(p []byte) (int, error) {
	for {
		key, err := k.next()
		if err != nil {
			return 0, err
		}
		if len(key) > 0 {
			return copy(p, key), nil
		}
	}
}

// next is the next key, or nothing for one that survey must not see.
func (k *keys) next() ([]byte, error) {
	b, err := k.feed.Byte(k.ctx)
	if err != nil {
		return nil, err
	}
	switch {
	case b == ctrlC:
		return nil, prompt.ErrInterrupted
	case b == ctrlD:
		return nil, prompt.ErrEndOfInput
	case b == escape:
		return k.sequence()
	case b >= utf8.RuneSelf:
		return k.letter(b)
	}
	return control(b), nil
}

// control passes on ASCII letters and the control keys with a meaning.
func control(b byte) []byte {
	switch b {
	case '\r':
		return []byte{enter}
	case ctrlU:
		return []byte{ctrlX} // survey's key for clearing what was typed
	case ctrlH, tab, enter, ctrlN, ctrlP, ctrlW, ctrlX, rubout:
		return []byte{b}
	}
	if b < ' ' {
		return nil
	}
	return []byte{b}
}

// letter reads the rest of a letter outside ASCII. A byte that cannot belong
// to it is left for the next key.
func (k *keys) letter(first byte) ([]byte, error) {
	text := []byte{first}
	for !utf8.FullRune(text) {
		b, err := k.feed.Peek(k.ctx)
		if err != nil {
			return nil, err
		}
		if utf8.RuneStart(b) {
			return nil, nil
		}
		text = append(text, b)
		_, _ = k.feed.Byte(k.ctx) // it was just seen to be there
	}
	if !utf8.Valid(text) {
		return nil, nil
	}
	return text, nil
}

// sequence reads the rest of a key that starts with Esc and passes on only the
// arrows up and down. An Esc pressed alone waits here, unseen, for what comes
// next: over a slow link the rest of an arrow key may come late.
func (k *keys) sequence() ([]byte, error) {
	b, err := k.feed.Peek(k.ctx)
	if err != nil || b != '[' && b != 'O' {
		return nil, err
	}
	for {
		_, _ = k.feed.Byte(k.ctx) // it was just seen to be there
		if b, err = k.feed.Peek(k.ctx); err != nil {
			return nil, err
		}
		switch {
		case b < ' ' || b >= rubout:
			return nil, nil // no such sequence: start afresh with b
		case b >= '@':
			_, _ = k.feed.Byte(k.ctx)
			return arrow(b), nil
		}
	}
}

func arrow(final byte) []byte {
	if final == 'A' || final == 'B' {
		return []byte{escape, '[', final}
	}
	return nil
}
