package archtest

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// root is the folder of the module.
const root = "../.."

// file is one Go file, parsed.
type file struct {
	name  string // from the root, with slashes
	pkg   string // folder of the package
	test  bool
	lines int
	ast   *ast.File
	set   *token.FileSet
}

// place is where something stands.
func (f file) place(at token.Pos) string {
	p := f.set.Position(at)
	return fmt.Sprintf("%s:%d", f.name, p.Line)
}

// goFiles parses every Go file of the module.
func goFiles(t *testing.T) []file {
	t.Helper()
	var out []file
	for _, name := range filesWith(t, ".go") {
		data, err := os.ReadFile(filepath.Join(root, name))
		require.NoError(t, err)
		set := token.NewFileSet()
		parsed, err := parser.ParseFile(set, name, data, parser.ParseComments)
		require.NoError(t, err)
		out = append(out, file{
			name: name, pkg: filepath.ToSlash(filepath.Dir(name)), test: strings.HasSuffix(name, "_test.go"),
			lines: strings.Count(string(data), "\n"), ast: parsed, set: set,
		})
	}
	require.Greater(t, len(out), 50)
	return out
}

// filesWith lists the module's files that end in one of the endings, hidden
// folders left out.
func filesWith(t *testing.T, endings ...string) []string {
	t.Helper()
	var out []string
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && strings.HasPrefix(d.Name(), ".") && path != root {
			return filepath.SkipDir
		}
		if !d.IsDir() && slices.ContainsFunc(endings, func(e string) bool { return strings.HasSuffix(path, e) }) {
			name, err := filepath.Rel(root, path)
			out = append(out, filepath.ToSlash(name))
			return err
		}
		return nil
	})
	require.NoError(t, err)
	return out
}

// imports lists the paths that a file imports.
func (f file) imports() []string {
	var out []string
	for _, s := range f.ast.Imports {
		out = append(out, strings.Trim(s.Path.Value, `"`))
	}
	return out
}
