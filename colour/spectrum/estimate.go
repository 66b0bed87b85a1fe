package spectrum

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/reading"
)

// FromReadings estimates the absorbance spectrum of a wine from readings at
// single wavelengths. The readings are reproduced exactly (a wavelength between
// grid points by linear interpolation); the rest follows from the shapes that
// wine spectra have: see the package comment. The errors are those of each
// reading, of the dilution, and of the shape between the readings.
//
// Errors: colour.FieldErrors for readings that are no measurement.
//
// Limits: learned from red wines read in acid and from synthetic neat shapes;
// a colour from three readings is uncertain by about ΔE00 0.5 to 2 in a rosé,
// which the shape terms say for each wine.
func FromReadings(r reading.Readings) (Wine, error) {
	if err := r.Validate(); err != nil {
		return Wine{}, err
	}
	return wines().fromReadings(r, (*gaussian).terms)
}

// QuickFromReadings is FromReadings in half the time, for computing much anew: the
// shape terms are the same to some 1e-10 of their size, but for their signs. These
// mean nothing for a covariance, but the last figure of a warning's text, and which
// draws fall on which side of a limit, can hang on them; so a figure that is to be kept
// is found by FromReadings.
func QuickFromReadings(r reading.Readings) (Wine, error) {
	if err := r.Validate(); err != nil {
		return Wine{}, err
	}
	return wines().fromReadings(r, (*gaussian).quickTerms)
}

func (p *prior) fromReadings(r reading.Readings, terms func(*gaussian) []Term) (Wine, error) {
	all := r.All()
	factor := r.Per10MM()
	h := make([]cie.Curve, len(all))
	y := make([]float64, len(all))
	u := make([]float64, len(all))
	for i, at := range all {
		h[i] = sampling(at.NM)
		y[i] = at.Absorbance * factor
		u[i] = reading.Uncertainty(at.Absorbance, r.UAbsorbance) * factor
	}
	g := p.estimate(h, y)
	gain, _, ok := g.prior.gains(h)
	if !ok {
		return Wine{}, colour.FieldErrors{{Field: "extra", Message: "these wavelengths lie too close together to tell anything apart"}}
	}
	w := Wine{Absorbance: g.posterior.mean, Source: Readings, Method: methodOf(all)}
	for i := range all {
		t := Term{Cause: Reading}
		for j := range t.Effect {
			t.Effect[j] = gain[i][j] * u[i]
		}
		w.Observed = append(w.Observed, Observation{h[i], y[i], u[i]})
		w.Terms = append(w.Terms, t)
	}
	w.addDilution(r.Cell)
	w.Terms = append(w.Terms, terms(&g.posterior)...)
	w.warnOfReadings(r)
	w.warnOfShape(&g.posterior, r)
	w.warnOfNegative()
	return w, nil
}

// estimated is the distribution before and after the readings: before as one
// Gaussian, whose gains carry the errors of the readings.
type estimated struct{ prior, posterior gaussian }

// classifyBlur keeps a family from being ruled out by readings that differ
// from its shapes by less than this: instruments, blanks and wines vary more
// than the spectra a family was learned from. Relative to A420 + A520; beside it
// one usual reading error per 10 mm, whatever cell was used, so that the same
// wine read in another cell is estimated the same.
const classifyBlur = 0.004

// estimate conditions each family on the observations h = y and joins them.
func (p *prior) estimate(h []cie.Curve, y []float64) estimated {
	var before, after []gaussian
	var logWeight []float64
	for i := range p.reds {
		f := &p.reds[i]
		m := matterOf(&p.white, &f.family, y[0], y[1])
		g := m.before(&p.white, &f.family)
		k, s, ok := g.gains(h)
		if !ok {
			continue
		}
		misfit, blur := make([]float64, len(y)), make([]float64, len(y))
		for a := range y {
			misfit[a] = y[a] - h[a].Dot(&g.mean)
			blur[a] = math.Hypot(reading.DefaultU, classifyBlur*(math.Abs(y[0])+math.Abs(y[1])))
		}
		before = append(before, g)
		after = append(after, g.after(h, k, misfit))
		logWeight = append(logWeight, math.Log(f.weight)+logLikelihood(s, misfit, blur))
	}
	return estimated{prior: mixture(before, logWeight), posterior: mixture(after, logWeight)}
}

// sampling is the row that reads a spectrum at a wavelength from 380 to 780 nm,
// linearly between grid points.
func sampling(nm float64) cie.Curve {
	var row cie.Curve
	x := (nm - cie.FirstNM) / cie.StepNM
	i := min(int(x), cie.Points-2)
	row[i], row[i+1] = 1-(x-float64(i)), x-float64(i)
	return row
}

// At is the absorbance per 10 mm at a wavelength from 380 to 780 nm, linearly
// between grid points; NaN outside.
func (w *Wine) At(nm float64) float64 {
	if !(nm >= cie.FirstNM && nm <= cie.LastNM) {
		return math.NaN()
	}
	row := sampling(nm)
	return row.Dot(&w.Absorbance)
}

func methodOf(all []reading.At) string {
	nm := make([]float64, len(all))
	for i, at := range all {
		nm[i] = at.NM
	}
	slices.Sort(nm)
	var b strings.Builder
	b.WriteString(string(Readings))
	for _, x := range nm {
		fmt.Fprintf(&b, " %g", x)
	}
	return b.String()
}

// relativeDilutionU is the relative standard uncertainty of a dilution made
// with a one-mark pipette and flask of class B: limits of 1.5 % for 1 mL
// (ISO 648, from memory) as a triangular distribution (JCGM 100:2008, 4.3.9).
const relativeDilutionU = 0.006

func (w *Wine) addDilution(c reading.Cell) {
	if c.Dilution <= 1 {
		return
	}
	t := Term{Cause: Dilution}
	for i, a := range w.Absorbance {
		t.Effect[i] = relativeDilutionU * a
	}
	w.Terms = append(w.Terms, t)
}
