package calc

import (
	"pourpath/colour/cie"
	"pourpath/colour/conform"
)

// Checker judges many wines by one specification, whose target is estimated once.
// It answers as Check does, and may be used concurrently.
type Checker struct {
	spec   conform.Spec
	view   cie.View
	target *targeted
}

// NewChecker takes in a specification that holds in a view. The error is a
// *Problem with places in the specification.
func NewChecker(s Spec, v *View) (Checker, error) {
	var f Faults
	c := Checker{view: v.resolve(&f)}
	c.spec, c.target = s.resolve("", c.view, &f)
	return c, f.Err()
}

// Check judges a wine; sameSession is as in CheckRequest. The error is a *Problem
// with places below /wine, or a fault of this program.
func (c Checker) Check(w Wine, sameSession bool) (CheckResponse, error) {
	var f Faults
	in := checkInput{spec: c.spec, view: c.view, target: c.target, sample: w.resolveSubject("/wine", c.view, &f)}
	if err := f.Err(); err != nil {
		return CheckResponse{}, err
	}
	return in.judge(sameSession)
}

// Spec is the specification as it is judged by.
func (c Checker) Spec() conform.Spec { return c.spec }

// View is what the specification holds for.
func (c Checker) View() cie.View { return c.view }

// Reference is the colour that wines are compared with, in View; nil where there is
// none.
func (c Checker) Reference() *cie.Lab {
	r := c.spec.Reference
	switch {
	case c.target != nil && c.target.Lab != nil:
		return c.target.Lab
	case r != nil && r.Stated != nil && r.Stated.Lab.View == c.view:
		lab := r.Stated.Lab
		return &lab
	case r == nil && c.spec.Ellipsoid != nil:
		return &c.spec.Ellipsoid.Mean
	}
	return nil
}

// QuickCheck is Check in less time, for computing much anew: it estimates spectra as
// spectrum.QuickFromReadings does. Where its answer is the one that is expected, so is
// that of Check; where it is not, Check decides.
func (c Checker) QuickCheck(w Wine, sameSession bool) (CheckResponse, error) {
	w.quick = true
	return c.Check(w, sameSession)
}
