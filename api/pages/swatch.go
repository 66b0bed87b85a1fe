package pages

import (
	"pourpath/api/calc"
	"pourpath/colour/cie"
	"pourpath/reports"
)

// band is some colours that touch, all at one depth.
type band struct {
	Key      string // "cell" or "glass"
	DepthMM  digits
	Swatches []swatch
}

// swatch is one colour of a band. Without a hex it is not known.
type swatch struct {
	Key     string // "base", "blend" or "target"
	Live    string // what the script fills it with, for the blend
	Hex     string
	Clipped bool
	X       string // left edge, in % of the band
}

// bandsOf are the base, the blend at the dose that is shown, and the target, at
// the depth that is looked at and in a glass.
func bandsOf(s *shown, target *reports.Swatch, pathMM float64) []band {
	row := func(key string, depthMM float64, wanted func(*reports.Swatch) cie.Screen) band {
		b := band{Key: key, DepthMM: plain(depthMM)}
		b.add(swatch{Key: "base"}, s.trace.screen(key, 0))
		b.add(swatch{Key: "blend", Live: key}, s.trace.screen(key, s.dose))
		if target != nil {
			b.add(swatch{Key: "target"}, wanted(target))
		}
		b.place()
		return b
	}
	return []band{
		row("cell", pathMM, func(s *reports.Swatch) cie.Screen { return s.At10MM }),
		row("glass", calc.GlassDepthMM, func(s *reports.Swatch) cie.Screen { return s.InGlass }),
	}
}

func (b *band) add(s swatch, shown cie.Screen) {
	s.Hex, s.Clipped = shown.Hex, shown.Hex != "" && !shown.InGamut
	b.Swatches = append(b.Swatches, s)
}

// place puts the swatches side by side, equally wide.
func (b *band) place() {
	for i := range b.Swatches {
		b.Swatches[i].X = string(fixed(100*float64(i)/float64(len(b.Swatches)), 3))
	}
}
