package store

import (
	"bytes"
	"context"
	"database/sql"
	"fmt"
	"iter"
	"strconv"
	"strings"
	"testing"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// entries makes n readings of n/10 wines.
func entries(n int) iter.Seq2[record.Entry, error] {
	return func(yield func(record.Entry, error) bool) {
		for i := range n {
			e := record.Entry{
				Row: i + 2, Place: fmt.Sprintf("row %d", i+2),
				Wine: record.WineFields{Name: fmt.Sprintf("Tank %d", i%max(1, n/10)), Kind: record.White},
				Measurement: record.Measurement{Readings: &calc.Readings{
					A420: 0.1 + float64(i%1000)/1e4, A520: 0.08 + float64(i)*1e-7, A620: 0.02,
				}},
				Circumstances: record.Circumstances{Instrument: "bench 2", Analyst: "lab"},
			}
			if !yield(e, nil) {
				return
			}
		}
	}
}

func labFile(name string, list iter.Seq2[record.Entry, error]) LabFile {
	content := strings.Repeat("x", 10)
	return LabFile{
		Name: name, SHA256: fmt.Sprintf("%064x", len(name)), Bytes: int64(len(content)), Content: bytes.NewReader([]byte(content)),
		Format: "csv", Layout: "one wine a row", Entries: list, Warnings: func() []calc.Warning { return nil },
	}
}

// importRows is how many readings the benchmarks bring in.
const importedRows = 100000

// BenchmarkImport brings readings of 10,000 new wines in, from entries: what is
// measured is the work of the store. BenchmarkBareInsert is what it is held
// against.
func BenchmarkImport(b *testing.B) {
	for b.Loop() {
		s := fresh(b)
		in, err := s.Import(context.Background(), labFile("x", entries(importedRows)), ImportOptions{})
		if err != nil || in.Accepted != importedRows {
			b.Fatal(err, in.Accepted)
		}
	}
	b.ReportMetric(importedRows*float64(b.N)/b.Elapsed().Seconds(), "readings/s")
}

// BenchmarkBareInsert puts the same rows into the same tables with their
// indexes by a prepared statement a row, in one transaction, and does nothing
// else.
func BenchmarkBareInsert(b *testing.B) {
	var wines, readings [][]any
	for e, err := range entries(importedRows) {
		if err != nil {
			b.Fatal(err)
		}
		i := len(readings)
		if i < importedRows/10 {
			w, err := wineRowOf(record.Wine{ID: newID(), WineFields: e.Wine, Version: 1})
			if err != nil {
				b.Fatal(err)
			}
			wines = append(wines, append(w.values(), w.Checksum))
		}
		r := e.Reading()
		r.ID, r.WineID = newID(), fmt.Sprint(wines[i%(importedRows/10)][0])
		row, err := readingRowOf(r)
		if err != nil {
			b.Fatal(err)
		}
		seal(row)
		readings = append(readings, append(row.values(), fingerprint(e.Wine.Name, "", row), row.Checksum))
	}
	for b.Loop() {
		s := fresh(b)
		tx, err := s.write.Begin()
		if err != nil {
			b.Fatal(err)
		}
		bare(b, tx.Tx, "wine", wines)
		bare(b, tx.Tx, "reading", readings)
		if err := tx.Commit(); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(importedRows*float64(b.N)/b.Elapsed().Seconds(), "readings/s")
}

func bare(b *testing.B, tx *sql.Tx, table string, rows [][]any) {
	b.Helper()
	insert, err := tx.Prepare("INSERT INTO " + table + " VALUES (" + strings.TrimSuffix(strings.Repeat("?,", len(rows[0])), ",") + ")")
	if err != nil {
		b.Fatal(err)
	}
	defer func() {
		if err := insert.Close(); err != nil {
			b.Error(err)
		}
	}()
	for _, row := range rows {
		if _, err := insert.Exec(row...); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPage reads a page of 100 from the middle of the list of all readings,
// with a thousand stored and with a million.
func BenchmarkPage(b *testing.B) {
	for _, stored := range []int{1000, 1000000} {
		b.Run(strconv.Itoa(stored), func(b *testing.B) {
			s, ctx := fresh(b), context.Background()
			if _, err := s.Import(ctx, labFile("x", entries(stored)), ImportOptions{}); err != nil {
				b.Fatal(err)
			}
			var middle []string
			if err := s.read.NewRaw("SELECT id FROM reading ORDER BY id LIMIT 1 OFFSET ?", stored/2).Scan(ctx, &middle); err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				list, err := s.Readings(ctx, record.Page{After: middle[0], Limit: 100})
				if err != nil || len(list) != 100 {
					b.Fatal(len(list), err)
				}
			}
		})
	}
}

// fresh opens an empty SQLite store.
func fresh(tb testing.TB) *Store {
	tb.Helper()
	s, err := Open(context.Background(), Config{Dir: tb.TempDir()})
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := s.Close(); err != nil {
			tb.Error(err)
		}
	})
	return s
}
