package yamldoc

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// Map is an ordered map being built for Render. Make one with NewMap.
type Map struct {
	known  []string
	keys   []string
	values map[string]any
}

// NewMap begins an empty map. known declares the keys the program is in charge
// of: when the map is rendered over an old file, an old key that is declared
// but not set is taken out, and an old key that is not declared is kept as it
// was. With nothing declared every old key that is not set is kept.
func NewMap(known ...string) *Map {
	return &Map{known: slices.Clone(known), values: map[string]any{}}
}

// Set gives a key its value; a key that was set before keeps its place. x is a
// string, int, float64, bool, []string, *Map, []*Map or Value (written again
// as it was read); Render reports anything else as an error.
func (m *Map) Set(key string, x any) {
	if _, ok := m.values[key]; !ok {
		m.keys = append(m.keys, key)
	}
	m.values[key] = x
}

// Keys gives the keys in the order in which they were first set.
func (m *Map) Keys() []string { return slices.Clone(m.keys) }

// build makes the node for a value that was set. old is the node it takes the
// place of, or nil.
func build(x any, old *yaml.Node) (*yaml.Node, error) {
	switch x := x.(type) {
	case string:
		return textNode(x, old)
	case int:
		return plainNode(strconv.Itoa(x), old), nil
	case bool:
		return plainNode(strconv.FormatBool(x), old), nil
	case float64:
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return nil, fmt.Errorf("the number %v cannot be written", x)
		}
		return plainNode(strconv.FormatFloat(x, 'f', -1, 64), old), nil
	case []string:
		used := map[*yaml.Node]bool{}
		return listNode(len(x), old, func(i int) (*yaml.Node, error) {
			return textNode(x[i], sameText(old, x[i], used))
		})
	case *Map:
		return x.node(old)
	case []*Map:
		used := map[*yaml.Node]bool{}
		return listNode(len(x), old, func(i int) (*yaml.Node, error) {
			return x[i].node(x[i].match(old, used))
		})
	case Value:
		if x.node == nil {
			return nil, fmt.Errorf("a missing value cannot be written")
		}
		return duplicate(x.node), nil
	}
	return nil, fmt.Errorf("a value of type %T cannot be written", x)
}

// plainNode is a scalar that needs no quotes.
func plainNode(text string, old *yaml.Node) *yaml.Node {
	n := &yaml.Node{Kind: yaml.ScalarNode, Value: text}
	keepComments(n, old)
	return n
}

// textNode is a scalar for a text, in the style that reads back as that text.
// Quotes that the old text had around the same words stay.
func textNode(text string, old *yaml.Node) (*yaml.Node, error) {
	if err := writable(text); err != nil {
		return nil, err
	}
	n := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: text, Style: textStyle(text)}
	if old != nil && old.Kind == yaml.ScalarNode && old.Value == text && old.Style&quotedStyles != 0 {
		n.Style = survives(old)
	}
	keepComments(n, old)
	return n, nil
}

// writable refuses texts that Parse would refuse.
func writable(text string) error {
	if !utf8.ValidString(text) {
		return fmt.Errorf("the text %q is not UTF-8", text)
	}
	for _, r := range text {
		if !printable(r) {
			return fmt.Errorf("the text %q holds the character U+%04X, which cannot be seen", text, r)
		}
	}
	return nil
}

// textStyle picks how a text is written: plain when no YAML reader can take it
// for anything else, a literal block for several lines, quotes otherwise.
func textStyle(text string) yaml.Style {
	switch {
	case strings.Contains(text, "\n") && literalSafe(text):
		return yaml.LiteralStyle
	case plainSafe(text):
		return 0
	case strings.ContainsAny(text, `"\`) && !strings.ContainsAny(text, "'\n\t"):
		return yaml.SingleQuotedStyle
	}
	return yaml.DoubleQuotedStyle
}

// literalSafe reports whether a text of several lines survives in a literal
// block. Blanks at the start, lines of nothing but blanks and blank lines at
// the ends are where readers and writers of YAML disagree.
func literalSafe(text string) bool {
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	for _, line := range lines {
		if line != "" && strings.TrimSpace(line) == "" {
			return false
		}
	}
	first, last := lines[0], lines[len(lines)-1]
	return first != "" && last != "" && first[0] != ' ' && first[0] != '\t'
}

// plainSafe reports whether a text may stand without quotes. It must begin
// with a letter, or be a quantity such as "12 mil", hold nothing that YAML
// gives a meaning, and not be one of the words that some reader takes for a
// yes, a no or nothing.
func plainSafe(text string) bool {
	if text == "" || strings.HasSuffix(text, " ") || reserved(text) {
		return false
	}
	for _, r := range text {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune(" _-./()+%,;'°", r) {
			return false
		}
	}
	first, _ := utf8.DecodeRuneInString(text)
	return unicode.IsLetter(first) || quantityLike(text)
}

// quantityLike reports whether a text is digits, a space and then a word.
func quantityLike(text string) bool {
	number, word, found := strings.Cut(text, " ")
	if !found || word == "" || number == "" || strings.Count(number, "-") > 1 {
		return false
	}
	first, _ := utf8.DecodeRuneInString(word)
	return number[0] >= '0' && number[0] <= '9' && unicode.IsLetter(first)
}

// reserved lists the words with a meaning in YAML 1.1 (types bool and null,
// yaml.org/type) and 1.2, in any case.
func reserved(text string) bool {
	switch strings.ToLower(text) {
	case "y", "n", "yes", "no", "on", "off", "true", "false", "null", "nan", "inf":
		return true
	}
	return false
}

// listNode is a block list of n items.
func listNode(n int, old *yaml.Node, item func(int) (*yaml.Node, error)) (*yaml.Node, error) {
	list := &yaml.Node{Kind: yaml.SequenceNode}
	if n == 0 {
		list.Style = yaml.FlowStyle
	}
	for i := range n {
		child, err := item(i)
		if err != nil {
			return nil, err
		}
		list.Content = append(list.Content, child)
	}
	keepComments(list, old)
	return list, nil
}

// sameText finds the first old list item with a text that was not used yet;
// its comments are kept.
func sameText(old *yaml.Node, text string, used map[*yaml.Node]bool) *yaml.Node {
	if old == nil || old.Kind != yaml.SequenceNode {
		return nil
	}
	for _, n := range old.Content {
		if n.Kind == yaml.ScalarNode && n.Value == text && !used[n] {
			used[n] = true
			return n
		}
	}
	return nil
}

// keepComments carries the comments of the old node over.
func keepComments(n, old *yaml.Node) {
	if old == nil {
		return
	}
	n.HeadComment, n.LineComment, n.FootComment = old.HeadComment, old.LineComment, old.FootComment
}

// survives is the style of a node, or quotes where its block of lines would not
// read back as it was.
func survives(n *yaml.Node) yaml.Style {
	if n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0 && !literalSafe(n.Value) {
		return yaml.DoubleQuotedStyle
	}
	return n.Style
}

// duplicate copies a node and what is in it. Nothing at all inside { } or [ ]
// gets its name: the library would write it as an empty text.
func duplicate(n *yaml.Node) *yaml.Node {
	c := *n
	c.Style = survives(n)
	c.Content = make([]*yaml.Node, len(n.Content))
	for i, child := range n.Content {
		c.Content[i] = duplicate(child)
		if n.Style&yaml.FlowStyle != 0 && child.Tag == "!!null" && child.Value == "" {
			c.Content[i].Value = "null"
		}
	}
	return &c
}
