package plot

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the expected pictures in testdata anew")

// TestGolden compares whole pictures of an invented job; they were read by eye
// when they were made.
func TestGolden(t *testing.T) {
	for name, draw := range map[string]func(*bytes.Buffer) error{
		"wide-unicode.txt":   asText(80, true),
		"wide-ascii.txt":     asText(80, false),
		"narrow-unicode.txt": asText(50, true),
		"narrow-ascii.txt":   asText(50, false),
		"table.txt":          func(b *bytes.Buffer) error { return Table(b, demonstration(), 12*time.Hour) },
		"job.svg":            func(b *bytes.Buffer) error { return SVG(b, demonstration()) },
	} {
		t.Run(name, func(t *testing.T) {
			var got bytes.Buffer
			require.NoError(t, draw(&got))
			path := filepath.Join("testdata", name)
			if *update {
				require.NoError(t, os.MkdirAll("testdata", 0o755))
				require.NoError(t, os.WriteFile(path, got.Bytes(), 0o644))
			}
			want, err := os.ReadFile(path)
			require.NoError(t, err)
			want = []byte(strings.ReplaceAll(string(want), "\r\n", "\n"))
			require.Equal(t, string(want), got.String())
		})
	}
}

func asText(width int, unicode bool) func(*bytes.Buffer) error {
	return func(b *bytes.Buffer) error {
		return Text(b, demonstration(), TextOptions{Width: width, Unicode: unicode})
	}
}
