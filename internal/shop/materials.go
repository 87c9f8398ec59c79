package shop

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"filmfault/internal/physics/material"
	"filmfault/internal/source"
	"filmfault/internal/uncertain"
	"filmfault/internal/yamldoc"
)

// idForm is how an id is written; the log of a case names a material by it.
var idForm = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// longestID is the longest id, in characters.
const longestID = 40

// unsaid is where figures come from when the shop does not say.
const unsaid = "the shop's file"

// materialKeys are the keys of a material: a few words of its own and the name
// of every figure.
func materialKeys() []string {
	names, _ := material.Properties()
	return append([]string{"id", "like", "name", "source", "assumed"}, names...)
}

// materials reads the materials over the generic ones.
func (p *parser) materials(v yamldoc.Value) {
	if !states(v) {
		return
	}
	for _, item := range v.Items(p.d, "the list of materials") {
		p.material(item)
	}
	p.distinct()
	slices.Sort(p.shop.Own)
}

// material reads one entry.
func (p *parser) material(item yamldoc.Value) {
	f := p.open(item, "a material", materialKeys())
	if !item.IsMap() {
		return
	}
	id, named := p.id(f)
	m, known := p.base(f, id)
	if f.Has("name") {
		m.Name = p.line(f, "name", longestName)
		p.named[id] = f.Get("name").Span()
	}
	stated := p.figures(f, m)
	p.assumed(f, stated)
	m, err := m.With(stated)
	if err != nil || !named || !known {
		return // reported before: each figure was tried when it was read
	}
	p.shop.Materials[id] = m
	if len(stated) > 0 {
		p.shop.Own = append(p.shop.Own, id)
	}
}

// id reads the id of an entry and refuses one that stands in the file already.
func (p *parser) id(f yamldoc.Fields) (string, bool) {
	v := f.Need(p.d, "id")
	id := strings.TrimSpace(v.Text(p.d, "the id"))
	if id == "" {
		return "", false
	}
	if !idForm.MatchString(id) || len(id) > longestID {
		p.d.Error(v.Span(), "id", quoted(id)+" is no id of a material", idRemedy(id))
		return id, false
	}
	if first, again := p.at[id]; again {
		p.d.Error(v.Span(), "twice", fmt.Sprintf("%s is stated twice, the first time at %s", id, first), "all its figures in one entry, or another id")
		return id, false
	}
	p.at[id] = v.Span()
	return id, true
}

// idRemedy writes a name the way ids are written, where that gives one.
func idRemedy(name string) string {
	if id := folded(name); idForm.MatchString(id) && len(id) <= longestID {
		return id
	}
	return fmt.Sprintf("small letters, digits and single hyphens, such as our-grey, in %d characters or fewer", longestID)
}

// folded writes a name as the log of a case may name a material: in small
// letters, with hyphens.
func folded(name string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(strings.ToLower(name), "_", " ")), "-")
}

// base is what the figures of an entry are put over: the generic material of its
// id, or a copy of the one it is like. A copy is of the generic figures, even
// where the shop states that material as well. An entry whose base is not known
// is looked through for other slips over some material.
func (p *parser) base(f yamldoc.Fields, id string) (material.Material, bool) {
	if m, ok := material.Generic(id); ok {
		if f.Has("like") {
			p.d.Error(f.KeySpan("like"), "like", id+" is a generic material and is like no other", "the figures without like:, or a new id")
		}
		return m, true
	}
	some, _ := material.Generic(material.HighBuildPrimer)
	if !f.Has("like") {
		p.unlike(f, id)
		return some, false
	}
	like := strings.TrimSpace(f.Get("like").Text(p.d, "like"))
	m, ok := material.Generic(like)
	switch {
	case like == "":
		return some, false
	case !ok:
		p.d.Error(f.Get("like").Span(), "like", quoted(like)+" is none of the generic materials", nearestOr(like, material.IDs()))
		return some, false
	}
	if p.shop.Like == nil {
		p.shop.Like = map[string]string{}
	}
	p.shop.Like[id] = like
	return m.Like(id, strings.ReplaceAll(id, "-", " ")), true
}

// unlike reports a new id of which nothing says what it is.
func (p *parser) unlike(f yamldoc.Fields, id string) {
	if !idForm.MatchString(id) || len(id) > longestID {
		return // reported for its form
	}
	all := strings.Join(material.IDs(), ", ")
	remedy := "one of: " + all + "; or this id with a line like: and one of these"
	if near, ok := source.Nearest(id, material.IDs()); ok {
		remedy = fmt.Sprintf("%s; or this id with a line like: and one of: %s", near, all)
	}
	p.d.Error(f.Get("id").Span(), "unknown-id", fmt.Sprintf("%s is none of the generic materials, and no like: says which it is like", id), remedy)
}

// figures reads the figures that an entry states. The same readings, checked
// against what any material has, are what With is given.
func (p *parser) figures(f yamldoc.Fields, m material.Material) map[string]uncertain.Input {
	from := unsaid
	if f.Has("source") {
		from = p.line(f, "source", longestSource)
	}
	stated := map[string]uncertain.Input{}
	for _, g := range figures(m) {
		if !f.Has(g.name) {
			continue
		}
		v := f.Get(g.name)
		text := v.Text(p.d, "the "+g.name)
		if text == "" {
			continue
		}
		in, wrong := g.read(text)
		if wrong != nil {
			p.d.Error(v.Span(), "value", fmt.Sprintf("%s: %s: %s", g.name, quoted(text), wrong.problem), wrong.remedy)
			continue
		}
		in.Source = from
		stated[g.name] = in
	}
	return stated
}

// assumed marks the figures that the shop calls a guess.
func (p *parser) assumed(f yamldoc.Fields, stated map[string]uncertain.Input) {
	if !f.Has("assumed") {
		return
	}
	names, _ := material.Properties()
	for _, v := range f.Get("assumed").OneOrMore(p.d, "the list of assumed figures") {
		name := v.Text(p.d, "an assumed figure")
		in, ok := stated[name]
		switch {
		case ok:
			in.Assumed = true
			stated[name] = in
		case name == "":
		case slices.Contains(names, name) && f.Has(name): // refused where it stands
		case slices.Contains(names, name):
			p.d.Error(v.Span(), "assumed", "this material states no "+name, name+": with the figure, or the list without it")
		default:
			p.d.Error(v.Span(), "assumed", quoted(name)+" is no figure of a material", nearestOr(name, names))
		}
	}
}

// distinct refuses two materials that a log could not tell apart by name, and
// ids that would give two figures one name, and with it the same draws.
func (p *parser) distinct() {
	called, figures := map[string]string{}, map[string]string{}
	for _, id := range slices.Sorted(maps.Keys(p.shop.Materials)) {
		m := p.shop.Materials[id]
		for _, word := range slices.Compact([]string{id, folded(m.Name)}) {
			if other, taken := called[word]; taken && other != id {
				p.clash(id, other, p.named, fmt.Sprintf("%s and %s go by the same name, %q", other, id, m.Name), "a name of its own")
			}
			called[word] = id
		}
		for _, in := range m.Inputs() {
			if other, taken := figures[in.ID]; taken {
				p.clash(id, other, p.at, fmt.Sprintf("%s and %s would both have a figure %s", other, id, in.ID), "another id")
			}
			figures[in.ID] = id
		}
	}
}

// clash reports two materials at the place of one that stands in the file.
func (p *parser) clash(id, other string, places map[string]source.Span, summary, remedy string) {
	for _, at := range []map[string]source.Span{places, p.at} {
		for _, x := range []string{id, other} {
			if span, ok := at[x]; ok {
				p.d.Error(span, "same-name", summary, remedy)
				return
			}
		}
	}
}
