package shop

import (
	"fmt"
	"strconv"
	"strings"

	"filmfault/internal/source"
	"filmfault/internal/yamldoc"
)

// parser is a shop's file under way.
type parser struct {
	d    *source.List
	shop Shop
	// at is where each material of the file has its id, named where it has its
	// name.
	at, named map[string]source.Span
}

func newParser(d *source.List) *parser {
	return &parser{d: d, shop: Ordinary(), at: map[string]source.Span{}, named: map[string]source.Span{}}
}

// document reads the whole file; the error is a *NewerError.
func (p *parser) document(doc yamldoc.Value) error {
	keys := []string{"schema", "shop", "materials", "standard"}
	if newer := p.newer(doc); newer != nil {
		return newer
	}
	f := p.open(doc, "a shop file", keys)
	if !doc.IsMap() {
		return nil
	}
	p.schema(f)
	p.shop.Name = p.line(f, "shop", longestName)
	p.materials(f.Get("materials"))
	p.standard(f.Get("standard"))
	return nil
}

// newer finds a file of a newer version before anything else is said of it.
func (p *parser) newer(doc yamldoc.Value) error {
	var aside source.List
	v := doc.FieldsKeepingUnknown(&aside, "a shop file").Get("schema")
	if n, ok := v.Whole(&aside, "the schema"); ok && n > Schema {
		return &NewerError{Span: v.Span(), Schema: n}
	}
	return nil
}

func (p *parser) schema(f yamldoc.Fields) {
	v := f.Need(p.d, "schema")
	if n, ok := v.Whole(p.d, "the schema"); ok && n < 1 {
		p.d.Error(v.Span(), "schema", fmt.Sprintf("there is no schema %d", n), fmt.Sprintf("schema: %d", Schema))
	}
}

// open opens a map and refuses keys that are not known: a figure under a
// mistyped key would otherwise be left out in silence.
func (p *parser) open(v yamldoc.Value, what string, keys []string) yamldoc.Fields {
	f := v.FieldsKeepingUnknown(p.d, what, keys...)
	for _, k := range f.Unknown() {
		p.d.Error(f.KeySpan(k), "unknown-key", fmt.Sprintf("%s has no key %s", what, quoted(k)), nearestOr(k, keys))
	}
	return f
}

// nearestOr is the known word that a word most likely stands for, or all of them.
func nearestOr(word string, known []string) string {
	if near, ok := source.Nearest(word, known); ok {
		return near
	}
	return "one of: " + strings.Join(known, ", ")
}

// quoted is what was typed, of a long text the beginning.
func quoted(text string) string {
	const most = 60
	if runes := []rune(text); len(runes) > most {
		text = string(runes[:most]) + "..."
	}
	return strconv.Quote(text)
}

// states says whether there is anything behind a key.
func states(v yamldoc.Value) bool { return v.Kind() != yamldoc.Missing && v.Kind() != yamldoc.Null }

// The longest texts, in characters, that a page has room for.
const (
	longestName   = 80
	longestSource = 200
)

// line reads a text for a page, in one line; "" when the key is not there.
func (p *parser) line(f yamldoc.Fields, key string, longest int) string {
	v := f.Get(key)
	text := strings.Join(strings.Fields(v.Text(p.d, "the "+key)), " ")
	if n := len([]rune(text)); n > longest {
		p.d.Error(v.Span(), "too-long", fmt.Sprintf("the %s has %d characters", key, n), fmt.Sprintf("%d characters or fewer", longest))
	}
	return text
}
