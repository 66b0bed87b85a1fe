package blend

import (
	"fmt"
	"math"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/difference"
)

// Measuring is what a cellar measures its volumes with. A zero field is not
// stated and changes nothing.
type Measuring struct {
	// BaseGraduationL and AdditionGraduationML are the least steps in which
	// base (in L) and addition (in mL) can be measured.
	BaseGraduationL, AdditionGraduationML float64
	// BaseUPercent and AdditionUPercent are the relative standard uncertainties
	// (k = 1) of the two volumes, in percent: a tank gauge good to ±1 % has 1/√3
	// (rectangular; JCGM100, 4.3.7).
	BaseUPercent, AdditionUPercent float64
	// HeelL are the litres of addition that stay in hose and pump once all is
	// poured. A line that stays filled between first part and trim keeps them
	// once.
	HeelL float64
}

// Rounded is a recipe that the cellar can measure.
type Rounded struct {
	Recipe
	Dose Dose // that it has
	// FirstAdditionL is rounded down, so that nothing is overshot; HeldBackL is
	// the rest.
	FirstAdditionL, HeldBackL float64
}

// Delivery says how well a dose is met that is poured as measured: of the
// Rounded recipe where there is one, else of the exact one.
type Delivery struct {
	// UDose is the standard uncertainty (k = 1) of the dose from the gauge, the
	// measure and the reading of both graduations (g/√12; JCGM100, F.2.2.1), in
	// mL per 100 mL; 0 where nothing is stated.
	UDose float64
	// ShortDose is the dose if the addition is measured out without regard to
	// the heel, which then stays in the line.
	ShortDose Dose
	// PourL is what to measure out instead: addition and heel. FirstPourL is
	// that of the first part.
	PourL, FirstPourL float64
}

const maxUPercent = 50

func (m Measuring) validate(faults *colour.FieldErrors) {
	for _, g := range []struct {
		field string
		value float64
		most  float64
		what  string
	}{
		{"base_graduation_l", m.BaseGraduationL, maxBatchL, "the graduation for the base is the least step of its measure, in litres"},
		{"addition_graduation_ml", m.AdditionGraduationML, 1000 * maxBatchL, "the graduation for the addition is the least step of its measure, in mL"},
		{"base_u_percent", m.BaseUPercent, maxUPercent, "the standard uncertainty of the base's volume is in percent of it; a gauge good to ±1 % has 0.6"},
		{"addition_u_percent", m.AdditionUPercent, maxUPercent, "the standard uncertainty of the addition's volume is in percent of it; a measure good to ±1 % has 0.6"},
		{"heel_l", m.HeelL, maxBatchL, "the heel is what stays in hose and pump, in litres"},
	} {
		if !(g.value >= 0 && g.value <= g.most) {
			faults.Addf("measuring/"+g.field, given(g.value), "%s: from 0 to %g", g.what, g.most)
		}
	}
}

// graduationSlack is the part of a graduation by which a volume may be off a line
// before it counts as between two: the rounding of decimal fractions.
const graduationSlack = 1e-6

// nearestLine is litres rounded to a graduation, or as it is where there is none;
// halves go up. Where the nearest line is above most it is the last one below.
func nearestLine(litres, graduation, most float64) float64 {
	if graduation == 0 {
		return litres
	}
	n := math.Floor(litres/graduation + 0.5 + graduationSlack)
	if n*graduation > most*(1+stockSlack) {
		n = math.Floor(most/graduation + graduationSlack)
	}
	return n * graduation
}

// round fills in what can be measured. The addition is rounded for the base as
// rounded, so that only its own rounding moves the dose.
func (v *Volumes) round(b Batch) error {
	m := b.Measuring
	if m.BaseGraduationL == 0 && m.AdditionGraduationML == 0 {
		return nil
	}
	most := math.Inf(1)
	if b.StockBaseL != nil && v.MissingBaseL == 0 {
		most = *b.StockBaseL
	}
	r := Rounded{Recipe: Recipe{BaseL: nearestLine(v.BaseL, m.BaseGraduationL, most)}}
	if r.BaseL == 0 {
		return colour.FieldErrors{{Field: "measuring/base_graduation_l", Value: m.BaseGraduationL, Message: fmt.Sprintf(
			"%.4g L of base round to 0 at this graduation: measure it in steps of %.2g L or finer", v.BaseL, v.BaseL/10)}}
	}
	most = math.Inf(1)
	if v.MissingAdditionL == 0 {
		most = b.additionOnHand()
	}
	g := m.AdditionGraduationML / 1000
	r.AdditionL = nearestLine(b.Dose.onto(r.BaseL).AdditionL, g, most)
	r.BlendL = r.BaseL + r.AdditionL
	r.Dose = DoseOf(r.AdditionL, r.BaseL)
	r.FirstAdditionL = b.first() * r.AdditionL
	if g > 0 {
		r.FirstAdditionL = math.Floor(r.FirstAdditionL/g+graduationSlack) * g
	}
	r.HeldBackL = r.AdditionL - r.FirstAdditionL
	v.Rounded = &r
	v.warnOfRounding(b)
	return nil
}

func (v *Volumes) warnOfRounding(b Batch) {
	ml := b.Measuring.AdditionGraduationML
	switch {
	case v.Rounded.AdditionL == 0:
		v.Warnings = append(v.Warnings, colour.Warning{Code: "addition_below_graduation", Message: fmt.Sprintf(
			"The addition, %.3g mL, is below half a graduation of %g mL and cannot be measured: take a finer measure, or make more at once.", 1000*v.AdditionL, ml)})
	case v.Rounded.FirstAdditionL == 0 && ml > 0:
		v.Warnings = append(v.Warnings, colour.Warning{Code: "nothing_held_back", Message: fmt.Sprintf(
			"In steps of %g mL no first part of %.3g mL can be measured, so the addition cannot be poured in two parts: take a finer measure.", ml, 1000*v.Rounded.AdditionL)})
	}
}

// deliver fills in how well the dose is met.
func (v *Volumes) deliver(b Batch) {
	m, r, first, dose := b.Measuring, v.Recipe, v.FirstAdditionL, b.Dose
	if v.Rounded != nil {
		r, first, dose = v.Rounded.Recipe, v.Rounded.FirstAdditionL, v.Rounded.Dose
	}
	reading := math.Sqrt(12)
	base := math.Hypot(m.BaseUPercent/100, m.BaseGraduationL/reading/r.BaseL)
	addition := math.Hypot(float64(dose)*m.AdditionUPercent/100, 100*m.AdditionGraduationML/1000/reading/r.BaseL)
	v.Delivery = Delivery{
		UDose:     math.Hypot(float64(dose)*base, addition),
		ShortDose: DoseOf(math.Max(0, r.AdditionL-m.HeelL), r.BaseL),
		PourL:     r.AdditionL + m.HeelL, FirstPourL: first + m.HeelL,
	}
	switch {
	case m.HeelL == 0:
	case m.HeelL >= r.AdditionL:
		v.Warnings = append(v.Warnings, colour.Warning{Code: "heel_holds_all", Message: fmt.Sprintf(
			"The line holds %.4g L, and the whole addition is %.4g L: none of it would arrive. Pour it in at the top, or push it out of the line with base, which then counts as base.", m.HeelL, r.AdditionL)})
	default:
		v.Warnings = append(v.Warnings, colour.Warning{Code: "heel", Message: fmt.Sprintf(
			"%.4g L stay in the line. Measured out without regard to that, %.4g L of addition would give a dose of %.4g instead of %.4g mL per 100 mL: measure out %.4g L in all, the first part with its line full.", m.HeelL, r.AdditionL, float64(v.Delivery.ShortDose), float64(dose), v.Delivery.PourL)})
	}
}

// DeltaE00 is the colour difference (CIEDE2000) in view v between two doses of
// the path: what a rounding, a shortfall or an uncertainty of the dose costs.
//
// Errors: those of the view.
func (p *Path) DeltaE00(from, to Dose, v cie.View) (float64, error) {
	if err := v.Validate(); err != nil {
		return 0, fmt.Errorf("blend: %w", err)
	}
	w, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil {
		return 0, fmt.Errorf("blend: %w", err)
	}
	var lab [2][3]float64
	for i, d := range []Dose{from, to} {
		var a cie.Curve
		p.centre.at(d.Fraction(), &a)
		lab[i][0], lab[i][1], lab[i][2] = w.AbsorbanceLab(&a, v.DepthMM)
	}
	return difference.DeltaE00(lab[0][0], lab[0][1], lab[0][2], lab[1][0], lab[1][1], lab[1][2]), nil
}
