package cie

import (
	"errors"
	"fmt"
	"slices"
)

// Illuminant names a tabulated light, such as "D65".
type Illuminant string

// Observer names the CIE colour matching functions by their visual field in
// degrees: "2" (CIE 1931) or "10" (CIE 1964).
type Observer string

// maxDepthMM is deeper than any glass or bottle; beyond it a depth is a slip of
// units rather than a view.
const maxDepthMM = 1000

// Faults of a View, for errors.Is.
var (
	ErrIlluminant = errors.New("cie: unknown illuminant")
	ErrObserver   = errors.New("cie: unknown observer")
	ErrDepth      = errors.New("cie: depth out of range")
)

// Illuminants returns the lights that have a table, D65 first: daylight D65 and
// D50, incandescent A, old daylight C, fluorescent FL2 and FL11, and the white
// LEDs LED-B1 to LED-B5. The caller owns the slice.
//
// Source: CIE015 and ISO11664-2.
func Illuminants() []Illuminant {
	return []Illuminant{"D65", "D50", "A", "C", "FL2", "FL11", "LED-B1", "LED-B2", "LED-B3", "LED-B4", "LED-B5"}
}

// Observers returns the observers that have a table: "2" and "10". The caller
// owns the slice.
//
// Source: CIE018 and ISO11664-1.
func Observers() []Observer {
	return []Observer{"2", "10"}
}

// View is the set of conditions that a colour holds under. Two views are the
// same when they are ==. The zero View is not valid: conditions are stated,
// never assumed.
type View struct {
	Illuminant Illuminant
	Observer   Observer
	DepthMM    float64 // thickness of liquid in mm, above 0 and at most 1000
}

// OIV returns the conditions that the wine method prescribes for whites and
// rosés: D65, 10°, 10 mm.
//
// Source: OIV-AS2-11.
func OIV() View {
	return View{Illuminant: "D65", Observer: "10", DepthMM: 10}
}

// String gives the view as people write it: "D65/10°, 10 mm".
func (v View) String() string {
	return fmt.Sprintf("%s/%s°, %g mm", v.Illuminant, v.Observer, v.DepthMM)
}

// Validate reports every fault of v at once, each of which errors.Is finds:
// ErrIlluminant or ErrObserver when there is no table of that name, ErrDepth
// when the depth is not a finite number above 0 and at most 1000 mm.
func (v View) Validate() error {
	return errors.Join(checkIlluminant(v.Illuminant), checkObserver(v.Observer), checkDepth(v.DepthMM))
}

func checkIlluminant(i Illuminant) error {
	if !slices.Contains(Illuminants(), i) {
		return fmt.Errorf("%w %q: want one of %q", ErrIlluminant, i, Illuminants())
	}
	return nil
}

func checkObserver(o Observer) error {
	if !slices.Contains(Observers(), o) {
		return fmt.Errorf("%w %q: want one of %q", ErrObserver, o, Observers())
	}
	return nil
}

func checkDepth(depthMM float64) error {
	if !(depthMM > 0 && depthMM <= maxDepthMM) { // NaN fails both
		return fmt.Errorf("%w: %g mm is not above 0 and at most %d mm", ErrDepth, depthMM, maxDepthMM)
	}
	return nil
}
