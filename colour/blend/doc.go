// Package blend mixes wines: doses and volume conventions, the blend of any
// number of wines, every dose of one addition in one base with all that is
// uncertain about it (Path), what measured rungs teach, the dose nearest to a
// target, the blend of several wines that comes nearest to one, the volumes for a
// tank or for bottles as a cellar can measure them (Scale), and what a tank still
// needs once its first part was poured and read (Trim).
//
// A dose is always mL added per 100 mL of base; a fraction is always of the
// finished blend by volume. 13 mL per 100 mL is 11.5 % of the blend.
package blend
