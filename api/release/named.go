package release

import (
	"context"

	"pourpath/api/record"
)

// Named lists lots as they are recorded, without what they have come to.
func (r *Release) Named(ctx context.Context, p record.Page) ([]record.Lot, error) {
	return r.store.Lots(ctx, p)
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
