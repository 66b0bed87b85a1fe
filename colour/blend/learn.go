package blend

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// Measured is a rung that was poured and read.
type Measured struct {
	Dose Dose
	// Wine is the blend as read: see the ways in of package spectrum.
	Wine spectrum.Wine
	// DoseU says how well Dose is known; the zero value where nothing is said:
	// VolumeU in both of its parts.
	DoseU DoseU
}

// DoseU is the relative standard uncertainty of the dose of a measured rung, in
// two parts; neither may be negative.
type DoseU struct {
	Shared float64 // by all measured rungs: what the tool does wrong in each pour
	Own    float64 // of this rung alone
}

// What a rung's readings may differ by from any path, besides their own
// uncertainty: the model's shapes are not complete.
const (
	modelRelative = 0.010
	modelFloor    = 0.0005
)

// maxDoseU is the largest relative standard uncertainty of a dose: beyond it a
// dose says nothing, and first order no longer holds.
const maxDoseU = 0.5

// learnSteps is how often the factor on the pigment, the one thing that is not
// linear, is linearised again.
const learnSteps = 6

// Calibrate narrows the path to rungs that were measured. All that is uncertain
// is estimated at once from all readings of all rungs, in proportion to what
// each can tell: what an error shares between rungs (the base's reading, the
// addition's, the tool's bias, the pigment's behaviour in this base) it shares
// here. A rung tells about the pigment in proportion to its fraction.
//
// Errors: colour.FieldErrors on "measured/i" for a dose of 0 or less, a wine
// without readings, or an uncertainty of the dose that is none. A rung far off every path is kept and warned of.
//
// Method: Gaussian conditioning, iterated for the factor (Gauss-Newton).
func (p *Path) Calibrate(rungs []Measured) (*Path, []colour.Warning, error) {
	if p.learned {
		return nil, nil, errors.New("blend: calibration starts from the path before any rung: give all rungs at once")
	}
	var faults colour.FieldErrors
	for i, m := range rungs {
		if !(m.Dose > 0 && m.Dose <= MaxDose) {
			faults.Addf(fmt.Sprintf("measured/%d/dose_ml", i), given(float64(m.Dose)), "a measured rung needs a dose above 0 and at most %g mL per 100 mL of base", float64(MaxDose))
		}
		if len(m.Wine.Observed) == 0 {
			faults.Addf(fmt.Sprintf("measured/%d/wine", i), nil, "a measured rung needs readings, a spectrum or L*a*b*")
		}
		if u := m.DoseU; !(u.Shared >= 0 && u.Shared <= maxDoseU && u.Own >= 0 && u.Own <= maxDoseU) {
			faults.Addf(fmt.Sprintf("measured/%d/dose_u", i), nil, "the relative standard uncertainty of a dose, %g shared with other rungs and %g of its own, must be from 0 to %g in both parts", u.Shared, u.Own, maxDoseU)
		}
	}
	if err := faults.Err(); err != nil {
		return nil, nil, err
	}
	if len(rungs) == 0 {
		return p, nil, nil
	}
	out := *p
	out.learned = true
	out.mean = append([]float64(nil), p.mean...)
	problem := normalEquations{path: &out, rungs: rungs}
	for range learnSteps {
		out.centre = out.strand(out.mean)
		if err := problem.solve(); err != nil {
			return nil, nil, err
		}
	}
	out.centre = out.strand(out.mean)
	out.spread = problem.spread
	return &out, problem.warnings(), nil
}

// normalEquations are those of the errors of the path, followed by two for
// each rung: its own dose and the offset that its readings share.
type normalEquations struct {
	path   *Path
	rungs  []Measured
	own    []float64 // the last solution of the rungs' own errors
	spread *mat.Dense
}

func (q *normalEquations) size() int { return len(q.path.errors) + 2*len(q.rungs) }

// rows lists for rung r the derivative of each observation by each error, the
// observation's uncertainty, and its misfit at the present solution.
func (q *normalEquations) rows(r int) (rows [][]float64, u, misfit []float64) {
	m := &q.rungs[r]
	f := q.path.Fraction(m.Dose)
	shared, own := m.doseErrors()
	path := *q.path
	path.centre.bias *= shared // as this rung was poured
	columns := path.columns(f)
	ownDose := path.poured(f)
	ownDose = ownDose.Times(own)
	var a cie.Curve
	path.centre.at(f, &a)
	k := len(path.errors)
	for j := range columns {
		if path.errors[j].part == onBias {
			columns[j] = columns[j].Times(shared)
		}
	}
	for i := range m.Wine.Observed {
		o := &m.Wine.Observed[i]
		row := make([]float64, q.size())
		for j := range columns {
			row[j] = o.Row.Dot(&columns[j])
		}
		row[k+2*r] = o.Row.Dot(&ownDose)
		row[k+2*r+1] = m.Wine.CommonU * sum(&o.Row)
		level := o.Row.Dot(&a)
		miss := o.Value - level
		if q.own != nil {
			miss -= row[k+2*r]*q.own[2*r] + row[k+2*r+1]*q.own[2*r+1]
		}
		rows = append(rows, row)
		misfit = append(misfit, miss)
		u = append(u, math.Hypot(o.U, modelRelative*math.Abs(level)+modelFloor*math.Sqrt(o.Row.Dot(&o.Row))))
	}
	return rows, u, misfit
}

// doseErrors are the parts of the dose's uncertainty as multiples of doseU.
func (m *Measured) doseErrors() (shared, own float64) {
	if m.DoseU == (DoseU{}) {
		return 1, 1
	}
	return m.DoseU.Shared / doseU, m.DoseU.Own / doseU
}

// solve makes one Gauss-Newton step: z = argmin |z - prior|² + Σ (misfit/u)².
func (q *normalEquations) solve() error {
	n, k := q.size(), len(q.path.errors)
	information := mat.NewSymDense(n, nil)
	for i := range n {
		information.SetSym(i, i, 1)
	}
	right := mat.NewVecDense(n, nil)
	now := make([]float64, n)
	copy(now, q.path.mean)
	copy(now[k:], q.own)
	for r := range q.rungs {
		rows, u, misfit := q.rows(r)
		for i, row := range rows {
			target := misfit[i]
			for j, x := range row {
				target += x * now[j]
			}
			w := 1 / (u[i] * u[i])
			for a, x := range row {
				if x == 0 {
					continue
				}
				right.SetVec(a, right.AtVec(a)+w*x*target)
				for b := a; b < n; b++ {
					information.SetSym(a, b, information.At(a, b)+w*x*row[b])
				}
			}
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(information) {
		return fmt.Errorf("blend: calibration: the equations of %d measured rungs have no solution", len(q.rungs))
	}
	var z mat.VecDense
	if err := chol.SolveVecTo(&z, right); err != nil {
		return fmt.Errorf("blend: calibration: %w", err)
	}
	copy(q.path.mean, z.RawVector().Data[:k])
	q.own = append(q.own[:0], z.RawVector().Data[k:]...)
	return q.keepSpread(&chol, k)
}

// keepSpread takes the covariance of the path's errors and its root.
func (q *normalEquations) keepSpread(chol *mat.Cholesky, k int) error {
	var all mat.SymDense
	if err := chol.InverseTo(&all); err != nil {
		return fmt.Errorf("blend: calibration: %w", err)
	}
	own := mat.NewSymDense(k, nil)
	for i := range k {
		for j := i; j < k; j++ {
			own.SetSym(i, j, all.At(i, j))
		}
	}
	var root mat.Cholesky
	if !root.Factorize(own) {
		return fmt.Errorf("blend: calibration: the covariance of %d measured rungs is not positive", len(q.rungs))
	}
	var lower mat.TriDense
	root.LTo(&lower)
	q.spread = mat.DenseCopyOf(&lower)
	return nil
}

// independentMisfits is how many misfits of a scan count as independent: a path
// misses a spectrum smoothly, by a hundred nanometres at once. With it at most 1 in
// 25 sound scans is warned of in simulations. A judgement, no source.
const independentMisfits = 4

// warnings names rungs that no path near the others explains.
func (q *normalEquations) warnings() []colour.Warning {
	var out []colour.Warning
	for r := range q.rungs {
		_, u, misfit := q.rows(r)
		chi2 := q.own[2*r]*q.own[2*r] + q.own[2*r+1]*q.own[2*r+1]
		for i := range misfit {
			chi2 += misfit[i] * misfit[i] / (u[i] * u[i])
		}
		n := float64(len(misfit))
		if n > independentMisfits {
			chi2, n = chi2*independentMisfits/n, independentMisfits
		}
		if chi2 > n+5*math.Sqrt(2*n)+5 {
			out = append(out, colour.Warning{Code: "rung_off_path", Message: fmt.Sprintf(
				"The rung measured at %.3g mL per 100 mL of base fits no path of this base and addition. Was it the right glass, cell and dose? It was kept; the uncertainties do not cover this.", float64(q.rungs[r].Dose))})
		}
	}
	if y := q.path.ColourYield(); y < 0.5 || y > 1.8 {
		out = append(out, colour.Warning{Code: "unusual_yield", Message: fmt.Sprintf(
			"Measured rungs say that the addition colours %.2f times as much here as it does neat; 0.5 to 1.8 is usual. Check the cell that the neat wine was read in, and the doses.", y)})
	}
	return out
}

// ColourYield is the factor on the pigment's colour in this base at 7.5 mL per
// 100 mL (7 % of the blend) against neat: 1 before anything was measured.
func (p *Path) ColourYield() float64 { return math.Exp(p.centre.factor) }

func sum(c *cie.Curve) (s float64) {
	for _, x := range c {
		s += x
	}
	return s
}
