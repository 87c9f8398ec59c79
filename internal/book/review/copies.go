package review

import (
	"fmt"
	"path"
	"slices"
)

// copiesTold is how many files are named that say another case than their name.
const copiesTold = 10

// misnamed notes the files whose `case:` line is not their name: a folder that is
// kept the same on two machines gets such copies, and one job then counts twice.
func (b *builder) misnamed() []string {
	by, out := map[string][]Record{}, []string{}
	for _, r := range b.kept {
		by[r.called()] = append(by[r.called()], r)
	}
	for _, r := range b.kept {
		if r.called() == r.ID {
			continue
		}
		note := fmt.Sprintf("%s says case: %s, which is not its name.", path.Base(r.File), r.Said)
		same := by[r.called()]
		if other := original(same); other.File != r.File {
			note = fmt.Sprintf("%s says case: %s, as does %s: one job counted twice?", path.Base(r.File), r.Said, path.Base(other.File))
		}
		out = append(out, note)
	}
	if n := len(out) - copiesTold; n > 0 {
		out = append(out[:copiesTold], fmt.Sprintf("And %s a case that is not the file's name.", plural(n, "more file says", "more files say")))
	}
	return out
}

// called is what a case is called: by its `case:` line, or else by its file.
func (r Record) called() string {
	if r.Said != "" {
		return r.Said
	}
	return r.ID
}

// original is the one of the files of a case that bears its name, or the first.
func original(same []Record) Record {
	return same[max(0, slices.IndexFunc(same, func(r Record) bool { return r.called() == r.ID }))]
}
