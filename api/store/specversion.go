package store

import (
	"context"
	"fmt"
	"strings"

	"github.com/uptrace/bun"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// AddSpecVersion adds a version of a specification after the one that the caller
// has seen as its newest; otherwise record.ErrChanged. The error is a
// *calc.Problem where the two would hold at one time.
func (s *Store) AddSpecVersion(ctx context.Context, id string, seen int64, spec record.Spec) (record.Spec, error) {
	err := s.inTx(ctx, "adding a version of a specification", func(ctx context.Context, tx bun.Tx) error {
		last, err := specIn(ctx, tx, id)
		switch {
		case err != nil:
			return err
		case last.ArchivedAt != nil:
			return record.ErrArchived
		case int64(last.Version) != seen:
			return record.ErrChanged
		}
		spec.ID, spec.Version, spec.CreatedAt, spec.ArchivedAt = id, last.Version+1, s.instant(), nil
		var f calc.Faults
		if record.CheckFollows(last, spec, &f); f.Err() != nil {
			return f.Err()
		}
		row, err := specRowOf(spec)
		if err != nil {
			return err
		}
		_, err = tx.NewInsert().Model(row).Exec(ctx)
		if unique(err) {
			return record.ErrChanged // somebody was quicker
		}
		return err
	})
	return spec, err
}

// SpecVersions returns all versions of a specification in ascending order;
// record.ErrNotFound where there is none.
func (s *Store) SpecVersions(ctx context.Context, id string) ([]record.Spec, error) {
	return versionsIn(ctx, s.read, id)
}

func versionsIn(ctx context.Context, db bun.IDB, id string) ([]record.Spec, error) {
	var rows []*specRow
	if err := db.NewSelect().Model(&rows).Where("id = ?", id).Order("version").Scan(ctx); err != nil {
		return nil, fault("listing versions", err)
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("store: specification %.64q: %w", id, record.ErrNotFound)
	}
	return records(rows, (*specRow).record)
}

// specAt is the version of a specification that holds at a moment. The error is
// a *calc.Problem at /spec where none does.
func specAt(ctx context.Context, db bun.IDB, id string, at record.Instant) (record.Spec, error) {
	refuse := func(format string, args ...any) (record.Spec, error) {
		return record.Spec{}, calc.Refuse(calc.Fault{Location: "/spec", Value: id, Message: fmt.Sprintf(format, args...)})
	}
	versions, err := versionsIn(ctx, db, id)
	switch {
	case isNotFound(err):
		return refuse("no specification is stored under this identifier")
	case err != nil:
		return record.Spec{}, err
	case versions[len(versions)-1].ArchivedAt != nil:
		return refuse("this specification is archived: begin lots with one that is in use")
	}
	spec, ok := record.VersionAt(versions, at)
	if !ok {
		var terms []string
		for _, v := range versions {
			terms = append(terms, fmt.Sprintf("version %d %s", v.Version, v.Term()))
		}
		return refuse("no version of this specification holds at %s: %s. Add a version that does, or name another specification", at, strings.Join(terms, ", "))
	}
	return spec, nil
}

// SpecOf returns the one specification of a product that holds now. The error is
// a *calc.Problem at /product where there is none, or several.
func (s *Store) SpecOf(ctx context.Context, product string) (record.Spec, error) {
	spec, err := specOf(ctx, s.read, product, s.instant())
	return spec, fault("the specification of a product", err)
}

// specOf is the one specification of a product that holds at a moment. The error
// is a *calc.Problem at /product where there is none, or several: which of them
// is meant is asked, not guessed.
func specOf(ctx context.Context, db bun.IDB, product string, at record.Instant) (record.Spec, error) {
	var rows []*specRow
	if err := db.NewSelect().Model(&rows).Where("archived_at IS NULL").Order("id", "version").Scan(ctx); err != nil {
		return record.Spec{}, err
	}
	all, err := records(rows, (*specRow).record)
	if err != nil {
		return record.Spec{}, err
	}
	var fit []record.Spec
	ofProduct := 0
	for len(all) > 0 {
		n := 1
		for n < len(all) && all[n].ID == all[0].ID {
			n++
		}
		versions := all[:n]
		all = all[n:]
		if nameKey(versions[n-1].Product) != nameKey(product) {
			continue
		}
		ofProduct++
		if spec, ok := record.VersionAt(versions, at); ok && nameKey(spec.Product) == nameKey(product) {
			fit = append(fit, spec)
		}
	}
	if len(fit) == 1 {
		return fit[0], nil
	}
	return record.Spec{}, calc.Refuse(productFault(product, at, ofProduct, fit))
}

func productFault(product string, at record.Instant, ofProduct int, fit []record.Spec) calc.Fault {
	f := calc.Fault{Location: "/product", Value: product}
	switch {
	case len(fit) > 1:
		var names []string
		for _, spec := range fit {
			names = append(names, fmt.Sprintf("%s (%q, version %d, %s)", spec.ID, spec.Name, spec.Version, spec.Term()))
		}
		f.Message = fmt.Sprintf("%d specifications of this product hold at %s: %s. Which one is meant? Name it in \"spec\"", len(fit), at, strings.Join(names, ", "))
	case ofProduct > 0:
		f.Message = fmt.Sprintf("no specification of this product holds at %s: %d are stored, none of them valid then. Add a version that is, or name one in \"spec\"", at, ofProduct)
	default:
		f.Message = "no specification of this product is stored: add one with this \"product\", or name one in \"spec\""
	}
	return f
}
