package reports

import (
	"cmp"
	"fmt"
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
	parts := make([]string, 0, len(f.Glasses))
	for _, i := range f.byShare() {
		parts = append(parts, fmt.Sprintf("%s mL %.0f %%", plain(f.Glasses[i].DoseMLPer100ML), 100*f.Glasses[i].Share.Value))
	}
	said := []string{f.Finding, fmt.Sprintf("%s put each glass above this share of the others: %s.", counted(f.Judges, "judge"), strings.Join(parts, ", "))}
	if b := f.best(); b != nil {
		said = append(said, fmt.Sprintf("Preferred: %.1f mL per 100 mL of base, %.1f %% of the blend; between %.1f and %.1f mL, %.1f and %.1f %%, with %s %%.",
			b.Value, f.percent(b.Value), b.Low, b.High, f.percent(b.Low), f.percent(b.High), plain(100*(1-f.Level))))
	} else {
		said = append(said, "No preferred dose: the answers do not show that the judges prefer any glass, nor that all are alike to them.")
	}
	return said
}

func (f *PreferenceFigure) percent(dose float64) float64 {
	return percentOfBlend(dose, f.HeldMLPer100ML)
}

func (f *PreferenceFigure) legend() []entry {
	es := []entry{{"a glass with its mL per 100 mL, the larger the more preferred", 2 * keySign, func(p *pen, at vg.Point) {
		p.rung(vg.Point{X: at.X - 2*mm, Y: at.Y}, 0.8*mm, white)
		p.rung(vg.Point{X: at.X + 1*mm, Y: at.Y}, 1.7*mm, white)
	}}}
	if len(f.Path) > 1 {
		es = append(es, entry{"path", keyLine, func(p *pen, at vg.Point) { p.line(pathStyle, key(at)...) }})
	}
	es = append(es, entry{"interval of a glass", keySign, func(p *pen, at vg.Point) {
		p.errorBar(vg.Point{X: at.X, Y: at.Y - 1.6*mm}, vg.Point{X: at.X, Y: at.Y + 1.6*mm})
	}})
	if f.Preference != nil {
		es = append(es, entry{"curve with its interval", keyLine, func(p *pen, at vg.Point) {
			p.line(solid(band, 7), key(at)...)
			p.line(pathStyle, key(at)...)
		}})
	}
	es = append(es, entry{"neither preferred nor not", keyLine, func(p *pen, at vg.Point) { p.line(toleranceStyle, key(at)...) }})
	if f.best() != nil {
		es = append(es, entry{"preferred dose with its interval", keyLine, func(p *pen, at vg.Point) {
			p.line(solid(stroke, 6), key(at)...)
			p.cross(at)
		}})
	}
	return es
}

func (f *PreferenceFigure) footer() []string {
	s := []string{
		fmt.Sprintf("Conditions: illuminant %s, %s° observer, %s mm of wine. A circle is filled with the colour of 10 mm of its wine.", f.View.Illuminant, f.View.Observer, plain(f.View.DepthMM)),
		fmt.Sprintf("Panel B: share of the other glasses, in %%, above which a glass was put; glasses alike count half. Intervals %s %% over judges, with one more judge who answers by chance.", plain(100*(1-f.Level))),
	}
	if f.Conditions != "" {
		s = append(s, strings.TrimSuffix(f.Conditions, ".")+".")
	}
	if f.Version != "" {
		s = append(s, f.Version+".")
	}
	return s
}
