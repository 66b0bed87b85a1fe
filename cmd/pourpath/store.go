package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"

	"github.com/adrg/xdg"
	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/api/store"
)

// storeFlags say where the records are.
type storeFlags struct{ data, database string }

// add adds the flags to a command.
func (f *storeFlags) add(c *cobra.Command) {
	c.Flags().StringVar(&f.data, "data", filepath.Join(xdg.DataHome, "pourpath"), "data folder `DIR`")
	c.Flags().StringVar(&f.database, "database", "", "`URL` of a PostgreSQL database to keep the records in, instead of the data folder")
}

// open opens the store.
func (f storeFlags) open(ctx context.Context) (*store.Store, error) {
	if f.database != "" && !strings.HasPrefix(f.database, "postgres://") && !strings.HasPrefix(f.database, "postgresql://") {
		return nil, usage("--database: want the address of a PostgreSQL database, such as postgres://user@host:5432/name")
	}
	return store.Open(ctx, store.Config{Dir: f.data, URL: f.database})
}

// there says whether records may be found: a data folder that is not there has
// none, and is not made only to be looked into.
func (f storeFlags) there() bool {
	_, err := os.Stat(f.data)
	return f.database != "" || err == nil
}

// lateCellar opens the store only when a request names a stored wine: most
// calculations need none. A store that is not there is not made.
type lateCellar struct {
	flags storeFlags
	store *store.Store
}

func (l *lateCellar) opened(ctx context.Context) (*store.Store, error) {
	if l.store != nil {
		return l.store, nil
	}
	if !l.flags.there() {
		return nil, calc.ErrNotStored
	}
	var err error
	l.store, err = l.flags.open(ctx)
	return l.store, err
}

// StoredWine implements calc.Cellar.
func (l *lateCellar) StoredWine(ctx context.Context, id string) (calc.StoredWine, error) {
	s, err := l.opened(ctx)
	if err != nil {
		return calc.StoredWine{}, err
	}
	return s.StoredWine(ctx, id)
}

// StoredTarget implements calc.Cellar.
func (l *lateCellar) StoredTarget(ctx context.Context, id string) (calc.StoredTarget, error) {
	s, err := l.opened(ctx)
	if err != nil {
		return calc.StoredTarget{}, err
	}
	return s.StoredTarget(ctx, id)
}

// close lets go of the store, if it was opened.
func (l *lateCellar) close() error {
	if l.store == nil {
		return nil
	}
	return l.store.Close()
}
