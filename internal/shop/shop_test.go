package shop

import (
	"errors"
	"os"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"filmfault/internal/physics/material"
	"filmfault/internal/uncertain"
)

const twoBench = "testdata/two-bench.yaml"

func read(t *testing.T, text string) Shop {
	t.Helper()
	s, diags, err := Read(strings.NewReader(text), "shop.yaml")
	require.NoError(t, err)
	require.Empty(t, diags)
	return s
}

func readFile(t *testing.T, name string) Shop {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	return read(t, string(data))
}

// requireFigure wants a figure in SI to a millionth, with the rest as stated.
func requireFigure(t *testing.T, s Shop, id, name string, low, high float64, want uncertain.Input) {
	t.Helper()
	got, ok := s.Materials[id].Property(name)
	require.True(t, ok)
	require.InDelta(t, low, got.Low, 1e-6*low, name)
	require.InDelta(t, high, got.High, 1e-6*high, name)
	want.ID, want.Low, want.High = id+"-"+name, got.Low, got.High
	require.Equal(t, want, got)
}

// The expected figures are arithmetic: mil 25.4e-6 m, psi 6894.757293 Pa, perm
// 57.2135e-12 kg/(s m2 Pa), pound a US gallon 119.826427 kg/m3 (NIST SP 811).
func TestReadTakesTheFiguresOfAGenericMaterial(t *testing.T) {
	s := readFile(t, twoBench)
	require.Equal(t, "Invented: a two-bench shop", s.Name)
	id, sheet := material.HighBuildPrimer, "data sheet"
	requireFigure(t, s, id, "volume-solids", 0.52, 0.52, uncertain.Input{Unit: uncertain.Share, Source: sheet})
	requireFigure(t, s, id, "recommended-wet-film", 203.2e-6, 254e-6, uncertain.Input{Unit: "m", Source: sheet})
	requireFigure(t, s, id, "maximum-thinning", 0.03, 0.03, uncertain.Input{Unit: uncertain.Share, Source: sheet})
	requireFigure(t, s, id, "stiffness", 200e6, 600e6, uncertain.Input{Unit: "Pa", Spread: uncertain.EvenInLog, Source: sheet})
	requireFigure(t, s, id, "diffusion", 5e-13, 2e-12, uncertain.Input{Unit: "m2/s", Spread: uncertain.EvenInLog, Source: sheet})
	requireFigure(t, s, id, "permeance", 286.0675e-12, 572.135e-12, uncertain.Input{Unit: "kg/(s m2 Pa)", Spread: uncertain.EvenInLog, Source: sheet})
	requireFigure(t, s, id, "pore-closing", 0, 0, uncertain.Input{Unit: "s", Source: sheet})
	generic, _ := material.Generic(id)
	require.Equal(t, generic.Name, s.Materials[id].Name)
	require.Equal(t, generic.Sorption, s.Materials[id].Sorption, "what the shop does not state stays")
}

func TestReadTakesFurtherMaterials(t *testing.T) {
	s := readFile(t, twoBench)
	require.Equal(t, "grey acrylic", s.Materials["our-grey"].Name)
	requireFigure(t, s, "our-grey", "volume-solids", 0.38, 0.38, uncertain.Input{Unit: uncertain.Share, Assumed: true, Source: unsaid})
	requireFigure(t, s, "our-grey", "stress", 689475.7293, 689475.7293, uncertain.Input{Unit: "Pa", Source: unsaid})
	requireFigure(t, s, "hard-clear", "stiffness", 1.5e9, 2.5e9, uncertain.Input{Unit: "Pa", Spread: uncertain.EvenInLog, Source: unsaid})
	requireFigure(t, s, "hard-clear", "activation", 40e3, 40e3, uncertain.Input{Unit: "J/mol", Assumed: true, Source: unsaid})
	requireFigure(t, s, "hard-clear", "poisson-ratio", 0.35, 0.35, uncertain.Input{Unit: uncertain.Share, Source: unsaid})
	requireFigure(t, s, "hard-clear", "density", 1078.437843, 1078.437843, uncertain.Input{Unit: "kg/m3", Source: unsaid})
	require.Equal(t, "hard clear", s.Materials["hard-clear"].Name)
	mask, _ := material.Generic(material.PaintMask)
	require.Equal(t, mask.Like("thin-mask", "thin mask"), s.Materials["thin-mask"])

	require.Equal(t, []string{"hard-clear", "high-build-primer", "our-grey"}, s.Own, "a mask without figures is not among them")
	require.Equal(t, map[string]string{"our-grey": "acrylic-paint", "hard-clear": "two-part-urethane", "thin-mask": "paint-mask"}, s.Like)
	require.Len(t, s.Materials, len(material.IDs())+3)
}

// TestACopyIsOfTheGenericMaterial even where the shop states that one as well.
func TestACopyIsOfTheGenericMaterial(t *testing.T) {
	s := read(t, "schema: 1\nmaterials:\n  - {id: acrylic-paint, volume-solids: 41 %}\n  - {id: our-grey, like: acrylic-paint}\n")
	require.Equal(t, 0.30, s.Materials["our-grey"].VolumeSolids.Low)
	require.True(t, s.Materials["our-grey"].VolumeSolids.Assumed)
	require.InDelta(t, 0.41, s.Materials["acrylic-paint"].VolumeSolids.Low, 1e-12)
}

func TestReadTakesTheStandard(t *testing.T) {
	s := readFile(t, twoBench)
	got := s.Standard
	require.Equal(t, 8*3600.0, got.DryBeforeClosing)
	require.Equal(t, 90*60.0, got.FreshFan)
	require.InDelta(t, 254e-6, got.WetFilm, 1e-12, "at most: the upper end of 8-10 mil")
	require.Zero(t, got.Thinning)
	require.InDelta(t, 293.15, got.Temperature, 1e-9)
	require.InDelta(t, 0.55, got.Humidity, 1e-12)
	require.InDelta(t, 2, got.Fan, 1e-12)
	require.Equal(t, 7*86400.0, got.CureBeforeSun)
	require.Equal(t, []string{"cure-before-sun", "dry-before-closing", "fan", "fresh-fan", "humidity", "temperature", "thinning", "wet-film"}, s.Held)
}

// TestTheStandardTakesTheEndThatKeepsTo: "5-6 h" is at least 5 h.
func TestTheStandardTakesTheEndThatKeepsTo(t *testing.T) {
	s := read(t, "schema: 1\nstandard: {dry-before-closing: 5-6 h, thinning: up to 2 %, humidity: no more than 50 %, fan: 200-400 fpm, temperature: over 70 F}\n")
	require.Equal(t, 5*3600.0, s.Standard.DryBeforeClosing)
	require.InDelta(t, 0.02, s.Standard.Thinning, 1e-12)
	require.InDelta(t, 0.50, s.Standard.Humidity, 1e-12)
	require.InDelta(t, 200*0.3048/60, s.Standard.Fan, 1e-12)
	require.InDelta(t, 294.2611, s.Standard.Temperature, 1e-4)
	require.Equal(t, OrdinaryStandard().WetFilm, s.Standard.WetFilm, "what the shop does not state is ordinary")
	require.Equal(t, []string{"dry-before-closing", "fan", "humidity", "temperature", "thinning"}, s.Held)
}

// TestOrdinaryStandard: common practice, no source.
func TestOrdinaryStandard(t *testing.T) {
	s := read(t, "schema: 1\nstandard: {dry-before-closing: 5 h, fresh-fan: 1 h, wet-film: 12 mil, thinning: 3 %, temperature: 65 F, humidity: 60 %, fan: 300 fpm, cure-before-sun: 5 days}\n")
	want := OrdinaryStandard()
	for _, b := range bounds() {
		require.InEpsilon(t, *b.in(&want), *b.in(&s.Standard), 1e-12, b.key)
	}
	require.InDelta(t, 291.483, want.Temperature, 1e-3, "65 F")
	require.Len(t, s.Held, len(bounds()))
}

// TestAShopThatStatesNothingIsOrdinary however it says nothing.
func TestAShopThatStatesNothingIsOrdinary(t *testing.T) {
	for _, text := range []string{
		"schema: 1\n", "schema: 1\nmaterials:\nstandard:\n", "schema: 1\nmaterials: []\nstandard: {}\n",
		"# ours\nschema: 1\nmaterials: [{id: filler}, {id: paint-mask, source: data sheet}]\n",
	} {
		require.Equal(t, Ordinary(), read(t, text), text)
	}
	require.Len(t, Ordinary().Materials, len(material.IDs()))
	Ordinary().Materials["x"] = material.Material{}
	require.NotContains(t, Ordinary().Materials, "x", "each call gives materials of its own")
}

func TestANewerFileIsToldBeforeAnythingElse(t *testing.T) {
	s, diags, err := Read(strings.NewReader("schema: 2\nmaterials: {all: new}\nfans: 3\n"), "shop.yaml")
	var newer *NewerError
	require.ErrorAs(t, err, &newer)
	require.Equal(t, 2, newer.Schema)
	require.EqualError(t, err, "shop.yaml:1:9: this shop file has schema 2 and this filmfault knows schemas up to 1; use a newer filmfault")
	require.Empty(t, diags)
	require.Equal(t, Ordinary(), s)
}

func TestTroubleWithReadingIsAnError(t *testing.T) {
	broken := errors.New("the disk is gone")
	s, diags, err := Read(iotest.ErrReader(broken), "shop.yaml")
	require.ErrorIs(t, err, broken)
	require.ErrorContains(t, err, "shop.yaml")
	require.Empty(t, diags)
	require.Equal(t, Ordinary(), s)
}

func TestAFileTooLargeIsRefused(t *testing.T) {
	s, diags, err := Read(strings.NewReader("schema: 1\n#"+strings.Repeat("-", 1<<20)), "shop.yaml")
	require.NoError(t, err)
	require.True(t, diags.HasErrors())
	require.Equal(t, "too-big", diags[0].Check)
	require.Equal(t, Ordinary(), s)
}
