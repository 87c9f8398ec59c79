package yamldoc

import (
	"fmt"
	"slices"
	"strings"

	"filmfault/internal/source"
)

// listedKeys is the number of keys up to which a remedy lists all of them.
const listedKeys = 12

// Fields is a map opened for reading by key. The zero Fields is that of a
// value that was no map; it is silent, because that has been reported.
type Fields struct {
	value   Value
	what    string
	keys    []string
	pairs   map[string]Value
	unknown []string
}

// Fields opens a map. A value that is no map is reported, except a Missing
// one. Keys that are not known are reported with the nearest known key; with
// no known keys at all every key is allowed. what names the map in words, such
// as "a cause".
func (v Value) Fields(d *source.List, what string, known ...string) Fields {
	f := v.FieldsKeepingUnknown(d, what, known...)
	for _, key := range f.unknown {
		f.refuseKey(d, key, known)
	}
	return f
}

// FieldsKeepingUnknown opens a map as Fields does, for files whose unknown
// keys are kept and not refused; Unknown lists them.
func (v Value) FieldsKeepingUnknown(d *source.List, what string, known ...string) Fields {
	if !v.IsMap() {
		v.refuse(d, what, "a map of keys and values",
			"its keys below it, indented by two spaces, each as \"key: value\"")
		return Fields{}
	}
	f := Fields{value: v, what: what, pairs: make(map[string]Value, len(v.node.Content)/2)}
	for i := 0; i+1 < len(v.node.Content); i += 2 {
		key := v.node.Content[i]
		f.keys = append(f.keys, key.Value)
		f.pairs[key.Value] = Value{doc: v.doc, node: v.node.Content[i+1], key: key}
		if len(known) > 0 && !slices.Contains(known, key.Value) {
			f.unknown = append(f.unknown, key.Value)
		}
	}
	return f
}

// refuseKey reports an unknown key.
func (f Fields) refuseKey(d *source.List, key string, known []string) {
	remedy := ""
	switch near, ok := source.Nearest(key, known); {
	case ok:
		remedy = near
	case len(known) <= listedKeys:
		remedy = "one of " + strings.Join(known, ", ")
	default:
		remedy = "one of the keys described for " + f.what + ", or leave the line out"
	}
	d.Error(f.KeySpan(key), "unknown-key", fmt.Sprintf("%s has no key %q", f.what, key), remedy)
}

// Get gives the value behind a key, Missing when the key is not there.
func (f Fields) Get(key string) Value { return f.pairs[key] }

// Has reports whether the key is there, be it with nothing after it.
func (f Fields) Has(key string) bool {
	_, ok := f.pairs[key]
	return ok
}

// Need gives the value behind a key, and reports at the place of the map when
// the key is not there.
func (f Fields) Need(d *source.List, key string) Value {
	v, ok := f.pairs[key]
	if !ok && f.value.node != nil {
		d.Error(f.Span(), "missing-key", fmt.Sprintf("%s needs the key %q", f.what, key),
			fmt.Sprintf("a line %q with its value", key+":"))
	}
	return v
}

// Keys gives the keys in file order.
func (f Fields) Keys() []string { return slices.Clone(f.keys) }

// KeySpan is where a key stands; the place of the map when it is not there.
func (f Fields) KeySpan(key string) source.Span {
	v, ok := f.pairs[key]
	if !ok {
		return f.Span()
	}
	return v.doc.span(v.key)
}

// Span is where the map stands: its first key.
func (f Fields) Span() source.Span { return f.value.Span() }

// Value is the map the fields were opened from.
func (f Fields) Value() Value { return f.value }

// Unknown gives the keys that are not known, in file order; none when no keys
// were named as known.
func (f Fields) Unknown() []string { return slices.Clone(f.unknown) }
