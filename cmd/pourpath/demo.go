package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/api/pages"
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

func (s *session) demoCommand() *cobra.Command {
	var at listenFlags
	c := &cobra.Command{
		Use: "demo", Short: "Serve an invented cellar from a temporary folder", Args: noArguments,
		Long: "Like serve, with invented wines in a temporary folder that is removed at the end.",
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
			if _, err := fmt.Fprintf(s.out, "The wines are invented, and nothing is kept. Requests with some of them are in %s; try\n  pourpath ladder -f %s\n", dir, filepath.Join(dir, "ladder.json")); err != nil {
				return err
			}
			return storeFlags{data: dir}.withStore(c.Context(), func(st *store.Store) error {
				if err := fill(c.Context(), st); err != nil {
					return err
				}
				return s.serve(c.Context(), service{listen: listen, dataDir: dir, records: st, demo: true})
			})
		},
	}
	c.Flags().StringVar(&at.listen, "listen", "127.0.0.1:0", "`ADDRESS` of this machine to listen on")
	return c
}

// fill brings the invented wines and targets into a new store.
func fill(ctx context.Context, st *store.Store) error {
	invented, err := pages.InventedCellar()
	if err != nil {
		return err
	}
	for _, w := range invented.Wines {
		added, _, err := st.CreateWine(ctx, w.WineFields, &w.Readings[0])
		if err != nil {
			return err
		}
		for _, r := range w.Readings[1:] {
			if _, err := st.AddReading(ctx, added.ID, r); err != nil {
				return err
			}
		}
	}
	for _, t := range invented.Targets {
		if _, err := st.CreateTarget(ctx, t); err != nil {
			return err
		}
	}
	return nil
}
