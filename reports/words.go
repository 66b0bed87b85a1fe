package reports

import (
	"math"
	"slices"
	"strings"

	"pourpath/colour/cie"
)

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
		return Fill(f.Texts.Ladder.Percent, "share", "0")
	}
	return Fill(f.Texts.Ladder.Percent, "share", f.Texts.Fixed(f.percentOfBlend(dose), 1))
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
func (t *Texts) doses(r [2]float64, decimals int) string {
	return Fill(t.Shared.Range, "from", t.Fixed(r[0], decimals), "to", t.Fixed(r[1], decimals))
}

// finding is the result in words, with both conventions of a dose.
func (f *LadderFigure) finding() string {
	n := f.Nearest
	if n == nil {
		return ""
	}
	t, d := f.Texts, doseDecimals(n.Interval95)
	values := []string{"dose", t.Fixed(n.DoseMLPer100ML, d), "share", t.Fixed(f.percentOfBlend(n.DoseMLPer100ML), 1)}
	s := Fill(t.Ladder.Nearest, values...)
	if f.Target != nil {
		s = Fill(t.Ladder.NearestApart, append(values, "de", t.Fixed(n.DeltaE00, 1))...)
	}
	if n.Interval95 != nil {
		s += " " + Fill(t.Ladder.Interval, "range", t.doses(*n.Interval95, d))
	}
	switch {
	case f.Acceptable != nil:
		s += " " + Fill(t.Ladder.Acceptable, "range", t.doses(*f.Acceptable, d))
	case f.Target != nil && f.Target.Tolerance > 0:
		s += " " + t.Ladder.NoneAcceptable
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
	if math.IsInf(least, 1) {
		return ""
	}
	low, high := f.Texts.Fixed(least, 1), f.Texts.Fixed(most, 1)
	if low == high {
		return high
	}
	return Fill(f.Texts.Shared.Range, "from", low, "to", high)
}

// unexplained says in words what the paths leave of what was measured.
func (f *LadderFigure) unexplained() string {
	left, before := f.left(onPath), f.left(beforePath)
	if left == "" {
		return ""
	}
	if before != "" && len(f.Predicted) > 0 {
		return Fill(f.Texts.Ladder.UnexplainedBefore, "left", left, "before", before)
	}
	return Fill(f.Texts.Ladder.Unexplained, "left", left)
}

// wines names what was dosed into what.
func (f *LadderFigure) wines() string {
	var parts []string
	if f.Base != "" {
		parts = append(parts, Fill(f.Texts.Ladder.Base, "wine", f.Base))
	}
	if f.Addition != "" {
		parts = append(parts, Fill(f.Texts.Ladder.Addition, "wine", f.Addition))
	}
	return strings.Join(parts, " ")
}

// footer says what the figure holds for.
func (f *LadderFigure) footer(l *locus) []string {
	lines := []string{f.conditions(), f.convention(), f.method(l)}
	if !f.anySwatch() {
		return append(lines, f.closing(f.Texts.Ladder.Print))
	}
	print := f.Texts.Ladder.SwatchesPrint
	if f.clipped() {
		print += " " + f.Texts.Ladder.Clipped
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
	s := f.Texts.view(f.View)
	if f.GlassDepthMM > 0 && f.anySwatch() {
		s = f.Texts.viewed(f.Texts.Ladder.ViewSwatches, f.View, "glass", f.Texts.plain(f.GlassDepthMM))
	}
	if f.Conditions != "" {
		s += " " + strings.TrimSuffix(f.Conditions, ".") + "."
	}
	return s
}

// convention states the dose with an example, which is not the nearest dose: its
// rounded figures would not be those of the finding.
func (f *LadderFigure) convention() string {
	const dose = 9.5
	return Fill(f.Texts.Ladder.Convention, "dose", f.Texts.plain(dose), "share", f.Texts.Fixed(f.percentOfBlend(dose), 1))
}

func (f *LadderFigure) method(l *locus) string {
	t := f.Texts
	s := t.Ladder.Method
	if f.uncertain() {
		s += " " + t.Ladder.Band
	}
	switch {
	case f.Target != nil && f.Target.Tolerance > 0 && l == nil:
		s += " " + t.Ladder.NoOutline
	case l != nil:
		s += " " + Fill(l.words, "de", t.plain(f.Target.Tolerance), "l", t.Fixed(l.lightness, 1))
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

// rungDose is a dose as a rung's label, in mL per 100 mL of base.
func (t *Texts) rungDose(ml float64) string { return t.Plain(ml, 2) }

// described is the figure in words, for those who hear it.
func (f *LadderFigure) described() string {
	parts := []string{f.wines(), f.finding(), f.unexplained(), f.Texts.Ladder.Panels}
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), " ")
}
