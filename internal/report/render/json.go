package render

import (
	"encoding/json"
	"io"
)

// JSON writes any of the report's values, indented, ending in a line end.
func JSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}
