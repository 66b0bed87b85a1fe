package sheet

import (
	"strings"

	"pourpath/colour/cie"
)

// Measures of a table.
const (
	padX     = 1.1 * mm
	padY     = 1.0 * mm
	writeRow = 7.2 * mm // least height of a row that is filled in by hand
	tickBox  = 3.4 * mm
	rowLine  = tableSize * leading
	headLine = smallSize * leading
	swatchIn = 7 * mm // least height of a row of swatches
	// mostWiden is how much a column of a fixed width may be widened for a whole word.
	mostWiden = 4 * mm
	// leastShare is what that leaves each of the columns that share the rest.
	leastShare = 20 * mm
)

// grid is a table with its columns placed.
type grid struct {
	*table
	x, wide []float64
	head    [][]string
	high    float64 // of the head
	write   bool
}

func (p *setter) grid(t *table) *grid {
	g := &grid{table: t, x: make([]float64, len(t.Columns)), wide: make([]float64, len(t.Columns))}
	left, shares := bodyWide, 0
	for i, c := range t.Columns {
		g.wide[i] = float64(c.WideMM) * mm
		left -= g.wide[i]
		if c.WideMM == 0 {
			shares++
		}
		g.write = g.write || c.Write
	}
	for i, c := range t.Columns {
		more := min(p.longestWord(t, i)+2*padX-g.wide[i], mostWiden)
		if c.WideMM > 0 && more > 0 && left-more >= float64(shares)*leastShare {
			g.wide[i], left = g.wide[i]+more, left-more
		}
	}
	x, most := side, 0
	for i, c := range t.Columns {
		if c.WideMM == 0 {
			g.wide[i] = left / float64(shares)
		}
		g.x[i] = x
		x += g.wide[i]
		g.head = append(g.head, p.wrap(c.Head, regular, smallSize, g.wide[i]-2*padX))
		most = max(most, len(g.head[i]))
	}
	g.high = float64(most)*headLine + 1.6*mm
	return g
}

// longestWord is the width of the widest word in a column, which is not to be broken.
func (p *setter) longestWord(t *table, column int) float64 {
	wide := 0.0
	widest := func(line string, size float64) {
		for _, word := range words(p.printable(line)) {
			wide = max(wide, p.width(word, regular, size))
		}
	}
	widest(t.Columns[column].Head, smallSize)
	for _, r := range t.Rows {
		for _, line := range r.Cells[column].Lines {
			widest(line, tableSize)
		}
	}
	return wide
}

func (g *grid) right() float64 { return g.x[len(g.x)-1] + g.wide[len(g.wide)-1] }

// group is a row with those joined to it, which stay on one page.
type group struct {
	rows []setRow
	high float64
}

func (p *setter) groups(g *grid) []group {
	var gs []group
	for _, r := range g.Rows {
		s := p.setRow(g, r)
		if !r.Joined || len(gs) == 0 {
			gs = append(gs, group{})
		}
		last := &gs[len(gs)-1]
		last.rows, last.high = append(last.rows, s), last.high+s.high
	}
	return gs
}

// A table begins on a page with so many rows, those that are joined counted too, or
// all of them, and does not leave its last row to another page alone.
const firstRows = 3

// least is the height that a table begins with.
func (p *setter) least(g *grid, gs []group) float64 {
	high, rows := g.high, 0
	for _, k := range gs {
		if rows >= firstRows {
			break
		}
		high, rows = high+k.high, rows+len(k.rows)
	}
	return min(high, p.wholePage()/2)
}

// table sets a table over as many pages as it needs, each with its head.
func (p *setter) table(t *table) {
	g := p.grid(t)
	gs := p.groups(g)
	p.begin(p.least(g, gs))
	p.head(g)
	for i, k := range gs {
		high := k.high
		if i > 0 && i == len(gs)-2 {
			high += gs[i+1].high
		}
		if high > p.room() && high < p.wholePage()-g.high {
			p.continueOn(g)
		}
		for n, s := range k.rows {
			p.row(g, s, n > 0)
		}
	}
	p.rule(g, row{}, thin)
	p.y += 2.5 * mm
}

func (p *setter) continueOn(g *grid) {
	p.rule(g, row{}, thin)
	p.newPage()
	p.head(g)
}

func (p *setter) head(g *grid) {
	for i, lines := range g.head {
		y := p.y + g.high - 1.2*mm - float64(len(lines)-1)*headLine - 0.2*smallSize
		for _, s := range lines {
			x := g.x[i] + padX
			if g.Columns[i].Right {
				x = g.x[i] + g.wide[i] - padX - p.width(s, regular, smallSize)
			}
			p.text(x, y, s, regular, smallSize, grey)
			y += headLine
		}
	}
	p.y += g.high
	p.line(side, p.y, g.right(), p.y, thin, black)
	p.headed = true
}

// setRow is a row with its lines broken.
type setRow struct {
	row
	lines [][]string
	most  int
	high  float64
}

func (p *setter) setRow(g *grid, r row) setRow {
	s := setRow{row: r}
	least := 0.0
	for i, c := range r.Cells {
		var lines []string
		for _, l := range c.Lines {
			lines = append(lines, p.wrap(l, r.cut(), tableSize, g.wide[i]-2*padX)...)
		}
		s.lines = append(s.lines, lines)
		s.most = max(s.most, len(lines))
		if len(c.Swatches) > 0 {
			least = max(least, swatchIn)
		}
		if c.Tick {
			least = max(least, tickBox+2*padY)
		}
	}
	if g.write {
		least = max(least, writeRow)
	}
	pad := 2 * padY
	if r.Joined {
		pad = padY
	}
	s.high = max(float64(s.most)*rowLine+pad, least)
	return s
}

func (r row) cut() cut {
	if r.Strong {
		return bold
	}
	return regular
}

// row draws a row; one that is higher than a page goes on over the next ones.
func (p *setter) row(g *grid, s setRow, joined bool) {
	for s.high > p.room() {
		if fit := int((p.room() - 2*padY) / rowLine); fit >= 3 && fit < s.most && s.high > p.wholePage()-g.high {
			part := s
			part.lines = make([][]string, len(s.lines))
			for i, l := range s.lines {
				k := min(fit, len(l))
				part.lines[i], s.lines[i] = l[:k], l[k:]
			}
			s.most -= fit
			s.high -= float64(fit) * rowLine
			part.high = float64(fit)*rowLine + 2*padY
			p.drawRow(g, part, joined)
		}
		p.continueOn(g)
		joined = true
	}
	p.drawRow(g, s, joined)
}

func (p *setter) drawRow(g *grid, s setRow, joined bool) {
	if !joined && !p.headed {
		p.rule(g, s.row, hair)
	}
	p.headed = false
	for i, c := range s.Cells {
		p.cell(g, i, c, s)
		if g.write && i > 0 {
			p.line(g.x[i], p.y, g.x[i], p.y+s.high, hair, hairline)
		}
	}
	p.y += s.high
}

// rule draws the line above a row, but not over its swatches, which touch those
// of the row above.
func (p *setter) rule(g *grid, r row, wide float64) {
	clr := hairline
	if wide > hair {
		clr = black
	}
	for i := range g.x {
		if len(r.Cells) == 0 || len(r.Cells[i].Swatches) == 0 {
			p.line(g.x[i], p.y, g.x[i]+g.wide[i], p.y, wide, clr)
		}
	}
}

func (p *setter) cell(g *grid, i int, c cell, s setRow) {
	x, wide := g.x[i], g.wide[i]
	if c.Tick {
		p.doc.SetDrawColor(black[0], black[1], black[2])
		p.doc.SetLineWidth(thin)
		p.doc.Rect(x+padX, p.y+padY, tickBox, tickBox, "D")
	}
	part := wide / float64(max(len(c.Swatches), 1))
	for k, screen := range c.Swatches {
		p.swatch(x+float64(k)*part, p.y, part, s.high, screen)
	}
	y := p.y + padY + capHigh*tableSize + 0.1*tableSize
	if s.Joined {
		y -= padY
	}
	for _, line := range s.lines[i] {
		w := p.width(line, s.cut(), tableSize)
		at := x + padX
		if g.Columns[i].Right || strings.ContainsFunc(firstRune(line), rightToLeft) {
			at = x + wide - padX - w
		}
		p.text(at, y, line, s.cut(), tableSize, black)
		if c.Struck {
			mid := y - 0.3*tableSize
			p.line(at, mid, at+w, mid, thin, black)
		}
		y += rowLine
	}
}

// firstRune is the beginning of a line, which says on which side it starts.
func firstRune(s string) string {
	for _, r := range s {
		return string(r)
	}
	return ""
}

// swatch is a plain field of colour; one that is clipped has a hatched corner. It
// reaches a hair beneath its neighbours, so that no white shows between.
func (p *setter) swatch(x, y, wide, high float64, screen cie.Screen) {
	clr, err := parseHex(screen.Hex)
	if err != nil {
		return // was checked before
	}
	const beneath = 0.15
	p.doc.SetFillColor(int(clr.R), int(clr.G), int(clr.B))
	p.doc.Rect(x, y, wide+beneath, high+beneath, "F")
	if !screen.InGamut {
		const corner = 2.2 * mm
		right := x + wide
		p.doc.SetFillColor(white[0], white[1], white[2])
		p.doc.MoveTo(right-corner, y)
		p.doc.LineTo(right, y)
		p.doc.LineTo(right, y+corner)
		p.doc.ClosePath()
		p.doc.DrawPath("F")
		for _, k := range []float64{0.34, 0.67, 1} {
			p.line(right-k*corner, y, right, y+k*corner, hair, black)
		}
	}
	p.doc.SetFillColor(white[0], white[1], white[2])
}
