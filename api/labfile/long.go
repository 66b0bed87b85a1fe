package labfile

import (
	"cmp"
	"container/list"
	"hash/maphash"
	"maps"
	"slices"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// gatherer puts the rows of the long format together, one reading a row. A wine
// stays open for further rows, which need not follow each other; at most
// MaxOpenWines are open at a time, and the one that was longest without a row is
// closed for a new one.
type gatherer struct {
	p     *plan
	w     *warnings
	yield func(record.Entry, error) bool
	// open holds the wines in the order of their last row, and in front the
	// one that is closed next; byKey finds them.
	open   *list.List
	byKey  map[uint64]*list.Element
	closed map[uint64]struct{}
	seed   maphash.Seed
	values int
	last   []string // cells of the row before, for names that are not repeated
	d      *draft
}

// sample is a wine that is being gathered.
type sample struct {
	key    uint64
	first  row
	cells  []string // of the first row, with the name filled in
	points []reading
	faults []calc.Fault
}

type reading struct {
	nm, y float64
	row   int
}

func newGatherer(p *plan, w *warnings, yield func(record.Entry, error) bool) *gatherer {
	return &gatherer{p: p, w: w, yield: yield, open: list.New(), byKey: map[uint64]*list.Element{}, closed: map[uint64]struct{}{},
		seed: maphash.MakeSeed(), d: &draft{p: p, w: w}}
}

// sampleFields tell apart the samples of a file: rows that agree in them are one
// reading.
var sampleFields = []field{
	fName, fLot, fVintage, fPath, fPathCM, fDilution, fDiluent, fInstrument, fAnalyst, fTakenAt, fDate, fTime, fMinutes, fReplicate,
}

// add takes a row; false ends the stream.
func (g *gatherer) add(r row) bool {
	if r.fault != "" {
		return g.reject(r, r.fault)
	}
	cells := g.named(r.cells)
	key := g.keyOf(cells)
	e, there := g.byKey[key]
	if !there {
		if _, was := g.closed[key]; was {
			return g.reject(r, "the wine's earlier rows are too far above: at most 1000 wines are put together at a time; sort the file by wine")
		}
		for g.open.Len() >= MaxOpenWines || g.values >= maxValues/2 && g.open.Len() > 0 {
			if !g.close(g.open.Front()) {
				return false
			}
		}
		e = g.open.PushBack(&sample{key: key, first: r, cells: cells})
		g.byKey[key] = e
	}
	g.open.MoveToBack(e)
	g.take(sampleOf(e), r)
	return true
}

func sampleOf(e *list.Element) *sample {
	return e.Value.(*sample) //nolint:errcheck,forcetypeassert // the list holds nothing else
}

// named fills in a name that stands once above its rows.
func (g *gatherer) named(cells []string) []string {
	c := g.p.column[fName]
	if c < len(cells) && strings.TrimSpace(cells[c]) != "" {
		g.last = cells
		return cells
	}
	if g.last == nil || c >= len(cells) {
		return cells
	}
	cells = slices.Clone(cells)
	cells[c] = g.last[c]
	return cells
}

func (g *gatherer) keyOf(cells []string) uint64 {
	var h maphash.Hash
	h.SetSeed(g.seed)
	for _, f := range sampleFields {
		if c := g.p.column[f]; c >= 0 && c < len(cells) {
			h.WriteString(strings.TrimSpace(cells[c]))
		}
		h.WriteByte(0)
	}
	return h.Sum64()
}

// take reads a row's wavelength and ordinate.
func (g *gatherer) take(s *sample, r row) {
	g.d.start(r)
	nm, okNM := g.cellNumber(g.p.column[fNM])
	y, okY := g.cellNumber(g.p.ordinate)
	if !okNM || !okY {
		if len(s.faults) < faultsPerScan {
			s.faults = append(s.faults, g.d.Faults...)
		}
		return
	}
	if len(s.points) >= maxPoints {
		if len(s.faults) == 0 {
			s.faults = append(s.faults, calc.Fault{Location: g.p.place(r.number), Message: "the wine has more than 10000 readings: export them 1 nm apart"})
		}
		return
	}
	s.points = append(s.points, reading{nm, scaled(y, g.p.scale), r.number})
	g.values++
}

func (g *gatherer) cellNumber(column int) (float64, bool) {
	x, fault := parseNumber(g.d.cell(column), g.p.sign(column))
	if fault != "" {
		g.d.faultf(column, "%s", fault)
	}
	return x, fault == ""
}

// reject yields a row that belongs to no wine.
func (g *gatherer) reject(r row, message string) bool {
	g.d.start(r)
	g.d.Wine.Name = g.d.text(fName)
	g.d.faultf(-1, "%s", message)
	return g.yield(g.d.Entry, nil)
}

// close yields a wine: for a new one the one that was longest without a row, at
// the end the first of the file.
func (g *gatherer) close(e *list.Element) bool {
	s := sampleOf(e)
	g.open.Remove(e)
	delete(g.byKey, s.key)
	g.closed[s.key] = struct{}{}
	g.values -= len(s.points)
	return g.yield(g.entry(s), nil)
}

// finish yields the wines that are still open.
func (g *gatherer) finish() error {
	rest := slices.SortedFunc(maps.Values(g.byKey), func(a, b *list.Element) int {
		return cmp.Compare(sampleOf(a).first.number, sampleOf(b).first.number)
	})
	for _, e := range rest {
		if !g.close(e) {
			return nil
		}
	}
	return nil
}

// entry makes the entry of a wine whose rows have ended.
func (g *gatherer) entry(s *sample) record.Entry {
	d := g.d
	d.start(s.first)
	d.cells = s.cells
	d.identity()
	d.circumstances()
	d.Faults = append(d.Faults, s.faults...)
	if len(d.Faults) > 0 {
		return d.Entry
	}
	slices.SortStableFunc(s.points, func(a, b reading) int { return cmp.Compare(a.nm, b.nm) })
	q := g.p.quantity
	for _, p := range s.points {
		d.nm, d.y, d.points = append(d.nm, p.nm), append(d.y, p.y), append(d.points, p.row)
	}
	if q == transmittance && !isScan(d.nm) {
		for k, y := range d.y {
			d.y[k] = d.asAbsorbance(g.p.ordinate, y)
		}
		q = absorbance
	}
	if len(d.Faults) == 0 {
		c := d.conditions()
		d.finish(q, c, nil)
		d.tellRows()
	}
	return d.Entry
}
