package main

import (
	"context"
	"errors"
	"strings"

	"pourpath/api/record"
	"pourpath/api/release"
)

// candidate is a record that a person may mean.
type candidate struct {
	id, name string
	archived bool
}

// meant finds the one record of a kind, such as "trial", that a person means by
// its identifier, the beginning of it, or its name. One that is archived is meant
// only where none in use is.
func meant(said, kind string, all []candidate) (string, error) {
	var inUse, archived []string
	for _, c := range all {
		switch {
		case c.id == said:
			return said, nil
		case !strings.EqualFold(c.name, said) && (len(said) < shortestID || !strings.HasPrefix(c.id, said)):
		case c.archived:
			archived = append(archived, c.id)
		default:
			inUse = append(inUse, c.id)
		}
	}
	found := inUse
	if len(found) == 0 {
		found = archived
	}
	switch len(found) {
	case 0:
		return "", usage("there is no %s %q; pourpath %s list has those there are", kind, said, kind)
	case 1:
		return found[0], nil
	}
	return "", usage("%q is the name or the beginning of %d %ss: give one of the identifiers %s", said, len(found), kind, strings.Join(found, ", "))
}

// shortestID is how much of an identifier names a record.
const shortestID = 4

// lotID finds the lot that a person means: see meant.
func lotID(ctx context.Context, r *release.Release, said string) (string, error) {
	if _, err := r.Lot(ctx, said); !errors.Is(err, record.ErrNotFound) {
		return said, err
	}
	list := func(p record.Page) ([]record.Lot, error) { return r.Named(ctx, p) }
	all, err := everyPage(list, func(l record.Lot) string { return l.ID }, true)
	if err != nil {
		return "", err
	}
	lots := make([]candidate, len(all))
	for i, l := range all {
		lots[i] = candidate{l.ID, l.Name, l.ArchivedAt != nil}
	}
	return meant(said, "lot", lots)
}
