package redact

import (
	"regexp"
	"slices"
	"strings"
)

// driveForm begins a path of Windows, or an address of the web: what stands
// before the colon says where.
var driveForm = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9+.-]*:`)

// nameless takes the place of a path that ends in no name.
const nameless = "[file]"

// path cuts a path that leads out of the case's folder to the name of its file:
// folders above it tell whose machine it is, and where the shop keeps its jobs.
func (w *worker) path(place string, text *string) {
	if !leadsOut(*text) {
		return
	}
	*text = lastName(*text)
	if !slices.Contains(w.cut, place) {
		w.cut = append(w.cut, place)
	}
}

// leadsOut reports whether a path is absolute or climbs, in the ways of any
// system: the copy may be read on another than the one it was typed on.
func leadsOut(path string) bool {
	path = strings.TrimSpace(path)
	if path == "" {
		return false
	}
	return strings.ContainsRune(`/\~`, rune(path[0])) || driveForm.MatchString(path) || slices.Contains(strings.FieldsFunc(path, slash), "..")
}

func slash(r rune) bool { return r == '/' || r == '\\' }

// lastName is the name a path ends in.
func lastName(path string) string {
	path = strings.TrimRightFunc(strings.TrimSpace(path), slash)
	name := path[strings.LastIndexAny(path, `/\`)+1:]
	name = driveForm.ReplaceAllString(name, "")
	if strings.Trim(name, ".~ ") == "" {
		return nameless
	}
	return name
}
