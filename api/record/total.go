package record

import (
	"fmt"
	"math"

	"pourpath/api/calc"
)

// A stated total contradicts the log when it is off by more than totalSlackML
// and by more than totalSlackPart of the total: sums of volumes that were
// rounded, or turned from other units, differ by less; the smallest division of
// a 1 mL syringe is not lost in it.
const (
	totalSlackML   = 0.02
	totalSlackPart = 0.002
)

// agree reports whether two totals in mL are one.
func agree(a, b float64) bool {
	return math.Abs(a-b) <= max(totalSlackML, totalSlackPart*max(math.Abs(a), math.Abs(b)))
}

// mismatch holds a stated total against the log. e is a pour that the glasses
// have taken already.
func (b bench) mismatch(e Logged) []calc.Warning {
	if e.StatedTotalML == nil || agree(*e.StatedTotalML, e.PouredTotalML) {
		return nil
	}
	return []calc.Warning{{
		Code: "total_mismatch",
		Message: fmt.Sprintf("%.5g mL is stated as the total of glass %s, but the pours add up to %.5g mL. %s The pour is kept, and the dose is computed from the log.",
			*e.StatedTotalML, e.Glass, e.PouredTotalML, b.slip(e)),
	}}
}

// slip names the likeliest slip behind a stated total: the first in the list
// that gives that number.
func (b bench) slip(e Logged) string {
	stated, total, poured := *e.StatedTotalML, e.PouredTotalML, *e.VolumeML
	if before := total - poured; before > 0 && agree(stated, before) {
		return fmt.Sprintf("It is the total without this pour of %.5g mL: has it not been counted?", poured)
	}
	for _, label := range b.trial.Glasses {
		if other := b.glasses[label].PouredML(); label != e.Glass && other > 0 && agree(stated, other+poured) {
			return fmt.Sprintf("It is what glass %s would have with this pour: was it poured into glass %s?", label, label)
		}
	}
	for _, label := range b.trial.Glasses {
		if other := b.glasses[label].PouredML(); label != e.Glass && other > 0 && agree(stated, other) {
			return fmt.Sprintf("It is the total of glass %s: are the two glasses mixed up?", label)
		}
	}
	for _, known := range []struct {
		is   float64
		slip string
	}{
		{poured, "It is this pour alone: were the earlier ones left out?"},
		{total + poured, "It is the total with this pour twice: was it counted twice, or poured twice and logged once?"},
		{e.AdditionInGlass, "It is what is left of the addition in the glass, after what was taken out of it; the total counts all that was poured."},
		{e.DoseMLPer100ML, "It is the dose in mL per 100 mL of base, not the mL that were poured."},
		{e.BaseInGlassML + e.AdditionInGlass, "It is all that is in the glass, base and addition; the total counts the addition alone."},
	} {
		if agree(stated, known.is) {
			return known.slip
		}
	}
	return b.oneOff(e)
}

// oneOff looks for a single earlier pour that makes the difference.
func (b bench) oneOff(e Logged) string {
	off := *e.StatedTotalML - e.PouredTotalML
	for _, earlier := range b.trial.Log {
		if earlier.No == e.No && earlier.ID == e.ID {
			break
		}
		if earlier.Kind != Pour || !agree(math.Abs(off), *earlier.VolumeML) {
			continue
		}
		switch {
		case off < 0 && earlier.Glass == e.Glass:
			return fmt.Sprintf("It leaves out the pour of %.5g mL (entry %d): has that one not been counted?", *earlier.VolumeML, earlier.No)
		case off > 0 && earlier.Glass == e.Glass:
			return fmt.Sprintf("It counts one more pour of %.5g mL, such as entry %d: was one not logged?", *earlier.VolumeML, earlier.No)
		case off > 0:
			return fmt.Sprintf("It counts %.5g mL more, which was logged for glass %s (entry %d): did that pour go into glass %s?", *earlier.VolumeML, earlier.Glass, earlier.No, e.Glass)
		}
	}
	if off > 0 {
		return fmt.Sprintf("%.5g mL more are stated than logged: was a pour not logged, or logged for another glass?", off)
	}
	return fmt.Sprintf("%.5g mL less are stated than logged: was a pour logged twice, or poured into another glass?", -off)
}
