package release

import (
	"context"
	"sync"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/store"
	"pourpath/colour/drift"
	"pourpath/colour/reading"
)

// driftMemory holds what every sample of the store tells about drift, and what was
// learned from it, until there is a newer sample.
type driftMemory struct {
	mu      sync.Mutex
	held    int    // samples that were taken in
	told    int    // bottlings that lots were read with
	last    string // the newest of them
	lots    map[string]*driftLot
	samples []driftSample
	learned map[string]*learned // by the key of a product; "" is all of them
}

// driftLot is a lot as far as its drift goes.
type driftLot struct {
	record.Lot
	product string // its own, or that of its specification
}

// driftSample is a sample of a lot, or why it tells nothing.
type driftSample struct {
	id      string
	lot     *driftLot
	at      record.Instant
	days    float64
	run     bool      // of the bottling run: it has not been stored yet
	storage string    // its own; empty where it is as the lot is
	seen    calc.Wine // what was read
	useless string    // a code of leftOutWords; empty where it tells
	reading drift.Reading
}

// Why samples tell nothing about drift, by a code, in the order in which they are
// told.
var leftOutWords = []struct{ code, words string }{
	{"cielab_alone", "L*, a* and b* alone give no absorbances: record the readings or the scan that they come from."},
	{"acetaldehyde", "Read with excess acetaldehyde: that shows the pigment, not the colour in the bottle."},
	{"no_bottling_date", "The lot has no bottling date, so there are no days to count."},
	{"before_bottling", "Taken before the lot was bottled."},
	{"no_reading", "What was read cannot be brought to absorbances per 10 mm."},
}

const driftPage = 1000

// refresh takes in samples that are new. As two that are recorded at once may
// become visible in the other order of their identifiers, it counts: where as many
// are held as there are, none is missing; where one came in late, all are read
// again. The caller holds the lock.
func (m *driftMemory) refresh(ctx context.Context, s *store.Store) error {
	told, err := s.BottlingCount(ctx)
	if err != nil {
		return err
	}
	if told != m.told {
		m.forget()
		m.told = told
	}
	n, err := s.SampleCount(ctx)
	if err != nil || n == m.held && m.lots != nil {
		return err
	}
	if n < m.held || m.lots == nil {
		m.forget()
	}
	if err := m.read(ctx, s); err != nil || m.held >= n {
		return err
	}
	m.forget()
	return m.read(ctx, s)
}

func (m *driftMemory) forget() {
	m.held, m.last, m.samples = 0, "", nil
	m.lots, m.learned = map[string]*driftLot{}, map[string]*learned{}
}

// read takes in the samples after the last one.
func (m *driftMemory) read(ctx context.Context, s *store.Store) error {
	for {
		page, err := s.SamplesAfter(ctx, m.last, driftPage)
		if err != nil {
			return err
		}
		if err := m.readLots(ctx, s, page); err != nil {
			return err
		}
		for _, sample := range page {
			if lot := m.lots[sample.LotID]; lot != nil {
				m.samples = append(m.samples, driftSampleOf(sample, lot))
			}
			m.held++
			m.last = sample.ID
		}
		if len(page) < driftPage {
			return nil
		}
	}
}

// readLots makes the lots of samples known. What is read of a lot here changes by a
// bottling alone.
func (m *driftMemory) readLots(ctx context.Context, s *store.Store, page []record.Sample) error {
	var ids []string
	asked := map[string]bool{}
	for _, sample := range page {
		if m.lots[sample.LotID] == nil && !asked[sample.LotID] {
			asked[sample.LotID] = true
			ids = append(ids, sample.LotID)
		}
	}
	lots, err := s.LotsNamed(ctx, ids)
	if err != nil {
		return err
	}
	products := map[string]string{}
	for _, lot := range lots {
		product := lot.Product
		if product == "" {
			known, ok := products[lot.Spec]
			if !ok {
				spec, err := s.SpecVersion(ctx, lot.Spec, lot.SpecVersion)
				if err != nil {
					return err
				}
				known = spec.Product
				products[lot.Spec] = known
			}
			product = known
		}
		m.lots[lot.ID] = &driftLot{Lot: lot, product: product}
	}
	return nil
}

func driftSampleOf(sample record.Sample, lot *driftLot) driftSample {
	out := driftSample{id: sample.ID, lot: lot, at: sample.At(), run: sample.Stage.InRun(), storage: sample.Storage, seen: sample.Wine("")}
	if lot.BottledAt == nil {
		out.useless = "no_bottling_date"
	} else {
		out.days, out.useless = daysAfter(*lot.BottledAt, out.at, out.run)
	}
	switch s := sample.State; {
	case out.useless != "":
	case s != nil && s.Acetaldehyde != nil && *s.Acetaldehyde:
		out.useless = "acetaldehyde"
	case sample.CIELAB != nil:
		out.useless = "cielab_alone"
	default:
		out.take(sample.SampleBody)
	}
	return out
}

// daysAfter are the days from bottling to a sample. A date without a time may hide
// most of a day, so a sample of the run, or of the same day, is one of day 0.
func daysAfter(bottled, at record.Instant, run bool) (days float64, useless string) {
	days = at.Sub(bottled.Time).Hours() / 24
	switch {
	case days > drift.MaxDays:
		return 0, "no_reading"
	case days >= 0:
		return days, ""
	case run || !at.Precedes(bottled):
		return 0, ""
	}
	return 0, "before_bottling"
}

// take brings what was read to absorbances per 10 mm.
func (d *driftSample) take(body record.SampleBody) {
	switch {
	case body.Readings != nil:
		r := body.Readings.Core()
		f := r.Per10MM()
		u := func(a float64) float64 { return f * reading.Uncertainty(a, r.UAbsorbance) }
		d.reading = drift.Reading{A420: f * r.A420, A520: f * r.A520, A620: f * r.A620, U420: u(r.A420), U520: u(r.A520), U620: u(r.A620)}
	case body.Spectrum != nil:
		wine, err := body.Spectrum.Wine()
		if err != nil {
			d.useless = "no_reading"
			return
		}
		i := wine.Indices()
		path, dilution := body.Cell()
		f := reading.Cell{PathMM: path, Dilution: dilution}.Per10MM()
		given := reading.DefaultU
		if body.Spectrum.UAbsorbance != nil {
			given = *body.Spectrum.UAbsorbance
		}
		u := func(a float64) float64 { return f * reading.Uncertainty(a/f, given) }
		d.reading = drift.Reading{A420: i.A420, A520: i.A520, A620: i.A620, U420: u(i.A420), U520: u(i.A520), U620: u(i.A620)}
	}
	if d.reading.Validate() != nil {
		d.useless = "no_reading"
	}
}
