package pages

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"regexp"

	"pourpath/api/calc"
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

// ladderOf reads an address that must make a ladder.
func (s *site) ladderOf(r *http.Request) (*choice, error) {
	c, err := s.read(r.Context(), r.URL.RawQuery)
	if err == nil && c.request == nil {
		err = errNoLadder
	}
	return c, err
}

// picture draws the ladder of an address.
func (s *site) picture(r *http.Request) (document, error) {
	c, err := s.ladderOf(r)
	if err != nil {
		return document{}, err
	}
	figure, err := calc.LadderFigure(*c.request, s.config.Version, &s.papers.Figures)
	if err != nil {
		return document{}, err
	}
	name, err := s.ladderName(c)
	if err != nil {
		return document{}, err
	}
	return picturedOf(r, figure, nil, name)
}

// ladderPicture is where the ladder's picture is, with the dose that is shown.
func (s *site) ladderPicture(c *choice, dose string) (savedPicture, error) {
	name, err := s.ladderName(c)
	query := "?" + c.address(map[string]string{redSlot.dose(): dose})
	return savedPicture{SVG: "/preview/ladder.svg" + query, PNG: "/preview/ladder.png" + query, Name: name, Live: true}, err
}

// ladderName is the name of the files that a ladder is saved as.
func (s *site) ladderName(c *choice) (string, error) {
	base, err := s.words.named(baseSlot.name, c.picked[baseSlot.name].name)
	if err != nil {
		return "", err
	}
	red, err := s.words.named(redSlot.name, c.picked[redSlot.name].name)
	return fileName("ladder", base, red), err
}

func writeSVG(d *reports.Drawing, w io.Writer) error {
	var svg bytes.Buffer
	if err := d.WriteSVG(&svg); err != nil {
		return err
	}
	_, err := w.Write(withoutStyles(svg.Bytes()))
	return err
}

// request is the ladder of an address as a request to the interface.
func (s *site) request(r *http.Request) (document, error) {
	c, err := s.ladderOf(r)
	if err != nil {
		return document{}, err
	}
	body, err := json.MarshalIndent(c.root, "", "  ")
	if err != nil {
		return document{}, fmt.Errorf("pages: request: %w", err)
	}
	return document{mediaType: "application/json", body: append(body, '\n')}, nil
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
