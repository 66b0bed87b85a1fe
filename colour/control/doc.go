// Package control charts a series of lots in the order in which they were made,
// says which of them stand out and how, and how well the process keeps within
// its limits once it is steady.
//
//   - NewIndividuals: single values with their moving ranges and run rules
//     (ISO 7870-2), the chart for L*, a*, b*, intensity and tint.
//   - NewEWMA: a running average that finds slow drift (ISO 7870-6).
//   - NewT2: several quantities together (Hotelling's T²).
//   - NewRunPlot: a series and its median without limits, for what is never
//     negative, such as a colour difference.
//   - Individuals.Capability: Cp, Cpk, Pp and Ppk with confidence intervals
//     (ISO 22514-2), refused while the chart has signals.
//
// Values come in the order of time and in any one unit; every figure is in that
// unit unless it says otherwise. Points are named by their place in the series,
// from 0; who the lots are, and why one is left out, is the caller's to keep.
//
// Nothing is judged by default: too few points, a value that is no number or a
// series without spread is refused as colour.FieldErrors that say what is
// needed. Each chart takes time in proportion to the number of points, Capability
// to n log n, because its test of the shape of the distribution sorts.
//
// Sources cited by key:
//
//   - ISO7870-2: ISO 7870-2:2013, Control charts, Part 2: Shewhart control
//     charts (from memory).
//   - ISO7870-6: ISO 7870-6:2016, Control charts, Part 6: EWMA control charts
//     (from memory).
//   - ISO22514-2: ISO 22514-2:2017, Process capability and performance of
//     time-dependent process models (from memory).
//   - NIST: NIST/SEMATECH e-Handbook of Statistical Methods.
//   - WE1956: Western Electric, Statistical Quality Control Handbook, 1956.
//   - Nelson1984: Nelson, The Shewhart control chart: tests for special causes,
//     J. Qual. Technol. 16 (1984) 237.
//   - Tracy1992: Tracy, Young, Mason, Multivariate control charts for individual
//     observations, J. Qual. Technol. 24 (1992) 88 (from memory).
package control
