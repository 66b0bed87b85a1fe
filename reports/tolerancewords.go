package reports

import (
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
)

// words stand left and right of the bar.
func (k *PartMark) words(p *pen, mid vg.Length) {
	name := k.Quantity
	if k.Unit != "" {
		name += ", " + k.Unit
	}
	lines := wrap(clean(name), face(regular, bodySize), partsLeft-margin-4*mm)
	if len(lines) > 2 {
		lines = append(lines[:1], shortTo(strings.Join(lines[1:], " "), bodySize, partsLeft-margin-4*mm))
	}
	y := mid + 0.4*mm + vg.Length(len(lines)-1)*headerLine/2
	for _, line := range append(lines, k.valueWords(p.texts)) {
		p.prose(line, bodySize, ink, left, vg.Point{X: margin, Y: y})
		y -= headerLine
	}
	y, x := mid+0.4*mm, partsLeft+partsWide+3*mm
	p.text(k.side(p.texts), bold, bodySize, ink, left, vg.Point{X: x, Y: y})
	if k.Probability != nil {
		p.text(Fill(p.texts.Tolerance.Probability, "p", p.texts.Probability(*k.Probability)), regular, bodySize, ink, left, vg.Point{X: x, Y: y - headerLine})
	}
}

// side says where the value is, uncertainty left aside.
func (k *PartMark) side(t *Texts) string {
	switch {
	case k.Value < k.Lower:
		return t.Tolerance.Below
	case k.Value > k.Upper:
		return t.Tolerance.Above
	case k.Warning != nil && (k.Value < k.Warning[0] || k.Value > k.Warning[1]):
		return t.Tolerance.BeyondWarning
	}
	return t.Tolerance.Within
}

// Probability writes a probability to two decimals with a point; it is never written
// as certain, 0.00 or 1.00.
func Probability(p float64) string { return english().Probability(p) }

// interval is the bar of a row: nil where nothing is stated, or where value ± 2 U
// would reach to values that there are not.
func (k *PartMark) interval() *[2]float64 {
	if k.Interval95 != nil {
		return k.Interval95
	}
	if k.U == 0 {
		return nil
	}
	low := k.Value - 2*k.U
	if k.NeverNegative && low < 0 {
		return nil
	}
	return &[2]float64{low, k.Value + 2*k.U}
}

// digits are the decimals of a row: those that its uncertainty leaves, with one
// more where that begins with 1 or 2, or that show two digits of its limits' width.
func (k *PartMark) digits() int {
	if i := k.interval(); i != nil && i[1] > i[0] {
		return min(4, max(0, -int(math.Floor(math.Log10((i[1]-i[0])/6)))))
	}
	if w := k.Upper - k.Lower; !math.IsInf(w, 0) {
		return chartDigits(w)
	}
	return 2
}

func (k *PartMark) valueWords(t *Texts) string {
	d := k.digits()
	switch {
	case k.Interval95 != nil:
		return Fill(t.Tolerance.Interval, "value", t.Fixed(k.Value, d), "from", t.Fixed(k.Interval95[0], d), "to", t.Fixed(k.Interval95[1], d))
	case k.U > 0 && k.interval() == nil:
		d = max(d, min(4, max(0, -int(math.Floor(math.Log10(k.U))))))
		return t.Fixed(k.Value, d) + " ± " + t.Fixed(math.Max(k.U, math.Pow10(-d)), d) + " (k = 1)"
	case k.U > 0:
		return t.Fixed(k.Value, d) + " ± " + t.Fixed(math.Max(2*k.U, math.Pow10(-d)), d) + " (k = 2)"
	}
	return t.Fixed(k.Value, d)
}

// limit writes a limit as it was set, but no shorter than the row's values.
func (t *Texts) limit(v float64, digits int) string {
	s := t.Fixed(v, digits)
	if full := t.plain(v); len(full) > len(s) {
		return full
	}
	return s
}

func (f *ToleranceFigure) described() string {
	s := f.Finding
	for i := range f.Parts {
		k := &f.Parts[i]
		s += " " + Fill(f.Texts.Tolerance.Part, "quantity", k.Quantity, "value", k.valueWords(f.Texts), "side", k.side(f.Texts), "allowed", k.allowed(f.Texts))
	}
	return s
}

func (k *PartMark) allowed(t *Texts) string {
	d := k.digits()
	switch {
	case math.IsInf(k.Lower, -1):
		return Fill(t.Shared.UpTo, "to", t.limit(k.Upper, d))
	case math.IsInf(k.Upper, 1):
		return Fill(t.Shared.From, "from", t.limit(k.Lower, d))
	}
	return Fill(t.Shared.FromTo, "from", t.limit(k.Lower, d), "to", t.limit(k.Upper, d))
}
