package jcampdx

import (
	"fmt"
	"strconv"
	"strings"
)

// xUnit is a unit of the abscissas.
type xUnit int

const (
	noX xUnit = iota
	nanometres
	micrometres
	perCM
)

// toNM turns an abscissa above 0 into nanometres.
func (u xUnit) toNM(x float64) float64 {
	switch u {
	case micrometres:
		return x * 1000
	case perCM:
		return 1e7 / x
	}
	return x
}

// xUnits are the standard's words (NANOMETERS, MICROMETERS, 1/CM) and the
// short forms that instruments write for them.
var xUnits = map[string]xUnit{
	"NANOMETERS": nanometres, "NANOMETER": nanometres, "NANOMETRES": nanometres, "NANOMETRE": nanometres, "NM": nanometres,
	"MICROMETERS": micrometres, "MICROMETER": micrometres, "MICROMETRES": micrometres, "MICROMETRE": micrometres,
	"MICRONS": micrometres, "UM": micrometres, "µM": micrometres, "μM": micrometres,
	"1/CM": perCM, "CM-1": perCM, "CM^-1": perCM,
}

// yUnit is a unit of the ordinates.
type yUnit int

const (
	noY yUnit = iota
	absorbance
	transmittance // as a fraction, or in per cent: the values tell
	percent
)

// yUnits are the standard's words (ABSORBANCE, TRANSMITTANCE) and the short
// forms that instruments write for them.
var yUnits = map[string]yUnit{
	"ABSORBANCE": absorbance, "ABSORBANCEUNITS": absorbance, "ABS": absorbance, "A": absorbance,
	"TRANSMITTANCE": transmittance, "TRANSMISSION": transmittance, "T": transmittance,
	"%TRANSMITTANCE": percent, "%TRANSMISSION": percent, "%T": percent, "T%": percent, "T(%)": percent,
	"TRANSMITTANCE%": percent, "TRANSMITTANCE(%)": percent, "TRANSMISSION(%)": percent,
	"PERCENTTRANSMITTANCE": percent, "PERCENTTRANSMISSION": percent,
}

// refusedY gives the reason for ordinates that are known and of no use here,
// by a part of their name.
var refusedY = []struct{ part, why string }{
	{"REFLECT", "reflected light says nothing about the absorbance of a wine in its cell"},
	{"KUBELKA", "reflected light says nothing about the absorbance of a wine in its cell"},
	{"ARBITRARY", "values without a known scale are no absorbance"},
	{"RELATIVE", "values without a known scale are no absorbance"},
	{"COUNTS", "counts of the detector need the blank and the dark reading: let the instrument compute the absorbance"},
	{"INTENSITY", "intensities need the blank and the dark reading: let the instrument compute the absorbance"},
	{"EPSILON", "a molar absorptivity is per mole, not as read in the cell"},
	{"ABSORPTIVITY", "an absorptivity is per concentration, not as read in the cell"},
}

// readUnits reads ##XUNITS= and ##YUNITS=, which the standard demands.
func (s *section) readUnits(at int) {
	compact := func(f field) string { return strings.ToUpper(strings.Join(strings.Fields(f.text), "")) }
	x, ok := s.fields["XUNITS"]
	s.head.x = xUnits[compact(x)]
	switch {
	case !ok:
		s.faultf(at, "##XUNITS= is missing: it must say NANOMETERS, MICROMETERS or 1/CM")
	case s.head.x == noX:
		s.faultf(x.line, "##XUNITS= is %s: NANOMETERS, MICROMETERS and 1/CM are read", quoted(x.text))
	}
	y, ok := s.fields["YUNITS"]
	name := compact(y)
	s.head.y = yUnits[name]
	switch {
	case !ok:
		s.faultf(at, "##YUNITS= is missing: it must say ABSORBANCE or TRANSMITTANCE")
	case s.head.y == noY:
		why := ""
		for _, r := range refusedY {
			if strings.Contains(name, r.part) {
				why = ", since " + r.why
				break
			}
		}
		s.faultf(y.line, "##YUNITS= is %s: ABSORBANCE and TRANSMITTANCE are read%s", quoted(y.text), why)
	}
}

// checkType refuses data of another kind. Which words name a UV/VIS spectrum
// is not settled between versions, so any that hold UV, VIS or ULTRAVIOLET do.
func (s *section) checkType(at int) bool {
	t, ok := s.fields["DATATYPE"]
	name := normal(t.text)
	class := s.fields["DATACLASS"]
	switch {
	case !ok:
		s.refusef(at, "##DATA TYPE= is missing: it must say UV/VIS SPECTRUM")
	case strings.Contains(normal(class.text), "NTUPLES"):
		s.refusef(class.line, "NTUPLES blocks are not read: export each spectrum as a block of its own with ##XYDATA=")
	case strings.Contains(name, "PEAKTABLE"):
		s.refusef(t.line, "a peak table holds single peaks, not the spectrum between them: export the scan itself (##XYDATA=)")
	case !strings.Contains(name, "UV") && !strings.Contains(name, "VIS") && !strings.Contains(name, "ULTRAVIOLET"):
		s.refusef(t.line, "##DATA TYPE= is %s: a UV/VIS SPECTRUM is needed", quoted(t.text))
	}
	return !s.refused
}

// checkVersion warns of versions that this package was not made for.
func (s *section) checkVersion() {
	f, ok := s.fields["JCAMPDX"]
	if !ok {
		s.block.warn("version_missing", "##JCAMP-DX= is missing; the block was read as version 4.24 and 5.01 have it.")
		return
	}
	word, _, _ := strings.Cut(f.text, " ")
	if v, err := strconv.ParseFloat(word, 64); err != nil || !(v >= 4 && v < 6) {
		s.block.warn("version_unknown", fmt.Sprintf("##JCAMP-DX= is %s; the block was read as version 4.24 and 5.01 have it.", quoted(f.text)))
	}
}
