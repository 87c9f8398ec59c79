// Package page lays a review of a casebook out: as text for a terminal or a
// printed page, as Markdown, as one HTML file with its pictures in it, and as
// JSON. It decides nothing and adds nothing up: what is told is in the
// review.Document, whose names the JSON has.
//
// A review is first put into sections of sentences, tables and points (outline),
// which all layouts but JSON then write each in its own way. Nothing is told by
// colour alone, and what somebody typed can start no markup. The same document
// gives the same bytes.
package page

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"

	"filmfault/internal/book/review"
)

// JSON writes a review as JSON, indented, ending in a line end. The names are
// those of review.Document.
func JSON(w io.Writer, d *review.Document) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(d)
}

// section is a part of the page.
type section struct {
	title   string
	says    []string // sentences before the tables
	points  []point
	grids   []grid
	after   []string
	picture func() string // SVG, for layouts that can show it; nil for none
}

// point is one thing told, with what belongs to it.
type point struct {
	text string
	more []string
}

// grid is a table with a bar, or a strip, to each row.
type grid struct {
	title string
	heads []string // of the cells; labels have none
	rows  []row
	most  int // rows that text shows
	rest  func(shown int) string
}

// wideMost is how many rows Markdown and HTML show.
const wideMost = 25

// shown is the rows to show of a grid, and what is said of the others.
func (g grid) shown(most int) ([]row, string) {
	if len(g.rows) <= most {
		return g.rows, ""
	}
	return g.rows[:most], g.rest(most)
}

// row is a line of a grid.
type row struct {
	label string
	cells []string
	bar   float64 // 0 to 1
	strip *strip  // instead of a bar
}

// strip is a range with a point in it, on a scale from 0 to 1.
type strip struct {
	low, high, at float64
	bare          bool // no range and no point
}

// percent writes a share.
func percent(x float64) string {
	switch {
	case x > 0 && x < 0.005:
		return "under 1 %"
	case x < 1 && x > 0.995:
		return "over 99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*x)
}

func percentOf(n *review.Number) string {
	if n == nil {
		return "-"
	}
	return percent(float64(*n))
}

// decimal writes a number with one digit after the point, two where it is below
// one.
func decimal(x float64) string {
	if math.Abs(x) < 1 && x != 0 {
		return fmt.Sprintf("%.2f", x)
	}
	return fmt.Sprintf("%.1f", x)
}

// whole writes a number of days: with a half where there is one.
func whole(x float64) string {
	if x == math.Trunc(x) {
		return fmt.Sprintf("%.0f", x)
	}
	return fmt.Sprintf("%.1f", x)
}

func value(n *review.Number) float64 {
	if n == nil {
		return 0
	}
	return float64(*n)
}

// money writes amounts of several currencies.
func money(list []review.Amount) string {
	var out []string
	for _, a := range list {
		if a.Amount != 0 {
			out = append(out, a.String())
		}
	}
	return strings.Join(out, " + ")
}

// count writes so many things.
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func cases(n int) string { return count(n, "case", "cases") }

// some writes a list, a long one in short.
func some(list []string, most int) string {
	if len(list) <= most+1 {
		return strings.Join(list, ", ")
	}
	return fmt.Sprintf("%s and %d others", strings.Join(list[:most], ", "), len(list)-most)
}

// named is a trait in words.
func named(id string) string { return strings.ReplaceAll(id, "-", " ") }

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
