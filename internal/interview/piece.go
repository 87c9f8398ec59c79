package interview

import (
	"context"

	"filmfault/internal/casefile"
	"filmfault/internal/prompt"
	"filmfault/internal/quantity"
)

// askZone asks for the time zone of the log.
func (v *visit) askZone(ctx context.Context, again bool) (ending, error) {
	const why = "A logger's clock may keep another zone, or the clocks may have changed between two coats."
	return one(v, "log", why, &v.file.Log, func(*casefile.Log) []column[casefile.Log] {
		return []column[casefile.Log]{{
			id: "zone", name: "zone", title: "In which time zone are the times of the log?", example: "America/Chicago",
			how: "It may stay open where all times were read on one clock.", check: checkZone, doubt: doubtZone, noIsNone: true,
			in: func(l *casefile.Log) *string { return &l.Zone },
		}}
	}).askOnce(ctx, again)
}

// askShop asks for the shop's own file.
func (v *visit) askShop(ctx context.Context, again bool) (ending, error) {
	const why = "It may give the figures of the shop's own paints, and the waits and films the shop holds itself to."
	return one(v, "log", why, &v.file.Log, func(*casefile.Log) []column[casefile.Log] {
		return []column[casefile.Log]{{
			id: "shop", name: "shop", title: "Has the shop a file of its own materials and standard? What is it called?", example: "our-shop.yaml",
			how: besideCase, check: checkFile, doubt: doubtFile, noIsNone: true,
			put: func(l *casefile.Log, text string) { l.Shop = unquoted(text) }, in: func(l *casefile.Log) *string { return &l.Shop },
		}}
	}).askOnce(ctx, again)
}

// askPanel asks how large the piece is and how it stood.
func (v *visit) askPanel(ctx context.Context, again bool) (ending, error) {
	const why = "Air that has passed over much wet paint dries the far end slower; a face that lies up dries otherwise than one that stands."
	return one(v, "panel", why, &v.file.Log.Panel, panelColumns).askOnce(ctx, again)
}

func panelColumns(*casefile.Panel) []column[casefile.Panel] {
	return []column[casefile.Panel]{
		{id: "along", name: "length", title: "How long is the piece, the way the air moved over it?", example: "48 in", noIsNone: true,
			figure: &figure{kind: quantity.Length}, in: func(p *casefile.Panel) *string { return &p.Along }},
		{id: "across", name: "width", title: "How wide is it, across that?", example: "24 in",
			figure: &figure{kind: quantity.Length}, in: func(p *casefile.Panel) *string { return &p.Across }},
		{id: "stands", name: "how it stood", title: "How did it stand while it dried?",
			choices: []prompt.Choice{{ID: "upright", Text: "Upright: standing, hung or in a rack"}, {ID: "flat", Text: "Flat, face up"}},
			in:      func(p *casefile.Panel) *string { return &p.Stands }},
	}
}
