package pages

import "pourpath/reports"

// glass is a drawn glass with the wine in it, for an SVG in millimetres.
type glass struct {
	Key string // "standing" or "tilted"
	reports.GlassDrawing
	Fill []stop
}

// stop is one colour of the wine, at its place across the glass.
type stop struct {
	Offset string // in %
	Level  int
	Hex    string
}

// glasses are both drawings, filled with the blend at a dose.
func glasses(t *trace, dose float64) []glass {
	out := []glass{{Key: "standing", GlassDrawing: reports.StandingGlass()}, {Key: "tilted", GlassDrawing: reports.TiltedGlass()}}
	for i := range out {
		for _, s := range out[i].Stops {
			out[i].Fill = append(out[i].Fill, stop{string(fixed(100*s.Offset, 2)), s.Level, t.level(s.Level, dose)})
		}
	}
	return out
}
