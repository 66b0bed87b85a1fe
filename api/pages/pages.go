package pages

import (
	"bytes"
	"cmp"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"log/slog"
	"maps"
	"net/http"
	"strings"
	"sync"

	"pourpath/api/access"
	"pourpath/api/bench"
	"pourpath/api/hook"
	"pourpath/api/panel"
	"pourpath/api/record"
	"pourpath/api/release"
	"pourpath/api/shelf"
	"pourpath/api/store"
	"pourpath/api/upload"
	"pourpath/reports/sheet"
)

//go:embed templates assets text/*.json cellar
var files embed.FS

// Config is what the pages are made of.
type Config struct {
	// Version is the program's, for the foot of the page and of the picture.
	Version string
	// Demo opens the page on the invented cellar; without it the page opens empty.
	Demo bool
	// Records are shown at /wines, taken in at /import and poured at /trials;
	// without them these pages are not there.
	Records *store.Store
	// DataDir is the folder that a file is put in while it arrives; it goes with
	// Records.
	DataDir string
	// Hook is told of verdicts that changed and of decisions; nil for nobody.
	Hook *hook.Hook
	// Listening is where other machines reach the service; the zero value is nowhere.
	Listening access.Listening
	// Log takes the whole of each internal error; readers get none of it.
	Log *slog.Logger
}

// Pages answers everything that New says, and those who are refused.
type Pages interface {
	http.Handler
	// Refused answers a browser that may have no page, with the status: 401, 403 or 429.
	Refused(w http.ResponseWriter, r *http.Request, status int)
}

// New returns the handler of the pages and of everything below /assets/ and
// /preview/, for GET and HEAD, and for POST at /language, at /import and where pages
// of the records or of devices have forms. It is an error to give no log, or records without a
// folder.
func New(config Config) (Pages, error) {
	s, err := newSite(config)
	if err != nil {
		return nil, err
	}
	return newLanguages(s)
}

// routes are the addresses of the site.
func (s *site) routes() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("/{$}", s.answer(s.preview))
	s.pictureRoutes(mux, "/preview/ladder", s.picture)
	mux.HandleFunc("/preview/request.json", s.answer(s.request))
	mux.HandleFunc("/method", s.answer(s.help("method")))
	mux.HandleFunc("/cautions", s.answer(s.help("cautions")))
	mux.HandleFunc("POST /language", s.answerWriter(s.choose))
	mux.HandleFunc("/assets/", s.answer(s.assets.file))
	mux.HandleFunc("/favicon.ico", s.answer(s.assets.icon))
	if s.config.Records != nil {
		mux.HandleFunc("GET /wines", s.answer(s.wines))
		mux.HandleFunc("GET /wines/{id}", s.answer(s.wine))
		s.pictureRoutes(mux, "/wines/{id}/spectrum", s.winePicture("spectrum"))
		s.pictureRoutes(mux, "/wines/{id}/history", s.winePicture("history"))
		mux.HandleFunc("GET /wines/{id}/edit", s.answer(s.editWine))
		mux.HandleFunc("POST /wines/{id}/{what}", s.answerWriter(s.changeWine))
		mux.HandleFunc("GET /wines/{id}/readings/new", s.answer(s.newReading))
		mux.HandleFunc("POST /wines/{id}/readings/new", s.answerWriter(s.addReading))
		mux.HandleFunc("GET /readings/{id}", s.answer(s.reading))
		mux.HandleFunc("POST /readings/{id}/{what}", s.answerWriter(s.changeReading))
		mux.HandleFunc("GET /import", s.answer(s.importForm))
		mux.HandleFunc("POST /import", s.answerWriter(s.sendImport))
		mux.HandleFunc("GET /import/{key}", s.answerWriter(s.importDraft))
		mux.HandleFunc("POST /import/{key}", s.answerWriter(s.sendDraft))
		mux.HandleFunc("GET /imports", s.answer(s.imports))
		mux.HandleFunc("GET /imports/{id}", s.answer(s.importResult))
		mux.HandleFunc("POST /imports/{id}/undo", s.answerWriter(s.undoImport))
		s.releaseRoutes(mux)
		s.panelRoutes(mux)
		s.deviceRoutes(mux)
		mux.HandleFunc("GET /trials", s.answer(s.trials))
		mux.HandleFunc("POST /trials", s.answerWriter(s.begin))
		mux.HandleFunc("GET /trials/worker.js", s.answer(s.assets.worker))
		mux.HandleFunc("GET /trials/new", s.answer(s.beginForm))
		mux.HandleFunc("GET /trials/{id}", s.answer(s.trial))
		mux.HandleFunc("POST /trials/{id}/{what}", s.answerWriter(s.send))
		s.pictureRoutes(mux, "/trials/{id}/ladder", s.trialPicture)
		mux.HandleFunc("GET /trials/{id}/bench-sheet", s.answer(s.benchSheet))
		mux.HandleFunc("GET /trials/{id}/work-order", s.answer(s.workOrder))
	}
	mux.HandleFunc("/", s.answer(func(*http.Request) (document, error) { return document{}, errNothingHere }))
	return mux
}

// newSite is the site in English.
func newSite(config Config) (*site, error) {
	if config.Log == nil {
		return nil, errors.New("pages: the pages need a log")
	}
	if config.Records != nil && config.DataDir == "" {
		return nil, errors.New("pages: files to import need a folder to arrive in")
	}
	s := &site{config: config, deciding: &sync.Mutex{}}
	if config.Records != nil {
		s.shelf, s.bench = shelf.New(config.Records), bench.New(config.Records)
		s.bench.Version = config.Version
		s.release = release.New(config.Records, s.bench, config.Version)
		s.release.Hook = config.Hook
		s.panel, s.links = panel.New(config.Records), newHeldLinks()
		s.panel.Version = config.Version
		s.waiting = upload.NewWaiting(config.DataDir)
	}
	var err error
	if s.once, err = newOnce(); err != nil {
		return nil, err
	}
	if s.cellar, err = readCellar(); err != nil {
		return nil, err
	}
	if s.catalogues, err = readCatalogues(); err != nil {
		return nil, err
	}
	if s.assets, err = readAssets(); err != nil {
		return nil, err
	}
	if s.outside, err = readOutsideStyle(); err != nil {
		return nil, err
	}
	if s.unspoken, err = readTemplates(s.catalogues[0], s.assets); err != nil {
		return nil, err
	}
	return s.in(s.catalogues[0])
}

// readTemplates reads the templates; their functions are of a language.
func readTemplates(words *catalogue, a *assets) (*template.Template, error) {
	functions := words.functions()
	functions["asset"] = a.path
	maps.Copy(functions, benchFunctions())
	templates, err := template.New("").Funcs(functions).ParseFS(files, "templates/*.html")
	if err != nil {
		return nil, fmt.Errorf("pages: templates: %w", err)
	}
	writeAll(templates)
	return templates, nil
}

// in is the site in another language; all but its words is one.
func (s *site) in(words *catalogue) (*site, error) {
	templates, err := s.unspoken.Clone()
	if err != nil {
		return nil, fmt.Errorf("pages: templates: %w", err)
	}
	out := *s
	out.words, out.templates, out.papers = words, templates.Funcs(words.functions()), words.documents()
	if s.bench != nil {
		out.bench, out.panel = s.bench.In(out.papers), s.panel.In(out.papers)
	}
	return &out, nil
}

// site is the pages in one language.
type site struct {
	words     *catalogue
	templates *template.Template
	papers    *sheet.Texts // of papers and pictures
	bench     *bench.Bench // nil without records

	// The rest is one in all languages.
	config     Config
	catalogues []*catalogue       // English first
	unspoken   *template.Template // that no language has executed
	cellar     *cellar
	assets     *assets
	outside    outsideStyle
	shelf      *shelf.Shelf     // nil without records
	release    *release.Release // nil without records
	panel      *panel.Panels    // nil without records
	links      *heldLinks       // of judges
	waiting    *upload.Waiting  // files before they are brought in; nil without records
	once       *once            // of the forms of the release check, and of bringing in
	deciding   *sync.Mutex      // held from looking how far a lot has come to deciding about it
}

// frame is what each page has around it.
type frame struct {
	Version string
	Demo    bool   // the cellar is invented
	Records bool   // there are pages of the records
	Here    string // which of the pages this is, for the way around; or empty
	// Address is the page's own, to come back to; empty where a form was sent, which
	// is lost on the way.
	Address   string
	PrintedAt string // the address with its host, for paper
	Languages []languageChoice
	Local     bool // for whoever sits at the machine
	Paired    bool // for a device
	Plain     bool // for a device, over a line that others can read along
}

func (s *site) frame(r *http.Request, here string) frame {
	f := frame{Version: s.config.Version, Demo: s.config.Demo, Records: s.config.Records != nil, Here: here, PrintedAt: r.Host + r.URL.RequestURI(), Languages: s.choices()}
	visitor := access.VisitorOf(r.Context())
	f.Local, f.Paired = visitor.Local, visitor.Device != nil
	f.Plain = f.Paired && r.TLS == nil
	if r.Method == http.MethodGet || r.Method == http.MethodHead {
		f.Address = r.URL.RequestURI()
	}
	return f
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
	{errUnreadable, http.StatusBadRequest, "unreadable"},
	{errNoLadder, http.StatusUnprocessableEntity, "no_ladder"},
	{record.ErrNotFound, http.StatusNotFound, notHere},
	{record.ErrUnavailable, http.StatusServiceUnavailable, "unavailable"},
	{record.ErrFull, http.StatusInsufficientStorage, "full"},
	{record.ErrDamaged, http.StatusInternalServerError, "damaged"},
}

// notHere is the kind of what is not stored; missing says what that is.
const notHere = "not_here"

// missing is the kind of error for the records below an address.
func missing(path string) string {
	kinds := map[string]string{
		"wines": "no_wine", "readings": "no_reading", "trials": "no_trial", "lots": "no_lot", "specs": "no_spec",
		"panels": "no_panel", "statements": "no_statement",
	}
	first, _, _ := strings.Cut(strings.TrimPrefix(path, "/"), "/")
	return cmp.Or(kinds[first], "no_record")
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
		s.respond(w, r, d)
	}
}

// loggedPath is a path for the log: one that pairs a device, or is a judge's, is a
// secret.
func loggedPath(r *http.Request) string {
	for _, secret := range []string{pairPage, judgePage} {
		if strings.HasPrefix(r.URL.Path, secret) {
			return r.Pattern
		}
	}
	return r.URL.Path
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
		s.config.Log.ErrorContext(r.Context(), "internal error of a page", "path", loggedPath(r), "error", err)
	}
	do := kind
	if kind == notHere {
		kind = missing(r.URL.Path)
	}
	d, err := s.render("error.html", struct {
		frame
		Kind, Do string // keys of what is wrong and of what to do
	}{s.frame(r, ""), kind, do})
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
