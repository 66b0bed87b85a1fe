package sheet

import (
	"fmt"
	"io"

	"codeberg.org/go-pdf/fpdf"

	"pourpath/reports"
)

// Measures of the page in points: A4 portrait, as wide between its margins as a
// figure.
const (
	mm       = 72 / 25.4
	pageWide = 210 * mm
	pageHigh = 297 * mm
	side     = 15 * mm
	bodyWide = pageWide - 2*side
	headBase = 11 * mm // baseline of the running head, from the top
	bodyTop  = 19 * mm
	footEnd  = 9 * mm // below the footer
)

// Sizes of type in points, and the height of a line in sizes.
const (
	nameSize    = 16.0
	leadSize    = 13.0
	headingSize = 10.5
	bodySize    = 9.0
	tableSize   = 8.0
	smallSize   = 7.0
	footSize    = 6.5
	leading     = 1.25
	capHigh     = 0.73 // of a capital
)

// ink is a colour of the chrome, which is achromatic, so that nothing beside a
// wine's colour changes how it looks.
type ink [3]int

var (
	black    = ink{0x22, 0x26, 0x2b}
	grey     = ink{0x5b, 0x63, 0x6b}
	hairline = ink{0xc4, 0xc9, 0xce}
	white    = ink{0xff, 0xff, 0xff}
)

const (
	hair = 0.4
	thin = 0.7
)

// setter sets a document on pages.
type setter struct {
	*metrics
	doc     *fpdf.Fpdf
	d       *document
	y       float64 // where the next block begins, from the top
	bottom  float64 // of the body
	after   float64 // what must fit beneath the block that is set now
	name    string  // of document and trial, for the running head
	date    string
	foot    []string
	pending string // heading that goes with the next block
	headed  bool   // whether a table's head was the last that was set
}

func (d *document) writePDF(w io.Writer) error {
	p := &setter{metrics: newMetrics(), doc: reports.NewDocument(pageWide, pageHigh), d: d}
	p.doc.SetTitle(p.printable(d.Name+": "+d.head.Trial), true)
	p.doc.SetLang(d.texts.Lang)
	p.date = p.fit(d.head.Date, regular, smallSize, bodyWide/3)
	p.name = p.fit(d.Name+" · "+d.head.Trial, bold, smallSize, bodyWide-p.width(p.date, regular, smallSize)-8*mm)
	for _, s := range d.footer() {
		p.foot = append(p.foot, p.wrap(s, regular, footSize, bodyWide)...)
	}
	p.foot = append(p.foot, "") // version and page
	p.bottom = pageHigh - footEnd - float64(len(p.foot))*footSize*leading - 3*mm
	p.newPage()
	p.title()
	for i, b := range d.Blocks {
		p.after = p.leastAfter(d.Blocks[i:])
		if err := p.block(b); err != nil {
			return err
		}
	}
	p.footers()
	if err := reports.WriteDocument(p.doc, w); err != nil {
		return fmt.Errorf("sheet: %w", err)
	}
	return nil
}

// newPage begins a page with its running head.
func (p *setter) newPage() {
	p.doc.AddPage()
	p.restore()
	p.text(side, headBase, p.name, bold, smallSize, black)
	p.text(side+bodyWide-p.width(p.date, regular, smallSize), headBase, p.date, regular, smallSize, black)
	p.line(side, headBase+2*mm, side+bodyWide, headBase+2*mm, hair, hairline)
	p.y = bodyTop
}

// restore sets the state of drawing anew, as a page, a figure or a return to an
// earlier page leave another.
func (p *setter) restore() {
	p.doc.SetFont(reports.FontFamily, string(bold), 1)
	p.doc.SetFont(reports.FontFamily, string(regular), bodySize)
	p.doc.SetDashPattern(nil, 0)
	p.doc.SetLineJoinStyle("miter")
	p.doc.SetFillColor(255, 255, 255)
	p.doc.SetTextColor(black[0], black[1], black[2])
}

// footers puts the same lines beneath every page, and its number.
func (p *setter) footers() {
	t, count := p.d.texts, p.doc.PageNo()
	for no := 1; no <= count; no++ { // ends on the last page, where the document ends
		p.doc.SetPage(no)
		p.restore()
		y := p.bottom + 3*mm
		p.line(side, y, side+bodyWide, y, hair, hairline)
		for _, s := range p.foot {
			y += footSize * leading
			p.text(side, y, s, regular, footSize, grey)
		}
		page := t.fill(t.Page, "no", fmt.Sprint(no), "count", fmt.Sprint(count))
		wide := p.width(page, bold, footSize)
		p.text(side, y, p.fit(p.d.head.Version, regular, footSize, bodyWide-wide-5*mm), regular, footSize, grey)
		p.text(side+bodyWide-wide, y, page, bold, footSize, black)
	}
}

// room is what is left of the page.
func (p *setter) room() float64 { return p.bottom - p.y }

// wholePage is the room of an empty page.
func (p *setter) wholePage() float64 { return p.bottom - bodyTop }

// need begins a new page unless so much is left of this one.
func (p *setter) need(high float64) {
	if high > p.room() && p.y > bodyTop {
		p.newPage()
	}
}

// begin makes room for the beginning of a block, and for the heading with it.
func (p *setter) begin(high float64) {
	const above, below = 4 * mm, 1.4 * mm
	if p.pending == "" {
		p.need(high)
		return
	}
	lines := p.wrap(p.pending, bold, headingSize, bodyWide) // it may be somebody's name
	p.need(above + headingSize + float64(len(lines)-1)*headingSize*leading + below + high)
	if p.y > bodyTop {
		p.y += above
	}
	p.flow(side, lines, bold, headingSize, black)
	p.y += below
	p.pending = ""
}

// text sets one line with its symbols and returns where it ends.
func (p *setter) text(x, baseline float64, s string, c cut, size float64, clr ink) float64 {
	p.doc.SetTextColor(clr[0], clr[1], clr[2])
	for _, piece := range reports.Pieces(visual(s)) {
		k, z, y := c, size, baseline
		switch {
		case piece.Italic && c == regular:
			k = italic
		case piece.Lowered:
			z, y = size*reports.LoweredSize, baseline+size*reports.LoweredDrop
		}
		p.doc.SetFont(reports.FontFamily, string(k), z)
		p.doc.Text(x, y, piece.Text)
		for _, r := range piece.Text {
			x += p.advance(k, r) * z
		}
	}
	return x
}

func (p *setter) line(x1, y1, x2, y2, wide float64, clr ink) {
	p.doc.SetDrawColor(clr[0], clr[1], clr[2])
	p.doc.SetLineWidth(wide)
	p.doc.Line(x1, y1, x2, y2)
}

// flow sets lines one beneath the other, over as many pages as they need.
func (p *setter) flow(x float64, lines []string, c cut, size float64, clr ink) {
	for _, s := range lines {
		p.need(size * leading)
		p.text(x, p.y+size, s, c, size, clr)
		p.y += size * leading
	}
}

func (p *setter) title() {
	d := p.d
	p.flow(side, p.wrap(d.Name, bold, nameSize, bodyWide), bold, nameSize, black)
	p.flow(side, p.wrap(d.head.Trial, regular, leadSize, bodyWide), regular, leadSize, black)
	p.flow(side, p.wrap(d.head.Date, regular, bodySize, bodyWide), regular, bodySize, grey)
	p.y += 2 * mm
	if d.Lead != "" {
		p.y += 1 * mm
		p.flow(side, p.wrap(d.Lead, bold, leadSize, bodyWide), bold, leadSize, black)
		p.y += 1 * mm
	}
}
