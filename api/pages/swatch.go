package pages

import (
	"slices"

	"pourpath/api/calc"
	"pourpath/colour/cie"
	"pourpath/colour/ladder"
	"pourpath/reports"
)

// band is some colours that touch, all at one depth.
type band struct {
	Key      string // "cell" or "glass"
	DepthMM  string
	Swatches []swatch
}

// swatch is one colour of a band. Without a hex it is not known.
type swatch struct {
	Key     string // "base", "nearest", "largest" or "target"
	Hex     string
	Clipped bool
	X       string // left edge, in % of the band
}

// swatches are the screen colours of a ladder by the mL added in the glass.
type swatches map[float64]reports.Swatch

// doseML is the closest dose as mL in a glass of the ladder.
func doseML(n *calc.Nearest, baseML float64) float64 { return n.DoseMLPer100ML * baseML / 100 }

// figureOf is the ladder's figure with the closest dose as one rung more, so that
// its colours are there at both depths for any kind of target.
func figureOf(c *choice, version string) (reports.LadderFigure, error) {
	request := *c.request
	if n := c.answer.Nearest; n != nil && len(request.DosesML) < ladder.MaxRungs {
		request.DosesML = append(slices.Clone(request.DosesML), doseML(n, request.BaseML))
	}
	return calc.LadderFigure(request, version)
}

// bandsOf shows base, blend and target side by side, at the depth of the cell
// and of the glass. Without a target the blend is that of the largest dose.
func bandsOf(n *calc.Nearest, f reports.LadderFigure, shown swatches) []band {
	base := f.Rungs[0].Swatch
	if f.BaseSwatch != nil {
		base = *f.BaseSwatch
	}
	key, blend := "largest", f.Rungs[len(f.Rungs)-1].Swatch
	if n != nil {
		key, blend = "nearest", shown[doseML(n, f.BaseML)]
	}
	row := func(name string, depthMM float64, at func(reports.Swatch) cie.Screen) band {
		b := band{Key: name, DepthMM: plain(depthMM)}
		b.add("base", at(base))
		b.add(key, at(blend))
		if f.Target != nil {
			b.add("target", at(f.Target.Swatch))
		}
		for i := range b.Swatches {
			b.Swatches[i].X = fixed(100*float64(i)/float64(len(b.Swatches)), 3)
		}
		return b
	}
	return []band{
		row("cell", cie.OIV().DepthMM, func(s reports.Swatch) cie.Screen { return s.At10MM }),
		row("glass", f.GlassDepthMM, func(s reports.Swatch) cie.Screen { return s.InGlass }),
	}
}

func (b *band) add(key string, s cie.Screen) {
	b.Swatches = append(b.Swatches, swatch{Key: key, Hex: s.Hex, Clipped: s.Hex != "" && !s.InGamut})
}
