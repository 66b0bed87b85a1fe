// Package jcampdx reads UV/VIS spectra out of JCAMP-DX files, the text form
// in which spectrophotometers hand over a scan.
//
// Read are versions 4.24 (R. S. McDonald and P. A. Wilks, Appl. Spectrosc. 42
// (1988) 151) and 5.01 (P. Lampen et al., Pure Appl. Chem. 71 (1999) 1549): one
// block or many, compound files with LINK blocks, ##XYDATA= (X++(Y..Y)) in all
// of the ASDF forms (AFFN, PAC, SQZ, DIF, DUP, mixed at will), and (XY..XY)
// pairs. NTUPLES, peak tables, other kinds of spectra and other units are
// refused with the reason.
//
// Every check that the standard gives is made: the number of ordinates against
// ##NPOINTS=, the abscissa of every line against ##FIRSTX= and ##LASTX=, the
// ordinate check of every line that follows one ended by a difference. A block
// that fails one is rejected as a whole, with all that is wrong in it, and the
// blocks around it are kept.
//
// Two labels are only compared, because files in circulation get them wrong
// while their data are right: ##FIRSTY=, where a disagreement is a warning, and
// ##MAXY= and ##MINY=, which are not looked at.
package jcampdx
