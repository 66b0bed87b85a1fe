package pages

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"log/slog"
	"net/http"
)

//go:embed templates assets text cellar
var files embed.FS

// Config is what the pages are made of.
type Config struct {
	// Version is the program's, for the foot of the page and of the picture.
	Version string
	// Demo opens the page on the invented cellar; without it the page opens empty.
	Demo bool
	// Log takes the whole of each internal error; readers get none of it.
	Log *slog.Logger
}

// New returns the handler of / and of everything below /assets/, for GET and
// HEAD. It is an error to give no log.
func New(config Config) (http.Handler, error) {
	if config.Log == nil {
		return nil, errors.New("pages: the pages need a log")
	}
	cellar, err := readCellar()
	if err != nil {
		return nil, err
	}
	words, err := readCatalogue("text/en.json")
	if err != nil {
		return nil, err
	}
	templates, err := template.New("").Funcs(words.functions()).ParseFS(files, "templates/*.html")
	if err != nil {
		return nil, fmt.Errorf("pages: templates: %w", err)
	}
	s := &site{config: config, cellar: cellar, words: words, templates: templates}
	mux := http.NewServeMux()
	mux.HandleFunc("/{$}", s.answer(s.page))
	mux.HandleFunc("/assets/ladder.svg", s.answer(s.picture))
	mux.HandleFunc("/assets/empty.svg", s.answer(s.emptyPicture))
	mux.HandleFunc("/assets/page.css", s.answer(asset("page.css", "text/css; charset=utf-8")))
	mux.HandleFunc("/assets/favicon.svg", s.answer(asset("favicon.svg", "image/svg+xml")))
	mux.HandleFunc("/favicon.ico", s.answer(asset("favicon.svg", "image/svg+xml")))
	mux.HandleFunc("/", s.answer(func(*http.Request) (document, error) { return document{}, errNothingHere }))
	return mux, nil
}

type site struct {
	config    Config
	cellar    *cellar
	words     *catalogue
	templates *template.Template
}

// document is one answer.
type document struct {
	mediaType string
	body      []byte
}

// errNothingHere and errNoLadder are what a reader can mend; any other error of
// a page is a fault of the program.
var (
	errNothingHere = errors.New("there is no page at this address")
	errNoLadder    = errors.New("the address does not make a ladder, so there is nothing to draw")
)

// answer sends what make makes whole, or the error page.
func (s *site) answer(make func(*http.Request) (document, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		status := http.StatusOK
		d, err := make(r)
		if err != nil {
			status, d = s.failed(r, err)
		}
		w.Header().Set("Content-Type", d.mediaType)
		w.Header().Set("Cache-Control", "no-cache")
		w.WriteHeader(status)
		if _, err := w.Write(d.body); err != nil {
			s.config.Log.Debug("a page was not taken", "error", err)
		}
	}
}

// failed is the one error page.
func (s *site) failed(r *http.Request, err error) (int, document) {
	status, kind := http.StatusInternalServerError, "fault"
	switch {
	case errors.Is(err, errNothingHere):
		status, kind = http.StatusNotFound, "nothing"
	case errors.Is(err, errNoLadder):
		status, kind = http.StatusUnprocessableEntity, "no_ladder"
	default:
		s.config.Log.ErrorContext(r.Context(), "internal error of a page", "path", r.URL.Path, "error", err)
	}
	d, err := s.render("error.html", map[string]any{"Kind": kind, "Version": s.config.Version})
	if err != nil {
		s.config.Log.ErrorContext(r.Context(), "internal error of the error page", "error", err)
		return status, document{"text/plain; charset=utf-8", []byte(http.StatusText(status) + "\n")}
	}
	return status, d
}

// render fills a template whole before any of it is sent.
func (s *site) render(name string, data any) (document, error) {
	var body bytes.Buffer
	if err := s.templates.ExecuteTemplate(&body, name, data); err != nil {
		return document{}, fmt.Errorf("pages: %s: %w", name, err)
	}
	return document{"text/html; charset=utf-8", body.Bytes()}, nil
}

// asset answers with an embedded file.
func asset(name, mediaType string) func(*http.Request) (document, error) {
	return func(*http.Request) (document, error) {
		body, err := files.ReadFile("assets/" + name)
		if err != nil {
			return document{}, fmt.Errorf("pages: asset: %w", err)
		}
		return document{mediaType, body}, nil
	}
}
