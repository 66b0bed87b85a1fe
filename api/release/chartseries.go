package release

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sync"

	"pourpath/api/record"
)

// charted is a lot as charts have it: the mean of its samples.
type charted struct {
	lot        string // identifier
	atMicros   int64  // bottled, else when its first sample was taken or recorded
	conditions string
	left       string // why it is left out; empty where it is not
	l, a, b    float64
	// intensity, tint and apart, the ΔE00, are NaN where there is none.
	intensity, tint, apart float64
}

// Why lots are left out, beside other conditions.
const (
	onlyRetained = "only bottles that were retained were read: they tell of ageing, not of the bottling"
	mixedLot     = "its samples were read in different conditions, of which no mean is taken"
)

// chartSeries is what was read so far of the lots of a product or a
// specification. It is extended by what was committed since, and a lot once
// handed out is never changed.
type chartSeries struct {
	mu       sync.Mutex
	last     int64 // number of the newest figure that is in it
	newest   map[string]int
	figures  []record.Figure // the newest of each sample
	ofLot    map[string]int
	lots     []charted
	samples  [][]int // places in figures, of each of lots
	archived int
	sorted   []charted // in the order of time, without archived lots
}

// seriesAtOnce is how many products and specifications are remembered: 100,000
// lots take some 60 MB.
const seriesAtOnce = 8

// series is what there is of a product or a specification, as it was committed
// when it was asked for. The lots must not be changed.
func (r *Release) series(ctx context.Context, of record.FigureOf) ([]charted, error) {
	r.seriesMu.Lock()
	s, ok := r.known.Get(of)
	if !ok {
		s = &chartSeries{}
		s.forget()
		r.known.Add(of, s)
	}
	r.seriesMu.Unlock()
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.extend(ctx, r, of); err != nil {
		s.forget() // what is half extended
		return nil, err
	}
	return s.sorted, nil
}

// forget begins anew.
func (s *chartSeries) forget() {
	s.last, s.archived, s.sorted = 0, 0, nil
	s.makeRoom(0)
}

func (s *chartSeries) makeRoom(figures int) {
	s.newest, s.ofLot = make(map[string]int, figures), make(map[string]int, figures)
	s.figures, s.lots, s.samples = make([]record.Figure, 0, figures), make([]charted, 0, figures), make([][]int, 0, figures)
}

// extend takes in what was committed since, and what was archived.
func (s *chartSeries) extend(ctx context.Context, r *Release, of record.FigureOf) error {
	touched := map[int]bool{}
	fresh := s.last == 0
	if fresh {
		n, err := r.store.FigureCount(ctx, of)
		if err != nil {
			return err
		}
		s.makeRoom(n)
	}
	err := r.store.Figures(ctx, of, s.last, func(f record.Figure) {
		s.last = f.No
		at := s.take(f)
		if !fresh {
			touched[at] = true
		}
	})
	if err != nil {
		return err
	}
	if fresh {
		for at := range s.lots {
			s.average(at)
		}
	}
	for at := range touched {
		s.average(at)
	}
	archived, err := r.store.ArchivedLots(ctx)
	if err != nil {
		return err
	}
	if len(touched) == 0 && archived == s.archived && s.sorted != nil {
		return nil
	}
	return s.order(ctx, r, archived)
}

// take puts a figure in its place and returns that of its lot. The verdict with
// the largest number on a sample counts.
func (s *chartSeries) take(f record.Figure) int {
	lot, ok := s.ofLot[f.Lot]
	if !ok {
		lot = len(s.lots)
		s.ofLot[f.Lot] = lot
		s.lots = append(s.lots, charted{lot: f.Lot})
		s.samples = append(s.samples, nil)
	}
	if at, ok := s.newest[f.Sample]; ok {
		s.figures[at] = f
		return lot
	}
	s.newest[f.Sample] = len(s.figures)
	s.samples[lot] = append(s.samples[lot], len(s.figures))
	s.figures = append(s.figures, f)
	return lot
}

// average makes a lot the mean of its samples, those of retained bottles aside.
func (s *chartSeries) average(lot int) {
	out := charted{lot: s.lots[lot].lot, atMicros: math.MaxInt64, left: onlyRetained}
	n := 0.0
	for _, at := range s.samples[lot] {
		f := &s.figures[at]
		out.atMicros = min(out.atMicros, f.AtMicros)
		if f.Retained {
			continue
		}
		switch {
		case n == 0:
			out.left, out.conditions = "", f.Conditions
		case out.conditions != f.Conditions:
			out.left = mixedLot
		}
		n++
		out.l, out.a, out.b = out.l+f.L, out.a+f.A, out.b+f.B
		out.intensity, out.tint, out.apart = out.intensity+f.Intensity, out.tint+f.Tint, out.apart+f.DeltaE00
	}
	if n > 1 {
		for _, v := range []*float64{&out.l, &out.a, &out.b, &out.intensity, &out.tint, &out.apart} {
			*v /= n
		}
	}
	s.lots[lot] = out
}

// order makes the list that is handed out.
func (s *chartSeries) order(ctx context.Context, r *Release, archived int) error {
	gone := map[string]bool{}
	if archived > 0 {
		ids, err := r.store.ArchivedLotIDs(ctx)
		if err != nil {
			return err
		}
		for _, id := range ids {
			gone[id] = true
		}
		archived = len(ids)
	}
	sorted := make([]charted, 0, len(s.lots))
	for i := range s.lots {
		if !gone[s.lots[i].lot] {
			sorted = append(sorted, s.lots[i])
		}
	}
	inTime := func(a, b charted) int {
		if c := cmp.Compare(a.atMicros, b.atMicros); c != 0 {
			return c
		}
		return cmp.Compare(a.lot, b.lot) // the order in which they were begun
	}
	if !slices.IsSortedFunc(sorted, inTime) {
		slices.SortFunc(sorted, inTime)
	}
	s.sorted, s.archived = sorted, archived
	return nil
}
