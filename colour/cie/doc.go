// Package cie holds the CIE's observers and illuminants and turns the
// absorbance spectrum of a clear liquid into XYZ, L*a*b* and a screen colour.
//
// A sum runs over 81 values, 380-780 nm at 5 nm, with the tabulated product of
// illuminant and observer as weights:
//
//	X = k Σ S(λ) x̄(λ) T(λ),  k = 100 / Σ S(λ) ȳ(λ)
//
// and the white is the same sum with T = 1, so that clear water comes out as
// L* 100, a* 0, b* 0 exactly. Source: CIE015, 7.1. The summation over 5 nm
// differs from one over 1 nm, as E308 has it, by up to 0.02 in Z of the white
// (D65, 10°); each is right with its own white, mixing them moves b* by 0.006.
//
// The tables are embedded, read once and never changed; everything here is
// safe for concurrent use. Keys such as CIE015 are those of package colour.
package cie
