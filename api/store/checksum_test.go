package store

import (
	"context"
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pourpath/api/record"
)

// rows has one row of each table that is written through a type of its own.
func rows() []row {
	return []row{
		&wineRow{}, &readingRow{}, &targetRow{}, &fileRow{}, &pieceRow{}, &mappingRow{}, &fileImportRow{}, &importRow{},
		&trialRow{}, &glassRow{}, &entryRow{}, &specRow{}, &lotRow{}, &sampleRow{}, &verdictRow{},
		&lotDetailRow{}, &decisionRow{}, &statementRow{}, &checkRow{}, &archivingRow{}, &deviceRow{}, &pairingRow{},
	}
}

// TestChecksumCoversEveryField: a change of any field that is stored changes the
// checksum, but for those that are left out with a reason.
func TestChecksumCoversEveryField(t *testing.T) {
	leftOut := []string{"BaseModel", "Checksum", "Fingerprint", "SupersededBy", "ArchiveReason@wineRow", "Bytes@fileImportRow", "LotID@verdictRow", "UsedAt@deviceRow", "Address@deviceRow"}
	for _, r := range rows() {
		v := reflect.ValueOf(r).Elem()
		for i := range v.NumField() {
			name := v.Type().Field(i).Name
			if slices.Contains(leftOut, name) || slices.Contains(leftOut, name+"@"+v.Type().Name()) {
				continue
			}
			seal(r)
			before := *r.stored()
			touch(t, v.Field(i))
			if checksum(r.values()) == before {
				t.Errorf("%s.%s is not covered by the checksum", v.Type().Name(), name)
			}
		}
	}
}

// touch sets a field to something that it is not.
func touch(t *testing.T, f reflect.Value) {
	t.Helper()
	switch f.Interface().(type) {
	case string:
		f.SetString("x")
	case int64:
		f.SetInt(7)
	case float64:
		f.SetFloat(7)
	case []byte:
		f.SetBytes([]byte("x"))
	case record.Instant:
		f.Set(reflect.ValueOf(record.At(time.Unix(1, 0))))
	case *string, *int64, *float64, *record.Instant:
		f.Set(reflect.New(f.Type().Elem()))
	default:
		t.Fatalf("a field of type %v", f.Type())
	}
}

// TestTablesListEveryColumn: the list that archives and verifications go by is
// the database's own.
func TestTablesListEveryColumn(t *testing.T) {
	s, ctx := open(t), context.Background()
	list := "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
	if s.postgres {
		list = "SELECT tablename FROM pg_tables WHERE schemaname = 'public'"
	}
	var there, known []string
	if err := s.read.NewRaw(list).Scan(ctx, &there); err != nil {
		t.Fatal(err)
	}
	there = slices.DeleteFunc(there, func(name string) bool { return name == "goose_db_version" })
	for _, table := range append(slices.Concat(tables, sessionTables), figureTable) {
		known = append(known, table.name)
		rows, err := s.read.QueryContext(ctx, "SELECT * FROM "+table.name)
		if err != nil {
			t.Fatal(err)
		}
		columns, err := rows.Columns()
		if err != nil || strings.Join(columns, ", ") != table.names() {
			t.Errorf("%s has %v, %v; listed are %s", table.name, columns, err, table.names())
		}
		if err := errors.Join(rows.Err(), rows.Close()); err != nil { //nolint:sqlclosecheck // at once: the next one waits for its connection
			t.Error(err)
		}
	}
	slices.Sort(there)
	slices.Sort(known)
	if !slices.Equal(there, known) {
		t.Errorf("the database has %v, listed are %v", there, known)
	}
}

// TestListsAgree: the columns that are named in statements are those of the
// tables, and rows and tables compute one checksum.
func TestListsAgree(t *testing.T) {
	s, ctx := open(t), context.Background()
	_, r := added(t, s, white("Tank 1"), three(0.142, 0.118, 0.021))
	for _, table := range tables {
		switch table.name {
		case "wine":
			if table.names() != wineColumns {
				t.Errorf("wine: %s and %s", table.names(), wineColumns)
			}
		case "reading":
			if table.names() != readingColumns {
				t.Errorf("reading: %s and %s", table.names(), readingColumns)
			}
			n := 0
			if err := table.each(ctx, s.read, func([]any) error { n++; return nil }, nil); err != nil || n != 1 {
				t.Errorf("%d readings by the table's own checksum, %v", n, err)
			}
		}
	}
	if _, err := s.Reading(ctx, r.ID); err != nil {
		t.Error(err)
	}
}

// TestDamagedRow: a row that is not what was written is an error wherever it is
// read, and verify names it.
func TestDamagedRow(t *testing.T) {
	s, ctx := open(t), context.Background()
	wine, r := added(t, s, white("Tank 1"), three(0.142, 0.118, 0.021))
	if _, err := s.write.ExecContext(ctx, "UPDATE wine SET notes = 'not what was written'"); err != nil {
		t.Fatal(err)
	}
	for name, read := range map[string]func() error{
		"wine":    func() error { _, err := s.Wine(ctx, wine.ID); return err },
		"list":    func() error { _, err := s.Wines(ctx, record.Page{Limit: 5}); return err },
		"change":  func() error { _, err := s.ChangeWine(ctx, wine.ID, 1, white("x")); return err },
		"reading": func() error { _, err := s.AddReading(ctx, wine.ID, three(0.1, 0.1, 0)); return err },
		"archive": func() error { _, err := s.Archive(ctx, &strings.Builder{}); return err },
	} {
		if err := read(); !errors.Is(err, record.ErrDamaged) {
			t.Errorf("%s: %v, want ErrDamaged", name, err)
		}
	}
	v, err := s.Verify(ctx)
	if err != nil || len(v.Findings) != 1 || !strings.Contains(v.Findings[0].Place, wine.ID) {
		t.Errorf("verify finds %+v, %v, want the wine", v.Findings, err)
	}
	if _, err := s.Reading(ctx, r.ID); err != nil {
		t.Errorf("a row beside it: %v", err)
	}
}
