package reports

import (
	"image/color"

	"gonum.org/v1/plot/vg"
)

// lots draws the path and its lots, the newest largest and last.
func (l *lotPlane) lots(p *pen) {
	var counted []int
	for i, k := range l.f.Lots {
		at := l.at(k.Lab.A, k.Lab.B)
		switch {
		case k.LeftOut && l.holds(at):
			p.hollow(at, 0.6*mm)
		case !k.LeftOut:
			counted = append(counted, i)
		}
	}
	var path []vg.Point
	for _, i := range counted[max(0, len(counted)-pathLots):] {
		path = append(path, l.where(i))
	}
	l.lines(p, solid(quiet, thin), path)
	for n, i := range counted {
		age := len(counted) - 1 - n
		if age == 0 {
			break
		}
		r, clr := lotDot(age)
		p.SetColor(clr)
		p.Fill(circle(l.where(i), r))
	}
	if len(counted) > 0 {
		l.newestDot(p)
	}
	l.names(p, counted)
}

func (l *lotPlane) where(i int) vg.Point { return l.at(l.f.Lots[i].Lab.A, l.f.Lots[i].Lab.B) }

// newestRadius is that of the newest lot.
const newestRadius = 1.5 * mm

// lotDot is the size and the grey of a lot by how many are newer: recent ones
// stand out, the others are a cloud.
func lotDot(age int) (vg.Length, color.Color) {
	switch {
	case age < namedLots:
		return 0.85 * mm, ink
	case age < pathLots:
		return 0.6 * mm, quiet
	}
	return 0.35 * mm, stroke
}

// newestDot is the newest lot with its uncertainty.
func (l *lotPlane) newestDot(p *pen) {
	n := l.f.newest()
	at := l.at(n.Lab.A, n.Lab.B)
	if n.U[1] > 0 {
		p.errorBar(l.at(n.Lab.A-2*n.U[1], n.Lab.B), l.at(n.Lab.A+2*n.U[1], n.Lab.B))
	}
	if n.U[2] > 0 {
		p.errorBar(l.at(n.Lab.A, n.Lab.B-2*n.U[2]), l.at(n.Lab.A, n.Lab.B+2*n.U[2]))
	}
	p.SetColor(ink)
	p.Fill(circle(at, newestRadius))
	p.outline(solid(white, thin), circle(at, newestRadius))
}

// names labels the newest lots and the first, where there is room; the newest
// comes first.
func (l *lotPlane) names(p *pen, counted []int) {
	lab := &labeller{within: l.Rectangle}
	var path []vg.Point
	for n, i := range counted {
		age := len(counted) - 1 - n
		r, _ := lotDot(age)
		if age == 0 {
			r = newestRadius
			k := l.f.Lots[i]
			reach := l.at(k.Lab.A+2*k.U[1], k.Lab.B+2*k.U[2]).Sub(l.where(i))
			lab.mark(l.where(i), reach.X, mm)
			lab.mark(l.where(i), mm, reach.Y)
		}
		if age < pathLots {
			path = append(path, l.where(i))
			lab.mark(l.where(i), r, r)
		}
	}
	lab.line(path)
	if r := l.f.Reference; r != nil {
		lab.mark(l.at(r.A, r.B), 2.2*mm, 2.2*mm)
	}
	for _, o := range l.region {
		var line []vg.Point
		for _, pt := range o.points {
			if at := l.at(l.x.held(pt[0]), l.y.held(pt[1])); l.holds(at) {
				line = append(line, at)
			}
		}
		lab.line(line)
	}
	for n := len(counted) - 1; n >= 0; n-- {
		if age := len(counted) - 1 - n; age >= namedLots && n > 0 {
			continue
		}
		i := counted[n]
		r, _ := lotDot(len(counted) - 1 - n)
		if n == len(counted)-1 {
			r = newestRadius
		}
		if start, leader, ok := lab.place(shortName(l.f.Lots[i].Name), l.where(i), vg.Point{Y: 1}, r); ok && l.f.Lots[i].Name != "" {
			if leader != nil {
				p.line(solid(quiet, hair), leader...)
			}
			p.text(shortName(l.f.Lots[i].Name), regular, tickSize, ink, left, start)
		}
	}
	l.hues(p, lab)
}
