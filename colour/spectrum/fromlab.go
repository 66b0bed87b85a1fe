package spectrum

import (
	"errors"
	"fmt"
	"math"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/reading"
)

// Stated are CIELAB values as a laboratory states them.
type Stated struct {
	// Lab holds the values with the view they are stated for; its DepthMM is
	// the path, 10 for a result for 10 mm whatever the cell was.
	Lab cie.Lab
	// HalfStepL and HalfStepAB are half of the last printed digit of L* and of
	// a* and b*: 0.05 for one decimal. 0 means exact.
	HalfStepL, HalfStepAB float64
}

const (
	maxStatedL  = 110
	maxStatedAB = 150
	// darkL and blackL are where the printed digits of a dark wine's L*a*b*
	// begin to carry, and carry, too little for blending: the blend then misses
	// by a median ΔE00 of 0.6 at L* 40-50, 1.9 at 30-40, 2.8 at 20-30 and 5.4 at
	// 10-20 (TestRoundedLabOfDarkReds).
	darkL, blackL = 50, 25
)

// ErrNoSpectrum means that no wine-like spectrum has the stated colour.
var ErrNoSpectrum = errors.New("no wine-like spectrum has this colour")

// Validate returns colour.FieldErrors for values outside the scale: L* from 0
// to 110, a* and b* within ±150, and for a view that has no tables.
func (s Stated) Validate() error {
	var faults colour.FieldErrors
	if !(s.Lab.L >= 0 && s.Lab.L <= maxStatedL) {
		faults.Addf("L", s.Lab.L, "L* must be from 0 to %d", maxStatedL)
	}
	if !(math.Abs(s.Lab.A) <= maxStatedAB) {
		faults.Addf("a", s.Lab.A, "a* must be from -%d to %d", maxStatedAB, maxStatedAB)
	}
	if !(math.Abs(s.Lab.B) <= maxStatedAB) {
		faults.Addf("b", s.Lab.B, "b* must be from -%d to %d", maxStatedAB, maxStatedAB)
	}
	v := s.Lab.View
	if !(v.DepthMM >= 0.01 && v.DepthMM <= 100) {
		faults.Addf("path_mm", v.DepthMM, "the path that the values are stated for must be from 0.01 to 100 mm: 10 for a result for 10 mm, 1 for one for a 1 mm cell")
		v.DepthMM = 10
	}
	if err := v.Validate(); err != nil {
		faults.Addf("", nil, "%v", err)
	}
	return faults.Err()
}

// TooDark says whether a colour stated for 10 mm holds too little light to
// blend from.
func (s Stated) TooDark() bool { return s.Lab.View.DepthMM >= 10 && s.Lab.L < blackL }

// FromLab finds the most plausible wine spectrum whose colour is exactly the
// stated one, under its light, observer and path. The errors are the rounding
// of the printed digits, the photometric error of the instrument, and the
// shape that three numbers leave open.
//
// Errors: colour.FieldErrors; with ErrNoSpectrum (errors.Is) where no wine-like
// spectrum has the colour, and the reason in its text.
//
// Method: within each family of shapes the constrained most probable spectrum
// by damped Gauss-Newton steps; families weighed as in FromReadings.
func FromLab(s Stated) (Wine, error) {
	if err := s.Validate(); err != nil {
		return Wine{}, err
	}
	return wines().fromLab(s, (*gaussian).terms)
}

// QuickFromLab is to FromLab what QuickFromReadings is to FromReadings.
func QuickFromLab(s Stated) (Wine, error) {
	if err := s.Validate(); err != nil {
		return Wine{}, err
	}
	return wines().fromLab(s, (*gaussian).quickTerms)
}

// labSolver inverts one stated colour.
type labSolver struct {
	weighting *cie.Weighting
	depthMM   float64
	want      [3]float64
	u         [3]float64 // standard uncertainty of want
}

func (p *prior) fromLab(s Stated, terms func(*gaussian) []Term) (Wine, error) {
	weighting, err := cie.WeightingFor(s.Lab.View.Illuminant, s.Lab.View.Observer)
	if err != nil {
		return Wine{}, err
	}
	root3 := math.Sqrt(3)
	solve := labSolver{weighting, s.Lab.View.DepthMM, [3]float64{s.Lab.L, s.Lab.A, s.Lab.B},
		[3]float64{s.HalfStepL / root3, s.HalfStepAB / root3, s.HalfStepAB / root3}}
	var before, after []gaussian
	var logWeight []float64
	for i := range p.reds {
		f := &p.reds[i]
		g, rows, ok := solve.family(&p.white, &f.family)
		if !ok {
			continue
		}
		k, cov, ok := g.gains(rows.jacobian[:])
		if !ok {
			continue
		}
		blur := []float64{solve.u[0] + 0.1, solve.u[1] + 0.1, solve.u[2] + 0.1}
		before = append(before, g)
		after = append(after, g.after(rows.jacobian[:], k, rows.misfit[:]))
		logWeight = append(logWeight, math.Log(f.weight)+logLikelihood(cov, rows.misfit[:], blur))
	}
	if len(after) == 0 {
		return Wine{}, solve.refuse("the search for one does not settle")
	}
	return solve.wine(estimated{mixture(before, logWeight), mixture(after, logWeight)}, terms)
}

// linear is the colour of a spectrum as a linear function of the absorbance
// about a solution, and how far the prior's mean misses it.
type linear struct {
	jacobian [3]cie.Curve
	misfit   [3]float64
}

// exactLabU is the least standard uncertainty that L*, a* or b* is given when
// other estimates learn from it, even where the digits are exact.
const exactLabU = 0.02

const (
	labSteps     = 80
	labTolerance = 1e-9
)

// family finds the most plausible spectrum of one family, with its prior.
func (s *labSolver) family(white, f *family) (gaussian, linear, bool) {
	a := s.start(white, f)
	var g gaussian
	var lin linear
	for range labSteps {
		m := matterOf(white, f, math.Max(a[cie.Index(420)], 0), math.Max(a[cie.Index(520)], 0))
		g = m.before(white, f)
		lab, jac := s.weighting.AbsorbanceJacobian(&a, s.depthMM)
		lin.jacobian = jac
		for c := range 3 {
			lin.misfit[c] = s.want[c] - lab[c] + jac[c].Dot(&a) - jac[c].Dot(&g.mean)
		}
		k, _, ok := g.gains(jac[:])
		if !ok {
			return g, lin, false
		}
		next := g.mean
		for c := range 3 {
			for i := range next {
				next[i] += k[c][i] * lin.misfit[c]
			}
		}
		stepped := s.damp(&a, &next)
		if s.miss(&a) < 1e-6 || stepped < 1e-7 {
			break
		}
	}
	return g, lin, s.miss(&a) < 5
}

// start is the family's mean with as much red matter as the lightness asks for.
func (s *labSolver) start(white, f *family) cie.Curve {
	mix := func(red float64) cie.Curve {
		var a cie.Curve
		for i := range a {
			a[i] = 0.06*white.mean[i] + red*f.mean[i]
		}
		return a
	}
	lo, hi := 1e-4, 200.0
	for range 50 {
		mid := math.Sqrt(lo * hi)
		a := mix(mid)
		if l, _, _ := s.weighting.AbsorbanceLab(&a, s.depthMM); l > s.want[0] {
			lo = mid
		} else {
			hi = mid
		}
	}
	return mix(lo)
}

// miss is the distance of the colour of a from the one wanted, in ΔE*ab.
func (s *labSolver) miss(a *cie.Curve) float64 {
	l, aa, b := s.weighting.AbsorbanceLab(a, s.depthMM)
	return math.Sqrt((l-s.want[0])*(l-s.want[0]) + (aa-s.want[1])*(aa-s.want[1]) + (b-s.want[2])*(b-s.want[2]))
}

// damp moves a towards next as far as the colour does not get worse, and
// returns the share of the step taken.
func (s *labSolver) damp(a, next *cie.Curve) float64 {
	was := s.miss(a)
	for t := 1.0; t > 1e-4; t /= 2 {
		trial := *a
		for i := range trial {
			trial[i] += t * (next[i] - a[i])
		}
		if s.miss(&trial) < was {
			*a = trial
			return t
		}
	}
	return 0
}

// wine moves the mixture's mean onto the stated colour and gathers its errors.
func (s *labSolver) wine(g estimated, terms func(*gaussian) []Term) (Wine, error) {
	a := g.posterior.mean
	var gain []cie.Curve
	var rows [3]cie.Curve
	for range labSteps {
		lab, jac := s.weighting.AbsorbanceJacobian(&a, s.depthMM)
		k, _, ok := g.prior.gains(jac[:])
		if !ok {
			return Wine{}, s.refuse(s.unsettled())
		}
		gain, rows = k, jac
		if s.miss(&a) < labTolerance {
			break
		}
		next := a
		for c := range 3 {
			for i := range next {
				next[i] += k[c][i] * (s.want[c] - lab[c])
			}
		}
		if s.damp(&a, &next) == 0 {
			break
		}
	}
	if s.miss(&a) > 0.005 {
		return Wine{}, s.refuse(fmt.Sprintf("the nearest one misses it by ΔE*ab %.1f", s.miss(&a)))
	}
	if err := s.plausible(&a); err != nil {
		return Wine{}, err
	}
	w := Wine{Absorbance: a, Source: CIELAB, Method: string(CIELAB)}
	for c := range 3 {
		u := math.Hypot(s.u[c], exactLabU)
		w.Observed = append(w.Observed, Observation{rows[c], rows[c].Dot(&a), u})
		if s.u[c] == 0 {
			continue
		}
		t := Term{Cause: Rounding}
		for i := range t.Effect {
			t.Effect[i] = gain[c][i] * s.u[c]
		}
		w.Terms = append(w.Terms, t)
	}
	w.CommonU = reading.DefaultU * 10 / s.depthMM
	base := Term{Cause: Reading}
	for i := range base.Effect {
		base.Effect[i] = w.CommonU
	}
	w.Terms = append(w.Terms, base)
	w.Terms = append(w.Terms, terms(&g.posterior)...)
	w.warnOfLab(s.want[0], s.depthMM)
	return w, nil
}

// plausible refuses spectra that no wine has: light gained instead of lost
// beyond what a wrong blank does, or a spectrum that rises towards the red.
func (s *labSolver) plausible(a *cie.Curve) error {
	red := math.Max(a[cie.Index(520)], 0)
	slack := 0.05*10/s.depthMM + 0.05*red
	for i := cie.Index(400); i <= cie.Index(700); i++ {
		if a[i] < -slack {
			return s.refuse(fmt.Sprintf("it would pass more light than water at %g nm", cie.FirstNM+cie.StepNM*float64(i)))
		}
	}
	var blue float64
	for i := cie.Index(600); i <= cie.Index(700); i++ {
		blue = math.Max(blue, a[i])
	}
	if blue > 1.1*red+slack {
		return s.refuse("it would be grey, blue or green, absorbing more above 600 nm than at 520 nm")
	}
	return nil
}

// refused is an ErrNoSpectrum with its reason.
type refused struct{ faults colour.FieldErrors }

func (r refused) Error() string { return r.faults.Error() }

// Unwrap lets errors.Is find ErrNoSpectrum and errors.As the field errors.
func (r refused) Unwrap() []error { return []error{ErrNoSpectrum, r.faults} }

func (s *labSolver) refuse(why string) error {
	var faults colour.FieldErrors
	faults.Addf("", nil, "%v: L* %g, a* %g, b* %g for %g mm: %s; check the values, their light and observer, and the path they are stated for",
		ErrNoSpectrum, s.want[0], s.want[1], s.want[2], s.depthMM, why)
	return refused{faults}
}

// unsettled says why the search for a spectrum found none.
func (s *labSolver) unsettled() string {
	if s.want[0] < blackL && s.depthMM >= 10 {
		return fmt.Sprintf("it is so dark that the figures cannot tell one wine from another; state the colour for a 1 or 2 mm cell (at L* %g almost no light is left through %g mm)", s.want[0], s.depthMM)
	}
	return "no amounts of a wine's yellow and red pigments give it"
}

func (w *Wine) warnOfLab(l, depthMM float64) {
	if depthMM >= 10 && l < darkL {
		w.Warnings = append(w.Warnings, colour.Warning{Code: "dark_cielab", Message: fmt.Sprintf(
			"At L* %.0f the rounded figures hold too little light to blend from with confidence. State the colour for a 1 or 2 mm cell, or give readings.", l)})
	}
	lowest := 0.0
	for i := cie.Index(420); i <= cie.Index(700); i++ {
		lowest = math.Min(lowest, w.Absorbance[i])
	}
	if l > 100 || lowest < -0.015*10/depthMM-0.02*w.Absorbance[cie.Index(520)] {
		w.Warnings = append(w.Warnings, colour.Warning{Code: "brighter_than_blank", Message: fmt.Sprintf(
			"The wine would pass more light than its blank (absorbance %.3f per 10 mm): the blank was darker than water. Zero the instrument on water and read again.", lowest)})
	}
}
