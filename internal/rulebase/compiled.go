package rulebase

import (
	"bytes"
	"crypto/sha256"
	"encoding/gob"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
)

// compiledForm is the version of the compiled form; a base compiled by another
// version of the program is not read.
const compiledForm = 2

// compiled is a checked base in a form that is read ten times faster than its
// files. It is a copy, never the truth: it names the bytes it was made from.
type compiled struct {
	Form int
	Base Base
	Was  map[string]string
}

// errZeroBound says that a band begins or ends at exactly 0, which the compiled
// form cannot tell from no bound.
var errZeroBound = errors.New("a band bounded at 0 cannot be compiled")

// Compile writes the compiled form of a base.
func (b *Base) Compile() ([]byte, error) {
	for _, f := range b.Facts {
		if zeroBound(f.Answers) {
			return nil, fmt.Errorf("%s: %w", f.ID, errZeroBound)
		}
	}
	for _, f := range b.Findings {
		if zeroBound(f.Answers) {
			return nil, fmt.Errorf("%s: %w", f.ID, errZeroBound)
		}
	}
	var out bytes.Buffer
	err := gob.NewEncoder(&out).Encode(compiled{compiledForm, *b, b.was})
	return out.Bytes(), err
}

func zeroBound(answers []Answer) bool {
	for _, a := range answers {
		if a.From != nil && *a.From == 0 || a.Below != nil && *a.Below == 0 {
			return true
		}
	}
	return false
}

// LoadCompiled reads a compiled base, if it was made from just these files by
// this version of the program; else not ok, and Load is to be used.
func LoadCompiled(l Layer, data []byte) (base *Base, ok bool) {
	var c compiled
	if err := gob.NewDecoder(bytes.NewReader(data)).Decode(&c); err != nil || c.Form != compiledForm {
		return nil, false
	}
	if digest, err := digestOf(l); err != nil || digest != c.Base.Digest || len(c.Base.Layers) != 1 || c.Base.Layers[0] != l.Name {
		return nil, false
	}
	b := &c.Base
	b.was = c.Was
	b.index()
	return b, true
}

// index finds every entry by its id again.
func (b *Base) index() {
	b.caution, b.fact, b.event = map[string]int{}, map[string]int{}, map[string]int{}
	b.gate, b.finding = map[string]int{}, map[string]int{}
	for i, x := range b.Cautions {
		b.caution[x.ID] = i
	}
	for i, x := range b.Facts {
		b.fact[x.ID] = i
	}
	for i, x := range b.Events {
		b.event[x.ID] = i
	}
	for i, x := range b.Gates {
		b.gate[x.ID] = i
	}
	for i, x := range b.Findings {
		b.finding[x.ID] = i
	}
	b.sortFailures()
	b.findTrees()
}

// digestOf is the digest that a base of this layer alone has.
func digestOf(l Layer) (string, error) {
	names, err := ruleFiles(l.FS)
	if err != nil {
		return "", err
	}
	sum := sha256.New()
	for _, n := range names {
		data, err := fs.ReadFile(l.FS, n)
		if err != nil {
			return "", err
		}
		addFile(sum, 0, n, data)
	}
	return shortDigest(sum.Sum(nil)), nil
}

// addFile adds a file to the digest of a base.
func addFile(sum io.Writer, layer int, name string, data []byte) {
	fmt.Fprintf(sum, "%d %s %d\n", layer, name, len(data)) // a hash never fails
	_, _ = sum.Write(data)
}

func shortDigest(sum []byte) string { return hex.EncodeToString(sum)[:12] }
