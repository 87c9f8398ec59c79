package replay

import (
	"fmt"
	"math"

	"filmfault/internal/joblog"
	"filmfault/internal/physics/bow"
	"filmfault/internal/physics/film"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// Board is the board under the coats: its thickness in m and its density in
// kg/m3.
type Board struct {
	Thickness uncertain.Input
	Density   uncertain.Input
}

// BowOver is the length that a bow is told over, 4 ft in m.
const BowOver = 1.2192

// Bend is how far the coats alone bend the panel over BowOver in m, per draw,
// positive for hollow seen from its front.
func (j *Job) Bend(d uncertain.Draws, b Board) ([]float64, error) {
	out := make([]float64, d.Len())
	for draw := range out {
		panel := bow.Panel{}
		density := within(d.Value(b.Density, draw), 100, 600)
		var err error
		if panel.Board, err = bow.Foam(uncertain.Exact("board-thickness", d.Value(b.Thickness, draw), "m", ""), density); err != nil {
			return nil, err
		}
		j.fix(&panel.Board, d, draw)
		if panel.Front, err = j.laminas(d, draw, joblog.Front); err != nil {
			return nil, err
		}
		if panel.Back, err = j.laminas(d, draw, joblog.Back); err != nil {
			return nil, err
		}
		p, err := bow.Predict(panel, BowOver, uncertain.NewDraws(1, 0))
		if err != nil {
			return nil, fmt.Errorf("draw %d: %w", draw+1, err)
		}
		out[draw] = p.Values[0]
	}
	return out, nil
}

// fix takes one draw of the board's own figures.
func (j *Job) fix(b *bow.Board, d uncertain.Draws, draw int) {
	for _, in := range []*uncertain.Input{&b.Stiffness, &b.Poisson, &b.Expansion} {
		*in = uncertain.Exact(in.ID, d.Value(*in, draw), in.Unit, in.Source)
	}
}

// laminas are the coats of a face in one draw, from the board outwards.
func (j *Job) laminas(d uncertain.Draws, draw int, face joblog.Face) ([]bow.Lamina, error) {
	var out []bow.Lamina
	var dry []float64
	for _, s := range j.Log.Steps {
		if !s.On(face) {
			continue
		}
		switch s.Kind {
		case joblog.Sand:
			for i, left := len(dry)-1, d.Value(s.Depth, draw); i >= 0 && left > 0; i-- {
				off := math.Min(left, 0.9*dry[i])
				dry[i] -= off
				left -= off
			}
		case joblog.Coat:
			m := j.Log.Materials[s.Material]
			t, err := film.Dry(d.Value(s.WetFilm, draw), d.Value(m.VolumeSolids, draw), j.thinning(d.Value(s.Thinner, draw), s, nil))
			if err != nil {
				return nil, err
			}
			at := func(in uncertain.Input) uncertain.Input {
				return uncertain.Exact(in.ID, d.Value(in, draw), in.Unit, in.Source)
			}
			dry = append(dry, t)
			stiffness, poisson := at(m.Stiffness), at(m.PoissonRatio)
			// A shop that states the shrinkage has stated the stress.
			stress := m.Strain(d, draw) * stiffness.Low / (1 - poisson.Low)
			out = append(out, bow.Lamina{Name: m.Name, Coat: true, Stiffness: stiffness, Poisson: poisson, Stress: uncertain.Exact(m.Stress.ID, stress, "Pa", "")})
		}
	}
	for i := range out {
		out[i].Thickness = uncertain.Exact(fmt.Sprintf("coat-%d", i+1), math.Max(dry[i], 1e-6), "m", "")
	}
	return out, nil
}

// TooFar is, per draw, the probability that a bend is far enough to see, by a
// limit in m over BowOver.
func TooFar(bend []float64, limit uncertain.Input) []float64 {
	out := make([]float64, len(bend))
	for i, x := range bend {
		out[i] = limit.Below(math.Abs(x))
	}
	return out
}

// stack is the coats of a face by material, and its film as logged in m.
func (j *Job) stack(face joblog.Face) (kinds map[string]int, count int, wet float64) {
	kinds = map[string]int{}
	for _, s := range j.Log.Coats(face) {
		kinds[s.Material]++
		count++
		wet += s.WetFilm.Mid()
	}
	return kinds, count, wet
}

// unequal says how the faces differ, by the worst of the ways.
func (j *Job) unequal(w words) (Departure, string) {
	front, nf, wf := j.stack(joblog.Front)
	back, nb, wb := j.stack(joblog.Back)
	switch {
	case nf == 0 || nb == 0:
		bare := "back"
		if nf == 0 {
			bare = "front"
		}
		return BareBack, fmt.Sprintf("no coat is logged on the %s, %d on the other face; the standard is the same on both", bare, nf+nb)
	case nf != nb:
		return Coats, fmt.Sprintf("%d coats on the front and %d on the back; the standard is the same on both", nf, nb)
	case !sameKinds(front, back):
		return Kinds, "other kinds of coating on the front than on the back; the standard is the same on both"
	case math.Abs(wf-wb) > 0.1*math.Max(wf, wb):
		return Films, fmt.Sprintf("%s of wet film on the front and %s on the back; the standard is the same on both", w.of(quantity.Film, wf), w.of(quantity.Film, wb))
	}
	return "", ""
}

func sameKinds(a, b map[string]int) bool {
	for k, n := range a {
		if b[k] != n {
			return false
		}
	}
	return len(a) == len(b)
}
