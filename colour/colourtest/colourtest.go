// Package colourtest holds what the tests of the science share: the comparison
// of two numbers and the reading of published tables. Only tests import it.
package colourtest

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// Near reports whether got is within abs of want, or within rel times |want|.
// NaN is near nothing, infinities only themselves.
func Near(got, want, abs, rel float64) bool {
	if math.IsInf(got, 0) || math.IsInf(want, 0) {
		return got == want
	}
	return math.Abs(got-want) <= math.Max(abs, rel*math.Abs(want))
}

// Rows reads a table of the folder testdata at the top of the project, without
// its comment lines and its heading. It fails t where there are no rows. Tests
// run in their package's folder, which must be two below the top.
func Rows(t testing.TB, file string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", filepath.FromSlash(file)))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	if len(rows) < 2 {
		t.Fatalf("%s: no rows", file)
	}
	return rows[1:]
}

// Number reads one field of a table.
func Number(t testing.TB, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Spectra reads a table with a row each 5 nm from 380 nm and a column each wine,
// into a curve type of 81 values. Wavelengths that it lacks at the end stay 0.
func Spectra[Curve ~[81]float64](t testing.TB, file string) []Curve {
	t.Helper()
	rows := Rows(t, file)
	out := make([]Curve, len(rows[0])-1)
	for i, row := range rows {
		for k := range out {
			out[k][i] = Number(t, row[k+1])
		}
	}
	return out
}
