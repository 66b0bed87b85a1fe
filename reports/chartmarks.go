package reports

import "gonum.org/v1/plot/vg"

// beyond is a point beyond a limit: a solid diamond.
func (p *pen) beyond(at vg.Point, r vg.Length) {
	r *= 1.3
	path := polygon(vg.Point{X: at.X, Y: at.Y + r}, vg.Point{X: at.X + r, Y: at.Y},
		vg.Point{X: at.X, Y: at.Y - r}, vg.Point{X: at.X - r, Y: at.Y})
	p.SetColor(ink)
	p.Fill(path)
}

// pattern is where a pattern of several points rang: a hollow square about the
// point.
func (p *pen) pattern(at vg.Point, r vg.Length) {
	p.outline(solid(ink, medium), polygon(vg.Point{X: at.X - r, Y: at.Y - r}, vg.Point{X: at.X + r, Y: at.Y - r},
		vg.Point{X: at.X + r, Y: at.Y + r}, vg.Point{X: at.X - r, Y: at.Y + r}))
}

// hollow is a lot that counts in no chart.
func (p *pen) hollow(at vg.Point, r vg.Length) {
	path := circle(at, r)
	p.SetColor(white)
	p.Fill(path)
	p.outline(solid(ink, thin), path)
}

// arrow points up (1) or down (-1) out of the panel, hollow.
func (p *pen) arrow(at vg.Point, up vg.Length) {
	const r = 0.9 * mm
	path := polygon(at, vg.Point{X: at.X + r, Y: at.Y - 1.6*r*up}, vg.Point{X: at.X - r, Y: at.Y - 1.6*r*up})
	p.SetColor(white)
	p.Fill(path)
	p.outline(solid(ink, thin), path)
}
