package material

import (
	"testing"

	"filmfault/internal/uncertain"

	"github.com/stretchr/testify/require"
)

func TestLikeKeepsTheFiguresAndNamesThemAnew(t *testing.T) {
	own, err := generic(t, AcrylicPaint).With(map[string]uncertain.Input{"volume-solids": {Low: 0.38, High: 0.38, Source: "can"}})
	require.NoError(t, err)
	before := own
	grey := own.Like("our-grey", "grey acrylic")
	require.Equal(t, before, own, "the first paint stays")
	require.Equal(t, "our-grey", grey.ID)
	require.Equal(t, "grey acrylic", grey.Name)
	require.Equal(t, uncertain.Input{ID: "our-grey-volume-solids", Low: 0.38, High: 0.38, Unit: uncertain.Share, Source: "can"}, grey.VolumeSolids)
	names, _ := Properties()
	for i, in := range grey.Inputs() {
		require.Equal(t, "our-grey-"+names[i], in.ID)
		in.ID = own.Inputs()[i].ID
		require.Equal(t, own.Inputs()[i], in)
	}
}

// TestLikeHasDrawsOfItsOwn: two paints of one kind are not the same paint.
func TestLikeHasDrawsOfItsOwn(t *testing.T) {
	white := generic(t, AcrylicPaint)
	grey := white.Like("our-grey", "grey acrylic")
	d := uncertain.NewDraws(64, 1)
	same := 0
	for i := range d.Len() {
		if d.Value(white.Diffusion, i) == d.Value(grey.Diffusion, i) {
			same++
		}
	}
	require.Less(t, same, 4)
}

func TestLikeTakesAShopsFiguresUnderItsOwnNames(t *testing.T) {
	grey, err := generic(t, AcrylicPaint).Like("our-grey", "grey acrylic").With(map[string]uncertain.Input{"stiffness": {Low: 2e8, High: 6e8}})
	require.NoError(t, err)
	require.Equal(t, "our-grey-stiffness", grey.Stiffness.ID)
}
