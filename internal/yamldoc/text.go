package yamldoc

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"filmfault/internal/source"
)

// document is a file that has been read: its text with line breaks as \n and
// without a byte order mark, its lines for finding the end of a span, and the
// tree.
type document struct {
	name  string
	text  string
	lines []string
	root  *yaml.Node
}

// scan checks every character of a file before the YAML library sees it. The
// first one that may not be there is reported; the ones after it most often
// have the same cause.
func scan(name string, data []byte) (*document, source.List) {
	var list source.List
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	data = bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n"))
	pos := source.Pos{Line: 1, Column: 1}
	for rest := data; len(rest) > 0; {
		r, size := utf8.DecodeRune(rest)
		if check, summary, remedy := forbidden(r, size, rest[0]); check != "" {
			end := source.Pos{Line: pos.Line, Column: pos.Column + 1}
			list.Error(source.Span{File: name, Start: pos, End: end}, check, summary, remedy)
			return nil, list
		}
		rest = rest[size:]
		pos.Column++
		if r == '\n' {
			pos = source.Pos{Line: pos.Line + 1, Column: 1}
		}
	}
	text := string(data)
	return &document{name: name, text: text, lines: strings.Split(text, "\n")}, list
}

// forbidden says why a character may not stand in a file; an empty check means
// that it may.
func forbidden(r rune, size int, first byte) (check, summary, remedy string) {
	switch {
	case r == utf8.RuneError && size == 1:
		return "encoding", fmt.Sprintf("the byte %#02x is not UTF-8 text", first),
			"the same text after you save the file as UTF-8"
	case r == '\r':
		return "control-character", "a carriage return stands alone, without a line feed after it",
			"the same text after you save the file with ordinary line ends"
	case !printable(r):
		return "control-character", fmt.Sprintf("the character U+%04X cannot be seen and may not stand in the file", r),
			"the line again without it"
	}
	return "", "", ""
}

// printable reports whether a character may stand in a text. Line feeds and
// tabs may; other controls, line separators and byte order marks may not: some
// readers take them for line ends and others do not, and nobody sees them.
func printable(r rune) bool {
	switch {
	case r == '\n' || r == '\t':
		return true
	case r < 0x20, r >= 0x7f && r <= 0x9f:
		return false
	case r == 0x2028, r == 0x2029, r == 0xfeff, r == 0xfffe, r == 0xffff:
		return false
	}
	return true
}

// span is where a node stands. It always lies inside the text; where the end
// of a node cannot be told from its first line, it is the end of that line.
func (d *document) span(n *yaml.Node) source.Span {
	var at cursor
	rest := at.move(d, n.Line, n.Column)
	length := utf8.RuneCountInString(extent(n, rest))
	return source.Span{
		File:  d.name,
		Start: source.Pos{Line: at.line, Column: at.column},
		End:   source.Pos{Line: at.line, Column: at.column + length},
	}
}

// lineSpan is a whole line without its indentation.
func (d *document) lineSpan(line int) source.Span {
	line = min(max(line, 1), len(d.lines))
	text := d.lines[line-1]
	body := strings.TrimLeft(text, " \t")
	start := utf8.RuneCountInString(text) - utf8.RuneCountInString(body) + 1
	end := start + utf8.RuneCountInString(strings.TrimRight(body, " \t"))
	return source.Span{
		File:  d.name,
		Start: source.Pos{Line: line, Column: start},
		End:   source.Pos{Line: line, Column: end},
	}
}

// extent is the part of rest, which begins at the node, that belongs to it.
func extent(n *yaml.Node, rest string) string {
	switch {
	case rest == "":
		return ""
	case n.Kind == yaml.MappingNode && n.Style&yaml.FlowStyle == 0 && len(n.Content) > 0:
		return extent(n.Content[0], rest)
	case n.Kind == yaml.AliasNode:
		return rest[:min(len(rest), 1+len(n.Value))]
	case n.Kind != yaml.ScalarNode:
		return rest[:1]
	case n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		return rest[:1]
	case n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0:
		return quotedExtent(rest)
	case strings.HasPrefix(rest, n.Value):
		return n.Value
	}
	return strings.TrimRight(rest, " \t")
}

// quotedExtent is a quoted scalar up to its closing quote, or to the end of
// the line when it goes on after it.
func quotedExtent(rest string) string {
	quote := rest[0]
	for i := 1; i < len(rest); i++ {
		switch {
		case quote == '"' && rest[i] == '\\':
			i++
		case rest[i] != quote:
		case quote == '\'' && strings.HasPrefix(rest[i+1:], "'"):
			i++
		default:
			return rest[:i+1]
		}
	}
	return strings.TrimRight(rest, " \t")
}
