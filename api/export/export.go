package export

import (
	"context"
	"slices"

	lru "github.com/hashicorp/golang-lru/v2"

	"pourpath/api/record"
	"pourpath/api/store"
)

// What names a table.
type What string

// The tables that there are.
const (
	Readings   What = "readings"
	Spectra    What = "spectra"
	Wines      What = "wines"
	Targets    What = "targets"
	Trials     What = "trials"
	Panels     What = "panels"
	Specs      What = "specs"
	Lots       What = "lots"
	Verdicts   What = "verdicts"
	Decisions  What = "decisions"
	Statements What = "statements"
	Checks     What = "instrument_checks"
	Imports    What = "imports"
)

// All lists the tables in the order of a workbook's sheets. Readings come first,
// as an import reads the first sheet unless another is named.
func All() []What {
	return []What{Readings, Spectra, Wines, Targets, Trials, Panels, Specs, Lots, Verdicts, Decisions, Statements, Checks, Imports}
}

// Known reports whether there is such a table.
func (w What) Known() bool { return slices.Contains(All(), w) }

// pageSize is how many records are held at a time: a page of the longest scans
// (10,000 wavelengths) takes some tens of megabytes.
const pageSize = 200

// table is what one CSV file or sheet holds. A cell is nil, string, int, int64,
// float64 or calc.Decimal.
type table struct {
	name   string
	header []string
	// rows hands each row to put, which does not keep it.
	rows func(ctx context.Context, put func([]any) error) error
}

// exporter is one export under way.
type exporter struct {
	store  *store.Store
	survey *survey // nil before it was made
	wines  *lru.Cache[string, about]
	// mostWaves is how many columns of wavelengths a table of scans may have.
	mostWaves int
}

// rememberedWines is how many wines are kept in mind while their readings are
// written.
const rememberedWines = 20000

func newExporter(s *store.Store, mostWaves int) *exporter {
	wines, err := lru.New[string, about](rememberedWines)
	if err != nil { // only for a size below 1
		panic(err)
	}
	return &exporter{store: s, wines: wines, mostWaves: mostWaves}
}

// tables are those of what: one, or several where scans have more wavelengths
// than one table may have.
func (e *exporter) tables(ctx context.Context, what What) ([]table, error) {
	switch what {
	case Readings:
		return e.readingTable(ctx)
	case Spectra:
		return e.spectraTables(ctx)
	case Wines:
		return []table{e.wineTable()}, nil
	case Targets:
		return []table{e.targetTable()}, nil
	case Trials:
		return []table{e.trialTable()}, nil
	case Panels:
		return []table{e.panelTable()}, nil
	case Specs:
		return []table{e.specTable()}, nil
	case Lots:
		return []table{e.lotTable()}, nil
	case Verdicts:
		return []table{e.verdictTable()}, nil
	case Decisions:
		return []table{e.decisionTable()}, nil
	case Statements:
		return []table{e.statementTable()}, nil
	case Checks:
		return []table{e.checkTable()}, nil
	case Imports:
		return []table{e.importTable()}, nil
	}
	return nil, unknown(what)
}

// each hands all records of a list to f, a page at a time.
func each[T any](ctx context.Context, list func(context.Context, record.Page) ([]T, error), id func(T) string, after string, f func(T) (more bool, err error)) error {
	for {
		page, err := list(ctx, record.Page{After: after, Limit: pageSize, Archived: true})
		if err != nil || len(page) == 0 {
			return err
		}
		for _, r := range page {
			if more, err := f(r); err != nil || !more {
				return err
			}
		}
		after = id(page[len(page)-1])
	}
}

// given is what a pointer points to, or nil.
func given[T any](p *T) any {
	if p == nil {
		return nil
	}
	return *p
}

// at is a time, or nil.
func at(t *record.Instant) any {
	if t == nil {
		return nil
	}
	return t.String()
}

// word is a text, or nil for none.
func word[S ~string](s S) any {
	if s == "" {
		return nil
	}
	return string(s)
}
