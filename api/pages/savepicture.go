package pages

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"path"
	"strings"
	"unicode"

	"pourpath/api/calc"
	"pourpath/reports"
)

// savedPicture is where a picture of a page can be saved from: as SVG, and as PNG.
type savedPicture struct {
	SVG, PNG string
	Name     string // of the file, without its ending
	Live     bool   // the script keeps the addresses as the page is
}

// savedAt is the picture at a path that gets the endings, by the name of what it
// shows.
func savedAt(path string, query url.Values, name ...string) savedPicture {
	if len(query) > 0 {
		return savedPicture{SVG: path + ".svg?" + query.Encode(), PNG: path + ".png?" + query.Encode(), Name: fileName(name...)}
	}
	return savedPicture{SVG: path + ".svg", PNG: path + ".png", Name: fileName(name...)}
}

// fileName joins words to the name of a file that every system takes.
func fileName(words ...string) string {
	parts := strings.FieldsFunc(strings.Join(words, " "), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	return strings.Join(parts, "-")
}

// pictureRoutes are the addresses of a picture in each form.
func (s *site) pictureRoutes(mux *http.ServeMux, at string, make func(*http.Request) (document, error)) {
	for ending := range pictureForms {
		mux.HandleFunc("GET "+at+ending, s.answer(make))
	}
}

// pictureForms are the forms of a picture, by the ending of its address.
var pictureForms = map[string]struct {
	mediaType string
	write     func(*reports.Drawing, io.Writer) error
}{
	".svg": {"image/svg+xml", writeSVG},
	".png": {"image/png", (*reports.Drawing).WritePNG},
}

// pictured answers with a drawing in the form that the address ends in.
func pictured(r *http.Request, d *reports.Drawing, name string) (document, error) {
	ending := path.Ext(r.URL.Path)
	form := pictureForms[ending]
	var body bytes.Buffer
	if err := form.write(d, &body); err != nil {
		return document{}, fmt.Errorf("pages: picture: %w", err)
	}
	return document{mediaType: form.mediaType, body: body.Bytes(), name: name + ending}, nil
}

// picturedOf is pictured of a figure; one that cannot be drawn is not there.
func picturedOf(r *http.Request, figure reports.Figure, err error, name string) (document, error) {
	if calc.AsProblem(err) != nil {
		return document{}, errNothingHere
	}
	if err != nil {
		return document{}, err
	}
	d, err := figure.Drawing()
	if err != nil {
		return document{}, err
	}
	return pictured(r, d, name)
}
