//go:build outside

package cie

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// The range of the file that Argyll reads. It extends a shorter file by its
// last values, so the curves are cut to zero outside the package's own range;
// Argyll then sums over 380-780 nm as well.
const (
	argyllFirstNM = 360
	argyllLastNM  = 830
)

// argyllAnswer is what spec2cie computed for a file of curves.
type argyllAnswer struct {
	lampWhite XYZ // of the lamp over Argyll's whole range
	rows      []argyllRow
}

// argyllRow is its answer for one curve. lab refers to lampWhite; it is absent
// for D50, for which Argyll uses the rounded white of ICC profiles instead.
type argyllRow struct {
	xyz    XYZ
	lab    Lab
	hasLab bool
}

// writeArgyllSpectra writes the curves at 1 nm, in per cent, as one file in
// the keyword format (CGATS.17) that spec2cie reads, and gives its name.
func writeArgyllSpectra(t *testing.T, curves []func(float64) float64) string {
	t.Helper()
	bands := argyllLastNM - argyllFirstNM + 1
	var out bytes.Buffer
	fmt.Fprint(&out, "SPECT\n\nORIGINATOR \"test\"\n")
	for _, k := range [][2]string{
		{"MEAS_TYPE", "TRANSMISSIVE"},
		{"SPECTRAL_BANDS", strconv.Itoa(bands)},
		{"SPECTRAL_START_NM", strconv.Itoa(argyllFirstNM)},
		{"SPECTRAL_END_NM", strconv.Itoa(argyllLastNM)},
		{"SPECTRAL_NORM", "100"},
	} {
		fmt.Fprintf(&out, "KEYWORD %q\n%s %q\n", k[0], k[0], k[1])
	}
	fmt.Fprintf(&out, "NUMBER_OF_FIELDS %d\nBEGIN_DATA_FORMAT\nSAMPLE_ID", bands+1)
	for nm := argyllFirstNM; nm <= argyllLastNM; nm++ {
		fmt.Fprintf(&out, " SPEC_%d", nm)
	}
	fmt.Fprintf(&out, "\nEND_DATA_FORMAT\nNUMBER_OF_SETS %d\nBEGIN_DATA\n", len(curves))
	for i, curve := range curves {
		fmt.Fprint(&out, i+1)
		for nm := argyllFirstNM; nm <= argyllLastNM; nm++ {
			percent := 0.0
			if nm >= FirstNM && nm <= LastNM {
				percent = 100 * curve(float64(nm))
			}
			fmt.Fprintf(&out, " %.12f", percent)
		}
		fmt.Fprintln(&out)
	}
	fmt.Fprint(&out, "END_DATA\n")
	file := filepath.Join(t.TempDir(), "curves.sp")
	if err := os.WriteFile(file, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// runSpec2cie has Argyll compute the colours of a file of curves.
func runSpec2cie(t *testing.T, view View, file string) argyllAnswer {
	t.Helper()
	program, err := exec.LookPath("spec2cie")
	if err != nil {
		t.Fatal("spec2cie is missing: install Debian's package argyll (apt-get install argyll)")
	}
	observer := map[Observer]string{"2": "1931_2", "10": "1964_10"}[view.Observer]
	answer := filepath.Join(t.TempDir(), "answer.sp")
	run := exec.Command(program, "-n", "-i", string(view.Illuminant), "-o", observer, file, answer)
	if out, err := run.CombinedOutput(); err != nil {
		t.Fatalf("%v: %v\n%s", run.Args, err, out)
	}
	text, err := os.ReadFile(answer)
	if err != nil {
		t.Fatal(err)
	}
	return readArgyll(t, view, string(text))
}

// readArgyll takes the white and the colours out of spec2cie's answer.
func readArgyll(t *testing.T, view View, text string) argyllAnswer {
	t.Helper()
	var answer argyllAnswer
	var fields []string
	section := ""
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		white, isWhite := strings.CutPrefix(line, "ILLUMINANT_WHITE_POINT_XYZ ")
		switch {
		case isWhite:
			v := argyllNumbers(t, strings.Fields(strings.Trim(white, `"`)))
			answer.lampWhite = XYZ{X: 100 * v[0], Y: 100 * v[1], Z: 100 * v[2]}
		case strings.HasPrefix(line, "BEGIN_"), strings.HasPrefix(line, "END_"):
			section = line
		case section == "BEGIN_DATA_FORMAT":
			fields = append(fields, strings.Fields(line)...)
		case section == "BEGIN_DATA" && line != "":
			answer.rows = append(answer.rows, readArgyllRow(t, view, fields, strings.Fields(line)))
		}
	}
	return answer
}

func readArgyllRow(t *testing.T, view View, fields, values []string) argyllRow {
	t.Helper()
	if len(values) != len(fields) {
		t.Fatalf("spec2cie gave %d values for %d fields: %v", len(values), len(fields), values)
	}
	at := make(map[string]float64)
	for i, v := range argyllNumbers(t, values) {
		at[fields[i]] = v
	}
	pick := func(prefix, letters string) (three [3]float64, ok bool) {
		for i, letter := range letters {
			three[i], ok = at[prefix+string(letter)]
			if !ok {
				return three, false
			}
		}
		return three, true
	}
	xyz, ok := pick("XYZ_", "XYZ")
	lab, hasLab := pick(string(view.Illuminant)+"LAB_", "LAB")
	if !ok || hasLab == (view.Illuminant == "D50") {
		t.Fatalf("spec2cie gave other columns than expected: %v", fields)
	}
	return argyllRow{
		xyz:    XYZ{X: xyz[0], Y: xyz[1], Z: xyz[2]},
		lab:    Lab{L: lab[0], A: lab[1], B: lab[2], View: view},
		hasLab: hasLab,
	}
}

func argyllNumbers(t *testing.T, words []string) []float64 {
	t.Helper()
	numbers := make([]float64, len(words))
	for i, word := range words {
		var err error
		if numbers[i], err = strconv.ParseFloat(word, 64); err != nil {
			t.Fatalf("spec2cie: %v", err)
		}
	}
	return numbers
}
