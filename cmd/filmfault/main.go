// Command filmfault finds out why a painted sign finish failed.
package main

import (
	"os"

	"filmfault/internal/cli"
	"filmfault/internal/console"
)

func main() {
	os.Exit(cli.Main(console.System(), os.Args[1:]))
}
