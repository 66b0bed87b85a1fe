package reports_test

import (
	"bytes"
	"errors"
	"slices"
	"sync"
	"testing"

	"pourpath/reports"
)

// The pictures in testdata were looked at by eye, in grey too.
func TestGoldenCharts(t *testing.T) {
	for _, tt := range []struct {
		name    string
		figure  reports.Figure
		formats []string
	}{
		{"chart_individuals", individualsFigure(t, 40), []string{"svg", "png", "pdf"}},
		{"chart_ewma", ewmaFigure(t, 40), []string{"svg"}},
		{"chart_t2", t2Figure(t, 40), []string{"svg"}},
		{"chart_run", runFigure(t, 40), []string{"svg"}},
		{"lot_plane", planeFigure(40), []string{"svg", "pdf"}},
		{"tolerance", toleranceFigure(), []string{"svg", "pdf"}},
	} {
		for _, format := range everyFormat {
			if slices.Contains(tt.formats, format.name) {
				t.Run(tt.name+"."+format.name, func(t *testing.T) {
					golden(t, tt.name, format.name, written(t, tt.figure, format.write))
				})
			}
		}
	}
}

// One drawing is written any number of times and concurrently, always the same.
func TestChartsAreSameBytesAtOnce(t *testing.T) {
	for _, f := range []reports.Figure{individualsFigure(t, 40), planeFigure(40), toleranceFigure()} {
		d, err := f.Drawing()
		if err != nil {
			t.Fatal(err)
		}
		for _, format := range everyFormat {
			want := written(t, f, format.write)
			var wait sync.WaitGroup
			for range 3 {
				wait.Go(func() {
					var b bytes.Buffer
					if err := format.write(d, &b); err != nil || !bytes.Equal(b.Bytes(), want) {
						t.Errorf("%s: another drawing of one figure differs (error %v)", format.name, err)
					}
				})
			}
			wait.Wait()
		}
	}
}

func TestChartWriterFaultIsReported(t *testing.T) {
	d, err := toleranceFigure().Drawing()
	if err != nil {
		t.Fatal(err)
	}
	for _, format := range everyFormat {
		if err := format.write(d, broken{}); !errors.Is(err, errBroken) {
			t.Errorf("%s: error is %v, want the writer's", format.name, err)
		}
	}
	if err := d.WriteInlineSVG(broken{}); !errors.Is(err, errBroken) {
		t.Errorf("inline SVG: error is %v, want the writer's", err)
	}
}

func BenchmarkChartOf2000(b *testing.B) {
	f := individualsFigure(b, 2000)
	for b.Loop() {
		if len(written(b, f, (*reports.Drawing).WriteSVG)) == 0 {
			b.Fatal("nothing was written")
		}
	}
}
