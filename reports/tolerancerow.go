package reports

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// part draws a row whose top is at top.
func (t *toleranceRows) part(p *pen, k *PartMark, top vg.Length) {
	x := k.scale()
	mid := top - 5.2*mm
	fr := frame{Rectangle: vg.Rectangle{Min: vg.Point{X: partsLeft, Y: mid - partBar/2}, Max: vg.Point{X: partsLeft + partsWide, Y: mid + partBar/2}},
		x: x, y: extent{0, 1}}
	on := func(v float64) vg.Length { return fr.at(math.Max(x.min, math.Min(x.max, v)), 0).X }
	p.fillRect(band, vg.Rectangle{Min: vg.Point{X: on(k.Lower), Y: fr.Min.Y}, Max: vg.Point{X: on(k.Upper), Y: fr.Max.Y}})
	p.line(solid(quiet, hair), vg.Point{X: fr.Min.X, Y: mid}, vg.Point{X: fr.Max.X, Y: mid})
	if k.Warning != nil {
		for _, v := range *k.Warning {
			if x.inside(v) {
				p.line(warningStyle, vg.Point{X: on(v), Y: fr.Min.Y - 0.6*mm}, vg.Point{X: on(v), Y: fr.Max.Y + 0.6*mm})
			}
		}
	}
	d := k.digits()
	for _, v := range [2]float64{k.Lower, k.Upper} {
		if x.inside(v) {
			p.line(solid(ink, strong), vg.Point{X: on(v), Y: fr.Min.Y - 1*mm}, vg.Point{X: on(v), Y: fr.Max.Y + 1*mm})
			p.text(p.texts.limit(v, d), regular, tickSize, ink, centre, vg.Point{X: on(v), Y: fr.Min.Y - 1.6*mm - capHeight*tickSize})
		}
	}
	if k.NeverNegative && x.min == 0 {
		p.text("0", regular, tickSize, quiet, centre, vg.Point{X: on(0), Y: fr.Min.Y - 1.6*mm - capHeight*tickSize})
	}
	k.lot(p, on, x, mid)
	k.words(p, mid)
}

// inside reports whether a value is on the scale.
func (e extent) inside(v float64) bool { return v >= e.min && v <= e.max }

// lot marks the value with its uncertainty; beyond the scale an arrow points to it.
func (k *PartMark) lot(p *pen, on func(float64) vg.Length, x extent, mid vg.Length) {
	at := vg.Point{X: on(k.Value), Y: mid}
	if i := k.interval(); i != nil {
		p.line(solid(ink, medium), vg.Point{X: on(i[0]), Y: mid}, vg.Point{X: on(i[1]), Y: mid})
		for _, v := range i {
			if x.inside(v) {
				p.line(solid(ink, medium), vg.Point{X: on(v), Y: mid - 0.9*mm}, vg.Point{X: on(v), Y: mid + 0.9*mm})
			}
		}
	}
	const r = 1.3 * mm
	switch {
	case k.Value > x.max, k.Value < x.min:
		way := vg.Length(1)
		if k.Value < x.min {
			way = -1
		}
		p.SetColor(ink)
		p.Fill(polygon(vg.Point{X: at.X + way*r, Y: mid}, vg.Point{X: at.X - way*r, Y: mid + r}, vg.Point{X: at.X - way*r, Y: mid - r}))
	default:
		p.SetColor(ink)
		p.Fill(circle(at, r))
		p.outline(solid(white, thin), circle(at, r))
	}
}

// scale is the row's own: the allowed range is its middle three fifths; on an open
// side as much as the value needs.
func (k *PartMark) scale() extent {
	low, high := k.Lower, k.Upper
	if k.NeverNegative && !(low > 0) {
		low = 0
	}
	need := func(limit float64) float64 {
		return math.Max(1e-9, math.Max(1.4*math.Abs(k.Value-limit)+3*k.U, math.Abs(limit)/20))
	}
	switch {
	case math.IsInf(low, -1):
		return extent{high - need(high), high + 0.6*need(high)}
	case math.IsInf(high, 1):
		return extent{low - 0.6*need(low), low + need(low)}
	case low == 0 && k.NeverNegative:
		return extent{0, high * 5 / 3}
	}
	return extent{low - (high-low)/3, high + (high-low)/3}
}
