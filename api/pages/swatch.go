package pages

import (
	"pourpath/api/calc"
	"pourpath/colour/cie"
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

// bandsOf shows base, blend and target side by side, at the depth of the cell
// and of the glass. Without a target the blend is that of the largest dose.
func bandsOf(a calc.LadderResponse, f reports.LadderFigure) []band {
	base := f.Rungs[0].Swatch
	if f.BaseSwatch != nil {
		base = *f.BaseSwatch
	}
	key, blend := "largest", f.Rungs[len(f.Rungs)-1].Swatch
	if n := a.Nearest; n != nil {
		key, blend = "nearest", nearestSwatch(n, f)
	}
	var target reports.Swatch
	if f.Target != nil {
		target = f.Target.Swatch
	}
	row := func(name, depth string, at func(reports.Swatch) cie.Screen) band {
		b := band{Key: name, DepthMM: depth}
		b.add("base", at(base))
		b.add(key, at(blend))
		if f.Target != nil {
			b.add("target", at(target))
		}
		for i := range b.Swatches {
			b.Swatches[i].X = fixed(100*float64(i)/float64(len(b.Swatches)), 3)
		}
		return b
	}
	bands := []band{row("cell", plain(cie.OIV().DepthMM), func(s reports.Swatch) cie.Screen { return s.At10MM })}
	if blend.InGlass.Hex != "" {
		bands = append(bands, row("glass", plain(f.GlassDepthMM), func(s reports.Swatch) cie.Screen { return s.InGlass }))
	}
	return bands
}

// nearestSwatch is the figure's, which has both depths, or the answer's where the
// target is no colour and the figure marks none.
func nearestSwatch(n *calc.Nearest, f reports.LadderFigure) reports.Swatch {
	if f.Nearest != nil {
		return f.Nearest.Swatch
	}
	return reports.Swatch{At10MM: screenOf(n.Colour)}
}

func screenOf(c calc.WineColour) cie.Screen {
	if c.SRGB == nil || c.InSRGBGamut == nil {
		return cie.Screen{}
	}
	return cie.Screen{Hex: *c.SRGB, InGamut: *c.InSRGBGamut}
}

func (b *band) add(key string, s cie.Screen) {
	b.Swatches = append(b.Swatches, swatch{Key: key, Hex: s.Hex, Clipped: s.Hex != "" && !s.InGamut})
}
