package shop

import (
	"flag"
	"os"
	"testing"
)

// TestMain fixes the seed of the drawn properties, so that a run says the same
// everywhere; -rapid.seed=0 draws anew.
func TestMain(m *testing.M) {
	if err := flag.Set("rapid.seed", "1"); err != nil {
		panic(err) // the flag is that of the library these tests import
	}
	os.Exit(m.Run())
}
