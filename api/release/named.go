package release

import (
	"context"

	"pourpath/api/record"
)

// Named lists lots as they are recorded, without what they have come to.
func (r *Release) Named(ctx context.Context, p record.Page) ([]record.Lot, error) {
	return r.store.Lots(ctx, p)
}

// Spec returns the newest version of a specification; record.ErrNotFound where
// there is none.
func (r *Release) Spec(ctx context.Context, id string) (record.Spec, error) {
	return r.store.Spec(ctx, id)
}

// Specs lists specifications, each in its newest version.
func (r *Release) Specs(ctx context.Context, p record.Page) ([]record.Spec, error) {
	return r.store.Specs(ctx, p)
}

// Versions lists all versions of a specification, the first one first;
// record.ErrNotFound where there is none.
func (r *Release) Versions(ctx context.Context, id string) ([]record.Spec, error) {
	return r.store.SpecVersions(ctx, id)
}

// ArchiveSpec takes a specification out of lists.
func (r *Release) ArchiveSpec(ctx context.Context, id string) (record.Spec, error) {
	return r.store.ArchiveSpec(ctx, id)
}

// NewestVerdicts are the identifiers of the newest verdict on each sample of a
// lot, the newest first.
func (r *Release) NewestVerdicts(ctx context.Context, lotID string) ([]string, error) {
	var ids []string
	seen := map[string]bool{}
	for after := ""; ; {
		page, err := r.store.VerdictsOf(ctx, lotID, record.Page{After: after, Limit: verdictsAtOnce, Newest: true})
		if err != nil {
			return nil, err
		}
		for _, v := range page {
			after = v.VerdictID
			if !seen[v.SampleID] {
				ids = append(ids, v.VerdictID)
			}
			seen[v.SampleID] = true
		}
		if len(page) < verdictsAtOnce {
			return ids, nil
		}
	}
}

// Checks lists checks of instruments.
func (r *Release) Checks(ctx context.Context, p record.Page) ([]record.InstrumentCheck, error) {
	return r.store.InstrumentChecks(ctx, p)
}
