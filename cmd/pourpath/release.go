package main

import (
	"context"
	"errors"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
	"pourpath/api/store"
)

// desk is where a release check is made: its answers, and the records that they
// are about.
type desk struct {
	*release.Release
	records *store.Store
	bench   *bench.Bench
}

// atDesk opens the store for a command and gives it its release check.
func (s *session) atDesk(c *cobra.Command, work func(desk) error) error {
	err := s.records.withStore(c.Context(), func(st *store.Store) error {
		b := bench.New(st)
		b.Version = version
		return work(desk{release.New(st, b, version), st, b})
	})
	if errors.Is(err, record.ErrArchived) {
		return usage("it is archived and takes nothing more")
	}
	return err
}

// atRelease is atDesk for a command that asks for answers alone.
func (s *session) atRelease(c *cobra.Command, work func(*release.Release) error) error {
	return s.atDesk(c, func(d desk) error { return work(d.Release) })
}

// about is a command about one record, whose identifier work is given.
func (s *session) about(of subject, word, short, long string, find func(context.Context, desk, string) (string, error), work func(c *cobra.Command, d desk, id string) error) *cobra.Command {
	kind := kinds[of]
	c := &cobra.Command{
		Use: word + " " + of.what, Short: short, Long: long,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 || strings.TrimSpace(args[0]) == "" {
				return usage("%s takes one %s: its identifier, the beginning of it, or its name; pourpath %s list has them", c.CommandPath(), kind, kind)
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			return s.withRecord(c, of, args[0], find, func(d desk, id string) error { return work(c, d, id) })
		},
	}
	s.forRecords(c)
	return c
}

// withRecord does work on the record that a person means.
func (s *session) withRecord(c *cobra.Command, of subject, said string, find func(context.Context, desk, string) (string, error), work func(d desk, id string) error) error {
	if !s.records.there() {
		return usage("there are no records in %s, so there is no %s %q: say with --data where they are", s.records.data, kinds[of], said)
	}
	return s.atDesk(c, func(d desk) error {
		id, err := find(c.Context(), d, strings.TrimSpace(said))
		if err != nil {
			return err
		}
		return work(d, id)
	})
}

var kinds = map[subject]string{aLot: "lot", aSpec: "spec"}

// itemsOf is a list as the service answers with it, whole.
type itemsOf[T any] struct {
	Items []T `json:"items"`
}

// listOfAll is a command that lists records, of which a folder that is not there
// has none.
func listOfAll[T any](s *session, use, short string, all func(context.Context, desk) ([]T, error), show func(*page, []T)) *cobra.Command {
	c := &cobra.Command{Use: use, Short: short, Args: noArguments}
	c.RunE = func(c *cobra.Command, _ []string) error {
		items := []T{}
		if s.records.there() {
			err := s.atDesk(c, func(d desk) error {
				found, err := all(c.Context(), d)
				items = append(items, found...)
				return err
			})
			if err != nil {
				return err
			}
		}
		return s.answered(nil, itemsOf[T]{items}, func(p *page) { show(p, items) })
	}
	s.forRecords(c)
	return c
}

// bodyOf is the request that a form holds; ok is false where an example was
// printed instead.
func bodyOf[T calc.Request](s *session, c *cobra.Command, f form) (body T, ok bool, err error) {
	data, err := f.request(s, c)
	if err != nil || data == nil {
		return body, false, err
	}
	body, err = calc.DecodeWhole[T](data)
	return body, err == nil, err
}

// at gives a problem that has no place its place in a request.
func at(place string, value any, err error) error {
	p := calc.AsProblem(err)
	if p == nil {
		return err
	}
	faults := slices.Clone(p.Errors)
	for i := range faults {
		if faults[i].Location == "" {
			faults[i].Location, faults[i].Value = place, value
		}
	}
	return calc.Refuse(faults...)
}
