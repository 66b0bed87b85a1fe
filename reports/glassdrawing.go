package reports

import (
	"math"
	"slices"
)

// GlassDrawing is a section of the tasting glass of ISO 3591 with 50 mL of wine
// in it, for an SVG in millimetres, y downwards. It is cut through the middle, and
// depth is vertical, from the wine's surface to the inner wall in that section
// (common practice, no source). Filled with a horizontal gradient, each column of
// the wine has the colour of its own depth, as seen from above: pale at the rims,
// deep at the core.
type GlassDrawing struct {
	// WidthMM and HeightMM are the size of the drawing. The drawings have one
	// height, and so one scale when they are shown equally high.
	WidthMM, HeightMM float64
	// Outline is the glass itself, to be stroked and not filled; Wine is the area
	// of the wine, to be filled first. Both are SVG path data in mm.
	Outline, Wine string
	// GradientX1 and GradientX2 are the left and the right rim of the wine, in mm
	// of the drawing: x1 and x2 of the gradient in user space.
	GradientX1, GradientX2 float64
	// Stops are the gradient's, from left to right. Between them colours go
	// linearly.
	Stops []GlassStop
	// DeepestMM is the depth of the wine where it is deepest, vertically.
	DeepestMM float64
}

// GlassStop is a stop of a gradient: where the wine is as deep as one of
// GlassLevelsMM.
type GlassStop struct {
	// Offset is from 0 at GradientX1 to 1 at GradientX2.
	Offset float64
	// Level is an index into GlassLevelsMM.
	Level int
}

// StandingGlass is the glass on its foot.
func StandingGlass() GlassDrawing {
	standing, tilted := filledGlasses()
	return standing.drawn(levelsOf(standing, tilted))
}

// TiltedGlass is the glass leaning by 45° to the right, cut in its plane of
// symmetry. The wine stays level and runs out thin to the right.
func TiltedGlass() GlassDrawing {
	standing, tilted := filledGlasses()
	return tilted.drawn(levelsOf(standing, tilted))
}

// GlassLevelsMM are the 24 depths of wine, in mm and ascending from 0, that both
// drawings are coloured at; each drawing's deepest is among them.
func GlassLevelsMM() []float64 { return levelsOf(filledGlasses()) }

// levelsOf spaces depths closely where colour changes fast or over a wide place:
// next to 0 and next to the deepest. Even spacing would leave an edge in the core.
func levelsOf(a, b filled) []float64 {
	const steps = 22
	deepest := max(a.deepest, b.deepest)
	levels := []float64{min(a.deepest, b.deepest)}
	for i := range steps + 1 {
		levels = append(levels, deepest*(1-math.Cos(math.Pi*float64(i)/steps))/2)
	}
	slices.Sort(levels)
	return levels
}

// filled is a bowl with its wine.
type filled struct {
	tipped
	surface  float64 // y
	deepestX float64
	deepest  float64
}

func filledGlasses() (standing, tilted filled) {
	return fill(leanBy(0)), fill(leanBy(math.Pi / 4))
}

func fill(l lean) filled {
	t := tipped{innerBowl(), l}
	surface := t.surface()
	x, y := t.lowest()
	return filled{tipped: t, surface: surface, deepestX: x, deepest: surface - y}
}

func (f filled) drawn(levels []float64) GlassDrawing {
	frame := framed(f.lean)
	left, right := f.rims(f.surface)
	g := GlassDrawing{
		WidthMM: frame.width, HeightMM: frame.height,
		Outline: f.outline(frame), Wine: f.wine(frame, left, right),
		GradientX1: hundredths(left - frame.left), GradientX2: hundredths(right - frame.left),
		DeepestMM: f.deepest,
	}
	offset := func(x float64) float64 { return (x - left) / (right - left) }
	var down []GlassStop // from the core to the right rim, in reverse
	for i, depth := range levels {
		if depth >= f.deepest {
			g.Stops = append(g.Stops, GlassStop{offset(f.deepestX), i})
			break
		}
		l, r := f.rims(f.surface - depth)
		g.Stops = append(g.Stops, GlassStop{offset(l), i})
		down = append(down, GlassStop{offset(r), i})
	}
	slices.Reverse(down)
	g.Stops = append(g.Stops, down...)
	return g
}
