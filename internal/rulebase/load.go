package rulebase

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"hash"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"

	"filmfault/internal/source"
	"filmfault/internal/yamldoc"
)

// Layer is a folder of rule files with the name it goes by in messages.
type Layer struct {
	Name string
	FS   fs.FS
}

// Loaded is the outcome of Load: a base when the diagnostics hold no error.
// Sources maps file names, as spans have them, to their bytes.
type Loaded struct {
	Base        *Base
	Diagnostics source.List
	Sources     map[string][]byte
}

// ErrNoRules says that a layer holds no rule file.
var ErrNoRules = errors.New("no rule files (*.yaml) in the folder")

// Load reads the layers, the lowest first. An entry of a later layer may take
// the place of one with the same id below it only by saying `replaces: yes`.
// The error is that of reading; what is wrong inside the files is in the
// diagnostics.
func Load(layers ...Layer) (Loaded, error) {
	r := &reader{sources: map[string][]byte{}, sum: sha256.New(), ids: map[string]*entry{}}
	for i, l := range layers {
		r.layer = i
		if err := r.readLayer(l); err != nil {
			return Loaded{}, fmt.Errorf("rules %s: %w", l.Name, err)
		}
	}
	b := r.assemble(layers)
	if !r.diagnostics.HasErrors() {
		check(b, &r.diagnostics)
	}
	r.diagnostics.Sort()
	out := Loaded{Base: b, Diagnostics: r.diagnostics, Sources: r.sources}
	if r.diagnostics.HasErrors() {
		out.Base = nil
	}
	return out, nil
}

// entry is one item of a list, read but not yet checked against the others.
type entry struct {
	id       string
	layer    int
	span     source.Span
	replaced bool
	value    any // Caution, Fact, Event, Gate, Finding or Calculation
}

type reader struct {
	layer       int
	sources     map[string][]byte
	diagnostics source.List
	sum         hash.Hash
	entries     []*entry
	ids         map[string]*entry
	was         []renamed
	set         []setRate
}

type renamed struct {
	old  Ref
	now  string
	rank int
}

func (r *reader) readLayer(l Layer) error {
	names, err := ruleFiles(l.FS)
	if err != nil {
		return err
	}
	files := make([]parsed, len(names))
	var group sync.WaitGroup
	for i, n := range names { // parsing is most of the work of a start
		group.Go(func() { files[i] = parseFile(l, n) })
	}
	group.Wait()
	for _, f := range files {
		if f.err != nil {
			return f.err
		}
		r.take(f)
	}
	return nil
}

// parsed is one file, read and parsed but not yet understood.
type parsed struct {
	name, shown string
	data        []byte
	doc         yamldoc.Value
	diagnostics source.List
	err         error
}

func parseFile(l Layer, name string) parsed {
	p := parsed{name: name, shown: path.Join(l.Name, name)}
	f, err := l.FS.Open(name)
	if err != nil {
		p.err = err
		return p
	}
	defer f.Close()
	p.data, p.diagnostics, p.err = yamldoc.ReadAll(f, p.shown, yamldoc.DefaultLimits())
	if p.err == nil && !p.diagnostics.HasErrors() {
		p.doc, p.diagnostics = yamldoc.Parse(p.shown, p.data, yamldoc.DefaultLimits())
	}
	return p
}

// take adds a parsed file to the base being read.
func (r *reader) take(p parsed) {
	r.diagnostics = append(r.diagnostics, p.diagnostics...)
	r.sources[p.shown] = p.data
	addFile(r.sum, r.layer, p.name, p.data)
	if !p.diagnostics.HasErrors() {
		r.readDocument(p.doc)
	}
}

// ruleFiles lists *.yaml and *.yml below the root, tests of rules left out, in
// name order.
func ruleFiles(dir fs.FS) ([]string, error) {
	var names []string
	err := fs.WalkDir(dir, ".", func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		ext := path.Ext(p)
		isRule := (ext == ".yaml" || ext == ".yml") && !strings.HasSuffix(strings.TrimSuffix(p, ext), "_test")
		if !d.IsDir() && isRule && !strings.HasPrefix(path.Base(p), ".") {
			names = append(names, p)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	if len(names) == 0 {
		return nil, ErrNoRules
	}
	slices.Sort(names)
	return names, nil
}

// schemaVersion is the version of rule files this program reads and writes.
const schemaVersion = 1

func (r *reader) readDocument(doc yamldoc.Value) {
	d := &r.diagnostics
	f := doc.Fields(d, "a rule file", "schema", "title", "cautions", "facts", "conditions",
		"causes", "gates", "failures", "findings", "measurements", "calculations", "rates")
	if !doc.IsMap() {
		return
	}
	if v, ok := f.Need(d, "schema").Whole(d, "the schema"); ok && v != schemaVersion {
		d.Error(f.Get("schema").Span(), "schema", fmt.Sprintf("schema %d is not known here", v),
			fmt.Sprintf("schema: %d, or use a newer filmfault", schemaVersion))
	}
	f.Need(d, "title").Text(d, "the title")
	r.list(f, "cautions", "a caution", readCaution)
	r.list(f, "facts", "a fact", readFact)
	r.list(f, "conditions", "a condition", readCondition)
	r.list(f, "causes", "a cause", readCause)
	r.list(f, "gates", "a gate", readGate)
	r.list(f, "failures", "a failure", readFailure)
	r.list(f, "findings", "a finding", readFinding)
	r.list(f, "measurements", "a measurement", readMeasurement)
	r.list(f, "calculations", "a calculation", readCalculation)
	r.rates(f)
}

// item is an entry being read: its map is opened once, with the keys that all
// entries share and those of its kind.
type item struct {
	yamldoc.Fields
	d  *source.List
	id string
}

const idRemedy = "lower-case words of letters and digits joined by hyphens, such as damp-when-closed"

type readItem func(v yamldoc.Value, d *source.List) (item, any)

func (r *reader) list(f yamldoc.Fields, key, what string, read readItem) {
	if !f.Has(key) {
		return
	}
	for _, v := range f.Get(key).Items(&r.diagnostics, what+" list") {
		it, value := read(v, &r.diagnostics)
		if it.id == "" {
			continue
		}
		r.add(it, value)
	}
}

// open reads what every entry has: id, was, replaces.
func open(v yamldoc.Value, d *source.List, what string, keys ...string) item {
	it := item{d: d}
	it.Fields = v.Fields(d, what, append([]string{"id", "was", "replaces"}, keys...)...)
	if !v.IsMap() {
		return it
	}
	id := it.Need(d, "id").Text(d, "the id")
	if id != "" && !isID(id) {
		d.Error(it.Get("id").Span(), "id", fmt.Sprintf("%q cannot be an id", id), idRemedy)
		return it
	}
	it.id = id
	return it
}

func isID(s string) bool {
	for _, word := range strings.Split(s, "-") {
		if word == "" || strings.Trim(word, "abcdefghijklmnopqrstuvwxyz0123456789") != "" {
			return false
		}
	}
	return true
}

func (r *reader) add(it item, value any) {
	e := &entry{id: it.id, layer: r.layer, span: it.Get("id").Span(), value: value}
	replaces := false
	if it.Has("replaces") {
		replaces, _ = it.Get("replaces").Flag(&r.diagnostics, "replaces")
	}
	for _, w := range it.Get("was").OneOrMore(&r.diagnostics, "was") {
		r.was = append(r.was, renamed{Ref{w.Text(&r.diagnostics, "an old id"), w.Span()}, it.id, r.layer})
	}
	old, taken := r.ids[it.id]
	switch {
	case taken && old.layer == r.layer:
		r.diagnostics.Error(e.span, "duplicate-id", fmt.Sprintf("the id %s is taken already at %s", it.id, old.span), "another id")
	case taken && !replaces:
		r.diagnostics.Error(e.span, "replaces", fmt.Sprintf("the id %s is in the rules below already, at %s", it.id, old.span),
			"`replaces: yes` in this entry if it shall take that one's place, or another id")
	case taken && kindOf(old.value) != kindOf(value):
		r.diagnostics.Error(e.span, "replaces", fmt.Sprintf("%s below is a %s, this is a %s", it.id, kindOf(old.value), kindOf(value)),
			"an entry of the same kind, or another id")
	case !taken && replaces:
		r.diagnostics.Error(e.span, "replaces", fmt.Sprintf("nothing below has the id %s", it.id), r.nearestRemedy(it.id, "an id of the rules below"))
	}
	if taken {
		old.replaced = true
	}
	r.ids[it.id] = e
	r.entries = append(r.entries, e)
}

// kindOf names the kind of an entry; a measurement is a finding with a tool.
func kindOf(value any) string {
	switch v := value.(type) {
	case Caution:
		return "caution"
	case Fact:
		return "fact"
	case Event:
		if v.Cause {
			return "cause"
		}
		return "condition"
	case Gate:
		if v.Failure != nil {
			return "failure"
		}
		return "gate"
	case Calculation:
		return "calculation"
	}
	return "finding"
}

func (r *reader) nearestRemedy(id, otherwise string) string {
	known := make([]string, 0, len(r.ids))
	for k := range r.ids {
		known = append(known, k)
	}
	if near, ok := source.Nearest(id, known); ok {
		return near
	}
	return otherwise
}

// assemble puts the entries that are in force into a Base.
func (r *reader) assemble(layers []Layer) *Base {
	b := &Base{
		Digest:  shortDigest(r.sum.Sum(nil)),
		caution: map[string]int{}, fact: map[string]int{}, event: map[string]int{},
		gate: map[string]int{}, finding: map[string]int{}, was: map[string]string{},
	}
	for _, l := range layers {
		b.Layers = append(b.Layers, l.Name)
	}
	for _, e := range r.entries {
		if !e.replaced {
			b.put(e)
		}
	}
	for _, w := range r.was {
		if clash, ok := r.ids[w.old.ID]; ok && !clash.replaced {
			r.diagnostics.Error(w.old.Span, "was", fmt.Sprintf("%s is in use again, at %s", w.old.ID, clash.span), "a new id there: ids are never used again")
		}
		if now, taken := b.was[w.old.ID]; taken && now != w.now {
			r.diagnostics.Error(w.old.Span, "was", fmt.Sprintf("%s is what %s was called", w.old.ID, now), "one entry that an old id stands for")
		}
		b.was[w.old.ID] = w.now
	}
	r.setRates(b)
	return b
}

func (b *Base) put(e *entry) {
	switch v := e.value.(type) {
	case Caution:
		b.caution[e.id] = len(b.Cautions)
		b.Cautions = append(b.Cautions, v)
	case Fact:
		b.fact[e.id] = len(b.Facts)
		b.Facts = append(b.Facts, v)
	case Event:
		b.event[e.id] = len(b.Events)
		b.Events = append(b.Events, v)
	case Gate:
		b.gate[e.id] = len(b.Gates)
		b.Gates = append(b.Gates, v)
	case Finding:
		b.finding[e.id] = len(b.Findings)
		b.Findings = append(b.Findings, v)
	case Calculation:
		b.Calculations = append(b.Calculations, v)
	}
}
