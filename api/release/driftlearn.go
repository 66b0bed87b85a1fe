package release

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/store"
	"pourpath/colour/drift"
)

// learned is what the lots of a product say. It is never changed once made.
type learned struct {
	product      string   // as it is spelt; empty for all of them together
	products     []string // that there are
	held         int      // samples of all lots that there were
	taken        int      // samples of the product that were looked at
	lots         int
	leftOut      map[string]int
	observations []drift.Observation
	from         [][]*driftSample // the samples that each of them is the mean of
	storages     map[string]string
	model        drift.Model
}

// learn is what the lots of a product say, learned anew only where there is a newer
// sample of it. The error is a *calc.Problem where no lot is of that product.
func (r *Release) learn(ctx context.Context, product string) (*learned, error) {
	m := &r.drift
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := m.refresh(ctx, r.store); err != nil {
		return nil, err
	}
	key := store.SameName(product)
	known := m.learned[key]
	if known != nil && known.held == m.held {
		return known, nil
	}
	next := m.gather(key)
	if key != "" && next.taken == 0 {
		if len(next.products) == 0 {
			return nil, calc.Refuse(calc.Fault{Value: product, Message: "product: no lot of any product was read yet: add samples to lots"})
		}
		return nil, calc.Refuse(calc.Fault{Value: product, Message: "product: no lot of this product was read yet; there are: " + strings.Join(next.products, ", ")})
	}
	if known != nil && known.taken == next.taken && len(known.products) == len(next.products) {
		again := *known
		again.held = m.held
		m.learned[key] = &again
		return &again, nil
	}
	next.observe()
	var err error
	if next.model, err = drift.Learn(next.observations); err != nil {
		return nil, err
	}
	m.learned[key] = next
	return next, nil
}

// gather counts the samples of a product and keeps them in from, one each, for
// observe to put together.
func (m *driftMemory) gather(key string) *learned {
	out := &learned{held: m.held, leftOut: map[string]int{}, storages: map[string]string{}}
	names, lots, keys := map[string]string{}, map[*driftLot]bool{}, map[string]string{}
	for i := range m.samples {
		s := &m.samples[i]
		of, ok := keys[s.lot.product]
		if !ok {
			of = store.SameName(s.lot.product)
			keys[s.lot.product] = of
			if of != "" && names[of] == "" {
				names[of] = s.lot.product
			}
		}
		if key != "" && of != key {
			continue
		}
		out.taken++
		if s.useless != "" {
			out.leftOut[s.useless]++
			continue
		}
		lots[s.lot] = true
		out.from = append(out.from, []*driftSample{s})
	}
	out.product, out.lots = names[key], len(lots)
	for _, name := range names {
		out.products = append(out.products, name)
	}
	slices.Sort(out.products)
	return out
}

// storageKey is the class of storage that a text names.
func (l *learned) storageKey(text string) string {
	key := store.SameName(text)
	if _, ok := l.storages[key]; !ok {
		l.storages[key] = strings.TrimSpace(text)
	}
	return key
}

// observe makes observations of the samples: those of one lot, kept alike, of one
// day are one, as their readings share what a session is off by. A sample of the
// bottling run was not stored yet, so it counts in each storage that its lot has.
func (l *learned) observe() {
	type day struct {
		lot     *driftLot
		storage string
		day     int
	}
	kept := map[*driftLot][]string{}
	for _, one := range l.from {
		if s := one[0]; !s.run || s.storage != "" {
			if k := l.storageKey(s.kept()); !slices.Contains(kept[s.lot], k) {
				kept[s.lot] = append(kept[s.lot], k)
			}
		}
	}
	groups := map[day][]*driftSample{}
	for _, one := range l.from {
		s := one[0]
		storages := []string{l.storageKey(s.kept())}
		if s.run && s.storage == "" && len(kept[s.lot]) > 0 {
			storages = kept[s.lot]
		}
		for _, storage := range storages {
			k := day{s.lot, storage, int(s.at.Unix() / (24 * 60 * 60))}
			groups[k] = append(groups[k], s)
		}
	}
	order := make([]day, 0, len(groups))
	for k := range groups {
		order = append(order, k)
	}
	slices.SortFunc(order, func(a, b day) int {
		return cmp.Or(cmp.Compare(a.storage, b.storage), cmp.Compare(a.lot.ID, b.lot.ID), cmp.Compare(a.day, b.day))
	})
	l.from = nil
	for _, k := range order {
		l.observations = append(l.observations, meanObservation(k.lot.ID, k.storage, groups[k]))
		l.from = append(l.from, groups[k])
	}
}

// kept is how a sample's bottle was kept.
func (d *driftSample) kept() string {
	if d.storage != "" {
		return d.storage
	}
	return d.lot.Storage
}

// meanObservation is the mean of what was read in one session, with the uncertainty
// of one reading.
func meanObservation(lot, storage string, of []*driftSample) drift.Observation {
	out := drift.Observation{Lot: lot, Storage: storage}
	n := float64(len(of))
	for _, s := range of {
		out.Days += s.days / n
		out.A420, out.U420 = out.A420+s.reading.A420/n, out.U420+s.reading.U420/n
		out.A520, out.U520 = out.A520+s.reading.A520/n, out.U520+s.reading.U520/n
		out.A620, out.U620 = out.A620+s.reading.A620/n, out.U620+s.reading.U620/n
	}
	return out
}

// newestOf is the newest observation of a lot that is kept as the lot is, or where
// there is none of any of its bottles; -1 where nothing was read of it.
func (l *learned) newestOf(lotID string) int {
	newest, ownNewest := -1, false
	for i, o := range l.observations {
		if o.Lot != lotID {
			continue
		}
		own := o.Storage == store.SameName(l.from[i][0].lot.Storage)
		if newest < 0 || own && !ownNewest || own == ownNewest && o.Days > l.observations[newest].Days {
			newest, ownNewest = i, own
		}
	}
	return newest
}

func sampleIDs(of []*driftSample) []string {
	out := make([]string, len(of))
	for i, s := range of {
		out[i] = s.id
	}
	return out
}

// newestAt is when an observation counts from: the newest of its samples.
func newestAt(of []*driftSample) record.Instant {
	at := of[0].at
	for _, s := range of {
		if s.at.After(at.Time) {
			at = s.at
		}
	}
	return at
}
