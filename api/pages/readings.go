package pages

import (
	"slices"
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/shelf"
)

// readingRow is one reading of a wine as it was recorded.
type readingRow struct {
	ID               string
	At               moment
	Taken            bool // At is when it was taken, not when it was recorded
	A420, A520, A620 figure
	Further          []furtherReading
	Scan             *scanRange
	Lab              *labValues
	PathMM, Dilution digits // dilution empty for neat wine
	record.Circumstances
	TemperatureC, Minutes digits
	Number                string // of a replicate
	ImportID              string
	ImportRow             int
	Standing              string // "current", "earlier", "superseded" or "archived"
	Archived              moment
	ArchiveReason         string
	SupersededBy          link
	Supersedes            link
	Reason                string
	MayCorrect            bool // it counts or did, and has no correction yet
}

type furtherReading struct{ NM, Absorbance digits }

type scanRange struct {
	From, To      digits
	Points        int
	Transmittance bool
}

type labValues struct {
	L, A, B, DepthMM     digits
	Illuminant, Observer string
}

// link is another reading: the address of its row, or of its record where the
// row is on another page.
type link struct{ Href string }

func readingRows(l leaf[record.Reading], w shelf.Wine) leaf[readingRow] {
	out := leaf[readingRow]{Older: l.Older, Newer: l.Newer, Items: make([]readingRow, len(l.Items))}
	here := map[string]bool{}
	for _, r := range l.Items {
		here[r.ID] = true
	}
	to := func(id string) link {
		switch {
		case id == "":
			return link{}
		case here[id]:
			return link{"#r-" + id}
		}
		return link{"/readings/" + id}
	}
	columns := make([][]*figure, 3)
	for i, r := range l.Items {
		row := &out.Items[i]
		*row = readingRowOf(r)
		row.Standing = standing(r, w)
		row.MayCorrect = r.ArchivedAt == nil && r.SupersededBy == "" && w.ArchivedAt == nil
		row.SupersededBy, row.Supersedes = to(r.SupersededBy), to(r.Supersedes)
		for j, f := range []*figure{&row.A420, &row.A520, &row.A620} {
			columns[j] = append(columns[j], f)
		}
	}
	for _, c := range columns {
		align(c)
	}
	return out
}

func standing(r record.Reading, w shelf.Wine) string {
	switch {
	case r.ArchivedAt != nil:
		return "archived"
	case r.SupersededBy != "":
		return "superseded"
	case slices.Contains(w.ReadingsUsed, r.ID):
		return "current"
	}
	return "earlier"
}

func readingRowOf(r record.Reading) readingRow {
	pathMM, dilution := r.Cell()
	row := readingRow{
		ID: r.ID, At: momentOf(r.At()), Taken: r.TakenAt != nil, PathMM: plain(pathMM), Circumstances: r.Circumstances,
		ImportID: r.ImportID, ImportRow: r.ImportRow, ArchiveReason: r.ArchiveReason, Reason: r.Reason,
	}
	if dilution != 1 {
		row.Dilution = plain(dilution)
	}
	if r.TemperatureC != nil {
		row.TemperatureC = plain(*r.TemperatureC)
	}
	if r.MinutesSinceBlending != nil {
		row.Minutes = plain(*r.MinutesSinceBlending)
	}
	if r.Replicate != nil {
		row.Number = strconv.Itoa(*r.Replicate)
	}
	if r.ArchivedAt != nil {
		row.Archived = momentOf(*r.ArchivedAt)
	}
	row.measured(r.Measurement)
	return row
}

// measured fills in what was read, with the digits that were given.
func (row *readingRow) measured(m record.Measurement) {
	switch {
	case m.Readings != nil:
		row.A420.Value, row.A520.Value, row.A620.Value = plain(m.Readings.A420), plain(m.Readings.A520), plain(m.Readings.A620)
		for _, e := range m.Readings.Extra {
			row.Further = append(row.Further, furtherReading{plain(e.NM), plain(e.Absorbance)})
		}
	case m.Spectrum != nil:
		nm := m.Spectrum.NM
		row.Scan = &scanRange{From: plain(nm[0]), To: plain(nm[len(nm)-1]), Points: len(nm), Transmittance: len(m.Spectrum.TransmittancePercent) > 0}
	case m.CIELAB != nil:
		c := m.CIELAB
		row.Lab = &labValues{
			L: decimal(c.L), A: decimal(c.A), B: decimal(c.B), DepthMM: plain(c.PathMM),
			Illuminant: string(orElse(c.Illuminant, "D65")), Observer: string(orElse(c.Observer, "10")),
		}
	}
}

func orElse[T ~string](given, usual T) T {
	if given == "" {
		return usual
	}
	return given
}

// replicates are how the readings of the current set scatter.
type replicates struct {
	N        int
	Columns  []replicated
	PooledSD digits
	Degrees  int
	Outliers []outlier
}

type replicated struct {
	Quantity string
	Mean, SD digits
}

type outlier struct {
	Href, Quantity, Level string
	G, Critical           digits
}

func replicatesOf(w shelf.Wine) *replicates {
	s := w.Replicates
	if s == nil {
		return nil
	}
	out := &replicates{N: s.N, Degrees: s.DegreesOfFreedom}
	decimals := 2 // of L*, a*, b*: one more than a report gives
	if s.PooledSD != nil {
		decimals = 4 // of absorbances: one more than an instrument gives
		out.PooledSD = fixed(*s.PooledSD, decimals)
	}
	for _, q := range s.Quantities {
		out.Columns = append(out.Columns, replicated{Quantity: symbol(q.Quantity), Mean: fixed(q.Mean, decimals), SD: fixed(q.SD, decimals)})
	}
	for _, o := range s.Outliers {
		out.Outliers = append(out.Outliers, outlier{
			Href: "/readings/" + o.Reading, Quantity: symbol(o.Quantity), Level: string(o.Level), G: fixed(o.G, 2), Critical: fixed(o.Critical, 2),
		})
	}
	return out
}

// decimal writes a number with the digits it was given with.
func decimal(d calc.Decimal) digits { return fixed(d.Value, max(0, d.Decimals)) }

// symbol is a quantity of the replicates as the other tables write it.
func symbol(quantity string) string {
	switch quantity {
	case "L", "a", "b":
		return quantity + "*"
	case "a420", "a520", "a620":
		return "A" + quantity[1:]
	}
	if nm, ok := strings.CutSuffix(quantity, " nm"); ok {
		return "A" + nm
	}
	return quantity
}
