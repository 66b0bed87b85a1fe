package reports

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"pourpath/colour/cie"
)

// plain writes a number as it was meant, to at most three decimals: 9.5, not
// 9.500.
func plain(v float64) string {
	s := strconv.FormatFloat(v, 'f', 3, 64)
	return strings.TrimRight(strings.TrimRight(s, "0"), ".")
}

// percentOfBlend is the share of the addition in the finished blend, in %, at a
// dose in mL per 100 mL of base: d mL make 100 + d mL, and what is held in the base.
func percentOfBlend(dose, heldMLPer100ML float64) float64 {
	return 100 * dose / (100 + heldMLPer100ML + dose)
}

func (f *LadderFigure) percentOfBlend(dose float64) float64 {
	return percentOfBlend(dose, f.HeldMLPer100ML)
}

// percent writes that share with one decimal; nothing added is plain 0.
func (f *LadderFigure) percent(dose float64) string {
	if dose == 0 {
		return "0 %"
	}
	return fmt.Sprintf("%.1f %%", f.percentOfBlend(dose))
}

// doseDecimals is the number of decimals that a dose deserves: one, or more
// where its 95 % interval is narrower than a tenth of a mL.
func doseDecimals(interval *[2]float64) int {
	if interval == nil {
		return 1
	}
	half := (interval[1] - interval[0]) / 2
	if half <= 0 {
		return 1
	}
	return min(3, max(1, -int(math.Floor(math.Log10(half)))))
}

// doses writes a range with the digits of the nearest dose.
func doses(r [2]float64, decimals int) string {
	return fmt.Sprintf("%.*f to %.*f", decimals, r[0], decimals, r[1])
}

// finding is the result in words, with both conventions of a dose.
func (f *LadderFigure) finding() string {
	n := f.Nearest
	if n == nil {
		return ""
	}
	d := doseDecimals(n.Interval95)
	s := fmt.Sprintf("Nearest: %.*f mL per 100 mL of base = %.1f %% of the blend",
		d, n.DoseMLPer100ML, f.percentOfBlend(n.DoseMLPer100ML))
	if f.Target != nil {
		s += fmt.Sprintf(", ΔE00 %.1f", n.DeltaE00)
	}
	s += "."
	if n.Interval95 != nil {
		s += " 95 % interval: " + doses(*n.Interval95, d) + "."
	}
	switch {
	case f.Acceptable != nil:
		s += " Acceptable (probability ≥ 0.95): " + doses(*f.Acceptable, d) + "."
	case f.Target != nil && f.Target.Tolerance > 0:
		s += " No dose is within tolerance with probability ≥ 0.95."
	}
	return s
}

// onPath and beforePath are the two colours that a measured blend is held against.
func onPath(m MeasuredMark) *cie.Lab     { return m.OnPath }
func beforePath(m MeasuredMark) *cie.Lab { return m.Before }

// left is the range of ΔE00 that a path leaves unexplained of what was measured;
// empty where nothing is known of that.
func (f *LadderFigure) left(of func(MeasuredMark) *cie.Lab) string {
	least, most := math.Inf(1), 0.0
	for _, m := range f.Measured {
		if path := of(m); path != nil {
			d := bare(*path, m.Lab)
			least, most = min(least, d), max(most, d)
		}
	}
	low, high := fmt.Sprintf("%.1f", least), fmt.Sprintf("%.1f", most)
	switch {
	case math.IsInf(least, 1):
		return ""
	case low == high:
		return "ΔE00 " + high
	}
	return "ΔE00 " + low + " to " + high
}

// unexplained says in words what the paths leave of what was measured.
func (f *LadderFigure) unexplained() string {
	left, before := f.left(onPath), f.left(beforePath)
	if left == "" {
		return ""
	}
	s := "Of what was measured the path leaves " + left + " unexplained"
	if before != "" && len(f.Predicted) > 0 {
		s += "; before recalibration " + before
	}
	return s + "."
}

// wines names what was dosed into what.
func (f *LadderFigure) wines() string {
	var parts []string
	if f.Base != "" {
		parts = append(parts, "Base: "+f.Base+".")
	}
	if f.Addition != "" {
		parts = append(parts, "Addition: "+f.Addition+".")
	}
	return strings.Join(parts, " ")
}

// footer says what the figure holds for.
func (f *LadderFigure) footer(l *locus) []string {
	lines := []string{f.conditions(), f.convention(), f.method(l)}
	if !f.anySwatch() {
		return append(lines, f.closing("Print is no colour reference."))
	}
	print := "Swatches are screen colours (sRGB, 2° observer); print is no colour reference."
	if f.clipped() {
		print += " Hatched corner: out of the sRGB gamut, shown clipped."
	}
	return append(lines, f.closing(print))
}

func (f *LadderFigure) closing(s string) string {
	if f.Version == "" {
		return s
	}
	return s + " " + f.Version + "."
}

func (f *LadderFigure) conditions() string {
	s := fmt.Sprintf("Conditions: illuminant %s, %s° observer, %s mm of wine", f.View.Illuminant, f.View.Observer, plain(f.View.DepthMM))
	if f.GlassDepthMM > 0 && f.anySwatch() {
		s += fmt.Sprintf("; swatches 10 mm and %s mm deep", plain(f.GlassDepthMM))
	}
	s += "."
	if f.Conditions != "" {
		s += " " + strings.TrimSuffix(f.Conditions, ".") + "."
	}
	return s
}

// convention states the dose with an example, which is not the nearest dose: its
// rounded figures would not be those of the finding.
func (f *LadderFigure) convention() string {
	const dose = 9.5
	return fmt.Sprintf("Dose: mL added per 100 mL of base; %s mL per 100 mL = %.1f %% of the blend.", plain(dose), f.percentOfBlend(dose))
}

func (f *LadderFigure) method(l *locus) string {
	s := "CIE 1976 L*a*b* from the transmittance, 380 to 780 nm; ΔE00 is CIEDE2000 with kL = kC = kH = 1."
	if f.uncertain() {
		s += " Grey band: k = 2, the most across the path that the uncertainties of a* and b* allow."
	}
	switch {
	case f.Target != nil && f.Target.Tolerance > 0 && l == nil:
		s += " Tolerance outline: none, as ΔE00 does not reach the tolerance in every direction."
	case l != nil:
		s += fmt.Sprintf(" Tolerance outline: ΔE00 %s from the target at L* %.1f, %s.", plain(f.Target.Tolerance), l.lightness, l.where)
	}
	return s
}

func (f *LadderFigure) uncertain() bool {
	for _, p := range f.Curve {
		if p.U != [3]float64{} {
			return true
		}
	}
	return false
}

func (f *LadderFigure) baseML() float64 {
	if f.BaseML > 0 {
		return f.BaseML
	}
	return 100
}

// described is the figure in words, for those who hear it.
func (f *LadderFigure) described() string {
	parts := []string{f.wines(), f.finding(), f.unexplained(), "Panels: the colour path in the a*b* plane; L* and ΔE00 over the dose; swatches."}
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), " ")
}
