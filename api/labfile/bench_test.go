package labfile_test

import (
	"bytes"
	"fmt"
	"testing"

	"pourpath/api/labfile"
)

// tableOf makes a file of one wine a row with ten columns.
func tableOf(rows int) []byte {
	var b bytes.Buffer
	b.WriteString("name,kind,lot,vintage,a420,a520,a620,path_mm,taken_at,instrument\n")
	for i := range rows {
		fmt.Fprintf(&b, "Wine %06d,red,T%d,2025,0.%03d,0.%03d,0.%03d,1,2026-11-%02dT14:%02d:00Z,UV-1\n", i, i%40, 300+i%200, 400+i%300, 100+i%50, 1+i%28, i%60)
	}
	return b.Bytes()
}

func drain(tb testing.TB, data []byte, o labfile.Options) (n, rejected int) {
	tb.Helper()
	f, err := labfile.Open(bytes.NewReader(data), int64(len(data)), "file", o)
	if err != nil {
		tb.Fatal(err)
	}
	defer closed(tb, f)
	for e, err := range f.Entries() {
		if err != nil {
			tb.Fatal(err)
		}
		n++
		if len(e.Faults) > 0 {
			rejected++
		}
	}
	return n, rejected
}

// BenchmarkRows100k reads 100,000 wines of ten columns.
func BenchmarkRows100k(b *testing.B) { bench(b, tableOf(100_000), 100_000) }

// BenchmarkCommas100k reads the same with decimal commas.
func BenchmarkCommas100k(b *testing.B) {
	data := bytes.ReplaceAll(tableOf(100_000), []byte{','}, []byte{';'})
	bench(b, bytes.ReplaceAll(data, []byte("0."), []byte("0,")), 100_000)
}

// BenchmarkLong reads 100,000 wines of three rows each.
func BenchmarkLong(b *testing.B) {
	var text bytes.Buffer
	text.WriteString("name,nm,absorbance,path_mm\n")
	for i := range 100_000 {
		for _, nm := range []int{420, 520, 620} {
			fmt.Fprintf(&text, "Wine %06d,%d,0.%03d,1\n", i, nm, 700-nm)
		}
	}
	bench(b, text.Bytes(), 100_000)
}

// BenchmarkScansCSV reads 500 scans of 2,001 wavelengths in columns.
func BenchmarkScansCSV(b *testing.B) {
	var text bytes.Buffer
	text.WriteString("nm")
	for i := range 500 {
		fmt.Fprintf(&text, ",Wine %d", i)
	}
	for r := range 2001 {
		fmt.Fprintf(&text, "\n%.1f", 380+0.2*float64(r))
		for i := range 500 {
			fmt.Fprintf(&text, ",0.%04d", i+r)
		}
	}
	bench(b, text.Bytes(), 500)
}

func bench(b *testing.B, data []byte, want int) {
	b.Helper()
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if n, bad := drain(b, data, labfile.Options{}); n != want || bad > 0 {
			b.Fatal(n, bad)
		}
	}
}
