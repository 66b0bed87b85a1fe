package main

import (
	"errors"

	"github.com/spf13/cobra"

	"pourpath/api/bench"
	"pourpath/api/record"
	"pourpath/api/release"
	"pourpath/api/store"
)

// atRelease opens the store for a command and gives it its release check.
func (s *session) atRelease(c *cobra.Command, work func(*release.Release) error) error {
	err := s.records.withStore(c.Context(), func(st *store.Store) error {
		b := bench.New(st)
		b.Version = version
		return work(release.New(st, b, version))
	})
	if errors.Is(err, record.ErrArchived) {
		return usage("it is archived and takes nothing more")
	}
	return err
}
