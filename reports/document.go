package reports

import (
	"bytes"
	"fmt"
	"io"
	"time"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansitalic"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-pdf/fpdf"
	"gonum.org/v1/plot/vg"
)

// FontFamily is the name of the typeface in a document of NewDocument, which has
// its cuts "" (regular), "B" and "I".
const FontFamily = fontFamily

// NewDocument returns a PDF without pages, of one page size in points, with the
// typeface embedded. The same content makes the same bytes.
func NewDocument(widePt, highPt float64) *fpdf.Fpdf {
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt", Size: fpdf.SizeType{Wd: widePt, Ht: highPt}})
	doc.SetCatalogSort(true)
	doc.SetCreationDate(time.Unix(0, 0).UTC())
	doc.SetModificationDate(time.Unix(0, 0).UTC())
	doc.SetProducer("", false)
	doc.SetMargins(0, 0, 0)
	doc.SetAutoPageBreak(false, 0)
	doc.AddUTF8FontFromBytes(fontFamily, "", bytes.Clone(liberationsansregular.TTF))
	doc.AddUTF8FontFromBytes(fontFamily, "B", bytes.Clone(liberationsansbold.TTF))
	doc.AddUTF8FontFromBytes(fontFamily, "I", bytes.Clone(liberationsansitalic.TTF))
	return doc
}

// WriteDocument writes a document of NewDocument, without dates. Errors: a fault
// that the document kept while it was drawn; a fault of w.
func WriteDocument(doc *fpdf.Fpdf, w io.Writer) error {
	var raw bytes.Buffer
	if err := doc.Output(&raw); err != nil {
		return fmt.Errorf("reports: drawing PDF: %w", err)
	}
	if _, err := w.Write(undated(raw.Bytes())); err != nil {
		return fmt.Errorf("reports: writing PDF: %w", err)
	}
	return nil
}

// undated blanks the dates of the document's information, which are optional,
// so that the same figure is the same file. Blanks keep the offsets of the
// cross-reference table.
func undated(pdf []byte) []byte {
	for _, key := range []string{"/CreationDate (", "/ModDate ("} {
		if i := bytes.LastIndex(pdf, []byte(key)); i >= 0 {
			for k := i; pdf[k] != '\n'; k++ {
				pdf[k] = ' '
			}
		}
	}
	return pdf
}

// DrawOn draws the figure on a page of a document of NewDocument, 180 mm wide.
// place is told how high the figure is, may begin a page, and returns where the
// figure's top left corner goes from that of the page; all in points. Colours,
// font, dashes and widths of lines are afterwards the figure's last.
func (d *Drawing) DrawOn(doc *fpdf.Fpdf, place func(highPt float64) (xPt, yPt float64)) {
	x, y := place(d.high.Points())
	d.on(newPDFCanvas(doc, vg.Point{X: vg.Length(x), Y: vg.Length(y) + d.high}))
}
