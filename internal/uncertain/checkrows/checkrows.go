// Package checkrows reads the check rows of testdata/physics for tests. It is
// imported by tests only and states no value itself: what a row means and where
// it comes from is in the file and in the README beside it.
package checkrows

import (
	"encoding/csv"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
)

// Row is one row, by the names of the columns.
type Row map[string]string

// Read gives the rows of a file of testdata/physics, at least one. Lines that
// begin with # are remarks. It ends the test when the file cannot be read.
func Read(t testing.TB, name string) []Row {
	t.Helper()
	f, err := os.Open(find(name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil || len(lines) < 2 {
		t.Fatalf("%s: %d lines, %v", name, len(lines), err)
	}
	var rows []Row
	for _, line := range lines[1:] {
		row := Row{}
		for i, column := range lines[0] {
			row[column] = line[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// find gives the path of a file of testdata/physics from the folder of the
// package under test, which is where tests run.
func find(name string) string {
	path := filepath.Join("testdata", "physics", name)
	for range 6 {
		if _, err := os.Stat(path); err == nil {
			break
		}
		path = filepath.Join("..", path)
	}
	return path
}

// Has says that the row has something in a column.
func (r Row) Has(column string) bool { return r[column] != "" }

// Float gives the number in a column. It ends the test when there is none.
func (r Row) Float(t testing.TB, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		t.Fatalf("column %q of %v: %v", column, slices.Sorted(maps.Keys(r)), err)
	}
	return v
}
