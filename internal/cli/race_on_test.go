//go:build race

package cli_test

// raced says that the race detector is on, which makes checking rules slow.
const raced = true
