package reports

import (
	"image/color"

	"pourpath/colour/cie"

	"gonum.org/v1/plot/vg"
)

// cell is one place of the strip.
type cell struct {
	swatch Swatch
	dose   string // first line beneath
	second string // second line beneath
	beside bool   // of the strip beside the ladder: the nearest and the target
}

// maxCells keeps a swatch wide enough, about 2 mm, to be seen as a colour.
const maxCells = 72

// cells are the base, the rungs and the target, in this order; the nearest
// blend stands beside the target, as the eye compares along an edge.
func (f *LadderFigure) cells() []cell {
	var cs []cell
	t := &f.Texts.Ladder
	if f.BaseSwatch != nil && (len(f.Rungs) == 0 || f.Rungs[0].DoseMLPer100ML > 0) {
		cs = append(cs, cell{swatch: *f.BaseSwatch, dose: "0", second: t.SwatchBase})
	}
	for _, i := range f.swatchRungs() {
		g := f.Rungs[i]
		c := cell{swatch: g.Swatch, dose: f.Texts.rungDose(g.DoseMLPer100ML), second: f.percent(g.DoseMLPer100ML)}
		if g.DoseMLPer100ML == 0 {
			c.second = t.SwatchBase
		}
		cs = append(cs, c)
	}
	if n := f.Nearest; n != nil && n.Swatch != (Swatch{}) {
		d := doseDecimals(n.Interval95)
		cs = append(cs, cell{swatch: n.Swatch, dose: f.Texts.Fixed(n.DoseMLPer100ML, d), second: t.SwatchNearest, beside: true})
	}
	if f.Target != nil && f.Target.Swatch != (Swatch{}) {
		cs = append(cs, cell{swatch: f.Target.Swatch, second: t.SwatchOfTarget, beside: true})
	}
	for _, c := range cs {
		if c.swatch.At10MM.Hex != "" || c.swatch.InGlass.Hex != "" {
			return cs
		}
	}
	return nil // no colour to show, no strip
}

// swatchRungs are the rungs of the strip: all, or a round stride of them and
// the last.
func (f *LadderFigure) swatchRungs() []int {
	n := len(f.Rungs)
	for _, s := range strides(n) {
		if (n+s-1)/s >= maxCells {
			continue
		}
		var is []int
		for i := 0; i < n; i += s {
			is = append(is, i)
		}
		if is[len(is)-1] != n-1 {
			is = append(is, n-1)
		}
		return is
	}
	return nil
}

func (f *LadderFigure) anySwatch() bool { return len(f.cells()) > 0 }

// clipped reports whether any swatch is out of the display's gamut.
func (f *LadderFigure) clipped() bool {
	for _, c := range f.cells() {
		if outOfGamut(c.swatch.At10MM) || (f.GlassDepthMM > 0 && outOfGamut(c.swatch.InGlass)) {
			return true
		}
	}
	return false
}

func outOfGamut(s cie.Screen) bool { return s.Hex != "" && !s.InGamut }

// rungFill is a rung's own colour, or white where it is not known.
func rungFill(g RungMark) color.Color { return fillOf(g.Swatch.At10MM, white) }

// fillOf reads a colour that was checked before.
func fillOf(s cie.Screen, unknown color.NRGBA) color.NRGBA {
	if c, err := parseHex(s.Hex); err == nil {
		return c
	}
	return unknown
}

// The strip's measures.
const (
	swatchHigh   = 7.5 * mm
	swatchGap    = 1.2 * mm // between the rows, which are not to be compared
	stripApart   = 4 * mm   // between the ladder and the pair beside it
	widestSwatch = 16 * mm
	pairWide     = 11 * mm // of the nearest and the target
	stripLabels  = 6.4 * mm
)

// strip is the band of swatches, laid out from its own left edge.
type strip struct {
	*LadderFigure
	cells []cell
	edges []extent // left and right edge of each cell, in points
}

func newStrip(f *LadderFigure, width vg.Length) *strip {
	s := &strip{LadderFigure: f, cells: f.cells()}
	beside := 0
	for _, c := range s.cells {
		if c.beside {
			beside++
		}
	}
	inLadder := len(s.cells) - beside
	if beside > 0 {
		width -= vg.Length(beside)*pairWide + stripApart
	}
	wide := min(width/vg.Length(max(inLadder, 1)), widestSwatch)
	var x vg.Length
	for i, c := range s.cells {
		w := wide
		if c.beside {
			w = pairWide
			if i > 0 && i == inLadder {
				x += stripApart
			}
		}
		s.edges = append(s.edges, extent{float64(x), float64(x + w)})
		x += w
	}
	return s
}

func (s *strip) rows() int {
	switch {
	case len(s.cells) == 0:
		return 0
	case s.GlassDepthMM > 0:
		return 2
	}
	return 1
}

// height of the strip with its labels.
func (s *strip) height() vg.Length {
	n := vg.Length(s.rows())
	if n == 0 {
		return 0
	}
	return n*swatchHigh + (n-1)*swatchGap + stripLabels
}

// draw puts the strip with its top left corner at at.
func (s *strip) draw(p *pen, at vg.Point) {
	depths := []float64{10, s.GlassDepthMM}
	bottom := at.Y
	for row := range s.rows() {
		top := at.Y - vg.Length(row)*(swatchHigh+swatchGap)
		bottom = top - swatchHigh
		mid := (top+bottom)/2 - capHeight*tickSize/2
		p.text(Fill(p.texts.Ladder.Deep, "mm", p.texts.plain(depths[row])), regular, tickSize, ink, right, vg.Point{X: at.X - 2*mm, Y: mid})
		s.row(p, at.X, bottom, row)
	}
	if s.rows() > 0 {
		s.labels(p, at.X, bottom)
	}
}

// row draws the touching swatches. Each runs on beneath its right neighbours,
// so that no white shows through where two edges meet.
func (s *strip) row(p *pen, x, bottom vg.Length, row int) {
	screen := func(c cell) cie.Screen { return [2]cie.Screen{c.swatch.At10MM, c.swatch.InGlass}[row] }
	for i, c := range s.cells {
		end := i
		for end+1 < len(s.cells) && s.cells[end+1].beside == c.beside {
			end++
		}
		p.fillRect(fillOf(screen(c), white), vg.Rectangle{
			Min: vg.Point{X: x + vg.Length(s.edges[i].min), Y: bottom},
			Max: vg.Point{X: x + vg.Length(s.edges[end].max), Y: bottom + swatchHigh}})
	}
	for i, c := range s.cells {
		e := s.edges[i]
		if screen(c).Hex == "" {
			p.text("–", regular, tickSize, quiet, centre, vg.Point{X: x + vg.Length(e.min+e.max)/2, Y: bottom + swatchHigh/2})
		}
		if outOfGamut(screen(c)) {
			p.hatch(vg.Point{X: x + vg.Length(e.max), Y: bottom + swatchHigh}, min(vg.Length(e.size())*0.6, 1.9*mm))
		}
	}
}

// hatch marks the top right corner at at.
func (p *pen) hatch(at vg.Point, size vg.Length) {
	p.SetColor(white)
	p.Fill(polygon(at, vg.Point{X: at.X - size, Y: at.Y}, vg.Point{X: at.X, Y: at.Y - size}))
	for _, k := range []vg.Length{0.34, 0.67, 1} {
		p.line(solid(ink, hair), vg.Point{X: at.X - k*size, Y: at.Y}, vg.Point{X: at.X, Y: at.Y - k*size})
	}
}

// labels writes the doses beneath in both conventions, each on as many cells as
// it has room for, evenly.
func (s *strip) labels(p *pen, x, bottom vg.Length) {
	first := bottom - 0.9*mm - capHeight*tickSize
	second := first - 2.9*mm
	p.text(p.texts.Ladder.DosePer100, regular, footerSize, ink, right, vg.Point{X: x - 2*mm, Y: first})
	p.text(p.texts.Ladder.ShareOfBlend, regular, footerSize, quiet, right, vg.Point{X: x - 2*mm, Y: second})
	dose := func(c cell) string { return c.dose }
	for _, i := range s.labelled(dose, tickSize) {
		p.text(s.cells[i].dose, regular, tickSize, ink, centre, vg.Point{X: x + s.middle(i), Y: first})
	}
	share := func(c cell) string { return c.second }
	for _, i := range s.labelled(share, footerSize) {
		p.text(s.cells[i].second, regular, footerSize, quiet, centre, vg.Point{X: x + s.middle(i), Y: second})
	}
}

func (s *strip) middle(i int) vg.Length { return vg.Length(s.edges[i].min+s.edges[i].max) / 2 }

// labelled are the cells to label: the smallest round stride of the ladder at
// which its labels keep apart, its last cell, and the pair beside it.
func (s *strip) labelled(text func(cell) string, size vg.Length) []int {
	var ladder, pair []int
	for i, c := range s.cells {
		if c.beside {
			pair = append(pair, i)
		} else {
			ladder = append(ladder, i)
		}
	}
	half := func(i int) vg.Length { return textWidth(face(regular, size), text(s.cells[i]))/2 + 0.5*mm }
	fits := func(a, b int) bool { return s.middle(a)+half(a) <= s.middle(b)-half(b) }
	for _, stride := range strides(len(ladder)) {
		var is []int
		apart := true
		for i := 0; i < len(ladder); i += stride {
			apart = apart && (i == 0 || fits(i-stride, i))
			is = append(is, i)
		}
		if !apart {
			continue
		}
		if last := len(ladder) - 1; is[len(is)-1] != last {
			if len(is) > 1 && !fits(is[len(is)-1], last) {
				is = is[:len(is)-1]
			}
			is = append(is, last)
		}
		return append(is, pair...)
	}
	return pair
}
