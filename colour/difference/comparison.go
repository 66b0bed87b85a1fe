package difference

import (
	"errors"
	"fmt"
	"math"

	"pourpath/colour/cie"
)

// What stands in the way of a comparison, for errors.Is. A view that is not
// valid gives the errors of cie.View.Validate.
var (
	ErrViewsDiffer = errors.New("difference: views differ")
	ErrNotFinite   = errors.New("difference: not a finite number")
)

// Comparison is how a sample differs from a reference. All but DeltaE00 are in
// units of L*a*b*; every signed value is sample minus reference.
type Comparison struct {
	DeltaE00 float64 // CIEDE2000, kL = kC = kH = 1, 0 or more
	DeltaEab float64 // CIE76, 0 or more
	DL       float64 // lightness: above 0 is paler
	DA       float64 // above 0 is redder, or less green
	DB       float64 // above 0 is yellower, or less blue
	DC       float64 // chroma: above 0 is more vivid
	// DH is the metric hue difference ΔH*ab, above 0 where the hue angle grows
	// (from red towards yellow): DeltaEab² = DL² + DC² + DH².
	DH float64
}

// CIE76 returns ΔE*ab, 0 or more: the distance in L*a*b*. It is symmetric.
//
// Errors: ErrViewsDiffer; ErrNotFinite; those of cie.View.Validate.
//
// Source: CIE015, 8.2.1.
func CIE76(reference, sample cie.Lab) (float64, error) {
	if err := check(reference, sample); err != nil {
		return 0, err
	}
	return deltaEab(reference, sample), nil
}

// CIEDE2000 returns ΔE00, 0 or more, with kL = kC = kH = 1. It is symmetric.
//
// Errors: ErrViewsDiffer; ErrNotFinite; those of cie.View.Validate.
//
// Source: Sharma2005.
func CIEDE2000(reference, sample cie.Lab) (float64, error) {
	if err := check(reference, sample); err != nil {
		return 0, err
	}
	return deltaE00(reference, sample), nil
}

// Compare returns how sample differs from reference.
//
// Errors: ErrViewsDiffer; ErrNotFinite; those of cie.View.Validate.
//
// Source: CIE015, 8.2.1; Sharma2005.
func Compare(reference, sample cie.Lab) (Comparison, error) {
	if err := check(reference, sample); err != nil {
		return Comparison{}, err
	}
	c1, c2 := reference.Chroma(), sample.Chroma()
	return Comparison{
		DeltaE00: deltaE00(reference, sample),
		DeltaEab: deltaEab(reference, sample),
		DL:       sample.L - reference.L,
		DA:       sample.A - reference.A,
		DB:       sample.B - reference.B,
		DC:       c2 - c1,
		DH:       hueDifference(c1, reference.Hue(), c2, sample.Hue()),
	}, nil
}

func deltaE00(reference, sample cie.Lab) float64 {
	return DeltaE00(reference.L, reference.A, reference.B, sample.L, sample.A, sample.B)
}

func deltaEab(reference, sample cie.Lab) float64 {
	return math.Hypot(math.Hypot(sample.L-reference.L, sample.A-reference.A), sample.B-reference.B)
}

func check(reference, sample cie.Lab) error {
	if err := errors.Join(finite("reference", reference), finite("sample", sample)); err != nil {
		return err
	}
	if reference.View != sample.View {
		return fmt.Errorf("%w: reference under %v, sample under %v: compute both under one view", ErrViewsDiffer, reference.View, sample.View)
	}
	return reference.View.Validate()
}

func finite(name string, l cie.Lab) error {
	for _, v := range [...]float64{l.L, l.A, l.B} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("%w: %s is L* %g, a* %g, b* %g", ErrNotFinite, name, l.L, l.A, l.B)
		}
	}
	return nil
}
