package archtest

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const module = "filmfault/"

// layer is a package, or all packages of a folder ("physics/..."), and what it
// may import of the program.
type layer struct {
	pkg string
	may string // packages of the program, without "internal/"
}

// layers lists every package, the lowest first: a package imports only from
// lines above its own. A new package gets a line.
func layers() []layer {
	return []layer{
		{"rules", ""},
		{"casebook", ""},
		{"internal/archtest", ""},
		{"internal/source", ""},
		{"internal/quantity", ""},
		{"internal/console", ""},
		{"internal/bdd", ""},
		{"internal/uncertain", "quantity"},
		{"internal/uncertain/checkrows", "uncertain"},
		{"internal/physics/...", "quantity uncertain physics/..."},
		{"internal/airlog", "quantity source uncertain physics/..."},
		{"internal/yamldoc", "source"},
		{"internal/plot", ""},
		{"internal/shop", "physics/... quantity source uncertain yamldoc"},
		{"internal/rulebase", "quantity source yamldoc"},
		{"internal/casefile", "source yamldoc"},
		{"internal/joblog", "airlog casefile physics/... quantity shop source uncertain"},
		{"internal/replay", "joblog physics/... quantity shop uncertain"},
		{"internal/book", "casefile source"},
		{"internal/book/booktest", ""},
		{"internal/book/redact", "casefile rulebase yamldoc"},
		{"internal/book/review", "book casefile quantity rulebase source yamldoc"},
		{"internal/book/review/page", "book/review console"},
		{"internal/book/listing", "book book/review casefile console rulebase"},
		{"internal/book/export", "book book/redact book/review casefile rulebase"},
		{"internal/inference", "bdd"},
		{"internal/diagnosis", "bdd casefile inference quantity rulebase source"},
		{"internal/book/learn", "book/review casefile diagnosis inference rulebase yamldoc"},
		{"internal/implied", "casefile diagnosis joblog physics/... quantity replay rulebase shop source uncertain"},
		{"internal/prompt", "console"},
		{"internal/prompt/prompttest", "prompt"},
		{"internal/prompt/surveyprompt", "console prompt"},
		{"internal/interview", "casefile diagnosis joblog prompt quantity rulebase source"},
		{"internal/report", "diagnosis implied joblog plot quantity replay rulebase uncertain"},
		{"internal/report/render", "console report"},
		{"internal/book/similar", "book casefile console diagnosis report rulebase"},
		{"internal/cli", "airlog bdd book book/export book/learn book/listing book/redact book/review book/review/page book/similar casebook casefile console diagnosis implied interview joblog physics/... plot prompt prompt/surveyprompt quantity replay report report/render rulebase rules shop source uncertain"},
		{"cmd/filmfault", "cli console"},
	}
}

// name writes a package as the table does.
func name(path string) string {
	return strings.TrimPrefix(strings.TrimPrefix(path, module), "internal/")
}

// TestLayers wants every import of the program to be in the table.
func TestLayers(t *testing.T) {
	for _, f := range goFiles(t) {
		at := slices.IndexFunc(layers(), func(l layer) bool { return covers(name(l.pkg), name(f.pkg)) })
		if at < 0 {
			t.Errorf("%s: package %s is not in the table of layers", f.name, f.pkg)
			continue
		}
		if f.test {
			continue // a test may look from above
		}
		allowed := strings.Fields(layers()[at].may)
		for _, path := range f.imports() {
			may := slices.ContainsFunc(allowed, func(a string) bool { return covers(a, name(path)) })
			if strings.HasPrefix(path, module) && !may {
				t.Errorf("%s: %s may not import %s", f.name, f.pkg, path)
			}
		}
	}
}

// covers reports whether an entry of the table stands for a package.
func covers(entry, pkg string) bool {
	if folder, ok := strings.CutSuffix(entry, "..."); ok {
		return strings.HasPrefix(pkg, folder)
	}
	return entry == pkg
}

// TestLayersPointDown wants the table to be in order, so that no two packages
// can come to need each other.
func TestLayersPointDown(t *testing.T) {
	below := map[string]bool{}
	for _, l := range layers() {
		for _, p := range strings.Fields(l.may) {
			require.True(t, below[p] || p == name(l.pkg), "%s imports %s, which is not above it in the table", l.pkg, p)
		}
		below[name(l.pkg)] = true
	}
}

// owners lists modules that only some packages may import: everything that
// could be changed for something else stands behind one package.
func owners() map[string][]string {
	return map[string][]string{
		"github.com/spf13/cobra":           {"internal/cli"},
		"github.com/spf13/pflag":           {"internal/cli"},
		"github.com/AlecAivazis/survey/v2": {"internal/prompt/surveyprompt"},
		"gopkg.in/yaml.v3":                 {"internal/yamldoc"},
		"golang.org/x/term":                {"internal/console", "internal/prompt/surveyprompt"},
		"github.com/mattn/go-runewidth":    {"internal/console", "internal/source"},
		"github.com/agnivade/levenshtein":  {"internal/source"},
		"github.com/stretchr/testify":      {"internal/prompt/prompttest"},
		"github.com/rogpeppe/go-internal":  {},
		"github.com/creack/pty":            {},
		"pgregory.net/rapid":               {},
		"gonum.org/v1/gonum":               {"internal/book/learn"},
		"math/rand":                        {},
		"math/rand/v2":                     {"internal/inference", "internal/diagnosis", "internal/uncertain"},
		"log":                              {},
		"net":                              {},
		"net/http":                         {},
		"os/exec":                          {"internal/cli"}, // the editor of the user
	}
}

// TestOwners wants each module to be imported where it belongs only. Tests may
// use what they like, but cobra, the prompts and YAML stay where they are.
func TestOwners(t *testing.T) {
	strict := []string{"github.com/spf13/cobra", "gopkg.in/yaml.v3"}
	for _, f := range goFiles(t) {
		for _, path := range f.imports() {
			owned, who := owner(path)
			if owned == "" || slices.Contains(who, f.pkg) || f.test && !slices.Contains(strict, owned) {
				if !f.test && owned == "" && strings.Contains(strings.Split(path, "/")[0], ".") {
					t.Errorf("%s: module %s belongs to no package; give it a line", f.name, path)
				}
				continue
			}
			t.Errorf("%s: only %v may import %s", f.name, who, path)
		}
	}
}

// owner is the entry of a path: the path itself, or a module it lies in.
func owner(path string) (string, []string) {
	for module, who := range owners() {
		if path == module || strings.Contains(module, ".") && strings.HasPrefix(path, module+"/") {
			return module, who
		}
	}
	return "", nil
}

// TestNoPackageForEverything refuses names that say nothing.
func TestNoPackageForEverything(t *testing.T) {
	for _, f := range goFiles(t) {
		for _, part := range strings.Split(f.pkg, "/") {
			for _, bad := range []string{"util", "utils", "common", "helpers", "helper", "types", "models", "misc", "shared", "base"} {
				require.NotEqual(t, bad, part, f.name)
			}
		}
	}
}
