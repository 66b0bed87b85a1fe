// Package spectrum turns whatever was measured of a wine into the one quantity
// that all colour is computed from: the absorbance per 10 mm of undiluted wine,
// 380 to 780 nm at 5 nm, together with what is uncertain about it.
//
// The ways in:
//
//   - FromReadings: three or more readings at single wavelengths. The rest of
//     the spectrum is estimated from the shapes that wine spectra have; the
//     readings themselves are reproduced exactly.
//   - FromScan: a measured spectrum, resampled to the grid.
//   - FromLab: CIELAB values under stated conditions, solved for the most
//     plausible wine spectrum that has exactly that colour.
//
// Everything uncertain is kept as Terms: independent errors, each with the
// change of absorbance that one standard deviation of it makes at every
// wavelength. Terms pass through mixing and into colour linearly, so that an
// error which two results share is the same error in both.
//
// # The estimate
//
// A wine is white matter and red matter, A(λ) = α w(λ) + β r(λ), where w is a
// shape of white wines and r one of red wines. Shapes are described by families
// (red wines read in acid; neat reds whose band is shifted, shouldered or
// broadened; whites), each a mean and its leading principal components. Within
// a family the spectrum given the readings is the linear minimum-variance
// estimate (Kriging); families are weighed by how well they explain the
// readings, and the result is the mean of that mixture with the variance
// within and between families.
package spectrum
