package yamldoc

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"filmfault/internal/source"
)

// bisectBytes is the size up to which the line of a syntax error is looked
// for; each step of the search parses the file again.
const bisectBytes = 128 << 10

// endOfText is how the library words a quote that is never closed.
const endOfText = "found unexpected end of stream"

// libraryError takes apart the wording of the YAML library.
var libraryError = regexp.MustCompile(`^(?:yaml: )?(?:line (\d+): )?(.*)$`)

// decode reads the first document and looks whether a second one follows. A
// panic of the library on text nobody has tried before is turned into an
// error: the file is at fault as far as its writer can do anything about it.
func decode(text string) (first, second *yaml.Node, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("the YAML reader gave up: %v", r)
		}
	}()
	dec := yaml.NewDecoder(strings.NewReader(text))
	first, err = decodeOne(dec)
	if err != nil || first == nil {
		return nil, nil, err
	}
	second, err = decodeOne(dec)
	return first, second, err
}

// decodeOne reads the next document, nil at the end of the text.
func decodeOne(dec *yaml.Decoder) (*yaml.Node, error) {
	var n yaml.Node
	err := dec.Decode(&n)
	if errors.Is(err, io.EOF) {
		return nil, nil
	}
	if err != nil || n.Kind == 0 {
		return nil, err
	}
	return &n, nil
}

// syntaxProblem reports in our own words what the YAML library could not read.
func (d *document) syntaxProblem(list *source.List, err error) {
	line, message := splitError(err)
	if strings.Contains(message, "unknown anchor") {
		list.Error(d.find("*"), "alias", aliasSummary, aliasRemedy)
		return
	}
	line = d.failingLine(err, line)
	for _, l := range []int{line, line + 1, line - 1} {
		if span, ok := d.tabIndent(l); ok {
			list.Error(span, "tab-indent", "the line is indented with a tab",
				"spaces, two for each step of the indentation")
			return
		}
	}
	w := wordingOf(message)
	list.Error(d.lineSpan(line), w.check, w.summary, w.remedy)
}

// splitError takes the line number, 1 when there is none, and the message out
// of a library error.
func splitError(err error) (int, string) {
	first, _, _ := strings.Cut(err.Error(), "\n")
	m := libraryError.FindStringSubmatch(first)
	if line, err := strconv.Atoi(m[1]); err == nil {
		return line, m[2]
	}
	return 1, m[2]
}

// failingLine finds the line at which reading fails. The library names the
// line where the unfinished map or list began, which can be a page away. The
// text is therefore cut after the first line, the second and so on, and the
// first cut that fails in the very same way ends with the line in question. A
// quote that is never closed fails at the end of every cut, so there the line
// number is not compared, and the line found is the one the quote begins in.
func (d *document) failingLine(err error, stated int) int {
	if len(d.text) > bisectBytes {
		return min(max(stated, 1), len(d.lines))
	}
	same := err.Error()
	if strings.Contains(same, endOfText) {
		same = endOfText
	}
	good, bad := 0, len(d.lines)
	for bad-good > 1 {
		middle := (good + bad) / 2
		_, _, e := decode(strings.Join(d.lines[:middle], "\n") + "\n")
		if e != nil && strings.HasSuffix(e.Error(), same) {
			bad = middle
		} else {
			good = middle
		}
	}
	// What is unfinished at the end of the text fails on a line of nothing.
	for bad > 1 && strings.TrimSpace(d.lines[bad-1]) == "" {
		bad--
	}
	return bad
}

// tabIndent finds a tab in the indentation of a line.
func (d *document) tabIndent(line int) (source.Span, bool) {
	if line < 1 || line > len(d.lines) {
		return source.Span{}, false
	}
	text := d.lines[line-1]
	indent := text[:len(text)-len(strings.TrimLeft(text, " \t"))]
	at := strings.IndexByte(indent, '\t')
	if at < 0 || indent == text {
		return source.Span{}, false
	}
	return source.Span{
		File:  d.name,
		Start: source.Pos{Line: line, Column: at + 1},
		End:   source.Pos{Line: line, Column: at + 2},
	}, true
}

// find gives the place of the first line that holds a mark.
func (d *document) find(mark string) source.Span {
	for i, text := range d.lines {
		if strings.Contains(text, mark) {
			return d.lineSpan(i + 1)
		}
	}
	return d.lineSpan(1)
}

// wording is a syntax error as a sign maker is told of it.
type wording struct {
	fragment, check, summary, remedy string
}

// wordingOf finds the words for a message of the YAML library.
func wordingOf(message string) wording {
	for _, w := range wordings() {
		if strings.Contains(message, w.fragment) {
			return w
		}
	}
	return wording{
		check:   "syntax",
		summary: "the file cannot be read from here on (" + message + ")",
		remedy:  "the text in double quotes, or lined up with the lines above",
	}
}

// wordings lists what the messages of the YAML library mean, the more special
// ones first.
func wordings() []wording {
	return []wording{
		{"exceeded max depth", "too-deep", "maps and lists are nested too deeply",
			"the same with fewer steps of indentation or brackets"},
		{"found character that cannot start any token", "syntax",
			"a text may not begin with this character unless it is in quotes",
			`the text in double quotes, "like this"`},
		{"mapping values are not allowed", "syntax",
			"there is a second colon in the line, or the line is indented too far",
			"a text with a colon in double quotes; a key in line with the keys above it"},
		{"did not find expected ',' or ']'", "syntax", "a list in [ ] is not closed",
			"the missing ] at the end of the list"},
		{"did not find expected ',' or '}'", "syntax", "a map in { } is not closed",
			"the missing } at the end of the map"},
		{"did not find expected '-' indicator", "syntax",
			"the line does not line up with the list items above it",
			"a \"- \" in line with the other items, or two more spaces before the line"},
		{"did not find expected key", "syntax",
			"the line is no \"key: value\", or does not line up with the keys above it",
			"\"key: value\" in line with the keys above; a text with quotes in it inside quotes as a whole"},
		{"could not find expected ':'", "syntax", "the line has no colon after its key",
			"\"key: value\", with a space after the colon"},
		{"block sequence entries are not allowed", "syntax", "a list item may not begin here",
			"the \"- \" on a line of its own, below the key"},
		{"unknown escape character", "syntax", "a backslash in double quotes begins a code that does not exist",
			`single quotes 'like this', or two backslashes \\`},
		{endOfText, "syntax", "a quote is opened and never closed",
			"the closing quote at the end of the text"},
		{"found unexpected document indicator", "syntax", "a quote is not closed before the line ---",
			"the closing quote at the end of the text"},
		{"<document start>", "syntax", "the text goes on after the document has ended",
			"the line in line with the keys above it"},
		{"tag", "tag", tagSummary, tagRemedy},
	}
}
