package reports

import "gonum.org/v1/plot/vg"

// Measures that all figures share.
const (
	pageWide   = 180 * mm
	margin     = 5 * mm
	bodyWide   = pageWide - 2*margin
	titleLine  = 4.6 * mm
	headerLine = 3.7 * mm
	footerLine = 2.9 * mm
	headDrop   = 2.4 * mm // from a panel's heading to its frame
)

// leaf is what every figure has about its panels: a headline and sentences above,
// a legend beneath, and at the foot what the figure holds for.
type leaf struct {
	high   vg.Length
	panels vg.Length // top of the panels, from the top of the page
	title  []string
	header []string
	legend [][]entry
	footer []string
}

// head breaks the headline and the sentences; empty ones are left out.
func (l *leaf) head(title string, sentences ...string) {
	l.title = wrap(title, face(bold, titleSize), bodyWide)
	for _, s := range sentences {
		l.header = append(l.header, wrap(s, face(regular, bodySize), bodyWide)...)
	}
	l.panels = margin + vg.Length(len(l.title))*titleLine + vg.Length(len(l.header))*headerLine + 7*mm
}

func (l *leaf) foot(sentences ...string) {
	for _, s := range sentences {
		l.footer = append(l.footer, wrap(s, face(regular, footerSize), bodyWide)...)
	}
}

// footHigh is the height of the foot with the margin beneath it.
func (l *leaf) footHigh() vg.Length {
	if len(l.footer) == 0 {
		return margin
	}
	return vg.Length(len(l.footer))*footerLine + margin + 2.5*mm
}

// box is a rectangle whose top left corner is x from the left and down from the
// top of the page.
func (l *leaf) box(x, down, w, h vg.Length) vg.Rectangle {
	return vg.Rectangle{Min: vg.Point{X: x, Y: l.high - down - h}, Max: vg.Point{X: x + w, Y: l.high - down}}
}

func (l *leaf) drawHeader(p *pen) {
	y := l.high - margin
	for _, line := range l.title {
		y -= titleLine
		p.text(line, bold, titleSize, ink, left, vg.Point{X: margin, Y: y + 1.4*mm})
	}
	for _, line := range l.header {
		y -= headerLine
		p.prose(line, bodySize, ink, left, vg.Point{X: margin, Y: y + 0.6*mm})
	}
}

func (l *leaf) drawFooter(p *pen) {
	if len(l.footer) == 0 {
		return
	}
	y := margin + vg.Length(len(l.footer))*footerLine
	p.line(solid(hairline, hair), vg.Point{X: margin, Y: y + 0.6*mm}, vg.Point{X: pageWide - margin, Y: y + 0.6*mm})
	for _, line := range l.footer {
		y -= footerLine
		p.prose(line, footerSize, quiet, left, vg.Point{X: margin, Y: y + 0.4*mm})
	}
}

// heading letters a panel, so that a text can point at it, and returns where its
// words end.
func (p *pen) heading(letter, words string, f frame, x vg.Length) vg.Point {
	at := vg.Point{X: x, Y: f.Max.Y + headDrop}
	p.text(letter, bold, bodySize, ink, left, at)
	at.X += 3.2 * mm
	at.X = p.prose(words, bodySize, ink, left, at)
	return at
}
