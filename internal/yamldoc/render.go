package yamldoc

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"
)

// Render writes a map as a YAML file, indented by two spaces, each text in
// such a style that Parse gives the same text back. When old is a map, keys of
// old that m did not declare (see NewMap) stay in their place with their
// comments, and so do the comments on keys that are set again; keys new to the
// file follow the key that m sets before them. Maps in a list are matched with
// those of old by the text behind their first key.
//
// The bytes are read back before they are given out: Render refuses with an
// error rather than write a file that says something else. It also refuses
// values it does not know, numbers that are not finite, and texts that hold
// control characters or are not UTF-8.
func Render(m *Map, old Value) ([]byte, error) {
	root, err := m.node(old.node)
	if err != nil {
		return nil, err
	}
	return encode(root, old)
}

// encode writes a tree and makes sure that it reads back the same.
func encode(root *yaml.Node, old Value) ([]byte, error) {
	doc := &yaml.Node{Kind: yaml.DocumentNode, Content: []*yaml.Node{root}}
	if old.IsMap() && old.doc.root.Content[0] == old.node {
		keepComments(doc, old.doc.root)
	}
	out, err := marshal(doc)
	if err != nil {
		return nil, fmt.Errorf("the file cannot be written: %w", err)
	}
	back, list := Parse("(written)", out, Limits{Bytes: int64(len(out)) + 1, Nodes: 1 << 30})
	if list.HasErrors() {
		return nil, fmt.Errorf("the file would not be readable once written: %s", list[0])
	}
	if !reflect.DeepEqual(back.Plain(), Value{node: root}.Plain()) {
		return nil, errors.New("the file would say something else once written")
	}
	return out, nil
}

// marshal calls the library, which panics on some trees instead of returning
// an error.
func marshal(doc *yaml.Node) (out []byte, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%v", r)
		}
	}()
	var b bytes.Buffer
	enc := yaml.NewEncoder(&b)
	enc.SetIndent(2)
	if err := enc.Encode(doc); err != nil {
		return nil, err
	}
	if err := enc.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// node makes the tree of a map over the node it takes the place of.
func (m *Map) node(old *yaml.Node) (*yaml.Node, error) {
	if m == nil {
		return nil, errors.New("a map that was never made cannot be written")
	}
	if old != nil && old.Kind != yaml.MappingNode {
		old = nil
	}
	n := &yaml.Node{Kind: yaml.MappingNode}
	keepComments(n, old)
	for _, key := range m.order(old) {
		pair, err := m.pair(key, old)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", key, err)
		}
		n.Content = append(n.Content, pair...)
	}
	if len(n.Content) == 0 {
		n.Style = yaml.FlowStyle
	}
	return n, nil
}

// pair gives the nodes of a key and its value: new when m sets the key, as
// they were otherwise.
func (m *Map) pair(key string, old *yaml.Node) ([]*yaml.Node, error) {
	oldKey, oldValue := lookup(old, key)
	x, set := m.values[key]
	if !set {
		return []*yaml.Node{duplicate(oldKey), duplicate(oldValue)}, nil
	}
	if key == "" {
		return nil, errors.New("a key without a name cannot be written")
	}
	k, err := textNode(key, oldKey)
	if err != nil {
		return nil, err
	}
	v, err := build(x, oldValue)
	if err != nil {
		return nil, err
	}
	if strings.Contains(key, "\n") {
		// A key of several lines is only a key in quotes.
		k.Style = yaml.DoubleQuotedStyle
	}
	return []*yaml.Node{k, v}, nil
}

// order gives the keys of the new map: the old ones that stay, in their old
// order, and each new one after the key that m sets before it.
func (m *Map) order(old *yaml.Node) []string {
	var keys []string
	for i := 0; old != nil && i+1 < len(old.Content); i += 2 {
		if key := old.Content[i].Value; m.stays(key) {
			keys = append(keys, key)
		}
	}
	at := 0
	for _, key := range m.keys {
		if i := slices.Index(keys, key); i >= 0 {
			at = i + 1
			continue
		}
		keys = slices.Insert(keys, at, key)
		at++
	}
	return keys
}

// stays reports whether an old key is in the new map.
func (m *Map) stays(key string) bool {
	_, set := m.values[key]
	return set || !slices.Contains(m.known, key)
}

// match finds the old list item that a map takes the place of: the first one
// not used yet with the same text behind the map's first key.
func (m *Map) match(old *yaml.Node, used map[*yaml.Node]bool) *yaml.Node {
	if m == nil || len(m.keys) == 0 || old == nil || old.Kind != yaml.SequenceNode {
		return nil
	}
	want, err := build(m.values[m.keys[0]], nil)
	if err != nil || want.Kind != yaml.ScalarNode {
		return nil
	}
	for _, item := range old.Content {
		_, v := lookup(item, m.keys[0])
		if v != nil && v.Kind == yaml.ScalarNode && v.Value == want.Value && !used[item] {
			used[item] = true
			return item
		}
	}
	return nil
}

// lookup finds a key and its value in a map node; nil when it is not there.
func lookup(n *yaml.Node, key string) (k, v *yaml.Node) {
	if n == nil || n.Kind != yaml.MappingNode {
		return nil, nil
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return n.Content[i], n.Content[i+1]
		}
	}
	return nil, nil
}
