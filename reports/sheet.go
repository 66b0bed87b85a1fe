package reports

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// The sheet's measures: two columns of a journal wide, as high as it needs,
// about 150 mm.
const (
	pageWide    = 180 * mm
	margin      = 5 * mm
	planeLeft   = 23 * mm
	planeWide   = 82 * mm
	panelsHigh  = 62 * mm
	dosesLeft   = 120 * mm
	dosesWide   = 55 * mm
	dosesHigh   = 25.5 * mm
	dosesGutter = 9 * mm // left of the dose panels, for their numbers
	headerLine  = 3.7 * mm
	footerLine  = 2.9 * mm
	headDrop    = 2.4 * mm // from a panel's heading to its frame
)

// sheet is a figure with every place decided, ready to be drawn on any canvas.
type sheet struct {
	f      *LadderFigure
	high   vg.Length
	title  []string
	header []string
	panels vg.Length // top of the panels, from the top of the page
	legend [][]entry
	strip  *strip
	footer []string
	locus  *locus
}

// layOut checks a figure and decides its places.
func layOut(f LadderFigure) (*sheet, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	f.Title, f.Base, f.Addition = clean(f.Title), clean(f.Base), clean(f.Addition)
	f.Conditions, f.Version = clean(f.Conditions), clean(f.Version)
	if f.Title == "" {
		f.Title = "Dosing ladder"
	}
	s := &sheet{f: &f, locus: newLocus(&f)}
	const wide vg.Length = pageWide - 2*margin
	s.title = wrap(f.Title, face(bold, titleSize), wide)
	texts := []string{f.wines(), f.finding()}
	if left := f.unexplained(); left != "" {
		texts = append(texts, left)
	}
	for _, text := range texts {
		s.header = append(s.header, wrap(text, face(regular, bodySize), wide)...)
	}
	s.panels = margin + vg.Length(len(s.title))*4.6*mm + vg.Length(len(s.header))*headerLine + 7*mm
	s.legend = legendRows(f.legend(len(s.plane().shown)), wide)
	s.strip = newStrip(&f, pageWide-margin-planeLeft)
	for _, text := range f.footer(s.locus) {
		s.footer = append(s.footer, wrap(text, face(regular, footerSize), wide)...)
	}
	s.high = s.stripTop() + s.strip.height() + vg.Length(len(s.footer))*footerLine + margin + 2.5*mm
	return s, nil
}

// legendTop and stripTop are distances from the top of the page.
func (s *sheet) legendTop() vg.Length { return s.panels + panelsHigh + axisTitleDrop + 2.6*mm }

func (s *sheet) stripTop() vg.Length {
	return s.legendTop() + vg.Length(len(s.legend))*legendRow + 2.6*mm
}

// box is a rectangle whose top left corner is x from the left and down from the
// top of the page.
func (s *sheet) box(x, down, w, h vg.Length) vg.Rectangle {
	return vg.Rectangle{Min: vg.Point{X: x, Y: s.high - down - h}, Max: vg.Point{X: x + w, Y: s.high - down}}
}

func (s *sheet) plane() *plane {
	return newPlane(s.f, s.box(planeLeft, s.panels, planeWide, panelsHigh), s.locus)
}

func (s *sheet) draw(canvas vg.Canvas) {
	p := &pen{draw.NewCanvas(canvas, pageWide, s.high)}
	p.fillRect(white, p.Rectangle)
	s.drawHeader(p)
	pl := s.plane()
	pl.draw(p)
	light := newLightness(s.f, s.box(dosesLeft, s.panels, dosesWide, dosesHigh), pl.shown)
	light.drawLightness(p)
	diff := newDifference(s.f, s.box(dosesLeft, s.panels+panelsHigh-dosesHigh, dosesWide, dosesHigh), pl.shown)
	diff.drawDifference(p)
	s.headings(p, pl.frame, light.frame, diff.frame)
	if s.f.blank() {
		p.text("No doses yet: the path appears here.", regular, bodySize, quiet, centre,
			vg.Point{X: pl.Min.X + planeWide/2, Y: pl.Min.Y + 0.62*panelsHigh})
	}
	drawLegend(p, s.legend, vg.Point{X: margin, Y: s.high - s.legendTop()})
	s.strip.draw(p, vg.Point{X: planeLeft, Y: s.high - s.stripTop()})
	s.drawFooter(p)
}

func (s *sheet) drawHeader(p *pen) {
	y := s.high - margin
	for _, line := range s.title {
		y -= 4.6 * mm
		p.text(line, bold, titleSize, ink, left, vg.Point{X: margin, Y: y + 1.4*mm})
	}
	for _, line := range s.header {
		y -= headerLine
		p.prose(line, bodySize, ink, left, vg.Point{X: margin, Y: y + 0.6*mm})
	}
}

// headings letter the panels, so that a text can point at them.
func (s *sheet) headings(p *pen, plane, light, diff frame) {
	heading := func(letter, words string, f frame, x vg.Length) vg.Point {
		at := vg.Point{X: x, Y: f.Max.Y + headDrop}
		p.text(letter, bold, bodySize, ink, left, at)
		at.X += 3.2 * mm
		at.X = p.prose(words, bodySize, ink, left, at)
		return at
	}
	heading("A", "Colour path", plane, margin)
	heading("B", "Lightness L*", light, dosesLeft-dosesGutter)
	end := heading("C", "Difference ΔE00 "+s.f.differenceTitle(), diff, dosesLeft-dosesGutter)
	if s.f.Target != nil && s.f.cut() {
		p.text(" (above "+plain(s.f.cap())+" not drawn)", regular, footerSize, quiet, left, end)
	}
}

func (s *sheet) drawFooter(p *pen) {
	y := margin + vg.Length(len(s.footer))*footerLine
	p.line(solid(hairline, hair), vg.Point{X: margin, Y: y + 0.6*mm}, vg.Point{X: pageWide - margin, Y: y + 0.6*mm})
	for _, line := range s.footer {
		y -= footerLine
		p.prose(line, footerSize, quiet, left, vg.Point{X: margin, Y: y + 0.4*mm})
	}
}

// blank reports whether the plane has nothing to show.
func (f *LadderFigure) blank() bool {
	return len(f.Curve)+len(f.Predicted)+len(f.Rungs)+len(f.Measured) == 0 && f.Target == nil && f.Nearest == nil
}
