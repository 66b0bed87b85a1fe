package labfile

import (
	"slices"
	"strings"

	"pourpath/api/calc"
)

// titleFields are what the lines above a header may say for all rows.
var titleFields = []field{
	fName, fPath, fPathCM, fDilution, fDiluent, fU, fIlluminant, fObserver, fInstrument, fAnalyst,
	fTakenAt, fDate, fTime, fTemperature, fMinutes, fBlank,
}

// readTitle takes from the rows above the header what holds for the whole file:
// "Path (mm): 1", or a name and its value in two cells.
func (p *plan) readTitle(rows []row, w *warnings) error {
	p.title = map[field]string{}
	var used []string
	for _, r := range rows {
		if filled(r.cells) == 0 {
			continue
		}
		for _, c := range r.cells {
			if m := meaningOf(strings.Trim(c, " #:")); m.relative {
				return calc.Refuse(relativeFault(p.place(r.number), c))
			} else if p.quantity == unnamed && (m.quantity != unnamed && m.field != fWave) {
				p.quantity, p.scale = m.quantity, scaleOf(m.unit)
			}
		}
		key, value := titlePair(r.cells)
		m := meaningOf(key)
		if value == "" || !slices.Contains(titleFields, m.field) || p.title[m.field] != "" {
			continue
		}
		if m.field == fPath && m.unit == unitCM {
			m.field = fPathCM
		}
		p.title[m.field] = value
		used = append(used, strings.TrimSpace(key)+" = "+value)
	}
	if used != nil {
		w.addf("title_used", "The lines above the header were taken for all rows: %s.", listed(used))
	}
	return nil
}

// titlePair splits a line of a title block.
func titlePair(cells []string) (key, value string) {
	var full []string
	for _, c := range cells {
		if c = strings.TrimSpace(c); c != "" {
			full = append(full, c)
		}
	}
	if len(full) == 2 {
		return strings.Trim(full[0], "#:= "), full[1]
	}
	if len(full) != 1 {
		return "", ""
	}
	line := strings.TrimLeft(full[0], "# ")
	if i := strings.IndexAny(line, ":="); i > 0 {
		return strings.TrimSpace(line[:i]), strings.TrimSpace(line[i+1:])
	}
	return "", ""
}
