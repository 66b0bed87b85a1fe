package main

import (
	"fmt"
	"runtime"

	"github.com/spf13/cobra"
)

// version is this program's, by the rules of semver.org.
const version = "0.1.0"

func (s *session) versionCommand() *cobra.Command {
	return &cobra.Command{
		Use: "version", Short: "Version of this program", Args: noArguments,
		RunE: func(*cobra.Command, []string) error {
			_, err := fmt.Fprintf(s.out, "pourpath %s (%s, %s/%s)\n", version, runtime.Version(), runtime.GOOS, runtime.GOARCH)
			return err
		},
	}
}
