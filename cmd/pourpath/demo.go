package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
)

// inventedCellar are the requests that a demonstration comes with, by file name.
var inventedCellar = map[string]string{
	"colour.json": calc.ExampleColour,
	"blend.json":  calc.ExampleBlend,
	"ladder.json": calc.ExampleLadder,
	"match.json":  calc.ExampleMatch,
	"scale.json":  calc.ExampleScale,
	"check.json":  calc.ExampleCheck,
}

func (s *session) demoCommand() *cobra.Command {
	var listen string
	c := &cobra.Command{
		Use: "demo", Short: "Serve an invented cellar from a temporary folder", Args: noArguments,
		Long: "Like serve, with invented wines in a temporary folder that is removed at the end.",
		RunE: func(c *cobra.Command, _ []string) (err error) {
			if err := onLoopback(listen); err != nil {
				return err
			}
			dir, err := os.MkdirTemp("", "pourpath-demo-*")
			if err != nil {
				return err
			}
			defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
			for name, request := range inventedCellar {
				if err := os.WriteFile(filepath.Join(dir, name), []byte(request+"\n"), 0o600); err != nil {
					return err
				}
			}
			if _, err := fmt.Fprintf(s.out, "The wines are invented, and nothing is kept. Requests with some of them are in %s; try\n  pourpath ladder -f %s\n", dir, filepath.Join(dir, "ladder.json")); err != nil {
				return err
			}
			return s.serve(c.Context(), service{listen: listen, dataDir: dir, demo: true})
		},
	}
	c.Flags().StringVar(&listen, "listen", "127.0.0.1:0", "`ADDRESS` of this machine to listen on")
	return c
}
