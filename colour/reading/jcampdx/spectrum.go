package jcampdx

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// percentFrom is the transmittance from which a block is in per cent: a
// fraction does not reach it, since a wine lets no more light pass than its
// blank.
const percentFrom = 1.5

// spectrum turns the table into wavelengths and ordinates.
func (s *section) spectrum() {
	b, h := &s.block, &s.head
	switch h.y {
	case absorbance:
		b.Quantity = Absorbance
	case transmittance, percent:
		b.Quantity = TransmittancePercent
	}
	if len(b.Faults) > 0 {
		return
	}
	t := s.table
	scale := h.yFactor.value
	if !s.inPercent() && b.Quantity == TransmittancePercent {
		scale *= 100
	}
	b.NM = make([]float64, 0, len(t.y)-t.lacking)
	b.Ordinates = make([]float64, 0, len(t.y)-t.lacking)
	for i, raw := range t.y {
		x := h.abscissa(i)
		if t.pairs {
			x = t.x[i] * h.xFactor.value
		}
		nm, y := h.x.toNM(x), raw*scale
		if !(x > 0) || math.IsInf(x, 0) || math.IsInf(nm, 0) || nm == 0 {
			s.faultf(t.at, "point %d stands at %g: an abscissa must be above 0 and within the range of numbers", i+1, x)
			return
		}
		if math.IsInf(y, 0) {
			s.faultf(t.at, "point %d is %g times %g: the product is too large", i+1, raw, scale)
			return
		}
		if !math.IsNaN(raw) {
			b.NM, b.Ordinates = append(b.NM, nm), append(b.Ordinates, y)
		}
	}
	if len(b.NM) == 0 {
		s.faultf(t.at, "all %d ordinates are missing (?)", t.lacking)
		return
	}
	if b.NM[0] > b.NM[len(b.NM)-1] {
		slices.Reverse(b.NM)
		slices.Reverse(b.Ordinates)
	}
	for i := 1; i < len(b.NM); i++ {
		if b.NM[i] <= b.NM[i-1] {
			s.faultf(t.at, "the wavelengths lie too close to tell apart at %g nm: see ##FIRSTX= and ##LASTX=", b.NM[i])
			return
		}
	}
	s.tellMissing()
}

// inPercent is whether a transmittance is in per cent in the file. The
// standard's TRANSMITTANCE is a fraction, but instruments write per cent under
// that name too. Any value above 1.5 makes the whole block one in per cent; a
// block in per cent that stays below 1.5 % throughout is taken as fractions.
func (s *section) inPercent() bool {
	if s.head.y == percent {
		return true
	}
	if s.head.y != transmittance {
		return false
	}
	for i, raw := range s.table.y {
		if v := raw * s.head.yFactor.value; v > percentFrom {
			s.block.warn("transmittance_scale", fmt.Sprintf("##YUNITS= is %s, which is a fraction of 1, but point %d is %g: the values were taken in per cent.", quoted(s.block.YUnits), i+1, v))
			return true
		}
	}
	return false
}

// tellMissing says where ordinates are missing.
func (s *section) tellMissing() {
	t := s.table
	if t.lacking == 0 {
		return
	}
	parts := make([]string, len(t.missing))
	for i, p := range t.missing {
		x := s.head.abscissa(p.index)
		if t.pairs {
			x = t.x[p.index] * s.head.xFactor.value
		}
		parts[i] = fmt.Sprintf("%.6g nm (line %d)", s.head.x.toNM(x), p.line)
	}
	more := ""
	if t.lacking > len(parts) {
		more = fmt.Sprintf(" and %d more", t.lacking-len(parts))
	}
	s.block.warn("missing_ordinates", fmt.Sprintf("%d of %d ordinates are missing (?) and were left out: %s%s.", t.lacking, len(t.y), strings.Join(parts, ", "), more))
}
