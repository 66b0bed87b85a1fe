package blend

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/spectrum"
)

// Tank is a tank into which the first part of an addition was poured, mixed and
// sampled.
type Tank struct {
	BaseL    float64 // litres of base before the addition, above 0
	UBaseL   float64 // its standard uncertainty (k = 1), 0 or more
	PouredL  float64 // litres of addition that have arrived, above 0
	UPouredL float64 // its standard uncertainty (k = 1), 0 or more
	Top      spectrum.Wine
	Bottom   spectrum.Wine // samples as read; each needs readings, a spectrum or L*a*b*
	RoomL    *float64      // litres that still fit in; nil where not stated
	Rungs    []Measured    // read at the bench, from the same base and addition
}

// Trim is what a tank still needs.
type Trim struct {
	Mixing Mixing
	// NominalDose is the dose by the volumes alone; Dose is what volumes and
	// samples together say, with its standard uncertainty UDose (k = 1), in mL per
	// 100 mL.
	NominalDose, Dose Dose
	UDose             float64
	// Path is the path recalibrated with all rungs and both samples.
	Path *Path
	// Need is nil where the tank is not mixed: a trim from such samples would
	// be a guess.
	Need *Need
	// Warnings have the codes of Calibrate and not_mixed, mixing_not_seen,
	// tank_disagrees, target_passed, on_target, trim_at_end and target_off_path.
	Warnings []colour.Warning
}

// Need is the further pour that brings a tank nearest to its target.
type Need struct {
	// TargetDose is the dose of closest approach.
	TargetDose Dose
	// AdditionL is what must still arrive, in litres; 0 where the target was
	// passed. AdditionInterval95 holds 95 % of it over everything uncertain, the
	// target taken as exact; an end below 0 says that the target may be passed
	// already. Nil at an end of the path.
	AdditionL          float64
	AdditionInterval95 *[2]float64
	// Passed says that the closest dose is below what the tank has. BaseL is
	// then what brings it back, in litres of base, with its own interval; nil
	// where no base can.
	Passed         bool
	BaseL          *float64
	BaseInterval95 *[2]float64
	// ResultL is the volume in the tank afterwards.
	ResultL float64
	// MissNow and MissAfter are ΔE00 from the target, for a target of
	// intensity and tint the relative misfit of the intensity.
	MissNow, MissAfter float64
}

// tankReach is how many times the dose in a tank is looked at for the closest
// one: a first part of a fifth.
const tankReach = 5

// Trim holds the samples of a tank against a target in view v. p is the path
// predicted from base and addition; it is recalibrated here with the bench's
// rungs and both samples (Calibrate), each sample as a rung at the tank's dose.
//
// The dose in the tank is not known better than its volumes. So it is estimated
// too: by the volumes, and by where the samples lie on the path. The trim is the
// difference of two doses on one path, in which what the path has wrong about
// the whole dose cancels; for the interval each error of the path is moved by one
// standard deviation either way, and the readings, the volumes and the tank's
// dose are added in quadrature (JCGM100, 5.1.2; checked by TestTrimCoverage).
//
// Errors: colour.FieldErrors at base_l, u_base_l, poured_l, u_poured_l, room_l,
// top and bottom, and those of Calibrate and Nearest; at room_l also for a trim
// that does not fit in.
func (p *Path) Trim(tank Tank, target Target, v cie.View) (Trim, error) {
	if p.learned {
		return Trim{}, errors.New("blend: a trim starts from the path before any rung: give the rungs with the tank")
	}
	if err := tank.validate(); err != nil {
		return Trim{}, err
	}
	nominal := DoseOf(tank.PouredL, tank.BaseL)
	seek, err := newSeeker(target, v, min(tankReach*nominal, MaxDose))
	if err != nil {
		return Trim{}, err
	}
	bench, _, err := p.Calibrate(tank.Rungs)
	if err != nil {
		return Trim{}, err
	}
	g := newGauge(&tank)
	g.learn(bench)
	path, notes, err := g.calibrate(p, 0)
	if err != nil {
		return Trim{}, err
	}
	out := Trim{NominalDose: nominal, Path: path, Warnings: notes}
	out.Warnings = append(out.Warnings, g.disagreement()...)
	out.Mixing, notes = g.mixing(path, &seek)
	out.Warnings = append(out.Warnings, notes...)
	dose, u := path.overErrors(func(st *strand) float64 { return g.dose(st).mean })
	out.Dose, out.UDose = Dose(dose), math.Hypot(u, g.dose(&path.centre).u)
	if !out.Mixing.Mixed {
		// That its samples fit no one path is what a layer looks like.
		out.Warnings = slices.DeleteFunc(out.Warnings, func(w colour.Warning) bool { return w.Code == "rung_off_path" })
		return out, nil
	}
	out.Need, err = g.need(p, path, &seek)
	if err != nil {
		return Trim{}, err
	}
	notes, err = out.judge(&tank, &seek)
	out.Warnings = append(out.Warnings, notes...)
	return out, err
}

// ValidateVolumes returns every fault of the tank's volumes at once, as
// colour.FieldErrors at base_l, u_base_l, poured_l, u_poured_l and room_l, or nil.
func (t Tank) ValidateVolumes() error {
	return t.volumeFaults().Err()
}

func (t Tank) volumeFaults() (faults colour.FieldErrors) {
	for _, x := range []struct {
		name      string
		l, u      float64
		what, how string
	}{
		{"base_l", t.BaseL, t.UBaseL, "base in the tank", "what the gauge said before the addition"},
		{"poured_l", t.PouredL, t.UPouredL, "addition poured so far", "what has arrived in the tank"},
	} {
		if !(x.l > 0 && x.l <= maxBatchL) {
			faults.Addf(x.name, given(x.l), "the %s is %s, in litres: above 0 and at most %g", x.what, x.how, maxBatchL)
			continue
		}
		if !(x.u >= 0 && x.u <= x.l*maxUPercent/100) {
			faults.Addf("u_"+x.name, given(x.u), "the standard uncertainty of the %s is in litres: from 0 to half of its %.4g L", x.what, x.l)
		}
	}
	if d := DoseOf(t.PouredL, t.BaseL); len(faults) == 0 && d > MaxDose {
		faults.Addf("poured_l", t.PouredL, "%.4g L into %.4g L of base are more than %g mL per 100 mL: have base and addition been exchanged?", t.PouredL, t.BaseL, float64(MaxDose))
	}
	if t.RoomL != nil && !(*t.RoomL >= 0 && *t.RoomL <= maxBatchL) {
		faults.Addf("room_l", given(*t.RoomL), "the room is what still fits into the tank, in litres: from 0 to %g", maxBatchL)
	}
	return faults
}

func (t Tank) validate() error {
	faults := t.volumeFaults()
	for _, s := range []struct {
		field string
		wine  *spectrum.Wine
	}{{"top", &t.Top}, {"bottom", &t.Bottom}} {
		if len(s.wine.Observed) == 0 {
			faults.Addf(s.field, nil, "the sample from the %s needs readings, a spectrum or L*a*b*", s.field)
		}
	}
	return faults.Err()
}

// judge says what the need means, and refuses a trim that does not fit.
func (t *Trim) judge(tank *Tank, s *seeker) (notes []colour.Warning, err error) {
	n := t.Need
	if room := tank.RoomL; room != nil && n.AdditionL > *room {
		content := tank.BaseL + tank.PouredL
		drawOff := (n.AdditionL - *room) / (1 + n.AdditionL/content)
		return nil, colour.FieldErrors{{Field: "room_l", Value: *room, Message: fmt.Sprintf(
			"the trim needs %.4g L and the tank has room for %.4g L: move the blend to a larger tank, or draw off at least %.4g L of it first, and trim the rest with %.4g L",
			n.AdditionL, *room, drawOff, n.AdditionL*(1-drawOff/content))}}
	}
	if end := t.atEnd(s); end != "" {
		notes = append(notes, colour.Warning{Code: "trim_at_end", Message: end})
	} else if i := n.AdditionInterval95; i[0] <= 0 && i[1] >= 0 {
		notes = append(notes, colour.Warning{Code: "on_target", Message: fmt.Sprintf(
			"The closest addition, %.3g L, cannot be told from none: 95 %% of it lie from %.3g to %.3g L. Leave the tank as it is, or read it more finely before pouring.", n.signed(), i[0], i[1])})
	}
	if n.Passed {
		notes = append(notes, t.passed(tank))
	}
	if s.target.Lab != nil && s.target.Tolerance > 0 && n.MissAfter > s.target.Tolerance {
		misses, helps := s.wordsFor(&t.Path.centre, n.TargetDose)
		notes = append(notes, colour.Warning{Code: "target_off_path", Message: fmt.Sprintf(
			"No trim comes within ΔE00 %g of the target: at best the tank is ΔE00 %.2g away, %s. A third wine would be needed, one that is %s.", s.target.Tolerance, n.MissAfter, misses, helps)})
	}
	return notes, nil
}

// signed is the addition, negative where the target was passed.
func (n *Need) signed() float64 {
	if n.Passed && n.BaseL != nil {
		return -*n.BaseL * float64(n.TargetDose) / 100
	}
	return n.AdditionL
}

// atEnd says which end of the path is nearest to the target, if one is.
func (t *Trim) atEnd(s *seeker) string {
	switch {
	case t.Need.AdditionInterval95 != nil:
		return ""
	case t.Need.TargetDose == 0:
		return "The base alone comes nearer to the target than any blend: check target and samples."
	}
	return fmt.Sprintf("The target lies beyond a dose of %.4g mL per 100 mL, %d times what the tank has. Check target and volumes; if they are right, pour less than the trim, mix and measure again.", s.largest, tankReach)
}

func (t *Trim) passed(tank *Tank) colour.Warning {
	n := t.Need
	text := fmt.Sprintf("The target was passed: the tank has a dose of %.4g, and %.4g mL per 100 mL come nearest. ", float64(t.Dose), float64(n.TargetDose))
	switch {
	case n.BaseL == nil:
		text += "No amount of base brings it back."
	case tank.RoomL != nil && *n.BaseL > *tank.RoomL:
		text += fmt.Sprintf("%.4g L of base would bring it back, but the tank has room for %.4g L: it takes a larger tank.", *n.BaseL, *tank.RoomL)
	default:
		text += fmt.Sprintf("%.4g L of base bring it back, which makes %.4g L.", *n.BaseL, n.ResultL)
	}
	return colour.Warning{Code: "target_passed", Message: text}
}
