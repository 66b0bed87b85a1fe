package reports

import (
	"cmp"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"
)

// byShare are the glasses, the most preferred first.
func (f *PreferenceFigure) byShare() []int {
	order := make([]int, len(f.Glasses))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(f.Glasses[b].Share.Value, f.Glasses[a].Share.Value) })
	return order
}

// sentences come above the panels: the finding, each glass from the most preferred,
// and the preferred dose.
func (f *PreferenceFigure) sentences() []string {
	t := f.Texts
	parts := make([]string, 0, len(f.Glasses))
	for _, i := range f.byShare() {
		parts = append(parts, Fill(t.Preference.Glass, "dose", t.rungDose(f.Glasses[i].DoseMLPer100ML), "share", t.Fixed(100*f.Glasses[i].Share.Value, 0)))
	}
	said := []string{f.Finding, Fill(t.Preference.Shares, "judges", t.whole(f.Judges), "glasses", strings.Join(parts, t.Shared.Semicolon))}
	b := f.best()
	if b == nil {
		return append(said, t.Preference.NoDose)
	}
	one := func(x float64) string { return t.Fixed(x, 1) }
	return append(said, Fill(t.Preference.Preferred, "dose", one(b.Value), "share", one(f.percent(b.Value)),
		"from", one(b.Low), "to", one(b.High), "fromshare", one(f.percent(b.Low)), "toshare", one(f.percent(b.High)), "level", t.plain(100*(1-f.Level))))
}

func (f *PreferenceFigure) percent(dose float64) float64 {
	return percentOfBlend(dose, f.HeldMLPer100ML)
}

func (f *PreferenceFigure) legend() []entry {
	k := &f.Texts.Preference
	es := []entry{{k.KeyGlass, 2 * keySign, func(p *pen, at vg.Point) {
		p.rung(vg.Point{X: at.X - 2*mm, Y: at.Y}, 0.8*mm, white)
		p.rung(vg.Point{X: at.X + 1*mm, Y: at.Y}, 1.7*mm, white)
	}}}
	if len(f.Path) > 1 {
		es = append(es, entry{k.KeyPath, keyLine, func(p *pen, at vg.Point) { p.line(pathStyle, key(at)...) }})
	}
	es = append(es, entry{k.KeyInterval, keySign, func(p *pen, at vg.Point) {
		p.errorBar(vg.Point{X: at.X, Y: at.Y - 1.6*mm}, vg.Point{X: at.X, Y: at.Y + 1.6*mm})
	}})
	if f.Preference != nil {
		es = append(es, entry{k.KeyCurve, keyLine, func(p *pen, at vg.Point) {
			p.line(solid(band, 7), key(at)...)
			p.line(pathStyle, key(at)...)
		}})
	}
	es = append(es, entry{k.KeyEven, keyLine, func(p *pen, at vg.Point) { p.line(toleranceStyle, key(at)...) }})
	if f.best() != nil {
		es = append(es, entry{k.KeyBest, keyLine, func(p *pen, at vg.Point) {
			p.line(solid(stroke, 6), key(at)...)
			p.cross(at)
		}})
	}
	return es
}

func (f *PreferenceFigure) footer() []string {
	t := f.Texts
	s := []string{t.viewed(t.Preference.View, f.View), Fill(t.Preference.Method, "level", t.plain(100*(1-f.Level)))}
	if f.Conditions != "" {
		s = append(s, strings.TrimSuffix(f.Conditions, ".")+".")
	}
	if f.Version != "" {
		s = append(s, f.Version+".")
	}
	return s
}
