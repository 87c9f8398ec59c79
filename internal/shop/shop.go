// Package shop reads a shop's own file: the figures of its materials, in place
// of the generic ones, and the standard it holds itself to on a job.
//
// What is wrong in the file is a diagnostic with its place and what to write
// instead; with an error among them the ordinary shop stands in, so that nothing
// is computed from half a file. The package computes nothing itself and knows
// nothing of cases. It sits on yamldoc, quantity and the figures of
// physics/material.
package shop

import (
	"fmt"
	"io"

	"filmfault/internal/physics/material"
	"filmfault/internal/source"
	"filmfault/internal/yamldoc"
)

// Schema is the version of shop files that this program reads.
const Schema = 1

// Shop is what a shop works with and how.
type Shop struct {
	// Name is what a report calls the shop; "" when it states none.
	Name string
	// Materials by id: the generic ones, those of the shop in their place, and the
	// shop's further ones.
	Materials map[string]material.Material
	// Standard is the shop's, and where it states nothing the ordinary one.
	Standard Standard
	// Own lists the ids of the materials that the shop stated figures for, sorted.
	Own []string
	// Like gives, for the id of a further material of the shop, that of the generic
	// material it is like.
	Like map[string]string
	// Held lists the keys of the standard that the shop stated, sorted; the others
	// are common practice.
	Held []string
}

// Ordinary is a shop of which nothing is known: all generic materials and the
// ordinary standard.
func Ordinary() Shop {
	s := Shop{Materials: map[string]material.Material{}, Standard: OrdinaryStandard()}
	for _, id := range material.IDs() {
		s.Materials[id], _ = material.Generic(id) // the ids are those of Generic
	}
	return s
}

// NewerError says that a file was written for a newer version.
type NewerError struct {
	Span   source.Span
	Schema int
}

func (e *NewerError) Error() string {
	return fmt.Sprintf("%s: this shop file has schema %d and this filmfault knows schemas up to %d; use a newer filmfault", e.Span, e.Schema, Schema)
}

// limits bounds a shop file: it holds some dozens of materials.
func limits() yamldoc.Limits { return yamldoc.Limits{Bytes: 1 << 20, Depth: 16, Nodes: 20_000} }

// Read reads a shop's file; name is its name for the places of the diagnostics.
// What is wrong inside the file is in the diagnostics, in the order of the file,
// and with an error among them the shop is Ordinary. The error is that of
// reading, or a *NewerError; the shop is then Ordinary too.
func Read(r io.Reader, name string) (Shop, source.List, error) {
	data, diags, err := yamldoc.ReadAll(r, name, limits())
	if err != nil || diags.HasErrors() {
		return Ordinary(), diags, err
	}
	return Parse(name, data)
}

// Parse is Read for bytes at hand.
func Parse(name string, data []byte) (Shop, source.List, error) {
	doc, diags := yamldoc.Parse(name, data, limits())
	if diags.HasErrors() {
		return Ordinary(), diags, nil
	}
	p := newParser(&diags)
	if err := p.document(doc); err != nil {
		return Ordinary(), nil, err
	}
	diags.Sort()
	if diags.HasErrors() {
		return Ordinary(), diags, nil
	}
	return p.shop, diags, nil
}
