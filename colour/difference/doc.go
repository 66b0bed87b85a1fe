// Package difference says how far a sample's colour is from a reference's.
//
// Two formulas are given: ΔE*ab (CIE76), which OIV-AS2-11 recommends, and
// CIEDE2000, which follows the eye better and which tolerances here are stated
// in. As a rule of thumb ΔE00 1 is what a practised eye tells apart side by
// side; in a glass the threshold is wider. Colours held under different views
// are never compared. Every difference is sample minus reference.
//
// Keys such as Sharma2005 are those of package colour.
package difference
