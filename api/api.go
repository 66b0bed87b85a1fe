package api

import (
	"errors"
	"log/slog"
	"net/http"
	"sync"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"
	"github.com/gin-gonic/gin"

	"pourpath/api/access"
	"pourpath/api/bench"
	"pourpath/api/hook"
	"pourpath/api/panel"
	"pourpath/api/release"
	"pourpath/api/shelf"
	"pourpath/api/store"
)

// Config is what a service is made of.
type Config struct {
	// Version is the program's, for the interface's description.
	Version string
	// DataDir is the folder that uploads are put in while they arrive.
	DataDir string
	// Records are kept there; a calculation may name stored wines and targets.
	Records *store.Store
	// Log takes one line for each request and the whole of each internal error.
	Log *slog.Logger
	// Hook is told of verdicts that changed and of decisions; nil for nobody. What
	// makes it closes it.
	Hook *hook.Hook
	// Pages answers / and everything below /assets/; nil serves no pages.
	Pages http.Handler
	// Access says who may ask for anything. Devices and the log are the service's own, and
	// judges where none are given.
	Access access.Config
	// Refused shows a browser that asks for a page why it gets none, with the status; nil
	// answers every refusal with a problem.
	Refused func(w http.ResponseWriter, r *http.Request, status int)
}

// New returns the whole service as one handler. It starts nothing and holds
// nothing open.
func New(config Config) (http.Handler, error) {
	if config.Log == nil || config.DataDir == "" || config.Records == nil {
		return nil, errors.New("api: a service needs a log, a data folder and a store")
	}
	libraries()
	s, err := newService(config)
	if err != nil {
		return nil, err
	}

	engine := gin.New()
	engine.HandleMethodNotAllowed = true
	engine.RedirectTrailingSlash = false
	engine.RedirectFixedPath = false
	if err := engine.SetTrustedProxies(nil); err != nil {
		return nil, err
	}
	engine.Use(s.observe, s.recoverPanic, secureHeaders, s.admit, noNUL, limitBody)
	engine.NoRoute(s.noRoute)
	engine.NoMethod(noMethod)

	api := humagin.New(engine, description(config.Version))
	s.calculations(api)
	s.wineCalls(api)
	s.wineStanding(api)
	s.readingCalls(api)
	s.readingStanding(api)
	s.targetCalls(api)
	s.importCalls(api)
	s.exportCalls(api)
	s.trialCalls(api)
	s.sheetCalls(api)
	s.panelCalls(api)
	s.judgingCalls(api)
	s.specCalls(api)
	s.lotCalls(api)
	s.verdictCalls(api)
	s.statementCalls(api)
	s.instrumentCalls(api)
	s.chartCalls(api)
	s.driftCalls(api)
	document, err := complete(api)
	if err != nil {
		return nil, err
	}
	s.plainRoutes(engine, document)
	return engine, nil
}

// newService makes the rooms that answer, and the gate before them.
func newService(config Config) (*service, error) {
	s := &service{config: config, metrics: newMetrics(config.Version), shelf: shelf.New(config.Records), bench: bench.New(config.Records)}
	s.bench.Version = config.Version
	s.panel = panel.New(config.Records)
	s.panel.Version = config.Version
	s.release = release.New(config.Records, s.bench, config.Version)
	s.release.Hook = config.Hook
	s.metrics.countEvents(config.Hook)
	config.Access.Devices, config.Access.Log = config.Records, config.Log
	if config.Access.Judges == nil {
		config.Access.Judges = s.panel
	}
	var err error
	s.gate, err = access.NewGate(config.Access)
	return s, err
}

type service struct {
	config  Config
	metrics *metrics
	gate    *access.Gate
	shelf   *shelf.Shelf
	bench   *bench.Bench
	release *release.Release
	panel   *panel.Panels
}

// libraries sets what the router and the schema library keep for the whole
// process: no debugging output on standard output, which is not ours to fill,
// and our form of errors.
var libraries = sync.OnceFunc(func() {
	gin.SetMode(gin.ReleaseMode)
	huma.NewError = newError
})
