package sheet

import (
	"fmt"
)

func (p *setter) block(b block) error {
	switch {
	case b.Heading != "":
		p.pending = b.Heading
	case b.Para != "":
		p.paragraph(b.Para, bodySize, black)
	case b.Quiet != "":
		p.paragraph(b.Quiet, smallSize, grey)
	case b.List != nil:
		p.list(b.List)
	case b.Facts != nil:
		p.facts(b.Facts)
	case b.Table != nil:
		p.table(b.Table)
	case b.Ruled != nil:
		p.ruled(b.Ruled)
	case b.Signs != nil:
		p.signs(b.Signs)
	case b.Figure != nil:
		return p.figure(b)
	case b.Labels != nil:
		p.labels(b.Labels)
	case b.Break:
		if p.y > bodyTop {
			p.newPage()
		}
	}
	return nil
}

// labels are set in a grid to cut along.
func (p *setter) labels(list []label) {
	const columns, high, codeSize = 4, 26 * mm, 34.0
	const wide = bodyWide / columns
	for i, l := range list {
		if i%columns == 0 {
			if i > 0 {
				p.y += high
			}
			p.need(high)
		}
		x := side + float64(i%columns)*wide
		p.doc.SetDashPattern([]float64{2, 2}, 0)
		p.doc.SetDrawColor(grey[0], grey[1], grey[2])
		p.doc.SetLineWidth(hair)
		p.doc.Rect(x, p.y, wide, high, "D")
		p.doc.SetDashPattern(nil, 0)
		centred := func(s string, c cut, size, y float64, clr ink) {
			s = p.fit(s, c, size, wide-2*padX)
			p.text(x+(wide-p.width(s, c, size))/2, y, s, c, size, clr)
		}
		centred(l.Code, bold, codeSize, p.y+14*mm, black)
		centred(l.Under, regular, smallSize, p.y+21*mm, grey)
	}
	p.y += high + 2*mm
}

// leastAfter is the height that the first block wants to have beneath it: an
// explanation and fields to fill in stay with the beginning of their table.
func (p *setter) leastAfter(blocks []block) float64 {
	if len(blocks) < 2 || blocks[0].Para == "" && !blocks[0].blank() {
		return 0
	}
	const fields = 8.5 * mm
	next := blocks[1]
	switch {
	case next.Table != nil:
		g := p.grid(next.Table)
		return p.least(g, p.groups(g))
	case next.blank():
		return float64((len(next.Facts)+1)/2)*fields + p.leastAfter(blocks[1:])
	case next.List != nil:
		return bodySize * leading
	case next.Facts != nil:
		return float64(len(next.Facts)) * bodySize * leading
	}
	return 0
}

// blank reports whether a block is fields to fill in.
func (b block) blank() bool { return len(b.Facts) > 0 && b.Facts[0].Text == "" }

func (p *setter) paragraph(s string, size float64, clr ink) {
	lines := p.wrap(s, regular, size, bodyWide)
	high := size * leading * float64(len(lines))
	if p.after > 0 {
		high += p.after
	} else {
		high = min(high, 2*size*leading)
	}
	p.begin(min(high, p.wholePage()/2))
	p.flow(side, lines, regular, size, clr)
	p.y += 1.2 * mm
}

func (p *setter) list(items []string) {
	const indent, apart = 4 * mm, 0.7 * mm
	set := make([][]string, len(items))
	whole := 0.0
	for i, s := range items {
		set[i] = p.wrap(s, regular, bodySize, bodyWide-indent)
		whole += float64(len(set[i]))*bodySize*leading + apart
	}
	if whole < p.wholePage()/2 { // so that no page ends a list with an item alone
		p.begin(whole)
	}
	for _, lines := range set {
		p.begin(bodySize * leading * float64(min(3, len(lines))))
		p.text(side, p.y+bodySize, "•", regular, bodySize, black)
		p.flow(side+indent, lines, regular, bodySize, black)
		p.y += apart
	}
	p.y += 1 * mm
}

// facts sets labels with what they are; those to be filled in stand two in a row,
// with a line to write on.
func (p *setter) facts(facts []fact) {
	const labels, high = 48 * mm, 8.5 * mm
	if whole := p.factsHigh(facts, labels); whole > 0 && whole < p.wholePage()/2 {
		p.begin(whole)
	}
	column := 0
	for i, f := range facts {
		if f.Text == "" {
			if column == 0 {
				rest := float64((len(facts)-i+1)/2) * high
				p.begin(min(rest+p.after, p.wholePage()/2))
				p.y += high
			}
			x := side + float64(column)*bodyWide/2
			end := p.text(x, p.y-1.2*mm, p.fit(f.Label, regular, bodySize, bodyWide/3), regular, bodySize, grey)
			p.line(end+2*mm, p.y-1*mm, x+bodyWide/2-4*mm, p.y-1*mm, hair, grey)
			column = 1 - column
			continue
		}
		label := p.wrap(f.Label, regular, bodySize, labels-3*mm)
		lines := p.wrap(f.Text, regular, bodySize, bodyWide-labels)
		p.begin(bodySize * leading * float64(max(len(label), min(3, len(lines)))))
		top, page := p.y, p.doc.PageNo()
		for i, s := range label {
			p.text(side, top+bodySize+float64(i)*bodySize*leading, s, regular, bodySize, grey)
		}
		p.flow(side+labels, lines, regular, bodySize, black)
		if p.doc.PageNo() == page {
			p.y = max(p.y, top+float64(len(label))*bodySize*leading)
		}
		p.y += 0.5 * mm
	}
	p.y += 1.5 * mm
}

// factsHigh is the height of facts that are told; 0 where any is to be filled in.
func (p *setter) factsHigh(facts []fact, labels float64) (high float64) {
	for _, f := range facts {
		if f.Text == "" {
			return 0
		}
		lines := max(len(p.wrap(f.Label, regular, bodySize, labels-3*mm)), len(p.wrap(f.Text, regular, bodySize, bodyWide-labels)))
		high += float64(lines)*bodySize*leading + 0.5*mm
	}
	return high
}

func (p *setter) ruled(r *ruled) {
	const apart = 8 * mm
	p.pending = r.Label
	p.begin(float64(r.Lines) * apart)
	for range r.Lines {
		p.y += apart
		p.line(side, p.y, side+bodyWide, p.y, hair, grey)
	}
	p.y += 2 * mm
}

// signs are lines to sign on, two in a row, kept together.
func (p *setter) signs(labels []string) {
	const high, gap = 13 * mm, 8 * mm
	p.begin(float64((len(labels)+1)/2) * high)
	for i, s := range labels {
		wide := (bodyWide - gap) / 2
		x := side + float64(i%2)*(wide+gap)
		y := p.y + high - 4.5*mm
		p.line(x, y, x+wide, y, hair, black)
		p.text(x, y+smallSize*leading, p.fit(s, regular, smallSize, wide), regular, smallSize, grey)
		if i%2 == 1 || i == len(labels)-1 {
			p.y += high
		}
	}
}

func (p *setter) figure(b block) error {
	d, err := b.Figure.Drawing()
	if err != nil {
		return fmt.Errorf("sheet: figure: %w", err)
	}
	d.DrawOn(p.doc, func(high float64) (x, y float64) {
		p.begin(high)
		y = p.y
		p.y += high + 2*mm
		return side, y
	})
	p.restore()
	return nil
}
