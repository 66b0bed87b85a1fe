package intake_test

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/xuri/excelize/v2"

	"pourpath/api/intake"
	"pourpath/api/store"
)

const fileRows = 100000

// labExport is a file of ten columns: ten readings of each of 10,000 wines, which
// differ by what an instrument repeats to.
func labExport(rows int) []byte {
	random := rand.New(rand.NewPCG(1, 2))
	var text bytes.Buffer
	text.WriteString("name,kind,lot,a420,a520,a620,path_mm,instrument,analyst,taken_at\n")
	noise := func() float64 { return 0.002 * random.NormFloat64() }
	for i := range rows {
		wine := i % (rows / 10)
		tone := float64(wine%100) / 1000
		fmt.Fprintf(&text, "Tank %d,white,L%d,%.4f,%.4f,%.4f,10,bench 2,lab,2026-%02d-%02dT%02d:%02d:00Z\n", wine, wine%7,
			0.1+tone+noise(), 0.08+tone+noise(), 0.02+noise(), 1+i*10/rows, 1+i%28, i%24, i%60)
	}
	return text.Bytes()
}

// BenchmarkTake imports such a file into an empty SQLite store, from its bytes
// to the answer. It is held against BenchmarkBareInsert of package store, which
// only inserts as many rows into the same tables.
func BenchmarkTake(b *testing.B) {
	file := labExport(fileRows)
	b.SetBytes(int64(len(file)))
	for b.Loop() {
		s, err := store.Open(context.Background(), store.Config{Dir: b.TempDir()})
		if err != nil {
			b.Fatal(err)
		}
		i, err := intake.Take(context.Background(), s, "readings.csv", bytes.NewReader(file), intake.Options{})
		if err != nil || i.Accepted != fileRows {
			b.Fatal(err, i.Accepted)
		}
		if err := s.Close(); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(fileRows*float64(b.N)/b.Elapsed().Seconds(), "readings/s")
}

// BenchmarkScans imports a workbook with scans of 500 wines at 2,001 wavelengths,
// a column a wine.
func BenchmarkScans(b *testing.B) {
	const wines = 500
	file := scans(b, wines)
	for b.Loop() {
		s, err := store.Open(context.Background(), store.Config{Dir: b.TempDir()})
		if err != nil {
			b.Fatal(err)
		}
		i, err := intake.Take(context.Background(), s, "scans.xlsx", bytes.NewReader(file), intake.Options{})
		if err != nil || i.Accepted != wines {
			b.Fatal(err, i.Accepted)
		}
		if err := s.Close(); err != nil {
			b.Fatal(err)
		}
	}
}

func scans(b *testing.B, wines int) []byte {
	b.Helper()
	book := excelize.NewFile()
	w, err := book.NewStreamWriter("Sheet1")
	if err != nil {
		b.Fatal(err)
	}
	cells := make([]any, wines+1)
	cells[0] = "nm"
	for i := range wines {
		cells[i+1] = fmt.Sprintf("Tank %d", i)
	}
	for row := range 2002 {
		if row > 0 {
			nm := 380 + 0.2*float64(row-1)
			cells[0] = nm
			for i := range wines {
				cells[i+1] = 0.1 + float64(i)/1e4 + (780-nm)/4000
			}
		}
		place, err := excelize.CoordinatesToCellName(1, row+1)
		if err == nil {
			err = w.SetRow(place, cells)
		}
		if err != nil {
			b.Fatal(err)
		}
	}
	var file bytes.Buffer
	if err := w.Flush(); err != nil {
		b.Fatal(err)
	}
	if err := book.Write(&file); err != nil {
		b.Fatal(err)
	}
	return file.Bytes()
}
