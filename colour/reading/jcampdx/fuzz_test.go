package jcampdx

import (
	"bytes"
	"math"
	"os"
	"testing"
	"unicode/utf8"
)

// FuzzParse: whatever the bytes, Parse ends without a panic, and every block
// is either rejected with a reason or a spectrum that holds what Block says.
func FuzzParse(f *testing.F) {
	for _, name := range []string{"wine_scan.dx", "compound.dx", "aquation.dx"} {
		data, err := os.ReadFile("testdata/" + name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte(file("400", "402", 3, "1", "400?S3")))
	f.Add([]byte(file("1e308", "-1e308", 3, "1e308", "400A99999S4")))
	f.Add([]byte("##TITLE=\r\r\n##BLOCKS=1\n##TITLE=$$\n##=\n##XYPOINTS=(XY..XY)\n1,2;3 ?"))
	f.Fuzz(func(t *testing.T, data []byte) {
		blocks, err := Parse(bytes.NewReader(data))
		if err == nil && len(blocks) == 0 && !bytes.Contains(data, []byte("##")) {
			t.Error("neither a block nor an error")
		}
		for _, b := range blocks {
			if !utf8.ValidString(b.Title) || b.PathMM < 0 || len(b.Faults) > MaxFaults {
				t.Errorf("%+v", b)
			}
			if b.Faults.Err() != nil {
				if b.NM != nil || b.Ordinates != nil {
					t.Error("a rejected block holds data")
				}
				continue
			}
			if len(b.NM) == 0 || len(b.NM) != len(b.Ordinates) || len(b.NM) > MaxPoints || b.Quantity == NoQuantity {
				t.Errorf("an accepted block of %d wavelengths and %d ordinates, %v", len(b.NM), len(b.Ordinates), b.Quantity)
			}
			for i, nm := range b.NM {
				if !(nm > 0) || math.IsInf(nm, 0) || math.IsNaN(b.Ordinates[i]) || math.IsInf(b.Ordinates[i], 0) || i > 0 && nm <= b.NM[i-1] {
					t.Fatalf("point %d: %g at %g nm", i, b.Ordinates[i], nm)
				}
			}
		}
	})
}
