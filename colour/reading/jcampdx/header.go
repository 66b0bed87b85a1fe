package jcampdx

import (
	"errors"
	"math"
	"strconv"
	"strings"
)

// number is a number of the file. digit is the worth of its last printed
// digit, which says how far it may be rounded: 0.01 for 700.25.
type number struct {
	value, digit float64
	line         int
	given        bool
}

// header is what the labels say about the data.
type header struct {
	x                xUnit
	y                yUnit
	first, last      number // of the abscissas, in the unit of the file
	delta            number
	firstY           number
	xFactor, yFactor number
	points           int // 0 where it could not be read
	pointsLine       int
}

// prepare reads the labels, once, when the data start at line at or the block
// ends there.
func (s *section) prepare(at int) {
	if s.ready {
		return
	}
	s.ready = true
	if s.refused {
		return
	}
	s.checkVersion()
	if !s.checkType(at) {
		return
	}
	s.readUnits(at)
	h := &s.head
	h.first, _ = s.number("FIRSTX")
	h.last, _ = s.number("LASTX")
	h.delta, _ = s.number("DELTAX")
	h.firstY, _ = s.number("FIRSTY")
	h.xFactor = s.factor("XFACTOR")
	h.yFactor = s.factor("YFACTOR")
	n, ok := s.number("NPOINTS")
	h.pointsLine = n.line
	switch {
	case !ok:
	case n.value != math.Trunc(n.value) || n.value < 1:
		s.faultf(n.line, "##NPOINTS= is %g: the number of points is needed, a whole number from 1", n.value)
	case n.value > MaxPoints:
		s.faultf(n.line, "##NPOINTS= is %g: at most %d points are read in a block", n.value, MaxPoints)
	default:
		h.points = int(n.value)
	}
}

// number returns the number that stands under the label, and whether there is
// one. What is no number is a fault.
func (s *section) number(label string) (number, bool) {
	f, ok := s.fields[label]
	if !ok {
		return number{}, false
	}
	value, digit, err := decimal(f.text)
	if err != nil {
		s.faultf(f.line, "##%s= is %s: %v", label, quoted(f.text), err)
		return number{line: f.line, given: true, value: math.NaN()}, false
	}
	return number{value, digit, f.line, true}, true
}

// factor returns a scale factor, 1 where it is not given or faulty.
func (s *section) factor(label string) number {
	n, ok := s.number(label)
	if ok && n.value <= 0 {
		s.faultf(n.line, "##%s= is %g: a factor above 0 is needed", label, n.value)
		ok = false
	}
	if !ok {
		n.value = 1
	}
	return n
}

// need faults the labels that the form of the data cannot do without.
func (h *header) need(s *section, at int, label string, pairs bool) {
	if s.refused {
		return
	}
	lacking := func(name string, why string) {
		if _, ok := s.fields[name]; !ok {
			s.faultf(at, "##%s= is missing before ##%s=: %s", name, label, why)
		}
	}
	lacking("NPOINTS", "without the number of points a lost line cannot be seen")
	if pairs {
		return
	}
	lacking("FIRSTX", "the abscissa of the first ordinate is needed, in the unit of ##XUNITS=")
	lacking("LASTX", "the abscissa of the last ordinate is needed, in the unit of ##XUNITS=")
	lacking("XFACTOR", "write ##XFACTOR= 1 where the abscissas stand as they are")
	lacking("YFACTOR", "write ##YFACTOR= 1 where the ordinates stand as they are")
	if h.points > 1 && h.first.value == h.last.value && h.last.given {
		s.faultf(h.last.line, "##LASTX= equals ##FIRSTX=, %g, but ##NPOINTS= says %d points", h.last.value, h.points)
	}
	h.checkDelta(s)
}

// checkDelta compares ##DELTAX=, which is for information, with the spacing
// that the other labels give. It may be rounded, and over the whole scan it
// may be off by half a step.
func (h *header) checkDelta(s *section) {
	step := h.step()
	if !h.delta.given || step == 0 || math.IsNaN(h.delta.value) {
		return
	}
	n := float64(h.points - 1)
	if math.Abs(math.Abs(h.delta.value)-math.Abs(step))*n > 0.5*math.Abs(step)+0.5*h.delta.digit*n {
		s.faultf(h.delta.line, "##DELTAX= is %g, but %d points from %g to %g lie %.6g apart: one of ##DELTAX=, ##FIRSTX=, ##LASTX= and ##NPOINTS= is wrong",
			h.delta.value, h.points, h.first.value, h.last.value, step)
	} else if math.Signbit(h.delta.value) != math.Signbit(step) {
		s.block.warn("delta_sign", "##DELTAX= has the other sign than the way from ##FIRSTX= to ##LASTX=; the sign was left out of account.")
	}
}

// step is the spacing of the abscissas in the unit of the file, 0 where the
// labels do not give one.
func (h *header) step() float64 {
	d := h.last.value - h.first.value
	if h.points < 2 || !h.first.given || !h.last.given || math.IsNaN(d) || math.IsInf(d, 0) {
		return 0
	}
	return d / float64(h.points-1)
}

// abscissa is that of point i, from 0, in the unit of the file.
func (h *header) abscissa(i int) float64 {
	if h.points < 2 {
		return h.first.value
	}
	return h.first.value + (h.last.value-h.first.value)*float64(i)/float64(h.points-1)
}

var (
	errNumber = errors.New("a number is needed, such as 380 or 1.5E-04")
	errComma  = errors.New("a comma stands within a number: write decimals with a point")
)

// decimal reads a finite decimal number and the worth of its last digit.
func decimal(text string) (value, digit float64, err error) {
	if strings.Contains(text, ",") {
		return 0, 0, errComma
	}
	if text == "" || strings.Trim(text, "0123456789+-.eE") != "" {
		return 0, 0, errNumber
	}
	value, err = strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, 0, errNumber
	}
	mantissa, exponent, _ := strings.Cut(strings.ToUpper(text), "E")
	power, _ := strconv.Atoi(exponent) // 0 where there is none
	if _, decimals, ok := strings.Cut(mantissa, "."); ok {
		power -= len(decimals)
	}
	return value, math.Pow10(power), nil
}
