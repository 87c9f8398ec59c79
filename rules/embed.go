// Package rules holds the rule files that are built into filmfault. It
// contains data only; package rulebase reads it.
package rules

import "embed"

// FS is the folder of built-in rules, and their compiled form, from which a start
// is much faster. It is made anew with: go test ./rules -update
//
//go:embed *.yaml compiled.gob
var FS embed.FS

// Compiled is the name of the compiled form in FS.
const Compiled = "compiled.gob"
