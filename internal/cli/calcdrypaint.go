package cli

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"filmfault/internal/physics/coating"
	"filmfault/internal/physics/drying"
	"filmfault/internal/physics/film"
	"filmfault/internal/physics/material"
	"filmfault/internal/quantity"
	"filmfault/internal/shop"
	"filmfault/internal/uncertain"
)

// paintFlags are the flags that say what was laid, for the commands that follow
// the water in a film.
type paintFlags struct {
	flags          map[string]*quantityFlag
	material, shop string
	coats          *wordFlag[int]
}

func newPaintFlags() paintFlags {
	return paintFlags{
		flags: map[string]*quantityFlag{
			"wet":              {kind: quantity.Film, unit: "mil"},
			"solids":           {kind: quantity.Share, unit: "%"},
			"thinner-of-paint": {kind: quantity.Share, unit: "%"},
			"thinner-of-mix":   {kind: quantity.Share, unit: "%"},
		},
		coats: &wordFlag[int]{kind: "number", understand: readCount},
	}
}

// add puts the flags on a command.
func (f *paintFlags) add(cmd *cobra.Command) {
	quantityFlags(cmd, f.flags, map[string]string{
		"wet":              "wet film of one coat, as the gauge read it; else the usual one of the material",
		"solids":           "volume solids; else those of the material",
		"thinner-of-paint": "water added, as a share of the paint", "thinner-of-mix": "water added, as a share of the mix",
	})
	cmd.Flags().StringVar(&f.material, "material", material.HighBuildPrimer, "the `material` of the coats")
	cmd.Flags().StringVar(&f.shop, "shop", "", "a shop's own `file`, with figures of its materials")
	cmd.Flags().Var(f.coats, "coats", "how many coats, 1 if not stated")
}

// mostBuilt is more coats than one build has.
const mostBuilt = 12

func readCount(s string) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil || n < 1 || n > mostBuilt {
		return 0, fmt.Errorf("write the number of coats, 1 to %d", mostBuilt)
	}
	return n, nil
}

// wetPaint is what was laid, as far as it is known.
type wetPaint struct {
	material material.Material
	// generic is the id of the generic material that this one is, or is like.
	generic      string
	wet, thinner uncertain.Input
	ofMix        bool
	count        int
}

// read understands the flags. The inputs are those of the material left out.
func (f *paintFlags) read(a *app) (wetPaint, []input, error) {
	p := wetPaint{count: max(f.coats.value, 1)}
	var err error
	if p.material, p.generic, err = f.found(a); err != nil {
		return p, nil, err
	}
	if err := f.ownSolids(&p); err != nil {
		return p, nil, err
	}
	if err := f.readWet(&p); err != nil {
		return p, nil, err
	}
	if err := f.readThinner(&p); err != nil {
		return p, nil, err
	}
	return p, []input{{p.wet, quantity.Film}, {p.thinner, quantity.Share}}, nil
}

// found is the material named, and the generic one that it is like.
func (f *paintFlags) found(a *app) (material.Material, string, error) {
	s, err := a.readShop(f.shop)
	if err != nil {
		return material.Material{}, "", err
	}
	id := coatID(f.material)
	m, ok := s.Materials[id]
	if !ok {
		return m, "", usagef("no material %q%s", f.material, nearMaterial(id, slices.Sorted(maps.Keys(s.Materials))))
	}
	generic := cmp.Or(s.Like[id], id)
	switch {
	case generic == material.PaintMask || generic == material.BlastMask:
		return m, "", usagef("%s is a mask and dries nothing; name a coat, such as --material %s", id, material.HighBuildPrimer)
	case m.WaterShare.High <= 0:
		return m, "", usagef("%s gives off solvent or cures, and this follows water only; go by its label, or name a waterborne coat, such as --material %s",
			id, material.HighBuildPrimer)
	}
	return m, generic, nil
}

// nearMaterial names the material that may have been meant: the only one whose id
// has the word in it, or one that is spelt much like it.
func nearMaterial(id string, known []string) string {
	having := slices.DeleteFunc(slices.Clone(known), func(k string) bool { return !strings.Contains(k, id) })
	if len(having) == 1 {
		return "; did you mean " + having[0] + "?"
	}
	return nearest(id, known, "use one of: "+strings.Join(known, ", "))
}

// readShop reads a shop's file and complains about it; without a name it is a
// shop of which nothing is known.
func (a *app) readShop(name string) (shop.Shop, error) {
	if name == "" {
		return shop.Ordinary(), nil
	}
	data, err := os.ReadFile(name)
	if err != nil {
		return shop.Shop{}, noSuchFile(name, "the shop's file", err)
	}
	s, diags, err := shop.Parse(name, data)
	if err != nil {
		return s, fmt.Errorf("%s: %w", name, err)
	}
	if len(diags) > 0 {
		a.complain(diags, map[string][]byte{name: data})
	}
	if diags.HasErrors() {
		return s, errTold
	}
	return s, nil
}

// noSuchFile says why a file that was named cannot be read.
func noSuchFile(name, what string, err error) error {
	info, statErr := os.Stat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("there is no file %q; name %s", name, what)
	case statErr == nil && info.IsDir():
		return fmt.Errorf("%s is a folder; name %s in it", name, what)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s may not be read by you; ask for leave to read it, or for a copy", name)
	}
	return fmt.Errorf("%s: %w", name, err)
}

// ownSolids puts stated solids in the place of the material's.
func (f *paintFlags) ownSolids(p *wetPaint) error {
	flag := f.flags["solids"]
	if !flag.given {
		return nil
	}
	in, err := flag.input("volume-solids")
	if err != nil {
		return err
	}
	m, err := p.material.With(map[string]uncertain.Input{"volume-solids": in})
	if err != nil || in.Low < leastSolids || in.High > mostSolids {
		return usagef("--solids %q: no waterborne paint has that; write its volume solids, such as 52 %%", flag.value.Typed)
	}
	p.material = m
	return nil
}

// The volume solids that a waterborne paint can have, as for package drying.
const leastSolids, mostSolids = 0.05, 0.95

// The wet films that one coat can have, in m; a lift of filler may be thicker.
const thinnestCoat, thickestCoat = 0.2 * mil, 60 * mil

// mil in m.
const mil = 25.4e-6

// readWet settles the wet film of one coat: an exact figure is what a notch gauge
// reads, which lies between two of its teeth.
func (f *paintFlags) readWet(p *wetPaint) error {
	flag := f.flags["wet"]
	if !flag.given {
		p.wet = p.material.RecommendedWetFilm
		p.wet.ID = "wet"
		return nil
	}
	in, err := flag.input("wet")
	if err != nil {
		return err
	}
	most := max(thickestCoat, p.material.RecommendedWetFilm.High)
	if in.Low < thinnestCoat || in.High > most*(1+1e-9) {
		return usagef("--wet %q is no wet film of one coat; write the film as the gauge read it, 1 to %.0f mil", flag.value.Typed, most/mil)
	}
	p.wet = in
	if !in.IsExact() {
		return nil
	}
	if read, err := gaugeOf(flag.value.Unit).Reading("wet", in.Low); err == nil { // else it is above the last notch
		read.Source = "stated; a notch gauge reads between two teeth"
		p.wet = read
	}
	return nil
}

// gaugeOf is the gauge that reads in a unit.
func gaugeOf(unit string) film.Gauge {
	if slices.Contains([]string{"um", "mm"}, unit) {
		return film.MicronGauge
	}
	return film.MilGauge
}

// mostThinner leaves little of a coat.
const mostThinner = 0.66

// readThinner settles the thinner of all coats; none stated may be none or the
// most that the material takes.
func (f *paintFlags) readThinner(p *wetPaint) error {
	ofPaint, ofMix := f.flags["thinner-of-paint"], f.flags["thinner-of-mix"]
	if ofPaint.given && ofMix.given {
		return usagef("state the thinner once: as a share of the paint or as a share of the mix")
	}
	name, flag := "thinner-of-paint", ofPaint
	if p.ofMix = ofMix.given; p.ofMix {
		name, flag = "thinner-of-mix", ofMix
	}
	if !flag.given {
		most := p.material.MaximumThinning
		p.thinner = uncertain.Input{ID: "thinner-of-paint", High: most.High, Unit: uncertain.Share, Assumed: true, Source: most.Source}
		return nil
	}
	in, err := flag.input(name)
	if err != nil {
		return err
	}
	if in.High > mostThinner {
		return usagef("--%s %q leaves no coat; write the water added, such as 3 %%", name, flag.value.Typed)
	}
	p.thinner = in
	return nil
}

// drawn is the paint in one draw.
func (p wetPaint) drawn(d uncertain.Draws, draw int) (coating.Paint, error) {
	return coating.Draw(p.material, d, draw)
}

// layer is the coat of a number, from 1, in one draw. Coats are laid apart: each
// has a film and a thinner of its own, drawn as a job log draws them.
func (p wetPaint) layer(paint coating.Paint, d uncertain.Draws, draw, number int) (drying.Layer, error) {
	wet, thinner := p.wet, p.thinner
	wet.ID, thinner.ID = fmt.Sprintf("coat-%d-wet-film", number), fmt.Sprintf("coat-%d-thinning", number)
	share := min(max(d.Value(thinner, draw), 0), mostThinner)
	var thinning film.Thinning = film.OfPaint(share)
	if p.ofMix {
		thinning = film.OfMix(share)
	}
	l, err := paint.Coat(d.Value(wet, draw), thinning)
	if err != nil {
		return l, usagef("a coat of %s with these solids and thinner leaves no film that can be followed; state --wet, --solids and thinner as they were",
			quantity.Format(quantity.Film, d.Value(wet, draw), quantity.US))
	}
	return l, nil
}

// primes says that the coat is primer or filler, not colour.
func (p wetPaint) primes() bool {
	return p.generic == material.HighBuildPrimer || p.generic == material.Filler
}

// called names the coats for a title.
func (p wetPaint) called(sys quantity.System) string {
	wet := quantity.FormatRange(quantity.Film, p.wet.Low, p.wet.High, sys) + " wet"
	if p.count == 1 {
		return fmt.Sprintf("%s, one coat of %s", p.material.Name, wet)
	}
	return fmt.Sprintf("%s, %d coats of %s each", p.material.Name, p.count, wet)
}

// figures lists what is drawn of the material, each with its kind.
func (p wetPaint) figures() []input {
	m := p.material
	return []input{
		{m.VolumeSolids, quantity.Share}, {m.WaterShare, quantity.Share}, {m.DryDensity, quantity.Density},
		{m.Sorption, quantity.Share}, {m.SorptionShape, quantity.Share}, {m.Diffusion, quantity.Number},
		{m.Activation, quantity.Number}, {m.Packing, quantity.Share}, {m.SkinDiffusivity, quantity.Number},
		{m.PoreClosing, quantity.Duration}, {m.TackShare, quantity.Share},
	}
}
