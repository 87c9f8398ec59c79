package cli

import "github.com/spf13/cobra"

func newCalcStand(*app) *cobra.Command { return &cobra.Command{Use: "stand", Args: takes(0, 0, "")} }
