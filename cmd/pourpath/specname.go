package main

import (
	"context"
	"errors"

	"pourpath/api/record"
)

// specID finds the specification that a person means: see meant.
func specID(ctx context.Context, d desk, said string) (string, error) {
	if _, err := d.records.Spec(ctx, said); !errors.Is(err, record.ErrNotFound) {
		return said, err
	}
	all, err := allSpecs(ctx, d, true)
	if err != nil {
		return "", err
	}
	specs := make([]candidate, len(all))
	for i, spec := range all {
		specs[i] = candidate{spec.ID, spec.Name, spec.ArchivedAt != nil}
	}
	return meant(said, "spec", specs)
}

// allSpecs lists specifications in their newest versions.
func allSpecs(ctx context.Context, d desk, archived bool) ([]record.Spec, error) {
	list := func(p record.Page) ([]record.Spec, error) { return d.records.Specs(ctx, p) }
	return everyPage(list, func(spec record.Spec) string { return spec.ID }, archived)
}

// lotAtDesk is lotID at a desk.
func lotAtDesk(ctx context.Context, d desk, said string) (string, error) {
	return lotID(ctx, d.Release, said)
}
