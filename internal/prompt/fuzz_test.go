package prompt_test

import (
	"errors"
	"io"
	"testing"

	"bytes"

	"filmfault/internal/prompt"
)

// FuzzPlain types anything at all at every kind of question: what comes out is
// always a reply the question allows, and the input always ends.
func FuzzPlain(f *testing.F) {
	for _, seed := range []string{
		"1\n", "2?\nprobably 3 # x", "n\nwhy\nb", "note\nnote x\n#y\np1\npick 2", "\xff\x00\x1b[A\n\r\n",
		"1-3 seen\nrest absent\ncracks=seen\ndone", "yes\nno\n.", "one\ntwo\n.\n", "\ufeff1", "probably",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		for _, a := range []prompt.Ask{
			blister(), thickness(), thickness(prompt.Choice{ID: "x", Text: "X"}), words(false), words(true),
			{ID: "bare", Title: "Bare", Choices: blister().Choices},
		} {
			fuzzAsk(t, in, a)
		}
		p := prompt.NewPlain(bytes.NewReader(in), io.Discard, width80)
		for {
			states, err := p.Pick(t.Context(), faults())
			if onlyEnd(t, err) {
				break
			}
			if err := faults().Accepts(states); err != nil {
				t.Fatal(err)
			}
		}
	})
}

func fuzzAsk(t *testing.T, in []byte, a prompt.Ask) {
	p := prompt.NewPlain(bytes.NewReader(in), io.Discard, width80)
	for {
		r, err := p.Ask(t.Context(), a)
		if onlyEnd(t, err) {
			return
		}
		if err := a.Accepts(r); err != nil {
			t.Fatalf("%+v: %v", r, err)
		}
	}
}

// onlyEnd says whether the input ended; any other error is a failure.
func onlyEnd(t *testing.T, err error) bool {
	if err != nil && !errors.Is(err, prompt.ErrEndOfInput) {
		t.Fatal(err)
	}
	return err != nil
}
