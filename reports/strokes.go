package reports

import "gonum.org/v1/plot/vg"

// pathStrokes draws a path and the ranges along it: acceptable doses a broad
// quiet stroke, nominal doses two rails.
func (f *LadderFigure) pathStrokes(p *pen, fr frame, project func(PathPoint) vg.Point) {
	if f.Acceptable != nil {
		line, _ := projected(part(f.Curve, f.Acceptable[0], f.Acceptable[1]), project)
		fr.lines(p, solid(stroke, broad), line)
	}
	if f.Nominal != nil {
		line, _ := projected(part(f.Curve, f.Nominal[0], f.Nominal[1]), project)
		fr.lines(p, solid(quiet, thin), offset(line, railGap), offset(line, -railGap))
	}
	f.pathLines(p, fr, project)
}

// pathLines draws the path and what it was before recalibration.
func (f *LadderFigure) pathLines(p *pen, fr frame, project func(PathPoint) vg.Point) {
	before, _ := projected(f.Predicted, project)
	fr.lines(p, predictedStyle, before)
	line, _ := projected(f.Curve, project)
	fr.lines(p, pathStyle, line)
}

var (
	pathStyle      = solid(ink, strong)
	predictedStyle = dashed(quiet, medium, 7, 2.2)
	toleranceStyle = dashed(ink, medium, 2.4, 1.8)
	railGap        = broad/2 + 1.2
)
