package reports

import "gonum.org/v1/plot/vg"

// entry is one key of the legend: a mark and its words.
type entry struct {
	words string
	wide  vg.Length                 // of the mark
	mark  func(p *pen, at vg.Point) // about at
}

const (
	keyLine   = 7 * mm // wide, of a key that is a line
	keySign   = 4 * mm // wide, of a key that is a sign
	keyGap    = 1.5 * mm
	entryGap  = 4 * mm
	legendRow = 4.4 * mm
)

// legend names what the figure shows, and nothing else.
func (f *LadderFigure) legend(shown int) []entry {
	var es []entry
	line := func(present bool, words string, mark func(*pen, []vg.Point)) {
		if present {
			es = append(es, entry{words, keyLine, func(p *pen, at vg.Point) { mark(p, key(at)) }})
		}
	}
	sign := func(present bool, words string, mark func(*pen, vg.Point)) {
		if present {
			es = append(es, entry{words, keySign, mark})
		}
	}
	t := &f.Texts.Ladder
	words := t.KeyPath
	if len(f.Predicted) > 0 {
		words = t.KeyRecalibrated
	}
	line(len(f.Curve) > 1, words, func(p *pen, ends []vg.Point) { p.line(pathStyle, ends...) })
	line(len(f.Predicted) > 1, t.KeyBefore, func(p *pen, ends []vg.Point) { p.line(predictedStyle, ends...) })
	line(len(f.Curve) > 1 && f.uncertain(), t.KeyBand, func(p *pen, ends []vg.Point) { p.line(solid(band, 7), ends...) })
	sign(len(f.Rungs) > 0, f.rungWords(shown), func(p *pen, at vg.Point) { p.rung(at, 1.1*mm, white) })
	sign(len(f.Measured) > 0, t.KeyMeasured, func(p *pen, at vg.Point) {
		p.errorBar(vg.Point{X: at.X - 2*mm, Y: at.Y}, vg.Point{X: at.X + 2*mm, Y: at.Y})
		p.square(at)
	})
	line(f.left(onPath) != "", t.KeyLeft, func(p *pen, ends []vg.Point) { p.line(leftStyle, ends...) })
	sign(f.Nearest != nil, t.KeyNearest, func(p *pen, at vg.Point) { p.cross(at) })
	sign(f.Target != nil, t.KeyTarget, func(p *pen, at vg.Point) { p.diamond(at) })
	line(f.Target != nil && f.Target.Tolerance > 0, f.Texts.Shared.Tolerance, func(p *pen, ends []vg.Point) { p.line(toleranceStyle, ends...) })
	line(f.Acceptable != nil, t.KeyAcceptable, func(p *pen, ends []vg.Point) { p.line(solid(stroke, 6), ends...) })
	line(f.Nominal != nil, t.KeyNominal, func(p *pen, ends []vg.Point) {
		p.line(solid(quiet, thin), offset(ends, 2.6)...)
		p.line(solid(quiet, thin), offset(ends, -2.6)...)
	})
	return es
}

func (f *LadderFigure) rungWords(shown int) string {
	t := f.Texts
	if shown < len(f.Rungs) {
		return Fill(t.Ladder.KeySome, "shown", t.whole(shown), "count", t.whole(len(f.Rungs)))
	}
	return t.Ladder.KeyRung
}

// key are the ends of a legend's line.
func key(at vg.Point) []vg.Point {
	return []vg.Point{{X: at.X - keyLine/2, Y: at.Y}, {X: at.X + keyLine/2, Y: at.Y}}
}

// legendRows breaks the entries into rows as wide as the page.
func legendRows(es []entry) [][]entry {
	var rows [][]entry
	var x vg.Length
	for _, e := range es {
		w := e.wide + keyGap + textWidth(face(regular, tickSize), e.words) + entryGap
		if len(rows) == 0 || x+w-entryGap > bodyWide {
			rows, x = append(rows, nil), 0
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], e)
		x += w
	}
	return rows
}

func drawLegend(p *pen, rows [][]entry, at vg.Point) {
	for i, row := range rows {
		x, y := at.X, at.Y-vg.Length(i)*legendRow-legendRow/2
		for _, e := range row {
			e.mark(p, vg.Point{X: x + e.wide/2, Y: y})
			x += e.wide + keyGap
			p.prose(e.words, tickSize, ink, left, vg.Point{X: x, Y: y - capHeight*tickSize/2})
			x += textWidth(face(regular, tickSize), e.words) + entryGap
		}
	}
}
