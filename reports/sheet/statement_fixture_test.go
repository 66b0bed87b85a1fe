package sheet_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/conform"
	"pourpath/reports"
	"pourpath/reports/sheet"
)

// statement is a made-up lot that passes by the guarded rule.
func statement(t testing.TB) sheet.Statement {
	t.Helper()
	v := cie.OIV()
	ref := cie.Lab{L: 83, A: 14.2, B: 7, View: v}
	plane := &reports.LotPlaneFigure{Title: "The lot among its predecessors", View: v, Reference: &ref, Region: &reports.Region{DeltaE00: 1.5, Reference: &ref, A: &[2]float64{12.8, 15.6}}}
	for i := range 18 {
		x := float64(i)
		plane.Lots = append(plane.Lots, reports.PlaneLot{Name: fmt.Sprintf("B-26-%03d", i+1), U: [3]float64{0.15, 0.2, 0.12},
			Lab: cie.Lab{L: 83 + 0.3*math.Sin(2*x), A: 14.1 + 0.35*math.Sin(x), B: 6.7 + 0.04*x + 0.2*math.Cos(3*x), View: v}})
	}
	newest := plane.Lots[17]
	s := sheet.Statement{
		Number: "2026-0042", Checksum: strings.Repeat("9f86d081884c7d65", 4), Issued: "3 December 2026, 16:20", IssuedBy: "A. R., quality control",
		View: v, Conditions: "Read at 20 °C.", Version: "Pourpath 0.1.0",
		Lot: sheet.Lot{Name: "B-26-018", Wine: "Rosé of the upper terrace, 2026", Bottled: "2 December 2026, line 1", Sample: "Bottles 1, 2400 and 4800: beginning, middle and end of the run",
			Taken: "3 December 2026, 15:40", State: "Free SO2 28 mg/L, membrane filtered, CO2 0.9 g/L; read as it is"},
		Method: "Transmittance scanned from 380 to 780 nm in steps of 5 nm, 10 mm cell, undiluted, filtered at 0.45 µm.",
		Instrument: sheet.Instrument{Name: "Spectrophotometer 2, double beam", State: sheet.CheckPassed, Checked: "30 November 2026", Due: "31 December 2026",
			Found: "All four filters within 0.005 AU; wavelength within 0.5 nm."},
		Result: sheet.Colour{Lab: newest.Lab, U: newest.U}, Reference: &sheet.Named{Name: "Glass C of trial 3, chosen 25 November 2026", Colour: sheet.Colour{Lab: ref, U: [3]float64{0.15, 0.2, 0.12}}},
		Spec: sheet.SpecFact{Name: "Rosé of the upper terrace", Version: "3", ValidFrom: "1 December 2026", ApprovedBy: "M. K.", Reads: "a scan, 10 mm cell, undiluted"},
		Parts: []reports.PartMark{
			{Quantity: "ΔE00 from the reference", Value: 0.63, U: 0.21, Interval95: &[2]float64{0.31, 1.12}, Lower: math.Inf(-1), Upper: 1.5, Warning: &[2]float64{math.Inf(-1), 1.1},
				NeverNegative: true, Probability: ptr(0.993)},
			{Quantity: "a*", Value: newest.Lab.A, U: 0.2, Lower: 12.8, Upper: 15.6, Probability: ptr(0.9999)},
			{Quantity: "tint (shade)", Value: 0.93, U: 0.02, Lower: math.Inf(-1), Upper: 1.05, Probability: ptr(0.9999)},
		},
		Rule: conform.Guarded, MaxRisk: 0.05, Verdict: conform.Pass, Probability: 0.991, Dominant: "the repeatability of the readings, 71 % of the variance of ΔE00",
		Plane: plane,
	}
	for i, bottle := range []string{"Bottle 1", "Bottle 2400", "Bottle 4800"} {
		for k, band := range []string{"A420", "A520", "A620"} {
			s.Readings = append(s.Readings, sheet.Reading{Sample: bottle, Quantity: band, How: "10 mm, undiluted", Decimals: 3,
				Value: []float64{0.212, 0.228, 0.041}[k] + 0.001*float64(i)})
		}
	}
	return s
}

// undecided is a lot close to a limit, read while a check was overdue.
func undecided(t testing.TB) sheet.Statement {
	s := statement(t)
	s.Number = "2026-0043"
	s.Verdict, s.Probability = conform.Inconclusive, 0.9496
	s.Parts[0].Value, s.Parts[0].Interval95, s.Parts[0].Probability = 1.18, &[2]float64{0.72, 1.71}, ptr(0.9496)
	s.Instrument.State, s.Instrument.Due, s.Instrument.Found = sheet.CheckOverdue, "30 October 2026", ""
	s.Settle = []string{"Read sample and reference four times each: the verdict would then be pass, with probability 0.97.", "Read both in one session on one instrument."}
	s.Warnings = []string{"ΔE00 1.18 is beyond the warning limit of 1.1."}
	s.Readings, s.Plane = nil, nil
	return s
}
