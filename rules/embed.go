// Package rules holds the rule files that are built into filmfault. It
// contains data only; package rulebase reads it.
package rules

import "embed"

// FS is the folder of built-in rules.
//
//go:embed *.yaml
var FS embed.FS
