package reports

import "gonum.org/v1/plot/vg"

// The sheet's measures: two columns of a journal wide, as high as it needs,
// about 150 mm.
const (
	planeLeft   = 23 * mm
	planeWide   = 82 * mm
	panelsHigh  = 62 * mm
	dosesLeft   = 120 * mm
	dosesWide   = 55 * mm
	dosesHigh   = 25.5 * mm
	dosesGutter = 9 * mm // left of the dose panels, for their numbers
)

// sheet is a figure with every place decided, ready to be drawn on any canvas.
type sheet struct {
	leaf
	f     *LadderFigure
	strip *strip
	locus *locus
}

// layOut checks a figure and decides its places.
func layOut(f LadderFigure) (*sheet, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	f.Texts = InEnglish(f.Texts)
	f.Title, f.Base, f.Addition = clean(f.Title), clean(f.Base), clean(f.Addition)
	f.Conditions, f.Version = clean(f.Conditions), clean(f.Version)
	if f.Title == "" {
		f.Title = f.Texts.Ladder.Title
	}
	s := &sheet{f: &f, locus: newLocus(&f)}
	s.head(f.Title, f.wines(), f.finding(), f.unexplained())
	s.legend = legendRows(f.legend(len(s.plane().shown)))
	s.strip = newStrip(&f, pageWide-margin-planeLeft)
	s.foot(f.footer(s.locus)...)
	s.high = s.stripTop() + s.strip.height() + s.footHigh()
	return s, nil
}

// legendTop and stripTop are distances from the top of the page.
func (s *sheet) legendTop() vg.Length { return s.panels + panelsHigh + axisTitleDrop + 2.6*mm }

func (s *sheet) stripTop() vg.Length {
	return s.legendTop() + vg.Length(len(s.legend))*legendRow + 2.6*mm
}

func (s *sheet) plane() *plane {
	return newPlane(s.f, s.box(planeLeft, s.panels, planeWide, panelsHigh), s.locus)
}

func (s *sheet) draw(p *pen) {
	s.drawHeader(p)
	pl := s.plane()
	pl.draw(p)
	light := newLightness(s.f, s.box(dosesLeft, s.panels, dosesWide, dosesHigh), pl.shown)
	light.drawLightness(p)
	diff := newDifference(s.f, s.box(dosesLeft, s.panels+panelsHigh-dosesHigh, dosesWide, dosesHigh), pl.shown)
	diff.drawDifference(p)
	s.headings(p, pl.frame, light.frame, diff.frame)
	if s.f.blank() {
		p.text(p.texts.Ladder.Blank, regular, bodySize, quiet, centre,
			vg.Point{X: pl.Min.X + planeWide/2, Y: pl.Min.Y + 0.62*panelsHigh})
	}
	drawLegend(p, s.legend, vg.Point{X: margin, Y: s.high - s.legendTop()})
	s.strip.draw(p, vg.Point{X: planeLeft, Y: s.high - s.stripTop()})
	s.drawFooter(p)
}

// headings letter the panels, so that a text can point at them.
func (s *sheet) headings(p *pen, plane, light, diff frame) {
	p.heading("A", p.texts.Ladder.Path, plane, margin)
	p.heading("B", p.texts.Ladder.Lightness, light, dosesLeft-dosesGutter)
	end := p.heading("C", s.f.differenceTitle(), diff, dosesLeft-dosesGutter)
	if s.f.Target != nil && s.f.cut() {
		p.text(" "+Fill(p.texts.Ladder.NotDrawn, "de", p.texts.plain(s.f.cap())), regular, footerSize, quiet, left, end)
	}
}

// blank reports whether the plane has nothing to show.
func (f *LadderFigure) blank() bool {
	return len(f.Curve)+len(f.Predicted)+len(f.Rungs)+len(f.Measured) == 0 && f.Target == nil && f.Nearest == nil
}
