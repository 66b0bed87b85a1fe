package pages

import (
	"bytes"
	"cmp"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"log/slog"
	"net/http"

	"pourpath/api/record"
	"pourpath/api/shelf"
	"pourpath/api/store"
)

//go:embed templates assets text cellar
var files embed.FS

// Config is what the pages are made of.
type Config struct {
	// Version is the program's, for the foot of the page and of the picture.
	Version string
	// Demo opens the page on the invented cellar; without it the page opens empty.
	Demo bool
	// Records are shown at /wines and taken in at /import; without them these
	// pages are not there.
	Records *store.Store
	// DataDir is the folder that a file is put in while it arrives; it goes with
	// Records.
	DataDir string
	// Log takes the whole of each internal error; readers get none of it.
	Log *slog.Logger
}

// New returns the handler of the pages and of everything below /assets/, for GET
// and HEAD, and for POST at /import. It is an error to give no log, or records
// without a folder.
func New(config Config) (http.Handler, error) {
	if config.Log == nil {
		return nil, errors.New("pages: the pages need a log")
	}
	if config.Records != nil && config.DataDir == "" {
		return nil, errors.New("pages: files to import need a folder to arrive in")
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
	if config.Records != nil {
		s.shelf = shelf.New(config.Records)
		mux.HandleFunc("/wines", s.answer(s.wines))
		mux.HandleFunc("/wines/{id}", s.answer(s.wine))
		mux.HandleFunc("GET /import", s.answer(s.importForm))
		mux.HandleFunc("POST /import", s.answerWriter(s.importFile))
	}
	mux.HandleFunc("/", s.answer(func(*http.Request) (document, error) { return document{}, errNothingHere }))
	return mux, nil
}

type site struct {
	config    Config
	cellar    *cellar
	words     *catalogue
	templates *template.Template
	shelf     *shelf.Shelf // nil without records
}

// frame is what each page has around it.
type frame struct {
	Version string
	Records bool   // there are pages of the records
	Here    string // which of the pages this is, for the way around; or empty
}

func (s *site) frame(here string) frame {
	return frame{Version: s.config.Version, Records: s.config.Records != nil, Here: here}
}

// document is one answer; a status of 0 is 200.
type document struct {
	mediaType string
	body      []byte
	status    int
}

// errNothingHere and errNoLadder are what a reader can mend.
var (
	errNothingHere = errors.New("there is no page at this address")
	errNoLadder    = errors.New("the address does not make a ladder, so there is nothing to draw")
)

// failures are the errors that have words of their own; any other error of a
// page is a fault of the program.
var failures = []struct {
	is     error
	status int
	kind   string
}{
	{errNothingHere, http.StatusNotFound, "nothing"},
	{errNoLadder, http.StatusUnprocessableEntity, "no_ladder"},
	{record.ErrNotFound, http.StatusNotFound, "no_wine"},
	{record.ErrUnavailable, http.StatusServiceUnavailable, "unavailable"},
	{record.ErrFull, http.StatusInsufficientStorage, "full"},
	{record.ErrDamaged, http.StatusInternalServerError, "damaged"},
}

// retryAfter is when to ask again where the records cannot be reached, in s.
const retryAfter = "2"

// answer sends what make makes whole, or the error page.
func (s *site) answer(make func(*http.Request) (document, error)) http.HandlerFunc {
	return s.answerWriter(func(_ http.ResponseWriter, r *http.Request) (document, error) { return make(r) })
}

// answerWriter is answer for what needs to know how the answer is sent.
func (s *site) answerWriter(make func(http.ResponseWriter, *http.Request) (document, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		d, err := make(w, r)
		if err != nil {
			d = s.failed(r, err)
		}
		w.Header().Set("Content-Type", d.mediaType)
		w.Header().Set("Cache-Control", "no-cache")
		if d.status == http.StatusServiceUnavailable {
			w.Header().Set("Retry-After", retryAfter)
		}
		w.WriteHeader(cmp.Or(d.status, http.StatusOK))
		if _, err := w.Write(d.body); err != nil {
			s.config.Log.Debug("a page was not taken", "error", err)
		}
	}
}

// failed is the one error page.
func (s *site) failed(r *http.Request, err error) document {
	status, kind := http.StatusInternalServerError, "fault"
	for _, known := range failures {
		if errors.Is(err, known.is) {
			status, kind = known.status, known.kind
			break
		}
	}
	if status >= http.StatusInternalServerError {
		s.config.Log.ErrorContext(r.Context(), "internal error of a page", "path", r.URL.Path, "error", err)
	}
	d, err := s.render("error.html", struct {
		frame
		Kind string
	}{s.frame(""), kind})
	if err != nil {
		s.config.Log.ErrorContext(r.Context(), "internal error of the error page", "error", err)
		d = document{mediaType: "text/plain; charset=utf-8", body: []byte(http.StatusText(status) + "\n")}
	}
	d.status = status
	return d
}

// render fills a template whole before any of it is sent.
func (s *site) render(name string, data any) (document, error) {
	var body bytes.Buffer
	if err := s.templates.ExecuteTemplate(&body, name, data); err != nil {
		return document{}, fmt.Errorf("pages: %s: %w", name, err)
	}
	return document{mediaType: "text/html; charset=utf-8", body: body.Bytes()}, nil
}

// asset answers with an embedded file.
func asset(name, mediaType string) func(*http.Request) (document, error) {
	return func(*http.Request) (document, error) {
		body, err := files.ReadFile("assets/" + name)
		if err != nil {
			return document{}, fmt.Errorf("pages: asset: %w", err)
		}
		return document{mediaType: mediaType, body: body}, nil
	}
}
