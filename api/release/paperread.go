package release

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/colour/cie"
	"pourpath/colour/conform"
	"pourpath/reports"
	"pourpath/reports/sheet"
)

// methodOf is how a sample was read, in a sentence.
func methodOf(m record.Measurement, t *sheet.Texts) string {
	number := func(v float64) string { return t.Figures.Plain(v, 6) }
	switch {
	case m.Readings != nil:
		at := []string{"420", "520", "620"}
		for _, r := range m.Readings.Extra {
			at = append(at, number(r.NM))
		}
		return reports.Fill(t.Told.Absorbances, "nm", strings.Join(at, ", "), "cell", cellWords(m, t))
	case m.Spectrum != nil:
		words := t.Told.ScanOfAbsorbance
		if m.Spectrum.TransmittancePercent != nil {
			words = t.Told.ScanOfTransmittance
		}
		nm := m.Spectrum.NM
		return reports.Fill(words, "from", number(nm[0]), "to", number(nm[len(nm)-1]), "count", number(float64(len(nm))), "cell", cellWords(m, t))
	case m.CIELAB != nil:
		return reports.Fill(t.Told.FromReport, "mm", number(m.CIELAB.PathMM))
	}
	return t.Told.NotRecorded
}

func cellWords(m record.Measurement, t *sheet.Texts) string {
	path, dilution := m.Cell()
	words := t.Told.CellDiluted
	if dilution == 1 {
		words = t.Told.Cell
	}
	return reports.Fill(words, "mm", t.Figures.Plain(path, 6), "times", t.Figures.Plain(dilution, 6))
}

// readingsOf are the values as they were read; of a scan, those at the three
// wavelengths of intensity and tint.
func readingsOf(s record.Sample, t *sheet.Texts) []sheet.Reading {
	var out []sheet.Reading
	add := func(quantity, how string, value float64) {
		out = append(out, sheet.Reading{Sample: s.Bottle, Quantity: quantity, How: how, Value: value, Decimals: decimalsRead(value)})
	}
	cell := cellWords(s.Measurement, t)
	switch {
	case s.Readings != nil:
		add("A420", cell, s.Readings.A420)
		add("A520", cell, s.Readings.A520)
		add("A620", cell, s.Readings.A620)
		for _, r := range s.Readings.Extra {
			add(fmt.Sprintf("A%g", r.NM), cell, r.Absorbance)
		}
		alike(out)
	case s.Spectrum != nil:
		for _, nm := range []float64{420, 520, 620} {
			i := slices.Index(s.Spectrum.NM, nm)
			switch {
			case i >= 0 && i < len(s.Spectrum.Absorbance):
				add(fmt.Sprintf("A%g", nm), cell, s.Spectrum.Absorbance[i])
			case i >= 0 && i < len(s.Spectrum.TransmittancePercent):
				add(reports.Fill(t.Told.TransmittanceAt, "nm", t.Figures.Plain(nm, 0)), cell, s.Spectrum.TransmittancePercent[i])
			}
		}
		alike(out)
	case s.CIELAB != nil:
		stated := reports.Fill(t.Told.StatedFor, "mm", t.Figures.Plain(s.CIELAB.PathMM, 6))
		for _, v := range []struct {
			name  string
			value calc.Decimal
		}{{"L*", s.CIELAB.L}, {"a*", s.CIELAB.A}, {"b*", s.CIELAB.B}} {
			out = append(out, sheet.Reading{Sample: s.Bottle, Quantity: v.name, How: stated, Value: v.value.Value, Decimals: min(6, max(0, v.value.Decimals))})
		}
	}
	return out
}

// alike gives readings of one instrument the same decimals: a number does not keep
// the noughts at its end, and an instrument shows them.
func alike(list []sheet.Reading) {
	most := 0
	for _, r := range list {
		most = max(most, r.Decimals)
	}
	for i := range list {
		list[i].Decimals = most
	}
}

// decimalsRead are as many as a value was read with, as far as its number tells.
func decimalsRead(v float64) int {
	_, decimals, _ := strings.Cut(strconv.FormatFloat(v, 'f', -1, 64), ".")
	return min(6, len(decimals))
}

func colourOf(c calc.WineColour) sheet.Colour {
	out := sheet.Colour{Lab: labOf(c)}
	for i, u := range []*float64{c.Uncertainty.L, c.Uncertainty.A, c.Uncertainty.B} {
		if u != nil {
			out.U[i] = *u
		}
	}
	return out
}

func labOf(c calc.WineColour) cie.Lab {
	return cie.Lab{L: c.CIELAB.L, A: c.CIELAB.A, B: c.CIELAB.B, View: cie.View{
		Illuminant: cie.Illuminant(c.Conditions.Illuminant), Observer: cie.Observer(c.Conditions.Observer), DepthMM: c.Conditions.PathMM,
	}}
}

// referenceOf is what the sample was compared with: its colour less the
// difference, as the verdict has them.
func referenceOf(c record.StatementContent, t *sheet.Texts) *sheet.Named {
	d := c.Verdict.Difference
	if d == nil || d.DL == nil || d.DA == nil || d.DB == nil {
		return nil
	}
	lab := labOf(c.Verdict.Colour)
	lab.L, lab.A, lab.B = lab.L-*d.DL, lab.A-*d.DA, lab.B-*d.DB
	name := t.Told.TargetOfSpec
	if source := c.Spec.ReferenceSource; source != "" {
		name = t.Said(source)
	}
	return &sheet.Named{Name: name, Colour: sheet.Colour{Lab: lab}}
}

var partUnits = map[string]string{"h": "°", "yellow_percent": "%", "red_percent": "%", "blue_percent": "%"}

// PartName is what a part of a specification is called on documents and pictures and by
// the command; texts nil is English. Pages have the same words in their catalogues.
func PartName(r calc.CheckResult, texts *reports.Texts) string {
	t := reports.InEnglish(texts)
	name := t.Parts[r.Quantity]
	if w := r.Weights; w != nil {
		name += " (" + t.Plain(w.KL, 3) + ":" + t.Plain(w.KC, 3) + ":" + t.Plain(w.KH, 3) + ")"
	}
	return name
}

// neverNegative are quantities that noise alone lifts from 0.
var neverNegative = map[string]bool{"delta_e_00": true, "delta_e_ab": true, "hotelling_t2": true}

// Parts are the parts of a specification with the sample's place in each, named in the
// words of a picture, nil for English; and what is to be told, in English, of those that
// it has no value for.
func Parts(results []calc.CheckResult, texts *reports.Texts) (parts []reports.PartMark, without []string) {
	for _, r := range results {
		if r.Value == nil {
			without = append(without, fmt.Sprintf("%s: the sample has none, so it is not shown among the limits.", reports.InEnglish(nil).Parts[r.Quantity]))
			continue
		}
		p := reports.PartMark{
			Quantity: PartName(r, texts), Unit: partUnits[r.Quantity], Value: *r.Value, NeverNegative: neverNegative[r.Quantity],
			Lower: orInfinite(r.Lower, -1), Upper: orInfinite(r.Upper, 1), Probability: r.Probability,
		}
		if r.Uncertainty != nil {
			p.U = *r.Uncertainty
		}
		if r.WarningLower != nil || r.WarningUpper != nil {
			p.Warning = &[2]float64{orInfinite(r.WarningLower, -1), orInfinite(r.WarningUpper, 1)}
		}
		if p.NeverNegative && p.Lower <= 0 { // no limit: there is nothing below it
			p.Lower = math.Inf(-1)
		}
		if r.Quantity == string(conform.Hue) {
			p = throughZero(p)
		}
		parts = append(parts, p)
	}
	return parts, without
}

func orInfinite(v *float64, side int) float64 {
	if v == nil {
		return math.Inf(side)
	}
	return *v
}

// throughZero puts a hue whose limits run through 0 on one scale, beyond 360.
func throughZero(p reports.PartMark) reports.PartMark {
	if !(p.Lower > p.Upper) {
		return p
	}
	// The place opposite the middle of the limits parts what is nearer to either.
	opposite := (p.Lower + p.Upper) / 2
	lift := func(v float64) float64 {
		if v < opposite {
			return v + 360
		}
		return v
	}
	p.Value, p.Upper = lift(p.Value), p.Upper+360
	if p.Warning != nil {
		p.Warning = &[2]float64{lift(p.Warning[0]), lift(p.Warning[1])}
	}
	return p
}
