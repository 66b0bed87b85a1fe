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

func BenchmarkRows100k(b *testing.B) {
	data := tableOf(100_000)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if n, bad := drain(b, data, labfile.Options{}); n != 100_000 || bad > 0 {
			b.Fatal(n, bad)
		}
	}
}
