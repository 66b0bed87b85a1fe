package release

import (
	"context"

	"pourpath/api/record"
)

// Named lists lots as they are recorded, without what they have come to.
func (r *Release) Named(ctx context.Context, p record.Page) ([]record.Lot, error) {
	return r.store.Lots(ctx, p)
}
