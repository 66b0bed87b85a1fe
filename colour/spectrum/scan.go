package spectrum

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/interp"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/reading"
)

// FromScan resamples a measured spectrum to the grid, per 10 mm of undiluted
// wine. Between wavelengths a cubic spline is used; wavelengths that the scan
// lacks at the ends of 380-780 nm take its nearest value, as CIE 015 recommends,
// and a warning says so. The reading error is one error common to all
// wavelengths: see reading.Scan.
//
// Errors: colour.FieldErrors.
//
// Source: CIE 015:2018, 7.2.3 and 7.3 (spline between, nearest value beyond;
// clause numbers from memory).
func FromScan(s reading.Scan) (Wine, error) {
	if err := s.Validate(); err != nil {
		return Wine{}, err
	}
	nm, a := withinVisible(s)
	w := Wine{Source: Scan, Method: string(Scan)}
	var spline interp.NaturalCubic
	if err := spline.Fit(nm, a); err != nil {
		return Wine{}, fmt.Errorf("spectrum: scan: %w", err)
	}
	factor := s.Per10MM()
	first, last := nm[0], nm[len(nm)-1]
	for i := range w.Absorbance {
		at := cie.Wavelength(i)
		w.Absorbance[i] = factor * spline.Predict(math.Min(math.Max(at, first), last))
	}
	if first > cie.FirstNM || last < cie.LastNM {
		w.Warnings = append(w.Warnings, colour.Warning{Code: "ends_filled", Message: fmt.Sprintf(
			"The scan covers %g-%g nm; the rest of 380-780 nm was given its nearest value, which matters little to the colour. Scan 380-780 nm to avoid it.", first, last)})
	}
	t := Term{Cause: Reading}
	for i := range t.Effect {
		t.Effect[i] = s.UAbsorbance * factor
	}
	w.Terms = append(w.Terms, t)
	w.CommonU = s.UAbsorbance * factor
	w.observeScan(s, nm, a)
	w.Terms = append(w.Terms, saturation(s, nm, a)...)
	w.addDilution(s.Cell)
	w.warnOfScan(s.Cell, a)
	return w, nil
}

// withinVisible keeps the wavelengths that the grid needs: those from 380 to
// 780 nm and the nearest one beyond each end.
func withinVisible(s reading.Scan) (nm, a []float64) {
	first, end := 0, len(s.NM)
	for first+1 < end && s.NM[first+1] <= cie.FirstNM {
		first++
	}
	for end-1 > first && s.NM[end-2] >= cie.LastNM {
		end--
	}
	return s.NM[first:end], s.Absorbance[first:end]
}

// saturation is the further error where little light is left: see
// reading.Uncertainty. It follows the absorbance, so it is one term.
func saturation(s reading.Scan, nm, a []float64) []Term {
	t := Term{Cause: Reading}
	var worst float64
	for i := range t.Effect {
		at := cie.Wavelength(i)
		v := a[nearest(nm, at)]
		u := reading.Uncertainty(v, s.UAbsorbance)
		extra := math.Sqrt(math.Max(0, u*u-s.UAbsorbance*s.UAbsorbance))
		worst = math.Max(worst, extra)
		t.Effect[i] = extra * s.Per10MM()
	}
	if worst < s.UAbsorbance {
		return nil
	}
	return []Term{t}
}

// observeScan lists the scan each 10 nm, where it was measured. The noise of one
// point is taken as a quarter of the scan's uncertainty, beside what stray light
// adds; the rest is common to all.
func (w *Wine) observeScan(s reading.Scan, nm, a []float64) {
	for i := 0; i < cie.Points; i += 2 {
		at := cie.Wavelength(i)
		if at < nm[0] || at > nm[len(nm)-1] {
			continue
		}
		u := reading.Uncertainty(a[nearest(nm, at)], s.UAbsorbance/4)
		w.Observed = append(w.Observed, Observation{sampling(at), w.Absorbance[i], u * s.Per10MM()})
	}
}

func nearest(ascending []float64, x float64) int {
	best := 0
	for i, v := range ascending {
		if math.Abs(v-x) < math.Abs(ascending[best]-x) {
			best = i
		}
	}
	return best
}
