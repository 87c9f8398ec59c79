package shop

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// refused is a file and the lines it is refused with.
type refused struct {
	text string
	want []string
}

func requireRefused(t *testing.T, list []refused) {
	t.Helper()
	for _, c := range list {
		s, diags, err := Parse("shop.yaml", []byte(c.text))
		require.NoError(t, err, c.text)
		var got []string
		for _, d := range diags {
			got = append(got, d.String())
		}
		require.Equal(t, c.want, got, c.text)
		require.Equal(t, Ordinary(), s, "nothing is taken from a file that is refused")
	}
}

const (
	generics = "high-build-primer, acrylic-paint, alkyd-enamel, two-part-urethane, filler, paint-mask, blast-mask"
	allNames = "volume-solids, density, dry-density, water-share, recommended-wet-film, maximum-thinning, diffusion, activation, packing, " +
		"skin-diffusivity, pore-closing, tack-share, sorption, sorption-shape, stiffness, poisson-ratio, stress, shrinkage, permeance"
)

func TestTheFileIsRefused(t *testing.T) {
	requireRefused(t, []refused{
		{"[a]\n", []string{`shop.yaml:1:1: a shop file must be a map of keys and values, this is a list [wrong-shape]; write instead: its keys below it, indented by two spaces, each as "key: value"`}},
		{"shop: x\n", []string{`shop.yaml:1:1: a shop file needs the key "schema" [missing-key]; write instead: a line "schema:" with its value`}},
		{"schema: 0\n", []string{`shop.yaml:1:9: there is no schema 0 [schema]; write instead: schema: 1`}},
		{"schema: one\n", []string{`shop.yaml:1:9: the schema must be a whole number, this is "one" [whole]; write instead: a whole number such as 3, in plain digits`}},
		{"schema: 1\nmaterial: []\ncolour: red\n", []string{
			`shop.yaml:2:1: a shop file has no key "material" [unknown-key]; write instead: materials`,
			`shop.yaml:3:1: a shop file has no key "colour" [unknown-key]; write instead: one of: schema, shop, materials, standard`,
		}},
		{"schema: 1\nshop: " + strings.Repeat("x", 81) + "\n", []string{`shop.yaml:2:7: the shop has 81 characters [too-long]; write instead: 80 characters or fewer`}},
		{"schema: 1\nmaterials: {id: x}\n", []string{`shop.yaml:2:12: the list of materials must be a list, this is a map [wrong-shape]; write instead: each item on a line of its own, behind "- "`}},
		{"schema: 1\nmaterials: [filler]\n", []string{`shop.yaml:2:13: a material must be a map of keys and values, this is a text [wrong-shape]; write instead: its keys below it, indented by two spaces, each as "key: value"`}},
	})
}

func TestIdsAndNamesAreRefused(t *testing.T) {
	const head = "schema: 1\nmaterials:\n"
	requireRefused(t, []refused{
		{head + "  - name: x\n", []string{`shop.yaml:3:5: a material needs the key "id" [missing-key]; write instead: a line "id:" with its value`}},
		{head + "  - id: primer\n    volume-solids: 52\n", []string{
			`shop.yaml:3:9: primer is none of the generic materials, and no like: says which it is like [unknown-id]; write instead: one of: ` + generics + `; or this id with a line like: and one of these`,
			`shop.yaml:4:20: volume-solids: "52": it has no unit [value]; write instead: the unit as well, such as 45-60 % (% or fraction)`,
		}},
		{head + "  - id: high-built-primer\n", []string{`shop.yaml:3:9: high-built-primer is none of the generic materials, and no like: says which it is like [unknown-id]; write instead: high-build-primer; or this id with a line like: and one of: ` + generics}},
		{head + "  - {id: Our Grey, like: filler}\n", []string{`shop.yaml:3:10: "Our Grey" is no id of a material [id]; write instead: our-grey`}},
		{head + "  - {id: grey!, like: filler}\n", []string{`shop.yaml:3:10: "grey!" is no id of a material [id]; write instead: small letters, digits and single hyphens, such as our-grey, in 40 characters or fewer`}},
		{head + "  - {id: our-grey, like: acrylic-pant}\n", []string{`shop.yaml:3:26: "acrylic-pant" is none of the generic materials [like]; write instead: acrylic-paint`}},
		{head + "  - {id: our-grey, like: varnish}\n", []string{`shop.yaml:3:26: "varnish" is none of the generic materials [like]; write instead: one of: ` + generics}},
		{head + "  - {id: " + strings.Repeat("x", 80) + ", like: filler}\n", []string{`shop.yaml:3:10: "` + strings.Repeat("x", 60) + `..." is no id of a material [id]; write instead: small letters, digits and single hyphens, such as our-grey, in 40 characters or fewer`}},
		{head + "  - {id: our-grey, like: }\n", []string{`shop.yaml:3:20: like is empty [empty-value]; write instead: a text on the same line, after the colon`}},
		{head + "  - {id: filler, like: acrylic-paint}\n", []string{`shop.yaml:3:18: filler is a generic material and is like no other [like]; write instead: the figures without like:, or a new id`}},
		{head + "  - id: filler\n  - id: filler\n", []string{`shop.yaml:4:9: filler is stated twice, the first time at shop.yaml:3:9 [twice]; write instead: all its figures in one entry, or another id`}},
		{head + "  - {id: a, like: filler, name: Acrylic  Paint}\n", []string{`shop.yaml:3:33: a and acrylic-paint go by the same name, "acrylic paint" [same-name]; write instead: a name of its own`}},
		{head + "  - {id: a, like: filler, name: our grey}\n  - {id: our-grey, like: filler}\n", []string{`shop.yaml:3:33: a and our-grey go by the same name, "our grey" [same-name]; write instead: a name of its own`}},
		{head + "  - {id: our, like: filler}\n  - {id: our-dry, like: filler}\n", []string{`shop.yaml:4:10: our and our-dry would both have a figure our-dry-density [same-name]; write instead: another id`}},
	})
}

// line is a file with one line of a material.
func line(text string) string {
	return "schema: 1\nmaterials:\n  - id: high-build-primer\n    " + text + "\n"
}

func TestKeysOfAMaterialAreRefused(t *testing.T) {
	requireRefused(t, []refused{
		{line("volume-solid: 52 %"), []string{`shop.yaml:4:5: a material has no key "volume-solid" [unknown-key]; write instead: volume-solids`}},
		{line("colour: red"), []string{`shop.yaml:4:5: a material has no key "colour" [unknown-key]; write instead: one of: id, like, name, source, assumed, ` + allNames}},
		{line("volume-solids:"), []string{`shop.yaml:4:5: the volume-solids is empty [empty-value]; write instead: a text on the same line, after the colon`}},
		{line("assumed: [volume-solids]"), []string{`shop.yaml:4:15: this material states no volume-solids [assumed]; write instead: volume-solids: with the figure, or the list without it`}},
		{line("assumed: [volume-solid, id]"), []string{
			`shop.yaml:4:15: "volume-solid" is no figure of a material [assumed]; write instead: volume-solids`,
			`shop.yaml:4:29: "id" is no figure of a material [assumed]; write instead: one of: ` + allNames,
		}},
		{line("assumed: density\n    density: 12"), []string{
			`shop.yaml:5:14: density: "12": it has no unit [value]; write instead: the unit as well, such as 9.6-11.7 lb/gal (lb/ft3, kg/m3, g/cm3 or lb/gal)`,
		}},
		{line("source: " + strings.Repeat("x", 201)), []string{`shop.yaml:4:13: the source has 201 characters [too-long]; write instead: 200 characters or fewer`}},
	})
}

func TestFiguresAreRefused(t *testing.T) {
	for text, want := range map[string]string{
		"volume-solids: 3 %":                        `no material has such a figure [value]; write instead: within 5-100 %, such as 45-60 %`,
		"volume-solids: 110 %":                      `share cannot be more than 100 % [value]; write instead: a quantity such as 45-60 %`,
		"volume-solids: over 50 %":                  `it gives one end only [value]; write instead: both ends, such as 45-60 %, or the figure itself`,
		"shrinkage: 0.002":                          `it has no unit [value]; write instead: the unit as well, such as 0.02-1 % (% or fraction)`,
		"sorption-shape: 60 %":                      `no material has such a figure [value]; write instead: within 12.5-55.5 %, such as 20-33.3 %`,
		"density: 11 lbs.":                          `it may be pounds per gallon or per cubic foot [value]; write instead: 11 lb/gal or 11 lb/ft3`,
		"density: 12 psi":                           `psi is a unit of pressure, and density is asked for [value]; write instead: it in one of the units lb/ft3, kg/m3, g/cm3 or lb/gal, such as 9.6-11.7 lb/gal`,
		"recommended-wet-film: 12-8 mil":            `the second number is smaller than the first [value]; write instead: the smaller number first`,
		"recommended-wet-film: 1 in":                `no material has such a figure [value]; write instead: within 0.1-393 mil, such as 8-12 mil`,
		"stiffness: 600":                            `it has no unit [value]; write instead: the unit as well, such as 10-1500 MPa (psi, bar, mbar, Pa, kPa or MPa)`,
		"stiffness: 200-600 GPa":                    `no material has such a figure [value]; write instead: within 0.1-10000 MPa, such as 10-1500 MPa`,
		"stiffness: 3 bananas":                      `"bananas" is not understood [value]; write instead: the number and one of the units psi, bar, mbar, Pa, kPa or MPa, such as 10-1500 MPa`,
		"stiffness: over 200 MPa":                   `it gives one end only [value]; write instead: both ends, such as 10-1500 MPa, or the figure itself`,
		"stiffness: over 2000 MPa":                  `it gives one end only [value]; write instead: both ends, such as 10-1500 MPa, or the figure itself`,
		"pore-closing: 4":                           `it has no unit [value]; write instead: the unit as well, such as 1-16 h (s, min, h, days, weeks, months or years)`,
		"diffusion: 2e-12 to 5e-13":                 `the second number is smaller than the first [value]; write instead: the smaller number first`,
		"diffusion: 5x10-13":                        `"x10-13" is not understood [value]; write instead: a figure such as 1e-13 to 1e-11 m2/s`,
		"diffusion: 0":                              `no material has such a figure [value]; write instead: within 1e-15 to 1e-9 m2/s, such as 1e-13 to 1e-11 m2/s`,
		"diffusion: 1e400":                          `the number is too large [value]; write instead: a figure such as 1e-13 to 1e-11 m2/s`,
		"activation: 25":                            `it may be J/mol or kJ/mol [value]; write instead: 25 kJ/mol or 25 J/mol`,
		"activation: 25000 K":                       `K is a unit of temperature, and activation is asked for [value]; write instead: a figure such as 23-28 kJ/mol`,
		"activation: 25,000":                        `the comma may part thousands or decimals [value]; write instead: a figure such as 23-28 kJ/mol`,
		"poisson-ratio: 0.5":                        `no material has such a figure [value]; write instead: within 0-0.499, such as 0.3-0.45`,
		"permeance: 5":                              `no material has such a figure [value]; write instead: within 0-174 perm, such as 2-30 perm`,
		"permeance: -5 perm":                        `no material has such a figure [value]; write instead: within 0-174 perm, such as 2-30 perm`,
		"permeance: 5+ perm":                        `it gives one end only [value]; write instead: both ends, such as 2-30 perm, or the figure itself`,
		"permeance: over 5 perm":                    `it gives one end only [value]; write instead: both ends, such as 2-30 perm, or the figure itself`,
		"permeance: 5-10 " + strings.Repeat("x", 9): `"xxxxxxxxx" is not understood [value]; write instead: a figure such as 2-30 perm`,
	} {
		key, value, _ := strings.Cut(text, ": ")
		_, diags, err := Parse("shop.yaml", []byte(line(text)))
		require.NoError(t, err)
		require.Len(t, diags, 1, text)
		require.Equal(t, key+`: "`+value+`": `+want, strings.SplitN(diags[0].String(), " ", 2)[1])
		require.Equal(t, 4, diags[0].Span.Start.Line)
		require.Equal(t, len("    ")+len(key)+len(": ")+1, diags[0].Span.Start.Column, text)
	}
}

func TestTheStandardIsRefused(t *testing.T) {
	for text, want := range map[string]string{
		"dry-before-closing: 0 h":         `it is no use as a standard [standard]; write instead: between 10 min and 30 days, such as 5 h`,
		"dry-before-closing: at most 5 h": `it says at most, and here stands the least that is wanted [standard]; write instead: 5 h`,
		"fresh-fan: 1":                    `it has no unit [standard]; write instead: the unit as well, such as 60 min (s, min, h, days, weeks, months or years)`,
		"wet-film: 500 mil":               `it is no use as a standard [standard]; write instead: between 1 mil and 60 mil, such as 12 mil`,
		"wet-film: 3 um":                  `it is no use as a standard [standard]; write instead: between 25 um and 1524 um, such as 305 um`,
		"wet-film: over 12 mil":           `it says at least, and here stands the most that is allowed [standard]; write instead: 12 mil`,
		"thinning: 80 %":                  `it is no use as a standard [standard]; write instead: between 0 % and 50 %, such as 3 %`,
		"temperature: 65":                 `it has no unit [standard]; write instead: the unit as well, such as 65 F (F, C or K)`,
		"temperature: -5 C":               `it is no use as a standard [standard]; write instead: between 0 C and 49 C, such as 18 C`,
		"humidity: 4 %":                   `it is no use as a standard [standard]; write instead: between 5 % and 95 %, such as 60 %`,
		"humidity: 100 %":                 `it is no use as a standard [standard]; write instead: between 5 % and 95 %, such as 60 %`,
		"fan: no":                         `it does not begin with a number [standard]; write instead: a quantity such as 300 fpm`,
		"fan: 0 fpm":                      `it is no use as a standard [standard]; write instead: between 20 fpm and 900 fpm, such as 300 fpm`,
		"cure-before-sun: 5 minutes":      `it is no use as a standard [standard]; write instead: between 60 min and 12 months, such as 5 days`,
	} {
		key, value, _ := strings.Cut(text, ": ")
		requireRefused(t, []refused{{"schema: 1\nstandard:\n  " + text + "\n",
			[]string{"shop.yaml:3:" + column(len("  "+key+": ")) + ": " + key + `: "` + value + `": ` + want}}})
	}
	requireRefused(t, []refused{
		{"schema: 1\nstandard: 5 h\n", []string{`shop.yaml:2:11: a standard must be a map of keys and values, this is a text [wrong-shape]; write instead: its keys below it, indented by two spaces, each as "key: value"`}},
		{"schema: 1\nstandard:\n  fan:\n  dry: 3 h\n  wet-fim: 12 mil\n", []string{
			`shop.yaml:3:3: the fan is empty [empty-value]; write instead: a text on the same line, after the colon`,
			`shop.yaml:4:3: a standard has no key "dry" [unknown-key]; write instead: one of: dry-before-closing, fresh-fan, wet-film, thinning, temperature, humidity, fan, cure-before-sun`,
			`shop.yaml:5:3: a standard has no key "wet-fim" [unknown-key]; write instead: wet-film`,
		}},
	})
}
