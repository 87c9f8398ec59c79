// Package yamldoc reads and writes the YAML files of rules and jobs.
//
// It is the only package that knows the YAML library. What a sign maker typed
// is read once into a tree, checked, and handed out as values that know their
// place in the file, so that every complaint can point at a line and a column.
//
// It refuses what makes a file mean something other than it shows: anchors,
// aliases, merge keys, tags, second documents, repeated keys, control
// characters, text that is not UTF-8, and files past a stated size, depth or
// number of entries. It also refuses to guess types: a scalar is text until
// the caller asks for a number or a yes/no, and that is then judged from what
// was typed. It sits above package source and below everything that has a
// meaning.
package yamldoc

import (
	"fmt"
	"io"

	"filmfault/internal/source"
)

// maxProblems is the number of complaints after which a file is not looked
// through any further: nobody reads more, and a hostile file could ask for
// millions.
const maxProblems = 100

// Limits bounds what a file may ask of the machine. A field that is zero or
// negative stands for its default.
type Limits struct {
	// Bytes is the largest size of the file in bytes.
	Bytes int64
	// Depth is the deepest nesting of maps and lists; the outermost is 1.
	Depth int
	// Nodes is the largest number of maps, lists, keys and scalars.
	Nodes int
}

// DefaultLimits gives 8 MiB, a nesting of 64 and 200 000 entries, each far
// above any file written by hand.
func DefaultLimits() Limits {
	return Limits{Bytes: 8 << 20, Depth: 64, Nodes: 200_000}
}

// orDefault fills in the fields that were not set.
func (l Limits) orDefault() Limits {
	d := DefaultLimits()
	if l.Bytes > 0 {
		d.Bytes = l.Bytes
	}
	if l.Depth > 0 {
		d.Depth = l.Depth
	}
	if l.Nodes > 0 {
		d.Nodes = l.Nodes
	}
	return d
}

// ReadAll reads a file into memory, stopping one byte past lim.Bytes: a file
// that is larger gives no bytes and a diagnostic. The error is that of r only.
func ReadAll(r io.Reader, name string, lim Limits) ([]byte, source.List, error) {
	lim = lim.orDefault()
	data, err := io.ReadAll(io.LimitReader(r, lim.Bytes+1))
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", name, err)
	}
	if list := checkSize(name, data, lim); list.HasErrors() {
		return nil, list, nil
	}
	return data, nil, nil
}

// Parse reads one YAML document. name is the file name used in every span.
// When the list has errors the value is Missing, on which every method is
// silent and gives nothing.
func Parse(name string, data []byte, lim Limits) (Value, source.List) {
	lim = lim.orDefault()
	if name == "" {
		name = "(no name)"
	}
	if list := checkSize(name, data, lim); list.HasErrors() {
		return Value{}, list
	}
	doc, list := scan(name, data)
	if list.HasErrors() {
		return Value{}, list
	}
	return doc.parse(lim)
}

// checkSize refuses a file of more bytes than the limit.
func checkSize(name string, data []byte, lim Limits) source.List {
	var list source.List
	if int64(len(data)) > lim.Bytes {
		list.Error(source.Span{File: name}, "too-big",
			fmt.Sprintf("the file is larger than %d bytes, which is more than this program reads", lim.Bytes),
			"a smaller file, or several files")
	}
	return list
}

// parse decodes the text and walks the tree once.
func (d *document) parse(lim Limits) (Value, source.List) {
	var list source.List
	root, second, err := decode(d.text)
	switch {
	case err != nil:
		d.syntaxProblem(&list, err)
	case root == nil || len(root.Content) == 0:
		list.Error(source.Span{File: d.name}, "empty",
			"there is nothing in the file but blank lines or comments",
			"at least one line such as \"title: what happened\"")
	case second != nil:
		list.Error(d.span(second), "second-document",
			"a line \"---\" begins a second document, and only one is read from a file",
			"the second document into a file of its own")
	default:
		d.root = root
		w := walker{doc: d, lim: lim}
		w.walk(root.Content[0], 1)
		list = w.list
	}
	if list.HasErrors() {
		return Value{}, list
	}
	return Value{doc: d, node: root.Content[0]}, list
}
