package yamldoc

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"filmfault/internal/source"
)

const (
	aliasSummary  = "the line refers to another place of the file with *, which is not read"
	aliasRemedy   = "what the * stands for, once more in full; a text that begins with * in double quotes"
	anchorSummary = "a name is given with &, which is not read"
	anchorRemedy  = "the value without the & and its name; a text that begins with & in double quotes"
	tagSummary    = "a type is given with !, which is not read"
	tagRemedy     = "the value without the ! and its name; a text that begins with ! in double quotes"
)

// walker goes once through a tree and reports what is refused everywhere.
type walker struct {
	doc   *document
	lim   Limits
	nodes int
	list  source.List
	at    cursor
}

// cursor is a place in the text that only moves forward, as the nodes of a
// tree do. Without it each node on a very long line would be looked for from
// the beginning of that line.
type cursor struct {
	line, column int
	rest         string
}

// move goes on to a place and gives the rest of its line.
func (c *cursor) move(d *document, line, column int) string {
	line = min(max(line, 1), len(d.lines))
	if line != c.line || column < c.column {
		*c = cursor{line, 1, d.lines[line-1]}
	}
	for c.column < column && c.rest != "" {
		_, size := utf8.DecodeRuneInString(c.rest)
		c.rest = c.rest[size:]
		c.column++
	}
	return c.rest
}

// walk checks a node and what is in it. depth counts maps and lists from 1.
// An alias is reported and never followed: it may lead back to itself.
func (w *walker) walk(n *yaml.Node, depth int) {
	if w.nodes++; w.nodes > w.lim.Nodes || len(w.list) >= maxProblems {
		w.stop()
		return
	}
	w.marks(n)
	switch n.Kind {
	case yaml.ScalarNode:
		w.scalar(n)
		return
	case yaml.AliasNode:
		return
	}
	if depth > w.lim.Depth {
		w.report(n, "too-deep", fmt.Sprintf("maps and lists are nested more than %d deep", w.lim.Depth),
			"the same with fewer steps of indentation or brackets")
		return
	}
	if n.Kind == yaml.MappingNode {
		w.keys(n)
	}
	for _, child := range n.Content {
		w.walk(child, depth+1)
	}
}

// stop reports once that there are too many entries.
func (w *walker) stop() {
	if w.nodes == w.lim.Nodes+1 && len(w.list) < maxProblems {
		w.list.Error(source.Span{File: w.doc.name}, "too-big",
			fmt.Sprintf("the file has more than %d entries, which is more than this program reads", w.lim.Nodes),
			"a smaller file, or several files")
	}
}

// report adds an error at a node.
func (w *walker) report(n *yaml.Node, check, summary, remedy string) {
	if len(w.list) < maxProblems {
		w.list.Error(w.doc.span(n), check, summary, remedy)
	}
}

// marks refuses aliases, anchors and tags. A lone "!" leaves no trace in the
// tree, so the text itself is asked: no plain scalar begins with it.
func (w *walker) marks(n *yaml.Node) {
	if n.Kind == yaml.AliasNode {
		w.report(n, "alias", aliasSummary, aliasRemedy)
		return
	}
	if n.Anchor != "" {
		w.report(n, "anchor", anchorSummary, anchorRemedy)
	}
	rest := w.at.move(w.doc, n.Line, n.Column)
	if n.Style&yaml.TaggedStyle != 0 || strings.HasPrefix(rest, "!") {
		w.report(n, "tag", tagSummary, tagRemedy)
	}
}

// scalar refuses characters that were smuggled in as an escape such as "\0".
func (w *walker) scalar(n *yaml.Node) {
	for _, r := range n.Value {
		if !printable(r) {
			w.report(n, "control-character",
				fmt.Sprintf("the text holds the character U+%04X, which cannot be seen", r),
				"the text again without it")
			return
		}
	}
}

// keys refuses keys that are not plain words and keys that stand twice in a
// map, naming the place of the first.
func (w *walker) keys(n *yaml.Node) {
	seen := make(map[string]*yaml.Node, len(n.Content)/2)
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		if !w.usable(key) {
			continue
		}
		first, twice := seen[key.Value]
		if !twice {
			seen[key.Value] = key
			continue
		}
		w.report(key, "duplicate-key",
			fmt.Sprintf("the key %q was already given in line %d, column %d", key.Value, first.Line, first.Column),
			"one of the two; leave the other out or give it another name")
	}
}

// usable reports whether a key is a word, and says what is wrong when not.
func (w *walker) usable(key *yaml.Node) bool {
	plain := key.Style&quotedStyles == 0
	switch {
	case key.Kind == yaml.AliasNode:
		return false
	case key.Kind != yaml.ScalarNode:
		w.report(key, "complex-key", "a list or a map stands where a key belongs",
			"a word, a colon and then the value; a text with brackets in double quotes")
	case plain && key.Value == "<<":
		w.report(key, "merge-key", "the key << copies keys from elsewhere, which is not read",
			"the keys themselves, once more in full")
	case key.Value == "":
		w.report(key, "empty-key", "there is no key before the colon", "\"key: value\"")
	default:
		return true
	}
	return false
}
