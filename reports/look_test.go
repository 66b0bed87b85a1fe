package reports_test

import (
	"os"
	"pourpath/reports"
	"testing"
)

func TestLook(t *testing.T) {
	f := realistic(t)
	g := f
	g.Target = nil
	g.Nearest = nil
	g.Acceptable = nil
	g.Nominal = nil
	g.Measured = nil
	g.Predicted = nil
	many := f
	many.Rungs = rungs(t, 50, evenly(0, 40, 2000)...)
	many.Curve = path(t, 40, 2000, f.Target.Lab, 1)
	many.BaseML = 50
	many.Predicted = nil
	one := reports.LadderFigure{View: f.View, Rungs: rungs(t, 100, 5)}
	empty := reports.LadderFigure{View: f.View}
	for n, f := range map[string]reports.LadderFigure{"full": f, "notarget": g, "many": many, "one": one, "empty": empty} {
		for ext, w := range map[string]func(*os.File) error{"png": func(o *os.File) error { return f.WritePNG(o) }, "svg": func(o *os.File) error { return f.WriteSVG(o) }, "pdf": func(o *os.File) error { return f.WritePDF(o) }} {
			o, _ := os.Create("/tmp/rp/" + n + "." + ext)
			if err := w(o); err != nil {
				t.Error(n, ext, err)
			}
			o.Close()
		}
	}
}
