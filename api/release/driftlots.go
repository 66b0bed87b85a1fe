package release

import (
	"cmp"
	"context"
	"slices"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// DriftLots are forecasts of the lots of a product, those first that are expected
// to leave first.
type DriftLots struct {
	Items   []LotDrift        `json:"items" doc:"The lots by the day on which they are expected to leave their specification."`
	Unknown []DriftLotUnknown `json:"unknown" doc:"Lots without a forecast, and why."`
	Older   int               `json:"older" doc:"Lots that were bottled before the newest 100 and were not looked at."`
}

// DriftLotUnknown is a lot without a forecast.
type DriftLotUnknown struct {
	LotID  string `json:"lot_id" doc:"Identifier of the lot."`
	Lot    string `json:"lot" doc:"What it is called."`
	Reason string `json:"reason" doc:"Why there is none."`
}

// forecastLots is how many lots are looked at: each takes tens of milliseconds the
// first time.
const forecastLots = 100

// DriftLots forecasts the newest 100 lots of a product that are not archived; an
// empty product is all of them.
func (r *Release) DriftLots(ctx context.Context, product string, now record.Instant) (DriftLots, error) {
	out := DriftLots{Items: []LotDrift{}, Unknown: []DriftLotUnknown{}}
	l, err := r.learn(ctx, product)
	if err != nil {
		return out, err
	}
	lots, err := r.lotsInUse(ctx, l)
	if err != nil {
		return out, err
	}
	out.Older = max(0, len(lots)-forecastLots)
	for _, lot := range lots[:len(lots)-out.Older] {
		of, err := r.LotDrift(ctx, lot.ID, now)
		switch problem := calc.AsProblem(err); {
		case problem != nil:
			out.Unknown = append(out.Unknown, DriftLotUnknown{lot.ID, lot.Name, problem.Detail})
		case err != nil:
			return out, err
		default:
			out.Items = append(out.Items, of)
		}
	}
	slices.SortStableFunc(out.Items, func(a, b LotDrift) int {
		return cmp.Or(cmp.Compare(a.order(), b.order()), -cmp.Compare(a.Leaves, b.Leaves))
	})
	return out, nil
}

// Leaving are the lots that are expected to leave their specification; staying is how
// many are not, and most the largest probability of leaving among those.
func (d DriftLots) Leaving() (leaving []LotDrift, staying int, most float64) {
	for _, lot := range d.Items {
		if lot.Leaving() {
			leaving = append(leaving, lot)
		} else {
			staying, most = staying+1, max(most, lot.Leaves)
		}
	}
	return leaving, staying, most
}

// order sorts lots by when they leave; those that do not come last.
func (d LotDrift) order() string {
	if d.Expected == nil {
		return "9999-12-31"
	}
	return *d.Expected
}

// lotsInUse are the lots that something was learned from and that are not archived,
// the last bottled first.
func (r *Release) lotsInUse(ctx context.Context, l *learned) ([]record.Lot, error) {
	seen := map[string]bool{}
	var ids []string
	for _, o := range l.observations {
		if !seen[o.Lot] {
			seen[o.Lot] = true
			ids = append(ids, o.Lot)
		}
	}
	var out []record.Lot
	for chunk := range slices.Chunk(ids, driftPage) {
		lots, err := r.store.LotsNamed(ctx, chunk)
		if err != nil {
			return nil, err
		}
		for _, lot := range lots {
			if lot.ArchivedAt == nil {
				out = append(out, lot)
			}
		}
	}
	slices.SortFunc(out, func(a, b record.Lot) int { return b.BottledAt.Compare(a.BottledAt.Time) })
	return out, nil
}

// NamedLots lists lots without their samples, for whoever looks for one.
func (r *Release) NamedLots(ctx context.Context, p record.Page) ([]record.Lot, error) {
	return r.store.Lots(ctx, p)
}

// Now is the store's clock, from which forecasts are told.
func (r *Release) Now() record.Instant { return r.store.Now() }
