package store

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"

	"github.com/pressly/goose/v3"
)

// The numbered steps from an empty database to the present one. A step is never
// changed once released: a change is a new step.
//
//go:embed migrations/*.sql
var steps embed.FS

// The steps that make the database itself refuse to change what is kept as it
// was; the two kinds of database word them differently.
var (
	//go:embed migrations/kept/sqlite.sql
	keptSQLite string
	//go:embed migrations/kept/postgres.sql
	keptPostgres string
	//go:embed migrations/kept/trials_sqlite.sql
	keptTrialsSQLite string
	//go:embed migrations/kept/trials_postgres.sql
	keptTrialsPostgres string
	//go:embed migrations/kept/release_sqlite.sql
	keptReleaseSQLite string
	//go:embed migrations/kept/release_postgres.sql
	keptReleasePostgres string
	//go:embed migrations/kept/archiving_sqlite.sql
	keptArchivingSQLite string
	//go:embed migrations/kept/archiving_postgres.sql
	keptArchivingPostgres string
	//go:embed migrations/kept/undo_sqlite.sql
	keptUndoSQLite string
	//go:embed migrations/kept/undo_postgres.sql
	keptUndoPostgres string
	//go:embed migrations/kept/panel_sqlite.sql
	keptPanelSQLite string
	//go:embed migrations/kept/panel_postgres.sql
	keptPanelPostgres string
	//go:embed migrations/kept/bottling_sqlite.sql
	keptBottlingSQLite string
	//go:embed migrations/kept/bottling_postgres.sql
	keptBottlingPostgres string
)

// TooNewError is that the database was written by a later version of the
// program.
type TooNewError struct{ Has, Knows int64 }

func (e *TooNewError) Error() string {
	return fmt.Sprintf("store: the records were written by a later version of this program (step %d; this one knows %d): use that version, or restore a backup into an empty folder", e.Has, e.Knows)
}

// statements is a step of plain SQL that is another for each kind of database.
func statements(step int64, text string) *goose.Migration {
	return goose.NewGoMigration(step, &goose.GoFunc{RunTx: func(ctx context.Context, tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, text)
		return err
	}}, nil)
}

// migrate brings the database to the present step. Whoever calls it makes sure
// that no other process does at the same time.
func migrate(ctx context.Context, db *sql.DB, dialect goose.Dialect, options ...goose.ProviderOption) error {
	files, err := fs.Sub(steps, "migrations")
	if err != nil {
		return fmt.Errorf("store: migrations: %w", err)
	}
	kept, keptTrials, keptRelease, keptArchiving, keptUndo := keptSQLite, keptTrialsSQLite, keptReleaseSQLite, keptArchivingSQLite, keptUndoSQLite
	keptPanel, keptBottling := keptPanelSQLite, keptBottlingSQLite
	if dialect == goose.DialectPostgres {
		keptPanel, keptBottling = keptPanelPostgres, keptBottlingPostgres
		kept, keptTrials, keptRelease, keptArchiving, keptUndo = keptPostgres, keptTrialsPostgres, keptReleasePostgres, keptArchivingPostgres, keptUndoPostgres
	}
	options = append(options, goose.WithDisableGlobalRegistry(true),
		goose.WithGoMigrations(statements(2, kept), statements(4, keptTrials), statements(6, keptRelease), filledFigures(8, dialect == goose.DialectPostgres),
			statements(10, keptArchiving), statements(12, keptUndo), statements(16, keptPanel), statements(18, keptBottling)))
	provider, err := goose.NewProvider(dialect, db, files, options...)
	if err != nil {
		return fmt.Errorf("store: migrations: %w", err)
	}
	has, err := provider.GetDBVersion(ctx)
	if err != nil {
		return fault("reading the database's version", err)
	}
	sources := provider.ListSources()
	if knows := sources[len(sources)-1].Version; has > knows {
		return &TooNewError{Has: has, Knows: knows}
	}
	if _, err := provider.Up(ctx); err != nil {
		return fault("bringing the database up to date", err)
	}
	return nil
}
