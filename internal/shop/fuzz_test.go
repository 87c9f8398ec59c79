package shop

import (
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/physics/material"
)

// column counts from 1.
func column(before int) string { return strconv.Itoa(before + 1) }

// FuzzRead reads anything. Whatever it says, the shop that comes out can be
// computed with: the ordinary one where the file is refused, and every figure
// is one that can be drawn from and is named after its material.
func FuzzRead(f *testing.F) {
	data, err := os.ReadFile(twoBench)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(data))
	for _, text := range []string{
		"schema: 1\n", "schema: 2\n", "schema: 1\nmaterials:\n", "schema: 1\nstandard: {fan: on, humidity: 0 %}\n",
		line("diffusion: 5e-13 to 2e-12"), line("permeance: 1e308 metric perms"), line("stiffness: 1e300-1e308 GPa"), line("assumed: [density, id]"),
		"schema: 1\nmaterials: [{id: a, like: filler}, {id: a-dry, like: filler}, {id: a}]\n",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, diags, err := Read(strings.NewReader(text), "shop.yaml")
		for _, d := range diags {
			require.Equal(t, "shop.yaml", d.Span.File)
			require.NotEmpty(t, d.Summary)
			require.NotEmpty(t, d.Remedy)
		}
		if err != nil || diags.HasErrors() {
			require.Equal(t, Ordinary(), s)
			return
		}
		again, _, _ := Read(strings.NewReader(text), "shop.yaml")
		require.Equal(t, s, again)
		requireUsable(t, s)
	})
}

func requireUsable(t *testing.T, s Shop) {
	t.Helper()
	names, units := material.Properties()
	figures := map[string]bool{}
	for id, m := range s.Materials {
		require.Equal(t, id, m.ID)
		require.NotEmpty(t, m.Name)
		for i, in := range m.Inputs() {
			require.NoError(t, in.Check())
			require.Equal(t, id+"-"+names[i], in.ID)
			require.Equal(t, units[i], in.Unit)
			require.NotEmpty(t, in.Source)
			require.False(t, figures[in.ID], in.ID)
			figures[in.ID] = true
		}
	}
	for _, b := range bounds() {
		require.True(t, within(*b.in(&s.Standard), b.low, b.high), b.key)
	}
	for _, id := range s.Own {
		require.Contains(t, s.Materials, id)
	}
}
