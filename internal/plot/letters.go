package plot

// letterEvery is how many columns of a line share one letter.
const letterEvery = 24

// nameLines writes the letter of each of so many lines on it, a few times
// along its way, preferably where no other line passes.
func (c *canvas) nameLines(lines int) {
	for line := range lines {
		times := max(1, c.columns/letterEvery)
		placed := false
		for i := range times {
			target := (float64(i) + (float64(line)+0.5)/float64(lines)) * float64(c.columns) / float64(times)
			if c.nameLine(line, int(target), c.columns/times/2) {
				placed = true
			}
		}
		if !placed {
			c.nameLine(line, c.columns/2, c.columns)
		}
	}
}

// nameLine writes a line's letter within reach of a column, and says whether
// there was a place: first where the line is alone, then on it at all.
func (c *canvas) nameLine(line, target, reach int) bool {
	for _, alone := range []bool{true, false} {
		for off := range reach + 1 {
			for _, column := range []int{target + off, target - off} {
				if row, ok := c.placeForLetter(line, column, alone); ok {
					c.letters[c.cell(column, row)] = letter(line)
					return true
				}
			}
		}
	}
	return false
}

// placeForLetter finds a row of a column where a line passes and its letter
// would touch no other letter.
func (c *canvas) placeForLetter(line, column int, alone bool) (int, bool) {
	if column < 0 || column >= c.columns {
		return 0, false
	}
	for row := range c.rows {
		owners := c.owners[c.cell(column, row)]
		if owners&owner(line) == 0 || alone && owners != owner(line) {
			continue
		}
		if c.letterAt(column-1, row) || c.letterAt(column, row) || c.letterAt(column+1, row) {
			continue
		}
		return row, true
	}
	return 0, false
}

func (c *canvas) letterAt(column, row int) bool {
	return column >= 0 && column < c.columns && c.letters[c.cell(column, row)] != 0
}
