// Package reading holds what a laboratory reads off its spectrophotometer, in
// the cell and at the dilution it read it: absorbances at 420, 520 and 620 nm
// with any further wavelengths, or a scan. Below this package there is one
// unit only, absorbance per 10 mm of undiluted wine.
//
// Conditions of the method: OIV-MA-AS2-07B (colour intensity and shade), cells
// of 1 to 20 mm, water as the blank, cloudy wine clarified and carbon dioxide
// removed before reading.
//
// It also says how repeated readings scatter (Grubbs' test of ISO 5725-2) and
// what gives reason to doubt a reading; neither refuses any.
package reading
