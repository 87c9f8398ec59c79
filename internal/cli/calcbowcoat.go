package cli

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"filmfault/internal/physics/bow"
	"filmfault/internal/physics/material"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// bowCoat is a coat as typed.
type bowCoat struct {
	material material.Material
	film     quantity.Quantity // of one coat
	dry      bool
	count    int
}

// name is what a coat is told under.
func (c bowCoat) name() string {
	name := c.material.ID + " " + c.film.Typed
	if c.dry {
		name += " dry"
	}
	if c.count > 1 {
		name += fmt.Sprintf(" x%d", c.count)
	}
	return name
}

// coatFlag is a flag that takes a coat each time it is given.
type coatFlag struct {
	face  bow.Face
	coats []bowCoat
}

func (f *coatFlag) String() string {
	var names []string
	for _, c := range f.coats {
		names = append(names, c.name())
	}
	return strings.Join(names, ", ")
}

func (f *coatFlag) Type() string { return "coat" }

func (f *coatFlag) Set(s string) error {
	c, err := readCoat(s)
	if err != nil {
		return err
	}
	f.coats = append(f.coats, c)
	return nil
}

// coatMaterials are the materials that stay on a face. Masks come off again.
func coatMaterials() []string {
	return slices.DeleteFunc(material.IDs(), func(id string) bool { return id == material.PaintMask || id == material.BlastMask })
}

// mostCoats is more than anybody puts on a face at a time.
const mostCoats = 50

var (
	coatForm     = regexp.MustCompile(`(?i)^([a-z][a-z _-]*?)[ :,]*((?:(?:about|around|under|over|between|up to) +|[~<>])?[0-9.\x{bc}-\x{be}\x{2150}-\x{215e}].*)$`)
	unfilmedForm = regexp.MustCompile(`(?i)[ ,]+([x\x{d7}] ?[0-9]+|[0-9]+ coats?|dry|wet)$`)
	countForm    = regexp.MustCompile(`(?i)^(.*?)[ ,]*(?:[x\x{d7}] ?([0-9]{1,4})|[ ,]([0-9]{1,4}) ?(?:coats?|x|times))$`)
	stateForm    = regexp.MustCompile(`(?i)^(.*?)[ ,]*\b(dry film|wet film|dry|wet|dft|wft)$`)
)

// readCoat reads "high-build-primer 10 mil x2" or "acrylic-paint 3 mil dry".
func readCoat(s string) (bowCoat, error) {
	const write = "write material and wet film, such as \"high-build-primer 10 mil x2\" or \"acrylic-paint 2 mil dry\""
	text := strings.TrimSpace(s)
	known := coatMaterials()
	if id := coatID(unfilmedForm.ReplaceAllString(text, "")); slices.Contains(known, id) {
		return bowCoat{}, fmt.Errorf("how thick is it? Write for example \"%s 10 mil\"", id)
	}
	m := coatForm.FindStringSubmatch(text)
	if m == nil {
		return bowCoat{}, errors.New("it is no coat; " + write)
	}
	id := coatID(m[1])
	switch {
	case id == material.PaintMask || id == material.BlastMask:
		return bowCoat{}, errors.New("a mask comes off again and is no coat; use one of: " + strings.Join(known, ", "))
	case !slices.Contains(known, id):
		return bowCoat{}, fmt.Errorf("there is no material %q%s", id, nearest(id, known, "use one of: "+strings.Join(known, ", ")))
	}
	c := bowCoat{count: 1}
	c.material, _ = material.Generic(id) // known
	return c.measure(m[2])
}

// coatID writes the name of a material as ids are written.
func coatID(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return r == ' ' || r == '_' || r == '-' }), "-")
}

// measure reads what follows the material: film, dry or wet, and how many coats,
// the last two in either order.
func (c bowCoat) measure(text string) (bowCoat, error) {
	counted, stated := false, false
	for {
		text = strings.TrimSpace(text)
		if m := countForm.FindStringSubmatch(text); m != nil && !counted {
			counted, text = true, m[1]
			c.count, _ = strconv.Atoi(m[2] + m[3]) // four digits at most
			continue
		}
		if m := stateForm.FindStringSubmatch(text); m != nil && !stated {
			stated, text = true, m[1]
			c.dry = strings.HasPrefix(strings.ToLower(m[2]), "d")
			continue
		}
		break
	}
	if c.count < 1 || c.count > mostCoats {
		return c, fmt.Errorf("x%d is no number of coats; write x1 to x%d", c.count, mostCoats)
	}
	var err error
	if c.film, err = quantity.Parse(quantity.Film, text, "mil"); err != nil {
		return c, fmt.Errorf("%w; coats go behind, such as x2", err)
	}
	if c.film.Low <= 0 {
		return c, errors.New("a coat of no thickness is no coat; leave it out, or write its film")
	}
	return c, nil
}

// layCoats puts the coats on the panel.
func (o *bowOptions) layCoats(p *bowPage) error {
	p.panel.Front, p.panel.Back = p.lay(o.front), p.lay(o.back)
	return nil
}

// lay makes laminae of the coats of a face.
func (p *bowPage) lay(f *coatFlag) []bow.Lamina {
	var out []bow.Lamina
	for i, c := range f.coats {
		m := c.material
		thickness := p.dryFilm(c, fmt.Sprintf("%s-coat-%d", f.face, i+1))
		p.list(quantity.Pressure, m.Stiffness, m.Stress)
		p.list(quantity.Number, m.PoissonRatio)
		out = append(out, bow.Lamina{Name: c.name(), Coat: true, Thickness: thickness, Stiffness: m.Stiffness, Poisson: m.PoissonRatio, Stress: m.Stress})
	}
	return out
}

// dryFilm gives the dry film in m of all coats of one entry. A film that was
// stated exactly carries the draws of the material's solids, so that the same
// paint is as thick in solids on both faces. One stated as a range carries draws
// of its own, as the faces may differ, and the solids' middle.
func (p *bowPage) dryFilm(c bowCoat, id string) uncertain.Input {
	times := float64(c.count)
	stated := uncertain.Input{ID: id + "-wet-film", Low: c.film.Low, High: c.film.High, Unit: "m", Source: "stated"}
	if c.dry {
		stated.ID = id + "-dry-film"
		p.list(quantity.Film, stated)
		stated.Low, stated.High = times*stated.Low, times*stated.High
		return stated
	}
	p.list(quantity.Film, stated)
	solids := c.material.VolumeSolids
	p.list(quantity.Share, solids)
	if stated.IsExact() {
		solids.Unit, solids.Low, solids.High = "m", times*stated.Low*solids.Low, times*stated.Low*solids.High
		return solids
	}
	stated.Low, stated.High = times*stated.Low*solids.Mid(), times*stated.High*solids.Mid()
	return stated
}
