package labfile

import (
	"fmt"
	"strings"
)

// headless is how a table is read that begins with a reading: by a mapping from
// the letters of its columns, or else by their values. nil where neither will do.
func headless(rows []row, mapping map[string]string) *plan {
	p := &plan{ordinate: -1, scale: 1, header: make([]string, widthOf(rows))}
	for i := range p.column {
		p.column[i] = -1
	}
	p.meanings = make([]meaning, len(p.header))
	for i := range p.meanings {
		p.meanings[i] = mapped(i, "", mapping)
	}
	if mapping == nil {
		p.guess(rows)
	}
	p.claim()
	if !p.arrange() {
		return nil
	}
	return p
}

// widthOf is how many columns a table has that hold something.
func widthOf(rows []row) (n int) {
	for _, r := range rows {
		for i, c := range r.cells {
			if i >= n && strings.TrimSpace(c) != "" {
				n = i + 1
			}
		}
	}
	return min(n, MaxColumns)
}

// guess takes the first column of words for the name, and the first three of
// numbers that can be absorbances for those at 420, 520 and 620 nm.
func (p *plan) guess(rows []row) {
	waves := []float64{420, 520, 620}
	named := false
	for i := range p.header {
		words, numbers, high := 0, 0, 0
		for _, r := range rows {
			if i >= len(r.cells) || isBlank(strings.TrimSpace(r.cells[i])) {
				continue
			}
			x, fault := parseNumber(r.cells[i], either)
			switch {
			case fault != "":
				words++
			case x > maxAbsorbance || x < -maxAbsorbance:
				high++
			default:
				numbers++
			}
		}
		switch {
		case words > numbers+high && !named:
			named = true
			p.meanings[i] = meaning{field: fName, by: "values"}
		case numbers > 0 && numbers >= words+high && len(waves) > 0:
			p.meanings[i] = meaning{field: fWave, nm: waves[0], quantity: absorbance, by: "values"}
			waves = waves[1:]
		}
	}
}

// guessedWords is the warning of a table whose columns were told by their values.
func (p *plan) guessedWords() string {
	var list []string
	for i, m := range p.meanings {
		if m.by == "values" && m.name() != "" {
			list = append(list, fmt.Sprintf("%s for %s", letterName(i), m.name()))
		}
	}
	return strings.Join(list, ", ")
}

// looksHeadless says whether the first row that holds something is a reading.
func looksHeadless(rows []row) bool {
	for _, r := range rows {
		if filled(r.cells) == 0 {
			continue
		}
		numbers := 0
		for _, c := range r.cells {
			if _, fault := parseNumber(c, either); fault == "" && strings.TrimSpace(c) != "" {
				numbers++
			}
		}
		return numbers >= 2 && 2*numbers >= filled(r.cells)
	}
	return false
}

// faultAt is why the row of headers cannot be read; "" where it can, or is none.
func faultAt(rows []row, index int) string {
	if index < 0 {
		return ""
	}
	return rows[index].fault
}
