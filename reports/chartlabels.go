package reports

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

// levelLabels names the lines across a panel beside it, each with its value, one
// above the other without touching.
func (pl *chartPanel) levelLabels(p *pen) {
	type label struct {
		words string
		on    vg.Length // the line's height on the page
		y     vg.Length // the label's
	}
	const apart = 2.7 * mm
	var labels []label
	for _, l := range pl.levels {
		if v := l.last(); pl.reaches(v) {
			y := pl.frame.at(0, v).Y
			labels = append(labels, label{l.words + " " + p.texts.Fixed(v, l.digits), y, y})
		}
	}
	slices.SortStableFunc(labels, func(a, b label) int { return cmp.Compare(a.on, b.on) })
	for range 60 { // pushes neighbours apart until none touches
		moved := false
		for i := 1; i < len(labels); i++ {
			if gap := labels[i].y - labels[i-1].y; gap < apart-0.01 {
				labels[i].y += (apart - gap) / 2
				labels[i-1].y -= (apart - gap) / 2
				moved = true
			}
		}
		if !moved {
			break
		}
	}
	for _, l := range labels {
		p.line(solid(quiet, hair), vg.Point{X: pl.Max.X + 0.4*mm, Y: l.on}, vg.Point{X: pl.Max.X + 2.2*mm, Y: l.y})
		p.prose(l.words, footerSize, ink, left, vg.Point{X: pl.Max.X + 2.8*mm, Y: l.y - capHeight*footerSize/2})
	}
}

// chartDigits are the decimals that show two digits of a spread, none to four.
func chartDigits(spread float64) int {
	if !(spread > 0) {
		return 2
	}
	return min(4, max(0, 1-int(math.Floor(math.Log10(spread)))))
}

// lotAxis writes the lots' numbers and names under the last panel, as many as
// there is room for.
func (f *ChartFigure) lotAxis(p *pen, fr frame) {
	n := len(f.Lots)
	wide := textWidth(face(regular, tickSize), p.texts.whole(n))
	for _, l := range f.Lots {
		wide = max(wide, textWidth(face(regular, footerSize), shortName(l.Name)))
	}
	gap := fr.Size().X / vg.Length(n)
	stride := 1
	for _, s := range strides(n) {
		if stride = s; vg.Length(s)*gap >= wide+2*mm {
			break
		}
	}
	for no := 1; no <= n; no++ {
		if no != 1 && no%stride != 0 && no != n {
			continue
		}
		if no != n && no > 1 && (vg.Length(n-no)*gap < wide+2*mm || vg.Length(no-1)*gap < wide+2*mm) {
			continue // the first and the last have their places
		}
		if no == n && n > 1 && vg.Length(n-1)*gap < wide+2*mm {
			continue
		}
		at := fr.at(float64(no), fr.y.min)
		p.line(solid(ink, thin), at, vg.Point{X: at.X, Y: at.Y - tickLength})
		p.text(p.texts.whole(no), regular, tickSize, ink, centre, vg.Point{X: at.X, Y: at.Y - tickRow})
		p.text(shortName(f.Lots[no-1].Name), regular, footerSize, quiet, centre, vg.Point{X: at.X, Y: at.Y - tickRow - 3*mm})
	}
	p.axisTitle(p.texts.Shared.LotsInTime, f.axisRemark(), vg.Point{X: fr.Min.X + fr.Size().X/2, Y: fr.Min.Y - tickRow - 6.6*mm})
}

func (f *ChartFigure) axisRemark() string {
	for _, l := range f.Lots {
		if l.Name != "" {
			return f.Texts.Chart.AxisNumberName
		}
	}
	return f.Texts.Chart.AxisNumber
}

// shortName is a name that leaves its neighbours room.
func shortName(s string) string {
	const most = 22 * mm
	return shortTo(s, footerSize, most)
}

// lotWords names a lot in a sentence.
func (f *ChartFigure) lotWords(at int) string {
	if name := f.Lots[at].Name; name != "" {
		return Fill(f.Texts.Shared.LotNamed, "no", f.Texts.whole(at+1), "name", name)
	}
	return Fill(f.Texts.Shared.LotNo, "no", f.Texts.whole(at+1))
}
