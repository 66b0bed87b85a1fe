package conform

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

// Setup is how lots will be read.
type Setup struct {
	// Source is spectrum.Readings, spectrum.Scan or spectrum.CIELAB.
	Source spectrum.Source
	// ExtraNM are wavelengths beside 420, 520 and 620 nm, for Readings only.
	ExtraNM []float64
	// Cell is the path in mm and the dilution, for Readings and Scan.
	Cell reading.Cell
	// UAbsorbance is the standard uncertainty of one reading, for Readings and
	// Scan.
	UAbsorbance float64
	// HalfStepL and HalfStepAB are half of the last digit of L* and of a* and b*
	// as they are stated, for CIELAB.
	HalfStepL, HalfStepAB float64
	// SameSession says that the reference wine is read again with each lot.
	SameSession bool
}

// Prospect is what a specification and a way of reading can come to.
type Prospect struct {
	// BestProbability is that of conforming for a lot at the best place that the
	// specification has; CanNeverPass that it is below 1 - MaxRisk under the
	// guarded rule, so that no lot could pass.
	BestProbability float64
	CanNeverPass    bool
	// DominantCause and Budget are of the part that is least sure there.
	DominantCause spectrum.Cause
	Budget        []Share
	// Remedies are what could be done to the readings, with the best probability
	// and the verdict on the best lot then; looked for when CanNeverPass.
	Remedies []Remedy
	// NeededTolerance is the least ΔE00 tolerance under which the best lot would
	// pass, all else equal; NaN where that is not asked (a lot can pass, or there
	// is no ΔE00) and where none would do.
	NeededTolerance float64
	Warnings        []colour.Warning
}

// Foresee tells, before anything is measured, whether lots read as the
// specification's Setup says can pass it at all. The readings are those of the specification's
// own reference or, where it has none, of the colour in the middle of its
// limits; their errors are as large as those of such a lot.
//
// Errors: colour.FieldErrors under "spec" and "view"; at "spec/reading_method"
// where there is none; at "spec" also where no wine-like spectrum is known to try
// the readings on.
func Foresee(spec Spec, v cie.View) (Prospect, error) {
	p := Prospect{NeededTolerance: math.NaN()}
	c, err := foreseen(spec, v)
	if err != nil {
		return p, err
	}
	c.middle, p.BestProbability = c.bestPlace()
	got := c.decide()
	k := leastSure(got.each)
	p.Budget = c.budget(k)
	p.DominantCause = dominant(p.Budget)
	p.CanNeverPass = spec.Rule == Guarded && p.BestProbability < 1-spec.MaxRisk
	j := Judgement{BestProbability: p.BestProbability, CanNeverPass: p.CanNeverPass, DominantCause: p.DominantCause, Verdict: got.verdict}
	if p.CanNeverPass {
		p.Remedies = c.remedies()
		p.NeededTolerance = c.neededTolerance()
	}
	p.Warnings = c.warnings(&j)
	return p, nil
}

// foreseen is a typical lot, read as the specification says, brought to numbers.
func foreseen(spec Spec, v cie.View) (*judged, error) {
	var faults colour.FieldErrors
	faults.AddUnder("spec", spec.Validate())
	if spec.Setup == nil {
		faults.Addf("spec/reading_method", nil, "say how lots will be read, to learn whether they can pass")
	}
	if len(faults) > 0 {
		return nil, faults
	}
	if err := v.Validate(); err != nil {
		return nil, colour.FieldErrors{{Field: "view", Value: v.String(), Message: err.Error()}}
	}
	lot, err := spec.typical(v)
	if err != nil {
		return nil, err
	}
	sample, err := spec.Setup.read(lot, v)
	if err != nil {
		faults.AddUnder("spec/reading_method", err)
		return nil, faults
	}
	return newCase(spec, sample, v)
}

func (s Setup) validate(field string, faults *colour.FieldErrors) {
	known := []spectrum.Source{spectrum.Readings, spectrum.Scan, spectrum.CIELAB}
	if !slices.Contains(known, s.Source) {
		faults.Addf(field+"/source", string(s.Source), "a lot is read by one of %q", known)
		return
	}
	if len(s.ExtraNM) > 0 && s.Source != spectrum.Readings {
		faults.Addf(field+"/extra_nm", s.ExtraNM, "further wavelengths belong to readings; a %s has none", s.Source)
	}
	if s.Source == spectrum.Readings {
		s.validateReadings(field, faults)
	}
	if s.Source == spectrum.CIELAB {
		for _, half := range []float64{s.HalfStepL, s.HalfStepAB} {
			if !(half >= 0 && half <= 10) {
				faults.Addf(field, given(half), "half of the last printed digit must be from 0 to 10")
			}
		}
	}
}

// validateReadings finds a cell or wavelengths that no readings could have.
func (s Setup) validateReadings(field string, faults *colour.FieldErrors) {
	const some = 0.1 // an absorbance without fault
	r := reading.Readings{Cell: s.Cell, UAbsorbance: s.UAbsorbance, A420: some, A520: some, A620: some}
	for _, nm := range s.ExtraNM {
		r.Extra = append(r.Extra, reading.At{NM: nm, Absorbance: some})
	}
	var own colour.FieldErrors
	if !errors.As(r.Validate(), &own) {
		return
	}
	for _, fault := range own {
		if rest, extra := strings.CutPrefix(fault.Field, "extra/"); extra {
			fault.Field = "extra_nm/" + strings.TrimSuffix(rest, "/nm")
		}
		fault.Field = field + "/" + fault.Field
		*faults = append(*faults, fault)
	}
}

// method is what package spectrum calls the way of reading.
func (s Setup) method() string {
	if s.Source != spectrum.Readings {
		return string(s.Source)
	}
	nm := append([]float64{420, 520, 620}, s.ExtraNM...)
	slices.Sort(nm)
	words := []string{string(s.Source)}
	for _, x := range nm {
		words = append(words, strconv.FormatFloat(x, 'g', -1, 64))
	}
	return strings.Join(words, " ")
}

// typical is a wine as the specification wants it.
func (s Spec) typical(v cie.View) (*spectrum.Wine, error) {
	var faults colour.FieldErrors
	r := s.reference()
	if r != nil && r.Wine != nil {
		return r.Wine, nil
	}
	c := judged{spec: s, reference: r, parts: s.parts()}
	ref := s.seen(v, &faults)
	if len(faults) > 0 {
		return nil, faults.Under("spec")
	}
	x := state{85, 12, 8} // a pale rosé, where nothing says more
	if ref != nil {
		x[0], x[1], x[2] = ref.lab.L, ref.lab.A, ref.lab.B
	} else {
		c.centreColour(&x)
	}
	if c.needsIndices() && ref == nil {
		x[absorbing], x[absorbing+1], x[absorbing+2] = 0.2, 0.2, 0.04
		c.centreIndices(&x)
		w, err := spectrum.FromReadings(reading.Readings{
			Cell: reading.Cell{PathMM: 10, Dilution: 1}, A420: x[absorbing], A520: x[absorbing+1], A620: x[absorbing+2], UAbsorbance: reading.DefaultU,
		})
		if err == nil {
			return &w, nil
		}
	}
	w, err := spectrum.FromLab(spectrum.Stated{Lab: cie.Lab{L: x[0], A: x[1], B: x[2], View: v}})
	if err != nil {
		faults.Addf("spec", nil, "there is no wine-like spectrum in the middle of the specification to try the readings on: %v; give a wine as the target", err)
		return nil, faults
	}
	return &w, nil
}

// read is what the setup would make of a wine.
func (s Setup) read(lot *spectrum.Wine, v cie.View) (Sample, error) {
	scale := s.Cell.PathMM / 10 / s.Cell.Dilution
	out := Sample{SameSession: s.SameSession}
	switch s.Source {
	case spectrum.Readings:
		r := reading.Readings{Cell: s.Cell, UAbsorbance: s.UAbsorbance, A420: scale * lot.At(420), A520: scale * lot.At(520), A620: scale * lot.At(620)}
		for _, nm := range s.ExtraNM {
			r.Extra = append(r.Extra, reading.At{NM: nm, Absorbance: scale * lot.At(nm)})
		}
		w, err := spectrum.FromReadings(r)
		if err != nil {
			return out, fmt.Errorf("conform: %w", err)
		}
		out.Wine = &w
	case spectrum.Scan:
		scan := reading.Scan{Cell: s.Cell, UAbsorbance: s.UAbsorbance}
		for i := range cie.Points {
			scan.NM = append(scan.NM, cie.Wavelength(i))
			scan.Absorbance = append(scan.Absorbance, scale*lot.Absorbance[i])
		}
		w, err := spectrum.FromScan(scan)
		if err != nil {
			return out, fmt.Errorf("conform: %w", err)
		}
		out.Wine = &w
	default:
		c, err := lot.Colour(v)
		if err != nil {
			return out, fmt.Errorf("conform: %w", err)
		}
		out.Stated = &spectrum.Stated{Lab: c.Lab, HalfStepL: s.HalfStepL, HalfStepAB: s.HalfStepAB}
		if w, err := spectrum.FromLab(*out.Stated); err == nil {
			out.Wine = &w
		}
	}
	return out, nil
}

// neededTolerance is the quantile of ΔE00 at the best place that leaves MaxRisk
// beyond it, over the draws that meet the other parts; NaN where there is no
// ΔE00, or the other parts alone are missed too often.
func (c *judged) neededTolerance() float64 {
	var of *part
	for k := range c.parts {
		if c.parts[k].quantity == DeltaE00 {
			of = &c.parts[k]
		}
	}
	if of == nil {
		return math.NaN()
	}
	var off []float64
	for i := range Draws {
		x := c.factor.moved(&c.middle, &normals()[i])
		met := true
		for k := range c.parts {
			p := &c.parts[k]
			met = met && (p == of || p.met(p.value(&x)))
		}
		if met {
			off = append(off, of.value(&x))
		}
	}
	need := int(math.Ceil((1 - c.spec.MaxRisk) * Draws))
	if need > len(off) {
		return math.NaN()
	}
	slices.Sort(off)
	if off[need-1] > maxTolerance {
		return math.NaN() // no tolerance that a specification may have
	}
	return off[need-1]
}
