package reports

import (
	"image/color"

	"gonum.org/v1/plot/vg"
)

// counted are the places of the lots that count, in order.
func (l *lotPlane) counted() []int {
	var out []int
	for i, k := range l.f.Lots {
		if !k.LeftOut {
			out = append(out, i)
		}
	}
	return out
}

// cloud are the lots before those of the path, and those left out.
func (l *lotPlane) cloud(p *pen) {
	counted := l.counted()
	for _, i := range counted[:max(0, len(counted)-pathLots)] {
		l.dot(p, i, pathLots)
	}
	for i, k := range l.f.Lots {
		if at := l.where(i); k.LeftOut && l.holds(at) {
			p.hollow(at, 0.6*mm)
		}
	}
}

func (l *lotPlane) dot(p *pen, i, age int) {
	r, clr := lotDot(age)
	p.SetColor(clr)
	p.Fill(circle(l.where(i), r))
}

// lots draws the path and its lots, the newest largest and last.
func (l *lotPlane) lots(p *pen) {
	counted := l.counted()
	path := counted[max(0, len(counted)-pathLots):]
	line := make([]vg.Point, len(path))
	for n, i := range path {
		line[n] = l.where(i)
	}
	late := max(0, len(line)-namedLots)
	if late > 0 {
		l.lines(p, solid(stroke, thin), line[:late+1])
	}
	l.lines(p, solid(quiet, medium), line[late:])
	for n, i := range path {
		if age := len(path) - 1 - n; age > 0 {
			l.dot(p, i, age)
		}
	}
	l.newestDot(p)
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
		age := len(counted) - 1 - n
		if age >= namedLots && (n > 0 || age >= pathLots) || l.f.Lots[counted[n]].Name == "" {
			continue
		}
		r, _ := lotDot(age)
		if age == 0 {
			r = newestRadius
		}
		l.name(p, lab, counted[n], r)
	}
	l.hues(p, lab)
}

// name writes a lot's name near it, on white where a cloud lies beneath.
func (l *lotPlane) name(p *pen, lab *labeller, i int, r vg.Length) {
	words := shortName(l.f.Lots[i].Name)
	start, leader, ok := lab.place(words, l.where(i), vg.Point{Y: 1}, r)
	if !ok {
		return
	}
	if leader != nil {
		p.line(solid(quiet, hair), leader...)
	}
	if len(l.f.Lots) > pathLots {
		const air = 0.3 * mm
		end := vg.Point{X: start.X + textWidth(face(regular, tickSize), words) + air, Y: start.Y + capHeight*tickSize + air}
		p.fillRect(white, vg.Rectangle{Min: vg.Point{X: start.X - air, Y: start.Y - air}, Max: end})
	}
	p.text(words, regular, tickSize, ink, left, start)
}
