package cli

import "github.com/spf13/cobra"

func newCalcDry(*app) *cobra.Command { return &cobra.Command{Use: "dry", Args: takes(0, 0, "")} }
