package sheet

import (
	"bytes"
	_ "embed" // the template and the style sheet
	"fmt"
	"html/template"
	"io"
	"strings"
	"sync"
	"unicode"

	"pourpath/colour/cie"
	"pourpath/reports"
)

//go:embed sheet.html
var htmlSource string

//go:embed sheet.css
var stylesheet string

// Stylesheet returns the content of the style sheet that the pages of HTML link
// to, for whoever serves it. Its last rules are widths of columns, of which a
// page may not say any itself.
func Stylesheet() string {
	var b strings.Builder
	b.WriteString(stylesheet)
	for wide := 1; wide <= widestColumn; wide++ {
		fmt.Fprintf(&b, ".sheet .mm%d { width: %.2f%%; }\n", wide, 100*float64(wide)*mm/bodyWide)
	}
	return b.String()
}

// widestColumn is that of any table, in mm.
const widestColumn = 60

var page = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("sheet").Funcs(template.FuncMap{"prose": prose, "figure": figureSVG, "times": times}).Parse(htmlSource))
})

// htmlPage is what the template sets.
type htmlPage struct {
	*document
	Texts      *Texts
	Head       Head
	Stylesheet template.URL // the caller's own address, a data: address too
	Footer     []string
}

// SwatchLabel says in words what a swatch is.
func (h htmlPage) SwatchLabel(s cie.Screen) string {
	if outOfGamut(s) {
		return h.Texts.fill(h.Texts.SwatchOut, "hex", s.Hex)
	}
	return h.Texts.fill(h.Texts.SwatchIs, "hex", s.Hex)
}

func (d *document) writeHTML(w io.Writer, stylesheet string) error {
	var b bytes.Buffer
	err := page().Execute(&b, htmlPage{document: d, Texts: d.texts, Head: d.head, Stylesheet: template.URL(stylesheet), Footer: d.footer()})
	if err != nil {
		return fmt.Errorf("sheet: setting HTML: %w", err)
	}
	if _, err := w.Write(b.Bytes()); err != nil {
		return fmt.Errorf("sheet: writing HTML: %w", err)
	}
	return nil
}

// prose escapes a text and sets its symbols and line breaks; controls, which no
// page may hold, become spaces.
func prose(s string) template.HTML {
	var b strings.Builder
	for i, line := range strings.Split(strings.ToValidUTF8(s, "\uFFFD"), "\n") {
		if i > 0 {
			b.WriteString("<br>")
		}
		line = strings.Map(func(r rune) rune {
			if unicode.IsControl(r) {
				return ' '
			}
			return r
		}, line)
		for _, p := range reports.Pieces(line) {
			safe := template.HTMLEscapeString(p.Text)
			switch {
			case p.Italic:
				safe = "<i>" + safe + "</i>"
			case p.Lowered:
				safe = "<sub>" + safe + "</sub>"
			}
			b.WriteString(safe)
		}
	}
	return template.HTML(b.String()) // escaped above, piece by piece
}

func figureSVG(f reports.Figure) (template.HTML, error) {
	d, err := f.Drawing()
	if err != nil {
		return "", err
	}
	var b bytes.Buffer
	if err := d.WriteInlineSVG(&b); err != nil {
		return "", err
	}
	return template.HTML(b.String()), nil // a drawing of ours, its texts escaped
}

func times(n int) []struct{} { return make([]struct{}, n) }
