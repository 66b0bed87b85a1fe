package pages

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"regexp"

	"pourpath/api/calc"
	"pourpath/colour/cie"
	"pourpath/reports"
)

// example is the query of the readings that a new reader can begin with.
func (s *site) example() string {
	values := url.Values{}
	for name, text := range s.cellar.Example {
		values.Set(name, text)
	}
	return values.Encode()
}

// picture draws the ladder of an address.
func (s *site) picture(r *http.Request) (document, error) {
	c, err := s.read(r.URL.RawQuery)
	if err != nil {
		return document{}, err
	}
	if c.request == nil {
		return document{}, errNoLadder
	}
	figure, err := calc.LadderFigure(*c.request, s.config.Version)
	if err != nil {
		return document{}, err
	}
	return draw(figure)
}

// emptyPicture draws the frames that a ladder will be drawn in.
func (s *site) emptyPicture(*http.Request) (document, error) {
	return draw(reports.LadderFigure{View: cie.OIV(), Version: "Pourpath " + s.config.Version})
}

func draw(figure reports.LadderFigure) (document, error) {
	var svg bytes.Buffer
	if err := figure.WriteSVG(&svg); err != nil {
		return document{}, fmt.Errorf("pages: picture: %w", err)
	}
	return document{mediaType: "image/svg+xml", body: withoutStyles(svg.Bytes())}, nil
}

var (
	styles       = regexp.MustCompile(`\sstyle="([^"]*)"`)
	declarations = regexp.MustCompile(`\s*([a-z-]+)\s*:\s*([^;]+?)\s*(?:;|$)`)
)

// withoutStyles writes the drawing's styles as attributes, which SVG has for all
// of them: the pages' policy allows no style inside a document, and a drawing
// opened by itself would be black.
func withoutStyles(svg []byte) []byte {
	return styles.ReplaceAllFunc(svg, func(style []byte) []byte {
		inner := styles.FindSubmatch(style)[1]
		return append([]byte(" "), bytes.TrimSpace(declarations.ReplaceAll(inner, []byte(`$1="$2" `)))...)
	})
}
