// Package drift learns from a winery's own lots how A420, A520 and A620 change with the
// days since blending or bottling, and says what to aim at today to be at a target
// on the day of release, and when a lot is expected to leave its limits.
//
// Each lot has a level of its own, which is not judged; what lots of one class of
// storage have in common is how it moves (Law). Readings that are far off count
// less and are listed. How lots differ in their rate is part of every interval for
// a lot that was not observed, where three or more lots tell.
//
// Only what was observed is used: rates from elsewhere hold for other wines, closures
// and cellars. With too few data a class says why and nothing else.
//
// What is not modelled: the seasons of a cellar within a class of storage, and errors
// that all readings of one session share.
package drift
