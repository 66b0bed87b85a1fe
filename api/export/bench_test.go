package export

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"runtime"
	"testing"
	"time"

	"pourpath/api/store"
)

// manyReadings is a store with 100,000 readings, of one wine each or of ten
// wines.
func manyReadings(b *testing.B, wines int) *store.Store {
	b.Helper()
	s := open(b)
	var file bytes.Buffer
	file.WriteString("name,a420,a520,a620,path_mm,instrument,replicate\n")
	for i := range 100_000 {
		fmt.Fprintf(&file, "wine %d,%.4f,%.4f,0.1,10,bench %d,%d\n", i%wines, 0.5+float64(i)*1e-5, 0.3+float64(i)*1e-5, i%3, 1+i/wines%1000)
	}
	if got := importFile(b, s, "many.csv", file.String()); got.Accepted != 100_000 {
		b.Fatalf("%d accepted: %+v", got.Accepted, got.Rows[:3])
	}
	return s
}

// BenchmarkExport reports beside the time the most memory that was in use at any
// time: it must not grow with the number of readings.
func BenchmarkExport(b *testing.B) {
	ctx := context.Background()
	for _, wines := range []int{1000, 100_000} {
		s := manyReadings(b, wines)
		for _, row := range []struct {
			name string
			run  func() error
		}{
			{"csv", func() error { return CSV(ctx, s, Readings, io.Discard) }},
			{"xlsx", func() error { return XLSX(ctx, s, io.Discard, Readings) }},
		} {
			b.Run(fmt.Sprintf("%s/readings=100000/wines=%d", row.name, wines), func(b *testing.B) {
				b.ReportMetric(mostMemory(func() {
					for b.Loop() {
						if err := row.run(); err != nil {
							b.Fatal(err)
						}
					}
				}), "peak-MB")
			})
		}
	}
}

// mostMemory is the most heap in use while f runs, in MB.
func mostMemory(f func()) float64 {
	runtime.GC()
	done, most := make(chan bool), make(chan uint64)
	go func() {
		var top uint64
		for {
			select {
			case <-done:
				most <- top
				return
			case <-time.After(10 * time.Millisecond):
				var m runtime.MemStats
				runtime.ReadMemStats(&m)
				top = max(top, m.HeapInuse)
			}
		}
	}()
	f()
	close(done)
	return float64(<-most) / 1e6
}
