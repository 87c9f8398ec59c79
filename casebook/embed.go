// Package casebook holds the demonstration cases that are built into filmfault:
// invented, each labelled so, with its verdict. It contains data only.
package casebook

import "embed"

// FS is the folder of built-in cases.
//
//go:embed *.yaml logs/*.csv shops/*.yaml
var FS embed.FS
