package plot

import (
	"math"
	"strconv"
)

// shelf is a row along which labels are put side by side.
type shelf struct {
	left, right float64 // between what labels must stay
	gap         float64 // between two labels
	whole       bool    // whether labels begin at whole numbers, as in a terminal
	taken       [][2]float64
}

// put places a label of a width with its middle as near to centre as the ends
// of the shelf allow, and says where it begins. It refuses if the place is
// taken.
func (s *shelf) put(centre, width float64) (float64, bool) {
	at := math.Min(centre-width/2, s.right-width)
	at = math.Max(at, s.left)
	if s.whole {
		at = math.Floor(at)
	}
	if at+width > s.right+1e-9 {
		return 0, false
	}
	for _, t := range s.taken {
		if at < t[1]+s.gap && t[0] < at+width+s.gap {
			return 0, false
		}
	}
	s.taken = append(s.taken, [2]float64{at, at + width})
	return at, true
}

// takeBack frees the place that was taken last.
func (s *shelf) takeBack() { s.taken = s.taken[:len(s.taken)-1] }

// tag stands above the picture for one mark or for several close together.
type tag struct {
	text        string
	first, last int // index of the marks it stands for
	level       int // 0 is nearest to the picture
	left, width float64
}

// tagRule says how tags are placed.
type tagRule struct {
	shelf  shelf
	levels int
	width  func(text string) float64
}

// tags places the numbers of marks at positions, which are in order. A tag that
// does not fit beside the others goes up a level; where the levels are full, it
// is taken together with the one before. Where not even that helps, there are
// no tags.
func (r tagRule) tags(at []float64) []tag {
	shelves := make([]shelf, r.levels)
	for i := range shelves {
		shelves[i] = r.shelf
	}
	var out []tag
	for i := range at {
		first := i
		for {
			if t, ok := r.place(shelves, first, i, at); ok {
				out = append(out, t)
				break
			}
			if len(out) == 0 {
				return nil
			}
			last := out[len(out)-1]
			out = out[:len(out)-1]
			shelves[last.level].takeBack()
			first = last.first
		}
	}
	return out
}

// place puts a tag for the marks from first to last on the lowest level with
// room.
func (r tagRule) place(shelves []shelf, first, last int, at []float64) (tag, bool) {
	t := tag{text: tagText(first+1, last+1), first: first, last: last}
	t.width = r.width(t.text)
	for t.level = range shelves {
		left, ok := shelves[t.level].put((at[first]+at[last])/2, t.width)
		if ok {
			t.left = left
			return t, true
		}
	}
	return tag{}, false
}

func tagText(first, last int) string {
	if first == last {
		return strconv.Itoa(first)
	}
	return strconv.Itoa(first) + "-" + strconv.Itoa(last)
}

// levelsOf is how many levels tags need.
func levelsOf(tags []tag) int {
	n := 0
	for _, t := range tags {
		n = max(n, t.level+1)
	}
	return n
}
