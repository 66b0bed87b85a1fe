// Package release is the release check as whoever does it works with it: it makes
// specifications and versions of them, judges samples of lots and judges them
// again, advises on a bottling run, keeps decisions, issues statements of
// conformity, computes stored verdicts anew, charts lots over time, and learns
// from them how their colour drifts. The API, the pages and the
// command line show what it answers.
//
// Nothing is judged by default: what is not told (which of two specifications,
// which verdict) is asked, in a *calc.Problem with its place.
package release

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"sync"

	lru "github.com/hashicorp/golang-lru/v2"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/hook"
	"pourpath/api/record"
	"pourpath/api/store"
)

// Release answers about the lots of a store. It may be used concurrently.
type Release struct {
	store   *store.Store
	bench   *bench.Bench
	version string // of the program
	// Hook is told of verdicts that changed and of decisions; nil for nobody. Set it
	// before the first use.
	Hook *hook.Hook
	// checkers are remembered by specification and version, which never change.
	checkers *lru.Cache[string, calc.Checker]
	// known are the lots of products and specifications that were charted.
	known    *lru.Cache[record.FigureOf, *chartSeries]
	seriesMu sync.Mutex // of making one
	// forecasts are remembered by lot and what was learned.
	forecasts *lru.Cache[string, LotDrift]
	drift     driftMemory
}

// remembered is how many specifications are ready to judge by: a year of a large
// cellar's.
const remembered = 256

// rememberedForecasts is how many lots' forecasts are kept: each takes tens of
// milliseconds.
const rememberedForecasts = 1024

// New returns the release check of a store, with the bench that knows its trials
// and the version of the program, which each verdict keeps.
func New(s *store.Store, b *bench.Bench, version string) *Release {
	checkers, err := lru.New[string, calc.Checker](remembered)
	if err != nil { // only for a size below 1
		panic(err)
	}
	known, err := lru.New[record.FigureOf, *chartSeries](seriesAtOnce)
	if err != nil {
		panic(err)
	}
	forecasts, err := lru.New[string, LotDrift](rememberedForecasts)
	if err != nil { // as above
		panic(err)
	}
	return &Release{store: s, bench: b, version: version, checkers: checkers, known: known, forecasts: forecasts}
}

// checker is a version of a specification, ready to judge by.
func (r *Release) checker(spec record.Spec) (calc.Checker, error) {
	key := fmt.Sprintf("%s %d", spec.ID, spec.Version)
	if c, ok := r.checkers.Get(key); ok {
		return c, nil
	}
	c, err := calc.NewChecker(spec.Spec, spec.View)
	if err == nil {
		r.checkers.Add(key, c)
	}
	return c, err
}

// noted are the warnings on a sample that do not follow from its colour: the
// state of the wine, and the instrument's checks at the time.
func (r *Release) noted(ctx context.Context, sample record.SampleBody, at record.Instant, spec record.Spec) ([]calc.Warning, error) {
	out := record.StateWarnings(sample.State, spec.ReferenceState)
	checks, err := r.store.ChecksAt(ctx, sample.Instrument, at)
	return append(out, record.InstrumentWarnings(checks, at)...), err
}

// jsonText writes v as one line of JSON whose bytes an answer repeats unchanged.
func jsonText(v any) ([]byte, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, fmt.Errorf("release: %w", err)
	}
	return bytes.TrimSuffix(out.Bytes(), []byte("\n")), nil
}

func refuse(location string, value any, format string, args ...any) error {
	return calc.Refuse(calc.Fault{Location: location, Value: value, Message: fmt.Sprintf(format, args...)})
}
