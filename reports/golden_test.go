package reports_test

import (
	"bytes"
	"flag"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"pourpath/reports"

	"gonum.org/v1/plot/cmpimg"
)

var update = flag.Bool("update", false, "write the golden figures anew; look at them before committing")

// formats are the three ways out of a figure.
var formats = []struct {
	name  string
	write func(reports.LadderFigure, io.Writer) error
}{
	{"svg", reports.LadderFigure.WriteSVG},
	{"png", reports.LadderFigure.WritePNG},
	{"pdf", reports.LadderFigure.WritePDF},
}

func drawn(t testing.TB, f reports.LadderFigure, write func(reports.LadderFigure, io.Writer) error) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := write(f, &b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// The pictures in testdata were looked at by eye; a change shows here first.
// PNG pixels may differ by a hundredth of the full range, for the last bit of
// floating point on another machine.
func TestGolden(t *testing.T) {
	plain := realistic(t)
	plain.Target, plain.Nearest, plain.Acceptable, plain.Nominal = nil, nil, nil, nil
	plain.Measured, plain.Predicted = nil, nil
	for _, tt := range []struct {
		name    string
		figure  reports.LadderFigure
		formats []string
	}{
		{"ladder", realistic(t), []string{"svg", "png", "pdf"}},
		{"ladder_no_target", plain, []string{"svg"}},
		{"ladder_empty", reports.LadderFigure{View: plain.View}, []string{"svg"}},
	} {
		for _, format := range formats {
			if !slices.Contains(tt.formats, format.name) {
				continue
			}
			t.Run(tt.name+"."+format.name, func(t *testing.T) {
				golden(t, tt.name, format.name, drawn(t, tt.figure, format.write))
			})
		}
	}
}

// golden holds a picture against the one that was looked at.
func golden(t *testing.T, name, format string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name+"."+format)
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v (run with -update to write it)", err)
	}
	same, err := cmpimg.EqualApprox(format, got, want, 0.01)
	if err != nil {
		t.Fatal(err)
	}
	if !same {
		kept := filepath.Join(t.ArtifactDir(), filepath.Base(file))
		if err := os.WriteFile(kept, got, 0o644); err != nil {
			t.Error(err)
		}
		t.Errorf("differs from %s; -artifacts keeps the new one, %s", file, kept)
	}
}

func TestSameFigureSameBytes(t *testing.T) {
	f := realistic(t)
	for _, format := range formats {
		if !bytes.Equal(drawn(t, f, format.write), drawn(t, f, format.write)) {
			t.Errorf("%s: two drawings of one figure differ", format.name)
		}
	}
}
