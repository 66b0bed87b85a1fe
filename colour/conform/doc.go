// Package conform holds a lot against its specification: a colour difference
// from a reference (ΔE00 with its parametric factors, ΔE*ab), limits on L*, a*,
// b*, C*, h, intensity, tint and the shares, the region of approved lots, or
// several of these together, with warning limits inside them.
//
// Two decision rules are offered. The simple rule passes what meets every part
// at face value. The guarded rule asks for the probability that the true colour
// meets every part, given what was measured and how well, and passes only what
// conforms with a probability of at least 1 less the accepted risk; it fails what
// conforms with at most that risk, and only where a lot on the limit would be
// found as far outside at most that often. Between, the verdict is open, and
// names what its uncertainty is made of and what would settle it. Foresee tells
// of a specification alone whether any lot could pass. Source: JCGM106, clauses 7
// (probability of conformity) and 8 (acceptance intervals, guard bands); clause
// numbers from memory.
//
// The probability is taken over the colour itself, not over the difference:
// ΔE00 is never negative and far from Gaussian near 0, so a rule that treats it
// as a Gaussian number accepts and rejects at other rates than were meant. The
// errors of L*, a*, b* and of the absorbances, of sample and reference, are
// drawn together with their covariance, to first order; the judged quantities
// are computed from every draw without approximation. The draws are an evenly
// spread sequence and not random: the same question gives the same answer.
package conform
