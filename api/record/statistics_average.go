package record

import (
	"fmt"
	"math"

	"pourpath/api/calc"
	"pourpath/colour/reading"
)

// average joins replicates, which repeat each other and are at least two.
func average(ids []string, set []Reading) (Measurement, *Statistics, error) {
	switch {
	case set[0].Readings != nil:
		readings, statistics := averageReadings(ids, set)
		return Measurement{Readings: readings}, statistics, nil
	case set[0].Spectrum != nil:
		spectrum, statistics, err := averageSpectra(ids, set)
		return Measurement{Spectrum: spectrum}, statistics, err
	}
	colour, statistics := averageColours(ids, set)
	return Measurement{CIELAB: colour}, statistics, nil
}

func averageReadings(ids []string, set []Reading) (*calc.Readings, *Statistics) {
	first := set[0].Readings.Core().All()
	columns := make([]column, len(first))
	var u float64
	for i, at := range first {
		columns[i].quantity = nameAt(at.NM)
	}
	for _, r := range set {
		core := r.Readings.Core()
		u = math.Max(u, core.UAbsorbance)
		all := core.All()
		for i, at := range first {
			for _, other := range all {
				if other.NM == at.NM {
					columns[i].values = append(columns[i].values, other.Absorbance)
				}
			}
		}
	}
	statistics := statisticsOf(ids, columns, true)
	mean := func(i int) float64 { return statistics.Quantities[i].Mean }
	out := *set[0].Readings
	out.A420, out.A520, out.A620 = mean(0), mean(1), mean(2)
	out.Extra = nil
	for i, at := range first[3:] {
		out.Extra = append(out.Extra, calc.Reading{NM: at.NM, Absorbance: mean(3 + i)})
	}
	ofMean := statistics.uncertaintyOfMean(u)
	out.UAbsorbance = &ofMean
	return &out, statistics
}

// told are the wavelengths in nm that the scatter of scans is described at.
var told = [3]float64{420, 520, 620}

func averageSpectra(ids []string, set []Reading) (*calc.Spectrum, *Statistics, error) {
	columns := make([]column, len(told))
	out := *set[0].Spectrum
	out.Absorbance, out.TransmittancePercent = make([]float64, len(out.NM)), nil
	var u float64
	for i, r := range set {
		scan, err := scanOf(*r.Spectrum)
		if err != nil {
			return nil, nil, fmt.Errorf("record: averaging the scan %q: %w", ids[i], err)
		}
		u = math.Max(u, scan.UAbsorbance)
		for k, a := range scan.Absorbance {
			out.Absorbance[k] += a / float64(len(set))
		}
		for k, nm := range told {
			columns[k].quantity = nameAt(nm)
			columns[k].values = append(columns[k].values, scan.At(nm))
		}
	}
	out.UAbsorbance = &u
	return &out, statisticsOf(ids, columns, true), nil
}

// scanOf is s in absorbance, in the core's type. Errors: colour.FieldErrors for
// what is no scan.
func scanOf(s calc.Spectrum) (reading.Scan, error) {
	var cell reading.Cell
	cell.PathMM, cell.Dilution = Measurement{Spectrum: &s}.Cell()
	u := reading.DefaultU
	if s.UAbsorbance != nil {
		u = *s.UAbsorbance
	}
	if s.Absorbance == nil {
		return reading.FromTransmittance(cell, s.NM, s.TransmittancePercent, u)
	}
	scan := reading.Scan{Cell: cell, NM: s.NM, Absorbance: s.Absorbance, UAbsorbance: u}
	return scan, scan.Validate()
}

func averageColours(ids []string, set []Reading) (*calc.CIELAB, *Statistics) {
	out := *set[0].CIELAB
	var columns []column
	for _, part := range []struct {
		name string
		of   func(*calc.CIELAB) *calc.Decimal
	}{
		{"L", func(c *calc.CIELAB) *calc.Decimal { return &c.L }},
		{"a", func(c *calc.CIELAB) *calc.Decimal { return &c.A }},
		{"b", func(c *calc.CIELAB) *calc.Decimal { return &c.B }},
	} {
		c := column{quantity: part.name}
		decimals := part.of(&out).Decimals
		for _, r := range set {
			d := part.of(r.CIELAB)
			c.values = append(c.values, d.Value)
			decimals = max(decimals, d.Decimals)
		}
		*part.of(&out) = rounded(reading.SpreadOf(c.values).Mean, decimals+1)
		columns = append(columns, c)
	}
	return &out, statisticsOf(ids, columns, false)
}

// rounded keeps that many decimals of x.
func rounded(x float64, decimals int) calc.Decimal {
	scale := math.Pow10(decimals)
	return calc.Decimal{Value: math.Round(x*scale) / scale, Decimals: decimals}
}
