package calc

import (
	"math"
	"slices"

	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/ladder"
)

// Prepared is a ladder whose wines were taken in: its path can be asked for more
// than one ladder's answer.
type Prepared struct {
	Path     *blend.Path
	View     cie.View
	BaseML   float64       // of base alone in each glass
	Target   *blend.Target // nil where there is none
	Measured []blend.Measured
	Warnings []Warning // of the wines and of the measured rungs
	// Unread says that nothing was read of the addition: the path is of the measured
	// rungs alone, and nothing was predicted before them.
	Unread bool

	in ladderInput
}

// Prepare takes in the wines, the measured rungs and the target of a ladder; its
// rungs do not matter. The error is a *Problem.
func Prepare(r LadderRequest) (Prepared, error) {
	r.DosesML, r.Plan = []float64{0}, nil
	var f Faults
	in := r.resolve(&f)
	if err := f.Err(); err != nil {
		return Prepared{}, err
	}
	p := Prepared{Path: in.path, View: in.view, BaseML: in.baseML, Measured: in.measured, Warnings: in.notes, Unread: in.unread, in: in}
	if in.target != nil {
		p.Target = &in.target.Target
	}
	return p, nil
}

// Rungs are the colours at doses of so many mL into BaseML, in that order.
func (p Prepared) Rungs(dosesML []float64) ([]Rung, error) {
	rungs, err := ladder.Rungs(p.Path, p.BaseML, dosesML, p.View)
	if err != nil {
		return nil, refused(err)
	}
	out := make([]Rung, len(rungs))
	for i, rung := range rungs {
		if out[i], err = rungOf(rung, p.in.target); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Against is the colour of a wine in the ladder's view and how it differs from
// the ladder's target; nil where there is none.
func (p Prepared) Against(w Wine) (WineColour, *Difference, error) {
	var f Faults
	s := w.resolveSubject("", p.View, &f)
	if err := f.Err(); err != nil {
		return WineColour{}, nil, err
	}
	colour, err := s.colour(p.View)
	if err != nil || p.in.target == nil {
		return colour, nil, err
	}
	if s.wine == nil {
		if p.Target.Lab == nil {
			return colour, nil, nil // an intensity needs a spectrum
		}
		d, err := labDifference(*p.Target.Lab, s.stated.Lab)
		return colour, d, err
	}
	c, err := colourIn(*s.wine, p.View)
	if err != nil {
		return colour, nil, err
	}
	if s.stated != nil {
		c.Lab = s.stated.Lab
	}
	d, err := differenceOf(p.in.target.Target, c)
	return colour, d, err
}

// Stray is a measured rung that does not fit.
type Stray struct {
	Rung int // its place among the measured rungs
	// Fits lists which of the other doses it would fit at.
	Fits []int
}

// Strays finds measured rungs that do not fit on any plausible path of the two
// wines together with the other rungs: those without which the fewest rungs are off
// the path, as one that is wrong makes right ones look wrong too. Two that contradict
// each other are both found. others are doses in mL per 100 mL of base that a rung
// may have been taken at by mistake.
func (p Prepared) Strays(others []float64) ([]Stray, error) {
	off, err := p.strange(p.Measured)
	if err != nil || off == 0 {
		return nil, err
	}
	without := make([]int, len(p.Measured))
	for i := range p.Measured {
		if without[i], err = p.strange(slices.Delete(slices.Clone(p.Measured), i, i+1)); err != nil {
			return nil, err
		}
	}
	var out []Stray
	for i, left := range without {
		if left >= off || left > slices.Min(without) {
			continue
		}
		s := Stray{Rung: i}
		if s.Fits, err = p.fits(i, left, others); err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

// fits lists the doses at which a rung leaves no more rungs off the path than there
// are without it.
func (p Prepared) fits(rung, left int, doses []float64) (out []int, err error) {
	for k, dose := range doses {
		if !(dose > 0) || math.Abs(dose-float64(p.Measured[rung].Dose)) < 1e-9*dose {
			continue
		}
		moved := slices.Clone(p.Measured)
		moved[rung].Dose = blend.Dose(dose)
		at, err := p.strange(moved)
		if err != nil {
			return nil, err
		}
		if at <= left {
			out = append(out, k)
		}
	}
	return out, nil
}

// strange counts what calibration warns of.
func (p Prepared) strange(rungs []blend.Measured) (n int, err error) {
	_, notes, err := p.in.predicted.Calibrate(rungs)
	if err != nil {
		return 0, refused(err)
	}
	for _, w := range notes {
		if w.Code == "rung_off_path" || w.Code == "unusual_yield" {
			n++
		}
	}
	return n, nil
}
