package plot

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func inCells(right float64) tagRule {
	return tagRule{
		shelf:  shelf{right: right, gap: 1, whole: true},
		levels: 3,
		width:  func(text string) float64 { return float64(len(text)) },
	}
}

func TestTagsGoUpThenTogether(t *testing.T) {
	tags := inCells(40).tags([]float64{5.5, 6.5, 30.5})
	require.Len(t, tags, 3)
	require.Equal(t, []int{0, 1, 0}, []int{tags[0].level, tags[1].level, tags[2].level})
	require.InDelta(t, 5, tags[0].left, 0)
	require.InDelta(t, 6, tags[1].left, 0)

	crowd := inCells(40).tags([]float64{5.5, 5.5, 5.5, 5.5, 5.5})
	require.Len(t, crowd, 3)
	require.Equal(t, "3-5", crowd[2].text)
}

func TestTagsNeverOverlapAndNameEveryMark(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		right := rapid.Float64Range(12, 90).Draw(t, "right")
		at := rapid.SliceOfN(rapid.Float64Range(0, right), 0, 120).Draw(t, "at")
		slices.Sort(at)
		next := 0
		ends := map[int]float64{0: -1, 1: -1, 2: -1}
		tags := inCells(right).tags(at)
		for _, tag := range tags {
			require.Equal(t, next, tag.first)
			next = tag.last + 1
			require.GreaterOrEqual(t, tag.left, ends[tag.level]+1)
			ends[tag.level] = tag.left + tag.width
			require.LessOrEqual(t, ends[tag.level], right)
		}
		require.Equal(t, len(at), next)
	})
}

func TestNoRoomNoTags(t *testing.T) {
	require.Nil(t, inCells(1).tags([]float64{0.5, 0.5, 0.5, 0.5}))
}
