package yamldoc

import (
	"fmt"
	"strings"

	"gopkg.in/yaml.v3"

	"filmfault/internal/source"
)

// quotedStyles are the ways to write a scalar that can only be a text.
const quotedStyles = yaml.DoubleQuotedStyle | yaml.SingleQuotedStyle | yaml.LiteralStyle | yaml.FoldedStyle

// Kind is what a value is, judged from what was typed.
type Kind int

// The kinds. Missing is the zero value: a key that is not there, or a file
// that was refused. Null is a key with nothing after it, or "~" or "null".
// Every other scalar is Text, numbers and yes/no included. Mapping is a map of
// keys and values.
const (
	Missing Kind = iota
	Null
	Text
	List
	Mapping
)

// String names the kind in words.
func (k Kind) String() string {
	switch k {
	case Null:
		return "nothing"
	case Text:
		return "a text"
	case List:
		return "a list"
	case Mapping:
		return "a map"
	default:
		return "missing"
	}
}

// Value is a value of a file that knows its place. It is small and may be
// copied. The zero Value is Missing; every reading method on a Missing value
// is silent and gives nothing, because its absence has been reported by Need
// or was allowed by Get.
type Value struct {
	doc  *document
	node *yaml.Node
	// key is the key the value stands behind, nil in a list and at the root.
	key *yaml.Node
}

// Span is where the value stands. For a key with nothing after it this is the
// key; for a Missing value the zero Span.
func (v Value) Span() source.Span {
	switch {
	case v.node == nil:
		return source.Span{}
	case v.key != nil && v.Kind() == Null && v.node.Value == "":
		return v.doc.span(v.key)
	}
	return v.doc.span(v.node)
}

// Kind says what the value is.
func (v Value) Kind() Kind {
	switch {
	case v.node == nil:
		return Missing
	case v.node.Kind == yaml.MappingNode:
		return Mapping
	case v.node.Kind == yaml.SequenceNode:
		return List
	case v.Quoted():
		return Text
	}
	switch v.node.Value {
	case "", "~", "null", "Null", "NULL":
		return Null
	}
	return Text
}

// IsMap reports whether the value is a map.
func (v Value) IsMap() bool { return v.Kind() == Mapping }

// IsList reports whether the value is a list.
func (v Value) IsList() bool { return v.Kind() == List }

// IsText reports whether the value is a scalar other than nothing.
func (v Value) IsText() bool { return v.Kind() == Text }

// Quoted reports whether the value is a scalar in quotes or a block of lines
// behind | or >.
func (v Value) Quoted() bool {
	return v.node != nil && v.node.Kind == yaml.ScalarNode && v.node.Style&quotedStyles != 0
}

// Items gives the items of a list, in file order. Anything else but a Missing
// value is reported; what names the value in words, such as "the steps".
func (v Value) Items(d *source.List, what string) []Value {
	if v.Kind() != List {
		v.refuse(d, what, "a list", "each item on a line of its own, behind \"- \"")
		return nil
	}
	items := make([]Value, len(v.node.Content))
	for i, n := range v.node.Content {
		items[i] = Value{doc: v.doc, node: n}
	}
	return items
}

// OneOrMore is Items, but takes a single text for a list of one.
func (v Value) OneOrMore(d *source.List, what string) []Value {
	if v.IsText() {
		return []Value{v}
	}
	return v.Items(d, what)
}

// Text gives a scalar as it was written, without its quotes. Nothing, blanks,
// a list and a map are reported and give "".
func (v Value) Text(d *source.List, what string) string {
	if !v.IsText() {
		v.refuse(d, what, "a text", "a text on the same line, after the colon")
		return ""
	}
	if strings.TrimSpace(v.node.Value) == "" {
		d.Error(v.Span(), "empty-text", what+" is empty", "a text, or leave the line out")
		return ""
	}
	return v.node.Value
}

// TextOr gives a scalar as it was written, and def for everything else.
func (v Value) TextOr(def string) string {
	if !v.IsText() {
		return def
	}
	return v.node.Value
}

// Plain gives everything below the value: map[string]any, []any, string, and
// nil for nothing. Numbers and yes/no stay the strings they were typed as.
func (v Value) Plain() any {
	switch v.Kind() {
	case Mapping:
		m := make(map[string]any, len(v.node.Content)/2)
		for i := 0; i+1 < len(v.node.Content); i += 2 {
			m[v.node.Content[i].Value] = Value{doc: v.doc, node: v.node.Content[i+1]}.Plain()
		}
		return m
	case List:
		l := make([]any, len(v.node.Content))
		for i, n := range v.node.Content {
			l[i] = Value{doc: v.doc, node: n}.Plain()
		}
		return l
	case Text:
		return v.node.Value
	default:
		return nil
	}
}

// refuse reports that a value is not what it should be; a Missing value is
// passed over in silence.
func (v Value) refuse(d *source.List, what, wanted, remedy string) {
	switch v.Kind() {
	case Missing:
	case Null:
		d.Error(v.Span(), "empty-value", what+" is empty", remedy)
	default:
		d.Error(v.Span(), "wrong-shape", fmt.Sprintf("%s must be %s, this is %s", what, wanted, v.Kind()), remedy)
	}
}
