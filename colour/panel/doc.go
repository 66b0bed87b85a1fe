// Package panel is the blind panel: which code a glass carries, in which order
// each judge has the glasses, and what their answers say together.
//
//   - Codes: three-digit codes by a draw that the caller gives.
//   - NewServing: an order for each judge, by Williams' squares where each judge
//     has all glasses, by balanced incomplete blocks where not.
//   - Analyse: Friedman's test, Page's test for a trend along the dose, Kendall's
//     W, least significant differences of rank sums, preference along the dose
//     with its interval, and what so few judges could not have found.
//
// Everywhere 1 is the rank of the glass that a judge puts first, so the lowest
// rank sum is the glass that the panel puts first. A share is the other way
// round: 1 where every judge puts the glass above all others, 0 where below.
// A dose is mL of the addition per 100 mL of base. Glasses and judges are
// counted from 0 in the order in which the caller gives them.
//
// Nothing is random but by the draw that is given; simulations have fixed seeds,
// so the same answers have the same result.
//
// Sources, as named beside what is taken from them:
//
//   - ISO8587: ISO 8587:2006 with amendment 1:2013, Sensory analysis,
//     methodology, ranking (formulas from memory, each derived in a test).
//   - Williams, Aust. J. Sci. Res. A 2 (1949) 149: squares balanced for what
//     goes just before.
//   - Friedman, J. Am. Stat. Assoc. 32 (1937) 675.
//   - Page, J. Am. Stat. Assoc. 58 (1963) 216.
//   - Durbin, Br. J. Psychol. Stat. 4 (1951) 85; Benard, van Elteren, Indag.
//     Math. 15 (1953) 358; Skillings, Mack, Technometrics 23 (1981) 171: ranks in
//     incomplete blocks.
//   - Conover, Practical Nonparametric Statistics, 3rd ed. (1999).
//   - Hollander, Wolfe, Nonparametric Statistical Methods, 2nd ed. (1999).
package panel
