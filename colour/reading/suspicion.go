package reading

import (
	"fmt"
	"math"

	"pourpath/colour"
)

// cells are the optical paths that laboratories have, in mm (OIV-MA-AS2-07B
// allows 1 to 20 mm).
var cells = []float64{1, 2, 5, 10, 20}

// middleOfWindow is the absorbance to aim at: OIV-MA-AS2-07B asks for 0.3 to
// 0.7 in the cell.
const middleOfWindow = 0.5

// BetterCell is the path in mm, of pathMM and those that laboratories have,
// which brings an absorbance that was read at pathMM nearest to the middle of
// 0.3-0.7 (OIV-MA-AS2-07B).
func BetterCell(pathMM, absorbance float64) float64 {
	miss := func(path float64) float64 {
		return math.Abs(math.Log(math.Max(absorbance, 1e-3) * path / pathMM / middleOfWindow))
	}
	best := pathMM
	for _, path := range cells {
		if miss(path) < miss(best) {
			best = path
		}
	}
	return best
}

// nearSaturation is the absorbance in the cell above which a reading is
// suspected: 1 % of the light is left, and stray light, the detector's noise
// and its rounding are a share of that. Common practice, no source.
const nearSaturation = 2

// NearSaturation warns of an absorbance above 2 as read in c, such as a red's
// in a 10 mm cell, and names the cell to use. ok is false where there is
// nothing to warn of.
func NearSaturation(c Cell, highest At) (w colour.Warning, ok bool) {
	if !(highest.Absorbance > nearSaturation) {
		return w, false
	}
	advice := "dilute it further with a model wine of the wine's own pH and alcohol, and state dilution and diluent"
	if better := BetterCell(c.PathMM, highest.Absorbance); better < c.PathMM {
		advice = fmt.Sprintf("read it again in a %g mm cell, where it would be about %.2g", better, highest.Absorbance*better/c.PathMM)
	}
	return colour.Warning{Code: "near_saturation", Message: fmt.Sprintf(
		"At %g nm the absorbance in the %g mm cell is %.4g: %.2g %% of the light is left, and stray light makes such a reading too low. To be sure, %s. OIV-MA-AS2-07B asks for 0.3-0.7; a limit of %d is common practice, no source.",
		highest.NM, c.PathMM, highest.Absorbance, 100*math.Pow(10, -highest.Absorbance), advice, nearSaturation)}, true
}

// bluest is the A620 in the cell from which it is compared with A520: below
// it, both may be noise.
const bluest = 0.05

// BlueAboveRed warns of an absorbance at 620 nm that is above that at 520 nm,
// both as read in one cell. ok is false where there is nothing to warn of.
// Common practice, no source.
func BlueAboveRed(a520, a620 float64) (w colour.Warning, ok bool) {
	if !(a620 > a520 && a620 > bluest) {
		return w, false
	}
	return colour.Warning{Code: "blue_above_red", Message: "A620 is above A520, which no sound red, white or rosé has. Look for turbidity, the wrong cell or swapped columns (common practice, no source)."}, true
}

const (
	// baselineLimit is the absorbance per 10 mm at 700 nm and above that a
	// clear wine stays below: all over the visible it darkens a white by about
	// ΔE00 1. Common practice, no source.
	baselineLimit = 0.02
	// ownTail is the share of A520 that a red's own bands may have there: the
	// bluest and broadest of reds tail off that far. Common practice, no
	// source.
	ownTail = 0.05
	// The baseline is looked at between these wavelengths, in nm: nothing in a
	// wine absorbs there, and beyond them water does.
	baselineFromNM, baselineToNM = 700, 800
)

// RaisedBaseline warns of turbidity: an absorbance at 700 nm and above, as the
// mean of what was read there in c, that is more than a clear wine has and more
// than three times the uncertainty u of a reading. a520 is as read in the same
// cell. ok is false where there is nothing to warn of.
//
// OIV-MA-AS2-07B wants turbid wine clarified before it is read; the limit,
// 0.02 per 10 mm and 0.05 of A520, is common practice, no source.
func RaisedBaseline(c Cell, u, a520, baseline float64) (w colour.Warning, ok bool) {
	factor := c.Per10MM()
	limit := baselineLimit + ownTail*math.Max(a520, 0)*factor
	if !(baseline*factor > limit && baseline > 3*u) {
		return w, false
	}
	return colour.Warning{Code: "raised_baseline", Message: fmt.Sprintf(
		"At 700 nm and above the absorbance is %.3f per 10 mm, and a clear wine like this one has at most about %.3f there: turbidity, bubbles or a dirty cell, which darken the whole spectrum. Clarify the wine (centrifuge or filter), drive out carbon dioxide, wipe the cell and read again. OIV-MA-AS2-07B wants clear wine; the limit is common practice, no source.",
		baseline*factor, limit)}, true
}

// DiluentNotGiven warns that it is not known what a sample was diluted with.
// ok is false for neat wine. Common practice, no source.
func DiluentNotGiven(c Cell) (w colour.Warning, ok bool) {
	if !(c.Dilution > 1) {
		return w, false
	}
	return colour.Warning{Code: "diluent_not_given", Message: fmt.Sprintf(
		"It is not said what the sample was diluted with (dilution %g): water, model wine and acid move the pH and give different colours. State the diluent, and keep to one (common practice, no source).", c.Dilution)}, true
}

// DilutedRed warns that a red read diluted is not the colour of the neat wine.
// The caller knows that it is a red. ok is false for neat wine.
//
// Source: Boulton, Am. J. Enol. Vitic. 52 (2001) 67-87, from memory:
// copigmentation makes 30 to 50 % of a young red's colour and goes with
// dilution.
func DilutedRed(c Cell) (w colour.Warning, ok bool) {
	if !(c.Dilution > 1) {
		return w, false
	}
	return colour.Warning{Code: "diluted_red", Message: fmt.Sprintf(
		"This red was read diluted %g-fold. Up to half of a young red's colour is copigmentation, which is lost when it is diluted, so this is not the colour of the neat wine. Read it neat in a 1 mm cell. (Boulton, Am. J. Enol. Vitic. 52, 2001.)", c.Dilution)}, true
}

// Suspicions lists what r itself gives reason to doubt: see NearSaturation,
// BlueAboveRed and RaisedBaseline. Nil where there is nothing. r is one that
// Validate passes.
func (r Readings) Suspicions() []colour.Warning {
	var found suspicions
	highest := At{420, r.A420}
	for _, at := range [2]At{{520, r.A520}, {620, r.A620}} {
		highest = higher(highest, at)
	}
	var baseline mean
	for _, at := range r.Extra {
		highest = higher(highest, at)
		baseline.addBaseline(at)
	}
	found.add(NearSaturation(r.Cell, highest))
	found.add(BlueAboveRed(r.A520, r.A620))
	if baseline.n > 0 {
		found.add(RaisedBaseline(r.Cell, r.UAbsorbance, r.A520, baseline.value()))
	}
	return found
}

// Suspicions lists what s itself gives reason to doubt: see NearSaturation,
// BlueAboveRed and RaisedBaseline. Saturation counts from 400 to 700 nm: nearer
// the ultraviolet every wine absorbs strongly and little is seen. Nil where
// there is nothing. s is one that Validate passes.
func (s Scan) Suspicions() []colour.Warning {
	var found suspicions
	highest := At{Absorbance: math.Inf(-1)}
	var baseline mean
	for i, nm := range s.NM {
		at := At{nm, s.Absorbance[i]}
		if nm >= mustStartNM && nm <= mustEndNM {
			highest = higher(highest, at)
		}
		baseline.addBaseline(at)
	}
	a520 := s.At(520)
	found.add(NearSaturation(s.Cell, highest))
	found.add(BlueAboveRed(a520, s.At(620)))
	if baseline.n > 0 {
		found.add(RaisedBaseline(s.Cell, s.UAbsorbance, a520, baseline.value()))
	}
	return found
}

// suspicions takes what the checks return.
type suspicions []colour.Warning

func (s *suspicions) add(w colour.Warning, ok bool) {
	if ok {
		*s = append(*s, w)
	}
}

func higher(a, b At) At {
	if b.Absorbance > a.Absorbance {
		return b
	}
	return a
}

// mean collects absorbances.
type mean struct {
	sum float64
	n   int
}

func (m *mean) addBaseline(at At) {
	// Instruments round wavelengths: 699.6 nm is meant as 700.
	if at.NM >= baselineFromNM-stepSlackNM && at.NM <= baselineToNM {
		m.sum += at.Absorbance
		m.n++
	}
}

func (m mean) value() float64 { return m.sum / float64(m.n) }
