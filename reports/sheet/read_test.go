package sheet_test

import (
	"bytes"
	"io"
	"regexp"
	"strings"
	"testing"
	"unicode/utf16"

	"golang.org/x/net/html"
	"rsc.io/pdf"
)

var (
	shown   = regexp.MustCompile(`(?s)\(((?:[^\\()]|\\.)*)\) Tj`)
	escaped = regexp.MustCompile(`(?s)\\(.)`)
)

// pagesOf are the texts of a PDF's pages, each string on a line of its own, in
// the order in which they are set. Each page must be A4 and all its fonts
// embedded as text.
func pagesOf(t testing.TB, raw []byte) []string {
	t.Helper()
	doc, err := pdf.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	var pages []string
	for no := 1; no <= doc.NumPage(); no++ {
		page := doc.Page(no)
		for _, name := range page.Fonts() {
			font := page.Font(name).V
			file := font.Key("DescendantFonts").Index(0).Key("FontDescriptor").Key("FontFile2")
			if font.Key("ToUnicode").IsNull() || file.IsNull() {
				t.Errorf("page %d: font %s is not embedded as text", no, font.Key("BaseFont"))
			}
		}
		box := page.V.Key("MediaBox")
		if box.IsNull() {
			box = page.V.Key("Parent").Key("MediaBox")
		}
		if w, h := box.Index(2).Float64(), box.Index(3).Float64(); w < 595 || w > 596 || h < 841 || h > 842 {
			t.Errorf("page %d is %g × %g points: want A4 portrait", no, w, h)
		}
		content, err := io.ReadAll(page.V.Key("Contents").Reader())
		if err != nil {
			t.Fatal(err)
		}
		var lines []string
		for _, m := range shown.FindAllSubmatch(content, -1) {
			lines = append(lines, decoded(m[1]))
		}
		pages = append(pages, strings.Join(lines, "\n"))
	}
	return pages
}

// decoded reads a string of a PDF whose fonts are addressed by UTF-16.
func decoded(s []byte) string {
	s = escaped.ReplaceAllFunc(s, func(e []byte) []byte {
		if e[1] == 'r' {
			return []byte{'\r'}
		}
		return e[1:]
	})
	var units []uint16
	for i := 0; i+1 < len(s); i += 2 {
		units = append(units, uint16(s[i])<<8|uint16(s[i+1]))
	}
	return string(utf16.Decode(units))
}

// textOf parses a page of HTML, holds it against the policy default-src 'self'
// and returns its text. Only the style sheet may be fetched.
func textOf(t testing.TB, raw []byte) string {
	t.Helper()
	root, err := html.Parse(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for n := range root.Descendants() {
		switch n.Type {
		case html.TextNode:
			b.WriteString(n.Data)
		case html.ElementNode:
			switch n.Data {
			case "script", "style", "iframe", "object", "img", "base":
				t.Errorf("the page has <%s>", n.Data)
			case "td", "th", "p", "br", "li", "dd", "dt", "h1", "h2":
				b.WriteString("\n")
			}
			for _, a := range n.Attr {
				if a.Key == "style" || strings.HasPrefix(a.Key, "on") || strings.HasPrefix(a.Val, "javascript:") ||
					(a.Key == "href" || a.Key == "src") && a.Val != styleAddress {
					t.Errorf("<%s %s=%q> is not let through", n.Data, a.Key, a.Val)
				}
			}
		}
	}
	return b.String()
}
