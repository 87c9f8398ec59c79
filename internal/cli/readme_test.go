package cli_test

import (
	"bytes"
	"flag"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/cli"
	"filmfault/internal/console"
)

// TestReadme runs every example in the README whose output is printed there and
// compares the two. With -update-readme it writes the output into the page.
func TestReadme(t *testing.T) {
	const path = "../../README.md"
	page, err := os.ReadFile(path)
	require.NoError(t, err)
	example := regexp.MustCompile("(?s)<!-- output: filmfault ([^\n]*) -->\n```text\n(.*?)```\n")
	found := example.FindAllSubmatch(page, -1)
	require.Equal(t, 3, len(found))
	for _, m := range found {
		c, out, errs := console.Test("")
		require.Equal(t, 0, cli.Main(c, strings.Fields(string(m[1]))), errs.String())
		if *updateReadme {
			block := "<!-- output: filmfault " + string(m[1]) + " -->\n```text\n" + out.String() + "```\n"
			page = bytes.Replace(page, m[0], []byte(block), 1)
			continue
		}
		require.Equal(t, string(m[2]), out.String(), "the README's example %q; write it anew with: go test ./internal/cli -run TestReadme -update-readme", m[1])
	}
	if *updateReadme {
		require.NoError(t, os.WriteFile(path, page, 0o644))
	}
}

var updateReadme = flag.Bool("update-readme", false, "write the examples' output into the README")
