package archtest

import (
	"go/ast"
	"slices"
	"strings"
	"testing"
)

// The sizes that a reader can take in.
const (
	longestFunction = 80
	longestFile     = 400
)

// worldly lists what only the console and the command itself may touch.
func worldly() map[string][]string {
	return map[string][]string{
		"os":   {"Stdout", "Stderr", "Stdin", "Exit", "Getenv", "LookupEnv", "Args"},
		"time": {"Now", "Since", "Until", "Sleep"},
		"fmt":  {"Print", "Printf", "Println", "Scan", "Scanf", "Scanln"},
		"log":  {"Print", "Printf", "Println", "Fatal", "Fatalf", "Panic"},
	}
}

// TestOnlyTheConsoleTouchesTheWorld wants streams, clock, environment and exit
// to be used in package console and the command only.
func TestOnlyTheConsoleTouchesTheWorld(t *testing.T) {
	for _, f := range goFiles(t) {
		if f.test || f.pkg == "internal/console" || strings.HasPrefix(f.pkg, "cmd/") {
			continue
		}
		ast.Inspect(f.ast, func(n ast.Node) bool {
			s, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if x, ok := s.X.(*ast.Ident); ok && x.Obj == nil && slices.Contains(worldly()[x.Name], s.Sel.Name) {
				t.Errorf("%s: %s.%s belongs to package console", f.place(n.Pos()), x.Name, s.Sel.Name)
			}
			return true
		})
	}
}

func functions(f file) []*ast.FuncDecl {
	var out []*ast.FuncDecl
	for _, d := range f.ast.Decls {
		if fn, ok := d.(*ast.FuncDecl); ok {
			out = append(out, fn)
		}
	}
	return out
}

func TestNoInit(t *testing.T) {
	for _, f := range goFiles(t) {
		for _, fn := range functions(f) {
			if fn.Name.Name == "init" && fn.Recv == nil {
				t.Errorf("%s: nothing may happen before main", f.place(fn.Pos()))
			}
		}
	}
}

func TestFunctionsAndFilesStayShort(t *testing.T) {
	for _, f := range goFiles(t) {
		if !f.test && f.lines > longestFile {
			t.Errorf("%s has %d lines, %d are the most", f.name, f.lines, longestFile)
		}
		for _, fn := range functions(f) {
			lines := f.set.Position(fn.End()).Line - f.set.Position(fn.Pos()).Line + 1
			if !f.test && lines > longestFunction {
				t.Errorf("%s: %s has %d lines, %d are the most", f.place(fn.Pos()), fn.Name.Name, lines, longestFunction)
			}
		}
	}
}

// TestNoGlobals allows variables of a package for errors, regular expressions,
// embedded files and the assertion that a type implements an interface.
func TestNoGlobals(t *testing.T) {
	for _, f := range goFiles(t) {
		if f.test {
			continue
		}
		for _, d := range f.ast.Decls {
			g, ok := d.(*ast.GenDecl)
			if !ok || g.Tok.String() != "var" {
				continue
			}
			for _, s := range g.Specs {
				if v, ok := s.(*ast.ValueSpec); ok && !harmless(v) {
					t.Errorf("%s: %s is a variable of the package", f.place(v.Pos()), v.Names[0].Name)
				}
			}
		}
	}
}

func harmless(v *ast.ValueSpec) bool {
	name := v.Names[0].Name
	if name == "_" || name == "FS" {
		return true
	}
	return strings.HasPrefix(name, "Err") || strings.HasPrefix(name, "err") || pattern(v)
}

// pattern reports whether a variable is a regular expression, made once.
func pattern(v *ast.ValueSpec) bool {
	for _, x := range v.Values {
		call, ok := x.(*ast.CallExpr)
		if !ok {
			return false
		}
		made, ok := call.Fun.(*ast.SelectorExpr)
		if !ok || made.Sel.Name != "MustCompile" {
			return false
		}
	}
	return len(v.Values) > 0
}

func TestEveryPackageSaysWhatItIs(t *testing.T) {
	said := map[string]string{}
	for _, f := range goFiles(t) {
		if f.test {
			continue
		}
		said[f.pkg] += ""
		if f.ast.Doc != nil {
			said[f.pkg] += f.ast.Doc.Text()
		}
	}
	for pkg, text := range said {
		if len(strings.Fields(text)) < 6 {
			t.Errorf("package %s does not say what it is for", pkg)
		}
	}
}

func TestEveryExportedNameIsExplained(t *testing.T) {
	for _, f := range goFiles(t) {
		if f.test {
			continue
		}
		for _, d := range f.ast.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				if ast.IsExported(d.Name.Name) && exportedReceiver(d) && d.Doc == nil && !wellKnown(d.Name.Name) {
					t.Errorf("%s: %s is not explained", f.place(d.Pos()), d.Name.Name)
				}
			case *ast.GenDecl:
				for _, name := range unexplained(d) {
					t.Errorf("%s: %s is not explained", f.place(d.Pos()), name)
				}
			}
		}
	}
}

// wellKnown are the methods whose meaning the interface gives.
func wellKnown(method string) bool {
	return slices.Contains([]string{"Error", "Unwrap", "String", "Set", "Type", "Read", "Write"}, method)
}

func exportedReceiver(d *ast.FuncDecl) bool {
	if d.Recv == nil {
		return true
	}
	x := d.Recv.List[0].Type
	if star, ok := x.(*ast.StarExpr); ok {
		x = star.X
	}
	if index, ok := x.(*ast.IndexExpr); ok {
		x = index.X
	}
	id, ok := x.(*ast.Ident)
	return ok && ast.IsExported(id.Name)
}

// unexplained lists exported types, constants and variables without a comment
// of their own or of their group.
func unexplained(d *ast.GenDecl) []string {
	var out []string
	for _, s := range d.Specs {
		switch s := s.(type) {
		case *ast.TypeSpec:
			if ast.IsExported(s.Name.Name) && s.Doc == nil && d.Doc == nil {
				out = append(out, s.Name.Name)
			}
		case *ast.ValueSpec:
			for _, n := range s.Names {
				if ast.IsExported(n.Name) && s.Doc == nil && s.Comment == nil && d.Doc == nil {
					out = append(out, n.Name)
				}
			}
		}
	}
	return out
}
