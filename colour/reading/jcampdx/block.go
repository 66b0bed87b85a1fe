package jcampdx

import (
	"time"

	"pourpath/colour"
)

// Limits of a file, so that a few bytes (a DUP count stands for any number of
// ordinates) cannot fill the memory. What goes past them is refused in words.
const (
	// MaxPoints is the most points of one block.
	MaxPoints = 100_000
	// MaxBlocks is the most blocks of one file, LINK blocks not counted.
	MaxBlocks = 10_000
	// MaxTotalPoints is the most points of all accepted blocks of a file.
	MaxTotalPoints = 5_000_000
	// MaxLineBytes is the longest line, in bytes without its end.
	MaxLineBytes = 1 << 20
	// MaxFaults is the most faults listed for one block.
	MaxFaults = 20

	maxTextBytes = 4096 // of one text value
	maxDepth     = 8    // of LINK blocks within LINK blocks
)

// Quantity says what the ordinates of a Block are.
type Quantity int

// The quantities that are read.
const (
	// NoQuantity is that of a rejected block whose units could not be read.
	NoQuantity Quantity = iota
	// Absorbance is the decadic absorbance as read in the cell, no unit.
	Absorbance
	// TransmittancePercent is transmittance in per cent of the blank, whatever
	// the scale it had in the file.
	TransmittancePercent
)

// String names the quantity.
func (q Quantity) String() string {
	switch q {
	case Absorbance:
		return "absorbance"
	case TransmittancePercent:
		return "transmittance in per cent"
	}
	return "no quantity"
}

// Block is one block of a file: a spectrum, or what is wrong with it. Text
// fields are empty where the file has no such label, and hold at most 4096
// bytes. The owner of the file is not kept.
type Block struct {
	// Line is the line of the file, counted from 1, at which the block starts.
	Line int
	// Title is ##TITLE=.
	Title string
	// Version is ##JCAMP-DX=, such as "4.24".
	Version string
	// DataType is ##DATA TYPE=, such as "UV/VIS SPECTRUM".
	DataType string
	// DataClass is ##DATA CLASS= (5.01), such as "XYDATA".
	DataClass string
	// Origin is ##ORIGIN=.
	Origin string
	// Date is when the spectrum was measured, as the file has it: ##LONGDATE=,
	// or ##DATE= and ##TIME= with a blank between.
	Date string
	// Measured is Date where it could be read, else the zero time. A file that
	// gives no zone gives the clock of the laboratory; its Location is UTC
	// then. Two-digit years from 69 are of the 1900s, others of the 2000s.
	Measured time.Time
	// Instrument is ##SPECTROMETER/DATA SYSTEM=, or ##INSTRUMENT=.
	Instrument string
	// PathLength is ##PATHLENGTH= as the file has it.
	PathLength string
	// PathMM is PathLength in millimetres, 0 where it is not given or not
	// understood. A number without a unit is taken in centimetres, as the
	// standard has it, with a warning.
	PathMM float64
	// Concentrations is ##CONCENTRATIONS= as the file has it.
	Concentrations string
	// XUnits and YUnits are ##XUNITS= and ##YUNITS= as the file has them.
	XUnits, YUnits string

	// Quantity says what Ordinates are.
	Quantity Quantity
	// NM are the wavelengths in nanometres, ascending, without doubles. From
	// 1/CM they are 10^7 over the wavenumber, without correction for the
	// refractive index of air (0.02 to 0.03 %, up to 0.2 nm in the visible).
	NM []float64
	// Ordinates holds one value for each wavelength, in the unit of Quantity.
	Ordinates []float64

	// Warnings say what was assumed or left out: missing ordinates ("?") are
	// left out of NM and Ordinates and told here with their places.
	Warnings []colour.Warning
	// Faults are the reasons why the block is rejected, in the order of their
	// lines, at most MaxFaults; NM and Ordinates are nil then. A block without
	// faults is accepted.
	Faults ParseErrors
}

func (b *Block) warn(code, message string) {
	b.Warnings = append(b.Warnings, colour.Warning{Code: code, Message: message})
}
