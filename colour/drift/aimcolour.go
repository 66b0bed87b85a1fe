package drift

import (
	"math"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// ColourAim is the colour to aim at today, so that it is another on the day of
// release.
type ColourAim struct {
	// A are absorbances per 10 mm in the order of NMs; Lab is the colour in the
	// target's view, with Interval95 of L*, a* and b*. The intervals hold what one
	// lot more would have to be, with 95 %, the target taken as exact; those of Lab
	// are of first order.
	A          [3]Estimate
	Lab        cie.Lab
	Interval95 [3][2]float64
	Warnings   []colour.Warning
}

// AimColour is what a lot should look like on day today so that it looks like
// target on day release. lab is the target's colour in the view that is asked for;
// it is moved by the difference of the colours that the readings have on the two
// days, through spectrum.FromReadings, so that what the estimate has wrong about the
// shape largely cancels.
//
// Errors: as Aim; those of spectrum.FromReadings for a colour that no wine can have
// had.
func (c *Class) AimColour(target spectrum.Wine, lab cie.Lab, today, release float64) (ColourAim, error) {
	i := target.Indices()
	then := [bands]float64{i.A420, i.A520, i.A620}
	aim, err := c.Aim(certain(then), today, release)
	if err != nil {
		return ColourAim{}, err
	}
	w, err := weightingOf(lab.View)
	if err != nil {
		return ColourAim{}, err
	}
	out := ColourAim{A: aim.A, Warnings: aim.Warnings}
	after, err := labOf(then, w, lab.View)
	if err != nil {
		return ColourAim{}, err
	}
	now := [bands]float64{aim.A[0].Value, aim.A[1].Value, aim.A[2].Value}
	before, err := labOf(now, w, lab.View)
	if err != nil {
		return ColourAim{}, err
	}
	out.Lab = cie.Lab{L: lab.L + before[0] - after[0], A: lab.A + before[1] - after[1], B: lab.B + before[2] - after[2], View: lab.View}
	var moves [bands][3]float64 // of L*, a*, b* by half of each band's interval
	for b := range bands {
		moved := now
		moved[b] = aim.A[b].Upper
		other, err := labOf(moved, w, lab.View)
		if err != nil {
			return ColourAim{}, err
		}
		for k := range other {
			moves[b][k] = other[k] - before[k]
		}
	}
	for k, v := range []float64{out.Lab.L, out.Lab.A, out.Lab.B} {
		margin := c.together([bands]float64{moves[0][k], moves[1][k], moves[2][k]})
		out.Interval95[k] = [2]float64{v - margin, v + margin}
	}
	return out, nil
}

// together adds what each band moves a quantity, as the bands go together in the
// lots.
func (c *Class) together(moves [bands]float64) float64 {
	var sum float64
	for i := range bands {
		for j := range bands {
			sum += c.correlation[i][j] * moves[i] * moves[j]
		}
	}
	return math.Sqrt(math.Max(sum, 0))
}
