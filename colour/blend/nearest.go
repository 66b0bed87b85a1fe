package blend

import (
	"fmt"
	"math"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/spectrum"
)

// Nearest is the dose at which a path comes nearest to a target. Doses are in
// mL added per 100 mL of base.
type Nearest struct {
	Dose Dose
	Wine spectrum.Wine // the blend at Dose
	// Interval95 holds 95 % of the closest dose over everything uncertain, the
	// target taken as exact; it may reach beyond the largest dose that was asked
	// for. Nil when the closest dose is an end of the ladder.
	Interval95 *[2]float64
	// Acceptable are the doses about the closest one that are within tolerance
	// with probability at least 0.95; nil when there is none, or no tolerance.
	Acceptable *[2]float64
	// Nominal are the doses whose predicted colour, taken at face value, is
	// within tolerance; nil when there is none, or no tolerance.
	Nominal *[2]float64
	// AtEnd says that no dose inside the ladder comes nearer than its end.
	AtEnd    bool
	Warnings []colour.Warning
}

// scanPoints is how many doses a search looks at before it closes in.
const scanPoints = 40

// seeker looks for the dose of closest approach along strands of one path.
type seeker struct {
	target    Target
	weighting *cie.Weighting
	view      cie.View
	largest   float64 // dose
}

// Nearest finds the dose from 0 to largest whose colour in view v is nearest to
// the target (ΔE00), or for a target of intensity and tint the dose that meets
// the intensity. The interval and the acceptable doses come from 400 draws of
// everything uncertain (JCGM 101:2008), from a fixed seed, so that the same
// question has the same answer.
//
// Errors: colour.FieldErrors for a target that is none, or that is stated for
// another view than v.
func (p *Path) Nearest(t Target, v cie.View, largest Dose) (Nearest, error) {
	s, err := newSeeker(t, v, largest)
	if err != nil {
		return Nearest{}, err
	}
	best := 0.0
	if s.largest > 0 {
		best = s.closest(&p.centre)
	}
	n := Nearest{Dose: Dose(best), Wine: p.At(Dose(best))}
	n.AtEnd = best <= 1e-6*s.largest || best >= s.largest*(1-1e-6)
	if t.Tolerance > 0 && t.Lab != nil {
		n.Nominal = s.within(&p.centre, best)
	}
	if s.largest > 0 && (!n.AtEnd || t.Tolerance > 0) {
		p.draw(&s, best, &n)
	}
	n.Warnings = p.nearestWarnings(&s, &n)
	return n, nil
}

func newSeeker(t Target, v cie.View, largest Dose) (seeker, error) {
	if err := t.Validate(); err != nil {
		return seeker{}, err
	}
	if t.Lab != nil && t.Lab.View != v {
		return seeker{}, colour.FieldErrors{{Field: "cielab", Message: fmt.Sprintf("the target's colour holds under %v, the search is under %v: they must be the same", t.Lab.View, v)}}
	}
	if !(largest >= 0 && largest <= MaxDose) {
		return seeker{}, colour.FieldErrors{{Field: "", Value: given(float64(largest)), Message: "a search for the nearest dose needs a largest dose from 0 to 1000 mL per 100 mL of base"}}
	}
	w, err := cie.WeightingFor(v.Illuminant, v.Observer)
	if err != nil {
		return seeker{}, fmt.Errorf("blend: %w", err)
	}
	return seeker{t, w, v, float64(largest)}, nil
}

// miss is ΔE00 from the target at a dose of strand st; for an intensity, the
// relative misfit of it.
func (s *seeker) miss(st *strand, dose float64) float64 {
	var a cie.Curve
	st.at(st.fraction(Dose(dose)), &a)
	if t := s.target.Lab; t != nil {
		l, aa, b := s.weighting.AbsorbanceLab(&a, s.view.DepthMM)
		return difference.DeltaE00(t.L, t.A, t.B, l, aa, b)
	}
	sum := a[cie.Index(420)] + a[cie.Index(520)] + a[cie.Index(620)]
	return math.Abs(sum-*s.target.Intensity) / *s.target.Intensity
}

// grid is the dose of scan point i: closer together where doses are small and
// colour moves fast.
func (s *seeker) grid(i int) float64 {
	x := float64(i) / (scanPoints - 1)
	return s.largest * x * (0.35 + 0.65*x)
}

// closest is the dose of closest approach: the best of a scan, closed in on by
// golden section between its neighbours.
func (s *seeker) closest(st *strand) float64 {
	best, least := 0, math.Inf(1)
	for i := range scanPoints {
		if m := s.miss(st, s.grid(i)); m < least {
			best, least = i, m
		}
	}
	lo, hi := s.grid(max(best-1, 0)), s.grid(min(best+1, scanPoints-1))
	dose := s.golden(st, lo, hi, 1e-7*s.largest)
	if s.miss(st, 0) <= s.miss(st, dose)+1e-12 {
		return 0 // where no dose does better, none is poured
	}
	return dose
}

func (s *seeker) golden(st *strand, lo, hi, width float64) float64 {
	const ratio = 0.6180339887498949
	x1, x2 := hi-ratio*(hi-lo), lo+ratio*(hi-lo)
	m1, m2 := s.miss(st, x1), s.miss(st, x2)
	for hi-lo > width {
		if m1 <= m2 {
			hi, x2, m2 = x2, x1, m1
			x1 = hi - ratio*(hi-lo)
			m1 = s.miss(st, x1)
		} else {
			lo, x1, m1 = x1, x2, m2
			x2 = lo + ratio*(hi-lo)
			m2 = s.miss(st, x2)
		}
	}
	mid := (lo + hi) / 2
	for _, end := range []float64{0, s.largest} {
		if math.Abs(mid-end) < 1e-5*s.largest && s.miss(st, end) <= s.miss(st, mid) {
			return end
		}
	}
	return mid
}

// within is the range of doses about best that are within tolerance at face
// value.
func (s *seeker) within(st *strand, best float64) *[2]float64 {
	if s.miss(st, best) > s.target.Tolerance {
		return nil
	}
	return &[2]float64{s.edge(st, best, 0), s.edge(st, best, s.largest)}
}

// edge is where the path leaves the tolerance on the way from inside to end.
func (s *seeker) edge(st *strand, inside, end float64) float64 {
	const steps = 200
	was := inside
	for i := 1; i <= steps; i++ {
		x := inside + (end-inside)*float64(i)/steps
		if s.miss(st, x) <= s.target.Tolerance {
			was = x
			continue
		}
		out := x
		for range 40 {
			mid := (was + out) / 2
			if s.miss(st, mid) <= s.target.Tolerance {
				was = mid
			} else {
				out = mid
			}
		}
		return was
	}
	return end
}

// nearestWarnings says what a person must know before trusting the dose.
func (p *Path) nearestWarnings(s *seeker, n *Nearest) []colour.Warning {
	var out []colour.Warning
	// What lies beyond the largest dose was not looked at.
	beyond := n.AtEnd && float64(n.Dose) >= s.largest*(1-1e-6)
	if n.AtEnd {
		way := "No addition at all comes nearest to the target."
		switch {
		case s.largest == 0:
			way = "Base alone was looked at, and no dose: the target may lie beyond."
		case beyond:
			way = fmt.Sprintf("The largest dose, %.4g mL per 100 mL of base, comes nearest to the target: more might come nearer still.", float64(n.Dose))
		}
		out = append(out, colour.Warning{Code: "at_end_of_ladder", Message: way})
	}
	if s.target.Lab == nil || s.target.Tolerance == 0 {
		return out
	}
	switch {
	case n.Nominal == nil && beyond:
	case n.Nominal == nil:
		misses, helps := s.wordsFor(&p.centre, n.Dose)
		out = append(out, colour.Warning{Code: "target_off_path", Message: fmt.Sprintf(
			"No dose comes within ΔE00 %g of the target: at %.3g mL per 100 mL of base the blend is %s. A third wine would be needed, one that is %s.", s.target.Tolerance, float64(n.Dose), misses, helps)})
	case n.Acceptable == nil:
		advice := "Read the base and the addition at 460 and 570 nm as well, or scan them"
		if !p.learned {
			advice = fmt.Sprintf("Pour a rung near %.3g mL per 100 mL, read it and give it as measured", float64(n.Dose))
		}
		out = append(out, colour.Warning{Code: "not_sure_of_any_dose", Message: fmt.Sprintf(
			"Taken at face value, doses from %.3g to %.3g mL per 100 mL of base are within ΔE00 %g, but none is with probability 0.95. %s.", n.Nominal[0], n.Nominal[1], s.target.Tolerance, advice)})
	}
	return out
}

// wordsFor says which way the blend at a dose misses the target's colour, and
// what kind of wine would help.
func (s *seeker) wordsFor(st *strand, d Dose) (misses, helps string) {
	var a cie.Curve
	st.at(st.fraction(d), &a)
	var p place
	p[0], p[1], p[2] = s.weighting.AbsorbanceLab(&a, s.view.DepthMM)
	return inWords(s.target.ways(&colourAim{weighting: s.weighting, depthMM: s.view.DepthMM, target: *s.target.Lab}, p))
}
