package material

// Like gives a material of its own with the figures of this one, for a shop that
// has two paints of one kind. Each figure keeps its range, its source and the
// mark of being assumed, and is named after the new id, so that the two paints
// do not share their draws. The id must not be empty.
func (m Material) Like(id, name string) Material {
	m.ID, m.Name = id, name
	for _, p := range properties() {
		p.in(&m).ID = id + "-" + p.name
	}
	return m
}
