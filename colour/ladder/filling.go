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
	glass  Glass
	biases []biased // one for each tool, in the order of their first pours
	own    [3][3]float64
}

// slope is how much the base, the addition and the part that is left of a Glass
// change with something.
type slope [3]float64

// biased is what one standard deviation of a tool's own error makes of a glass.
type biased struct {
	tool  volumetric.Tool
	slope slope
}

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
	var rising Glass
	for _, p := range base {
		if p.Tool == (volumetric.Tool{}) {
			p.Tool.Name = "what the base was measured with" // not what the addition is: nothing cancels
		}
		rising = Glass{base: rising.base + p.VolumeML, left: 1}
		f = f.then(rising, unchanged, slope{1, 0, 0}, p)
	}
	return f, nil
}

// Pour returns the glass after the addition was poured into it, in one or more
// parts.
//
// Errors: colour.FieldErrors at "volume_ml" as Glass.Pour.
func (f Filling) Pour(parts ...volumetric.Pour) (Filling, error) {
	next := f
	for _, p := range parts {
		g := next.glass
		poured, err := g.Pour(p.VolumeML)
		if err != nil {
			return f, err
		}
		next = next.then(poured, [3]slope{{g.left, 0, g.base}, {0, g.left, g.addition}, {}}, slope{0, 1, 0}, p)
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
	g := f.glass
	glass, err := g.Withdraw(volumeML)
	if err != nil {
		return f, err
	}
	if !(uML >= 0 && !math.IsInf(uML, 1)) {
		return f, colour.FieldErrors{{Field: "u_ml", Value: finite(uML), Message: "the standard uncertainty of what was taken out is 0 mL or more"}}
	}
	// What is left is left (1 - w/V), with V = (base + addition) left.
	v := g.VolumeML()
	byContent := volumeML * g.left * g.left / (v * v)
	return f.then(glass, [3]slope{{1, 0, 0}, {0, 1, 0}, {byContent, byContent, 1}}, slope{0, 0, -g.left / v}, volumetric.Pour{ReadingU: uML}), nil
}

// unchanged is what a step that adds to a glass makes of the errors before it.
var unchanged = [3]slope{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}

// then is the filling after a step that leads to a glass: of turns the errors of
// the glass before into errors of this one, and by is what 1 mL of the step's own
// volume does.
func (f Filling) then(to Glass, of [3]slope, by slope, p volumetric.Pour) Filling {
	next := Filling{glass: to, biases: slices.Clone(f.biases)}
	for i := range next.biases {
		next.biases[i].slope = f.biases[i].slope.through(of)
	}
	if p.BiasU > 0 {
		at := slices.IndexFunc(next.biases, func(b biased) bool { return b.tool == p.Tool })
		if at < 0 {
			at = len(next.biases)
			next.biases = append(next.biases, biased{tool: p.Tool})
		}
		for k := range by {
			next.biases[at].slope[k] += by[k] * p.BiasU
		}
	}
	var half [3][3]float64 // of f.own, in columns
	for k := range half {
		half[k] = slope{f.own[0][k], f.own[1][k], f.own[2][k]}.through(of)
	}
	for i := range next.own {
		next.own[i] = slope{half[0][i], half[1][i], half[2][i]}.through(of)
		for k := range by {
			next.own[i][k] += by[i] * by[k] * p.ReadingU * p.ReadingU
		}
	}
	return next
}

// through is s after a step.
func (s slope) through(of [3]slope) (out slope) {
	for i := range of {
		out[i] = of[i].dot(s)
	}
	return out
}

func (s slope) dot(t slope) float64 { return s[0]*t[0] + s[1]*t[1] + s[2]*t[2] }

// Glass is what is in the glass.
func (f Filling) Glass() Glass { return f.glass }

// DoseU is the standard uncertainty of the dose, in mL per 100 mL of base, in its
// two parts. What one tool does wrong it does in all its pours, to base and
// addition alike: where both are measured with the same one, part of it cancels.
//
// Method: first order (JCGM100, 5.1.2), carried from step to step, so that it
// takes no longer for a glass with many steps.
func (f Filling) DoseU() volumetric.Uncertainty {
	g := f.glass
	by := slope{-100 * g.addition / (g.base * g.base), 100 / g.base, 0}
	var u volumetric.Uncertainty
	for _, b := range f.biases {
		u.Bias = math.Hypot(u.Bias, by.dot(b.slope))
	}
	var variance float64
	for i := range by {
		variance += by[i] * by.dot(f.own[i])
	}
	u.Reading = math.Sqrt(math.Max(variance, 0))
	return u
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
