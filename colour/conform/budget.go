package conform

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// column is what one standard deviation of one independent error does to the
// state, to first order.
type column struct {
	cause  spectrum.Cause
	kind   kind
	effect state
}

// kind tells apart what one reading error is made of.
type kind uint8

const (
	whole   kind = iota // of no reading
	repeat              // differs from one reading to the next
	session             // common to all readings of one instrument in one session
)

// The share of a reading error's variance that differs from one reading to the
// next: cells put back, noise. The rest is the session's: blank, wavelength and
// photometric scale, lamp. For a scan it is that of package spectrum, whose
// points have a quarter of the scan's uncertainty each; for single readings it
// is half. A judgement; a laboratory's own replicates say better.
const (
	repeatOfReading = 0.5
	repeatOfScan    = 1.0 / 16
)

// shapeCorrelation is the correlation of the shape errors of two wines that
// were read in the same way: what three readings cannot tell of one rosé they
// cannot tell of the next one either. On published spectra it is 0.99 for one
// blend at two doses, 0.68 for reds of one ferment at different times, which
// includes the instrument's noise, and 0.23 for any two reds (measured by
// TestShapeErrorsAreShared in package spectrum); a lot and its reference are
// between the first two. A judgement.
const shapeCorrelation = 0.9

// side is a sample or a reference as seen in the view of the judgement.
type side struct {
	lab    cie.Lab
	stated *spectrum.Stated // set where lab is as given
	wine   *spectrum.Wine   // nil where there is no spectrum
	// jacobian is that of L*a*b* by absorbance at the wine's own spectrum.
	jacobian *[3]cie.Curve
}

// roundingColumns are the errors of values taken as given: a rounded digit is
// uniform within its half steps, so its standard deviation is half/√3. Source:
// JCGM100, 4.3.7.
func roundingColumns(s *spectrum.Stated, at int) []column {
	var out []column
	for k, half := range [3]float64{s.HalfStepL, s.HalfStepAB, s.HalfStepAB} {
		if half == 0 {
			continue
		}
		c := column{cause: spectrum.Rounding}
		c.effect[at+k] = half / math.Sqrt(3)
		out = append(out, c)
	}
	return out
}

// termColumns is termColumn with a reading error parted into its kinds.
func (s *side) termColumns(t *spectrum.Term, at int) []column {
	c := s.termColumn(t, at)
	if t.Cause != spectrum.Reading {
		return []column{c}
	}
	share := repeatOfScan
	if s.wine.Source == spectrum.Readings {
		share = repeatOfReading
	}
	own, common := scaled(c, math.Sqrt(share)), scaled(c, math.Sqrt(1-share))
	own.kind, common.kind = repeat, session
	return []column{own, common}
}

// termColumn carries one error of a wine into the state. The reference's
// absorbances are not part of it.
func (s *side) termColumn(t *spectrum.Term, at int) column {
	lab, absorbance := t.PerTerm(s.jacobian)
	c := column{cause: t.Cause}
	copy(c.effect[at:], lab[:])
	if at == 0 {
		copy(c.effect[absorbing:], absorbance[:])
	}
	return c
}

// own lists the errors of one side by itself. A colour written down as the
// target is what is wanted: it has none. Values stated of a sample have those of
// the spectrum found for them (rounding, instrument), or where no wine-like
// spectrum has them their rounding only.
func (s *side) own(at int) []column {
	if s.stated != nil && at == reference {
		return nil
	}
	if s.wine == nil {
		return roundingColumns(s.stated, at)
	}
	var out []column
	for i := range s.wine.Terms {
		out = append(out, s.termColumns(&s.wine.Terms[i], at)...)
	}
	return out
}

// readAlike reports whether two spectra were found in the same way, so that
// their shape errors go together. Blends do not count: their errors are those
// of their wines, whatever those were.
func readAlike(a, b *side) bool {
	return a.wine != nil && b.wine != nil && a.stated == nil && b.stated == nil &&
		a.wine.Source == b.wine.Source && a.wine.Method == b.wine.Method && a.wine.Source != spectrum.Blend
}

// jointColumns lists the independent errors of sample and reference together;
// ref may be nil. Where both were read in the same session, what that session
// makes wrong at a wavelength is one error of both.
func jointColumns(sample, ref *side, sameSession bool) []column {
	if ref == nil {
		return sample.own(0)
	}
	if !readAlike(sample, ref) {
		return append(sample.own(0), ref.own(reference)...)
	}
	sampleShape, out := split(sample, 0)
	refShape, more := split(ref, reference)
	if sameSession {
		out, more = joined(out, more)
	}
	out = append(out, more...)
	refShape = aligned(sampleShape, refShape)
	// With correlation ρ one error of unit deviation moves both sides by √ρ of
	// their shares and another moves each by √(1-ρ).
	shared, single := math.Sqrt(shapeCorrelation), math.Sqrt(1-shapeCorrelation)
	for i := range max(len(sampleShape), len(refShape)) {
		both := column{cause: spectrum.Shape}
		if i < len(sampleShape) {
			c := sample.termColumn(&sampleShape[i], 0)
			out = append(out, scaled(c, single))
			both = added(both, scaled(c, shared))
		}
		if i < len(refShape) {
			c := ref.termColumn(&refShape[i], reference)
			out = append(out, scaled(c, single))
			both = added(both, scaled(c, shared))
		}
		out = append(out, both)
	}
	return out
}

// split returns the shape terms of a side and the columns of all others.
func split(s *side, at int) (shape []spectrum.Term, rest []column) {
	terms := byWavelength(s.wine)
	for i := range terms {
		if t := &terms[i]; t.Cause == spectrum.Shape {
			shape = append(shape, *t)
		} else {
			rest = append(rest, s.termColumns(t, at)...)
		}
	}
	return shape, rest
}

// byWavelength is a wine's terms with those of its readings in the order of
// their wavelengths: one session's errors go together wavelength by wavelength,
// in whatever order further readings were written down.
func byWavelength(w *spectrum.Wine) []spectrum.Term {
	terms := slices.Clone(w.Terms)
	n := len(w.Observed)
	if w.Source != spectrum.Readings || n > len(terms) {
		return terms
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(centre(&w.Observed[i].Row), centre(&w.Observed[j].Row))
	})
	for k, i := range order {
		terms[k] = w.Terms[i]
	}
	return terms
}

// centre is the mean place of a row's weights.
func centre(row *cie.Curve) (at float64) {
	for i, weight := range row {
		at += weight * float64(i)
	}
	return at
}

// joined moves the reference's errors of the session into the sample's, pair by
// pair; both were read in the same way.
func joined(sample, ref []column) (both, rest []column) {
	var ofRef []column
	for _, c := range ref {
		if c.kind == session {
			ofRef = append(ofRef, c)
		} else {
			rest = append(rest, c)
		}
	}
	for _, c := range sample {
		if c.kind == session && len(ofRef) > 0 {
			c, ofRef = added(c, ofRef[0]), ofRef[1:]
		}
		both = append(both, c)
	}
	return both, append(rest, ofRef...)
}

// aligned returns the reference's shape terms turned so that they match the
// sample's one by one as well as can be. Independent standard errors may be
// turned among themselves without any change to the covariance they stand for,
// so which of two wines' terms belong together is not written in them; the turn
// Q that minimises |S - R Q| is U Vᵀ from the singular value decomposition of
// Rᵀ S (orthogonal Procrustes problem; Schönemann, Psychometrika 31 (1966) 1,
// from memory).
func aligned(sample, ref []spectrum.Term) []spectrum.Term {
	n := max(len(sample), len(ref))
	if n == 0 {
		return nil
	}
	cross := mat.NewDense(n, n, nil)
	for i := range ref {
		for j := range sample {
			var sum float64
			for k, v := range &ref[i].Effect {
				sum += v * sample[j].Effect[k]
			}
			cross.Set(i, j, sum)
		}
	}
	var svd mat.SVD
	if !svd.Factorize(cross, mat.SVDFull) {
		return ref // not known to happen; unaligned terms only cancel less
	}
	var u, v, turn mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	turn.Mul(&u, v.T())
	out := make([]spectrum.Term, n)
	for j := range out {
		out[j].Cause = spectrum.Shape
		for i := range ref {
			q := turn.At(i, j)
			for k, v := range &ref[i].Effect {
				out[j].Effect[k] += q * v
			}
		}
	}
	return out
}

func scaled(c column, by float64) column {
	for i := range c.effect {
		c.effect[i] *= by
	}
	return c
}

func added(a, b column) column {
	for i := range a.effect {
		a.effect[i] += b.effect[i]
	}
	return a
}
