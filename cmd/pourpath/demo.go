package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/api/invented"
	"pourpath/api/store"
)

// inventedCellar are the requests that a demonstration comes with, by file name.
var inventedCellar = map[string]string{
	"colour.json": calc.ExampleColour,
	"blend.json":  calc.ExampleBlend,
	"ladder.json": calc.ExampleLadder,
	"match.json":  calc.ExampleMatch,
	"scale.json":  calc.ExampleScale,
	"trim.json":   calc.ExampleTrim,
	"check.json":  calc.ExampleCheck,
}

// whatIsThere says where to look first, with the folder of the requests and one of them.
const whatIsThere = `The cellar is invented, and nothing is kept. Look first at
  /         the slider: what a dose will look like
  /trials   House rosé is done and was judged blind, Deep rosé is before its judges, Spring rosé at the bench
  /lots     26 bottled lots of the house rosé: one is outside its specification, of one it cannot be told
  /charts   their colour over the months; /drift says how it changes in the bottle
Requests with some of the wines are in %s; try
  pourpath ladder -f %s
`

func (s *session) demoCommand() *cobra.Command {
	var at listenFlags
	c := &cobra.Command{
		Use: "demo", Short: "Serve an invented cellar from a temporary folder", Args: noArguments,
		Long: "Like serve, with an invented cellar, its trials and its bottled lots, in a temporary folder that is removed at the end.",
		RunE: func(c *cobra.Command, _ []string) (err error) {
			listen, err := at.address()
			if err == nil {
				err = onLoopback(listen)
			}
			if err != nil {
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
			if _, err := fmt.Fprintf(s.out, whatIsThere, dir, filepath.Join(dir, "ladder.json")); err != nil {
				return err
			}
			var clock invented.Clock
			st, err := store.Open(c.Context(), store.Config{Dir: dir, Now: clock.Now})
			if err != nil {
				return err
			}
			defer func() { err = errors.Join(err, st.Close()) }()
			if err := invented.Fill(c.Context(), st, &clock, version); err != nil {
				return err
			}
			return s.serve(c.Context(), service{listen: listen, dataDir: dir, records: st, demo: true})
		},
	}
	c.Flags().StringVar(&at.listen, "listen", "127.0.0.1:0", "`ADDRESS` of this machine to listen on")
	return c
}
