package labfile

import (
	"slices"
	"strings"

	"pourpath/api/record"
)

// opener starts reading a table from its first row.
type opener func() (rowReader, error)

// prepare settles from the first rows what the plan leaves open, and what has to
// be said of it.
func (f *File) prepare(p *plan, head []row, index int, open opener) error {
	f.plan, f.layout = p, ""
	f.see(head, p.sheet)
	if err := p.relative(); err != nil {
		return err
	}
	if err := p.readTitle(head[:max(index, 0)], &f.warnings); err != nil {
		return err
	}
	below := head[index+1:]
	if p.signs == nil {
		p.signs = signsOf(below, len(p.header))
	}
	if len(f.options.Corrections) > 0 {
		var err error
		if f.mending, err = newMending(p, f.options.Corrections); err != nil {
			return err
		}
		below = f.mending.head(below)
		open = f.mending.through(open)
	}
	p.settleKind(below)
	p.settleDates(below, &f.warnings)
	p.settleOrdinate(below, &f.warnings)
	p.settlePath(&f.warnings)
	if words := p.guessedWords(); f.options.NoHeader && words != "" {
		f.warnings.addf("columns_assumed", "The table has no headers. By their values %s were taken; a mapping can say otherwise.", words)
	}
	if names := p.leftOut(); names != nil {
		f.warnings.addf("columns_left_out", "Not understood and left out: %s. A mapping can say what they hold.", listed(names))
	}
	f.layout = p.layoutName()
	f.entries = func(yield func(record.Entry, error) bool) {
		if err := f.read(p, open, yield); err != nil {
			yield(record.Entry{}, err)
		}
	}
	return nil
}

// settleKind takes a column that is headed by colour for the kinds of wine, where none
// other is and most of its cells are kinds.
func (p *plan) settleKind(rows []row) {
	if p.has(fKind) || !p.uses(fKind) {
		return
	}
	for c, m := range p.meanings {
		if m.maybe != fKind {
			continue
		}
		kinds, others := 0, 0
		for _, r := range rows {
			if c >= len(r.cells) || strings.TrimSpace(r.cells[c]) == "" {
				continue
			}
			if _, ok := kindOf(strings.TrimSpace(r.cells[c])); ok {
				kinds++
			} else {
				others++
			}
		}
		if kinds > others {
			p.meanings[c].field, p.meanings[c].by, p.column[fKind] = fKind, "values", c
			p.columns[c].Field, p.columns[c].By = fKind.String(), "values"
			return
		}
	}
}

// settleDates tells the order of day and month.
func (p *plan) settleDates(rows []row, w *warnings) {
	for _, f := range []field{fTakenAt, fDate} {
		var cells []string
		if v := p.title[f]; v != "" {
			cells = append(cells, v)
		}
		if c := p.column[f]; c >= 0 && p.uses(f) {
			for _, r := range rows {
				if c < len(r.cells) {
					cells = append(cells, r.cells[c])
				}
			}
		}
		order, sure := orderOf(cells)
		p.order = max(p.order, order)
		if !sure {
			w.addf("date_order_assumed", "The dates can be read with the day or the month first; the day was taken first. Write them as 2026-11-25 to be sure.")
		}
	}
}

// settleOrdinate tells what readings without a name are, and the scale of
// transmittances.
func (p *plan) settleOrdinate(rows []row, w *warnings) {
	assumed := p.quantity == unnamed && p.layout != oneARow
	if p.quantity == unnamed && p.layout == scansInColumns {
		for _, c := range p.wines { // one column may be called absorbance itself
			if q := p.meanings[c].quantity; q != unnamed && p.meanings[c].field != fWave {
				p.quantity, p.scale, assumed = q, scaleOf(p.meanings[c].unit), false
			}
		}
	}
	if t, a := p.waveColumns(transmittance), p.waveColumns(absorbance); p.quantity == unnamed && (t == nil) != (a == nil) {
		p.quantity = absorbance // as the columns beside them say
		if t != nil {
			p.quantity = transmittance
		}
	}
	for i := range p.waves {
		if p.waves[i].quantity != unnamed {
			continue
		}
		if p.waves[i].quantity = p.quantity; p.quantity == unnamed {
			p.waves[i].quantity, assumed = absorbance, true
		} else {
			p.waves[i].scale *= p.scale
		}
	}
	if p.layout != oneARow && p.quantity == unnamed {
		p.quantity = absorbance
	}
	if assumed {
		w.addf("absorbance_assumed", "No header says what the readings are; they were taken for absorbance.")
	}
	p.settleScale(rows, w)
}

// settleScale looks at the largest value: per cent or 0 to 1, or transmittance
// where absorbance was expected.
func (p *plan) settleScale(rows []row, w *warnings) {
	if p.layout == oneARow {
		t := slices.ContainsFunc(p.waves, func(x wave) bool { return x.quantity == transmittance })
		if t && p.isFraction(rows, p.waveColumns(transmittance), w) {
			for i := range p.waves {
				if p.waves[i].quantity == transmittance {
					p.waves[i].scale = 100
				}
			}
		}
		p.looksLikePercent(rows, p.waveColumns(absorbance), w)
		return
	}
	columns := p.wines
	if p.layout == longFormat {
		columns = []int{p.ordinate}
	}
	if p.quantity == transmittance && p.isFraction(rows, columns, w) {
		p.scale = 100
	} else if p.quantity == absorbance {
		p.looksLikePercent(rows, columns, w)
	}
}

func (p *plan) waveColumns(q quantity) (columns []int) {
	for _, w := range p.waves {
		if w.quantity == q {
			columns = append(columns, w.column)
		}
	}
	return columns
}

// most is how far above 1 a transmittance of 0 to 1 may be: absorbance -0.05.
const most = 1.122

// isFraction says whether transmittances are given from 0 to 1. A header that
// says per cent is believed.
func (p *plan) isFraction(rows []row, columns []int, w *warnings) bool {
	n, top, _ := p.values(rows, columns)
	if n == 0 || top > most {
		return false
	}
	for _, c := range columns {
		if strings.Contains(p.header[c], "%") {
			w.addf("transmittance_scale_doubtful", "The header says per cent, but no value in the first rows is above %g. If they are fractions from 0 to 1, take the %% out of the header.", top)
			return false
		}
	}
	w.addf("transmittance_as_fraction", "No transmittance in the first rows is above %g: they were taken for fractions from 0 to 1.", top)
	return true
}

// looksLikePercent warns where most values are far above any absorbance.
func (p *plan) looksLikePercent(rows []row, columns []int, w *warnings) {
	if n, top, high := p.values(rows, columns); high*2 > n && top <= 100*most {
		w.addf("looks_like_transmittance", "Most values are above 6, as no absorbance is. If they are transmittances in per cent, say so in the header (%%T) or by a mapping.")
	}
}

// values looks at the numbers in columns of the first rows: how many there are,
// the largest, and how many are above what an absorbance can be.
func (p *plan) values(rows []row, columns []int) (n int, top float64, high int) {
	for _, r := range rows {
		for _, c := range columns {
			if c >= len(r.cells) {
				continue
			}
			x, fault := parseNumber(r.cells[c], p.sign(c))
			if fault != "" || x != x {
				continue
			}
			n++
			top = max(top, x)
			if x > maxAbsorbance {
				high++
			}
		}
	}
	return n, top, high
}

func (p *plan) sign(column int) decimalSign {
	if column >= 0 && column < len(p.signs) {
		return p.signs[column]
	}
	return either
}

// settlePath says what the path is where no column has it.
func (p *plan) settlePath(w *warnings) {
	if p.layout == oneARow && p.waves == nil {
		return // L*a*b* without a path is refused row by row
	}
	if p.title[fPath] != "" || p.title[fPathCM] != "" {
		return
	}
	for _, f := range []field{fPath, fPathCM} {
		c := p.column[f]
		if c < 0 || !p.uses(f) {
			continue
		}
		switch u := p.meanings[c].unit; {
		case f == fPathCM || u == unitCM:
			w.addf("path_in_cm", "The paths are given in cm and were turned into mm.")
		case u != unitMM && !strings.Contains(folded(p.header[c]), "mm") && p.meanings[c].by != "mapping":
			w.addf("path_unit_assumed", "The header %s has no unit; the paths were taken for mm.", quoted(p.header[c]))
		}
		return
	}
	w.addf("path_assumed", pathAssumed)
}

const pathAssumed = "No optical path is given for readings; 10 mm was taken. A red read in a 1 mm cell would be wrong by ten times: add a column path_mm."
