// Package colour and the packages below it predict the colour of a rosé made
// by dosing a red wine into a white base, and say how well it is known.
//
// # Flow
//
// One quantity is the hub: the absorbance spectrum for a 10 mm path, 380-780 nm
// at 5 nm (81 values). Every wine becomes one, and every answer is computed
// from one.
//
//  1. colour/reading takes what a laboratory measured: absorbances with their
//     cell, dilution and uncertainty, or a scan in a text file.
//  2. colour/spectrum turns that into absorbance for 10 mm on the grid, from a
//     scan, from a few readings, or from L*a*b*.
//  3. colour/blend mixes spectra by volume fraction and finds the fractions
//     that come closest to a target; measured blends recalibrate the mixing.
//  4. colour/cie turns a spectrum into XYZ, L*a*b* and a screen colour under a
//     stated illuminant, observer and depth.
//  5. colour/difference compares a sample with a reference: CIE76, CIEDE2000.
//  6. colour/ladder plans rungs of doses and keeps the arithmetic of the pours, with
//     colour/volumetric for the tools they are measured with; colour/conform
//     holds a lot against its specification, colour/control a series of lots
//     against itself; colour/drift learns how lots move with time.
//
// Packages import in one direction only; the external test of this package
// enforces it and gives the reason. Nothing below colour touches files, the
// network, the clock, a logger or a global random source: the same input gives
// the same answer anywhere.
//
// # Conditions
//
// A colour without its conditions is not a measurement. Unless a caller says
// otherwise they are illuminant D65, the CIE 1964 10° observer and a 10 mm
// path, as OIV-AS2-11 asks. The white is summed from the same table and at
// the same step as the sample, so clear water is L* 100, a* 0, b* 0 exactly.
// Colour at another depth is T(λ)^(depth/10 mm) of the same, undiluted liquid.
// Scales are the CIE's: Y of the white is 100, L* runs from 0 to 100, hue in
// degrees from 0 up to but not including 360. Wine is taken to be clear:
// scattered light is not modelled.
//
// # Glossary
//
//   - Absorbance A: -log10 of the transmittance; proportional to path length
//     and, for mixtures, additive by volume fraction (Beer-Lambert).
//   - Addition: the wine dosed into the base, usually a red.
//   - Base: the wine that is dosed into, usually a white.
//   - Bias: the error that all pours with one tool share; it adds linearly. The
//     reading error is each pour's own and adds in quadrature.
//   - Chroma C*: distance from the neutral axis in the a*b* plane.
//   - Dose: addition poured, in mL per 100 mL of base. A dose of x is the
//     volume fraction x/(100+x) of the blend, not x %.
//   - Graduation: the volume between two lines of a tool's scale.
//   - Hue h: angle in the a*b* plane, from +a* (red) towards +b* (yellow).
//   - Illuminant: tabulated spectrum of a light, for instance D65 (daylight).
//   - Intensity: A420 + A520 + A620 for 10 mm (OIV-AS2-07B).
//   - Observer: tabulated colour matching functions, CIE 1931 for 2° and
//     CIE 1964 for 10° of visual field.
//   - Path, depth: thickness of wine that the light crosses, in mm.
//   - Reference, sample: what is compared with, and what is compared. A
//     difference is always sample minus reference.
//   - Rung: one glass of a ladder, at one dose.
//   - Tint (shade N): A420/A520 (OIV-AS2-07B).
//   - Tolerance: largest colour difference that still counts as the target.
//   - Top-up: a further pour into a glass that holds an earlier dose.
//   - Transmittance T: fraction of light that passes, 0-1.
//   - View: illuminant, observer and depth together.
//   - Warning: an answer was found, but the reader must be told something.
//
// # Bibliography
//
// Comments cite these keys. Those marked † are quoted from memory.
//
//   - Beaver2020: Beaver, Collins, Harbertson, Molecules 25 (2020) 1576.
//   - Bradford: Lam, Metamerism and Colour Constancy, thesis, University of
//     Bradford, 1985; the matrix as printed in ICC.1:2022, annex E †.
//   - Brouillard1977: Brouillard, Delaporte, J. Am. Chem. Soc. 99 (1977) 8461 †.
//   - Brouillard1980: Brouillard, El Hage Chahine, J. Am. Chem. Soc. 102 (1980)
//     5375 †.
//   - CIE015: CIE 015:2018, Colorimetry, 4th edition.
//   - CIE018: CIE 018:2019, The basis of physical photometry, Table 6 (CIE 1931
//     observer), DOI 10.25039/CIE.DS.xvudnb9b.
//   - CIE142: CIE 142-2001, Improvement to industrial colour-difference evaluation †.
//   - CodyWaite: Cody, Waite, Software Manual for the Elementary Functions,
//     Prentice-Hall, 1980 †.
//   - E1272: ASTM E1272-02 (2012), Standard specification for laboratory glass
//     graduated cylinders, Table 1.
//   - E308: ASTM E308-15, Standard practice for computing the colors of objects
//     by using the CIE system.
//   - HB44: NIST Handbook 44, appendix C, General tables of units of measurement.
//   - IEC61966: IEC 61966-2-1:1999, default RGB colour space: sRGB.
//   - ISO648, ISO835, ISO4788: Laboratory glassware: single-volume pipettes (2008) †,
//     graduated pipettes (2007) †, graduated measuring cylinders (2005) †.
//   - ISO7886-1: Sterile hypodermic syringes for single use, Table 1 †.
//   - ISO7870-2, ISO7870-6: Control charts: Shewhart control charts (2013) †,
//     EWMA control charts (2016) †.
//   - ISO11664-1: ISO/CIE 11664-1:2019, CIE standard colorimetric observers,
//     Table 2 (CIE 1964 observer), DOI 10.25039/CIE.DS.sqksu2n5.
//   - ISO11664-2: ISO/CIE 11664-2:2022, CIE standard illuminants.
//   - ISO11664-4: ISO/CIE 11664-4:2019, CIE 1976 L*a*b* colour space.
//   - ISO11664-6: ISO/CIE 11664-6:2014, CIEDE2000 colour-difference formula †.
//   - ISO22514-2: ISO 22514-2:2017, Statistical methods in process management:
//     process capability and performance of time-dependent process models †.
//   - JCGM100, JCGM101, JCGM106: Guide to the expression of uncertainty in
//     measurement (2008), its Monte Carlo supplement (2008), and the role of
//     uncertainty in conformity assessment (2012).
//   - McDonald1988: McDonald, Wilks, Appl. Spectrosc. 42 (1988) 151 (JCAMP-DX).
//   - Nelson1984: Nelson, J. Qual. Technol. 16 (1984) 237 †.
//   - NIST: NIST/SEMATECH e-Handbook of Statistical Methods, by section †.
//   - OIV-AS2-07B: OIV-MA-AS2-07B, chromatic characteristics.
//   - OIV-AS2-11: OIV-MA-AS2-11, Resolution Oeno 1/2006, chromatic
//     characteristics according to CIELab.
//   - QUAM: Ellison, Williams (ed.), Eurachem/CITAC Guide: Quantifying uncertainty
//     in analytical measurement, 3rd edition, 2012, examples A1 and A3 †.
//   - RivasGonzalo1993: Rivas-Gonzalo et al., Am. J. Enol. Vitic. 44 (1993) 302.
//   - Sharma2005: Sharma, Wu, Dalal, Color Res. Appl. 30 (2005) 21-30, DOI
//     10.1002/col.20070. Its Table 1 is the test of any CIEDE2000.
//   - Tracy1992: Tracy, Young, Mason, J. Qual. Technol. 24 (1992) 88-95 †.
//   - WE1956: Western Electric, Statistical Quality Control Handbook, 1956 †.
package colour
