package ladder

import (
	"errors"
	"math"
	"slices"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/volumetric"
)

// Filling is a Glass together with how its contents were measured, which says
// how well its dose is known. It is a value as a Glass is: its methods return the
// next one.
type Filling struct {
	glass Glass
	steps []step
}

// step is what was done to a glass.
type step struct {
	deed deed
	pour volumetric.Pour // with no tool where it was taken out
}

type deed int

const (
	baseIn deed = iota
	additionIn
	blendOut
)

// Unstated is a pour with a tool that nobody named: its volume is uncertain by
// blend.VolumeU, half the variance of it shared by all such pours. A judgement,
// no source.
func Unstated(volumeML float64) volumetric.Pour {
	u := blend.VolumeU * volumeML / math.Sqrt2
	return volumetric.Pour{VolumeML: volumeML, BiasU: u, ReadingU: u}
}

// Fill returns a glass with base, poured in one or more parts.
//
// Errors: colour.FieldErrors at "base_ml" as NewGlass.
func Fill(base ...volumetric.Pour) (Filling, error) {
	var f Filling
	volume, _ := volumetric.Sum(base)
	var err error
	if f.glass, err = NewGlass(volume); err != nil {
		return Filling{}, err
	}
	for _, p := range base {
		if p.Tool == (volumetric.Tool{}) {
			p.Tool.Name = "what the base was measured with" // not what the addition is: nothing cancels
		}
		f.steps = append(f.steps, step{baseIn, p})
	}
	return f, nil
}

// Pour returns the glass after the addition was poured into it, in one or more
// parts.
//
// Errors: colour.FieldErrors at "volume_ml" as Glass.Pour.
func (f Filling) Pour(parts ...volumetric.Pour) (Filling, error) {
	next := Filling{f.glass, slices.Clone(f.steps)}
	var err error
	for _, p := range parts {
		if next.glass, err = next.glass.Pour(p.VolumeML); err != nil {
			return f, err
		}
		next.steps = append(next.steps, step{additionIn, p})
	}
	return next, nil
}

// Withdraw returns the glass after volumeML of the blend, known with the standard
// uncertainty uML, were taken out of it. The dose stays, but a later pour counts
// for more, and by how much is as uncertain as what was taken.
//
// Errors: colour.FieldErrors at "volume_ml" as Glass.Withdraw, and at "u_ml"
// unless it is 0 or more.
func (f Filling) Withdraw(volumeML, uML float64) (Filling, error) {
	glass, err := f.glass.Withdraw(volumeML)
	if err != nil {
		return f, err
	}
	if !(uML >= 0 && !math.IsInf(uML, 1)) {
		return f, colour.FieldErrors{{Field: "u_ml", Value: finite(uML), Message: "the standard uncertainty of what was taken out is 0 mL or more"}}
	}
	out := volumetric.Pour{VolumeML: volumeML, ReadingU: uML}
	return Filling{glass, append(slices.Clone(f.steps), step{blendOut, out})}, nil
}

// Glass is what is in the glass.
func (f Filling) Glass() Glass { return f.glass }

// DoseU is the standard uncertainty of the dose, in mL per 100 mL of base, in its
// two parts. What one tool does wrong it does in all its pours, to base and
// addition alike: where both are measured with the same one, part of it cancels.
//
// Method: first order (JCGM100, 5.1.2), the sensitivities by central differences
// (5.1.3, note 2), so that whatever a Glass does with a volume is in them.
func (f Filling) DoseU() volumetric.Uncertainty {
	const width = 1e-4
	volumes := make([]float64, len(f.steps))
	pours := make([]volumetric.Pour, len(f.steps))
	for i, s := range f.steps {
		volumes[i], pours[i] = s.pour.VolumeML, s.pour
	}
	sensitivities := make([]float64, len(f.steps))
	for i, v := range volumes {
		volumes[i] = v * (1 + width)
		above := f.dose(volumes)
		volumes[i] = v * (1 - width)
		below := f.dose(volumes)
		volumes[i] = v
		sensitivities[i] = (above - below) / (2 * width * v)
	}
	return volumetric.Combine(sensitivities, pours)
}

// dose is what the dose would be with other volumes of the same steps.
func (f Filling) dose(volumes []float64) float64 {
	var g Glass
	for i, s := range f.steps {
		switch s.deed {
		case baseIn:
			g = Glass{base: g.base + volumes[i], left: 1}
		case additionIn:
			g = g.with(volumes[i])
		case blendOut:
			g = g.without(volumes[i])
		}
	}
	return float64(g.Dose())
}

// measured pours a volume with a tool, or where it is not stated as Unstated,
// with the faults of both under their own fields.
func measured(t volumetric.Tool, volumeML float64) ([]volumetric.Pour, error) {
	if t == (volumetric.Tool{}) {
		return []volumetric.Pour{Unstated(volumeML)}, nil
	}
	return t.Fill(volumeML)
}

// underTool splits what is wrong with a tool from what is wrong with a volume:
// faults of the tool go under toolField, those of the volume to volumeField.
func underTool(err error, toolField, volumeField string, faults *colour.FieldErrors) {
	var found colour.FieldErrors
	if !errors.As(err, &found) {
		faults.AddUnder(volumeField, err)
		return
	}
	for _, fault := range found {
		if fault.Field == "volume_ml" {
			fault.Field = volumeField
			*faults = append(*faults, fault)
			continue
		}
		*faults = append(*faults, colour.FieldErrors{fault}.Under(toolField)...)
	}
}
