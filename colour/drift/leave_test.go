package drift

import (
	"math"
	"math/rand/v2"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

// TestLeavingCoverage: over 500 cellars and lots the 95 % interval holds the day on
// which the lot truly leaves its limits. Monte Carlo error of 95 %: 1.0.
func TestLeavingCoverage(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	sim := rosé(0)
	limits := Limits{Within: map[Quantity][2]float64{A520: {0.50, math.Inf(1)}, Intensity: {1.15, math.Inf(1)}, Tint: {0, 0.95}}}
	held, known, never := 0, 0, 0
	for range 500 {
		m, err := Learn(sim.observe(r))
		if err != nil {
			t.Fatal(err)
		}
		c := &m.Classes[0]
		if c.Unknown != "" {
			continue
		}
		rates := sim.rates(r)
		a := [bands]float64{0.45, 0.60, 0.25}
		now := sim.read(r, a, rates, 0)
		now.U420, now.U520, now.U620 = sim.noise, sim.noise, sim.noise
		got, err := c.LeavingLimits(Lot{Reading: now}, limits)
		if err != nil {
			t.Fatal(err)
		}
		known++
		truth := math.Inf(1)
		parts, _ := limits.parts()
		for d := 0.0; d <= got.HorizonDays && math.IsInf(truth, 1); d += 0.25 {
			var v [bands]float64
			for b := range v {
				v[b] = rates[b].of(a[b], d)
			}
			for _, p := range parts {
				if p.excess(v, v, nil) > 0 {
					truth = d
				}
			}
		}
		if math.IsInf(truth, 1) {
			never++
		}
		early := got.Earliest != nil && truth >= *got.Earliest-0.25 || got.Earliest == nil && math.IsInf(truth, 1)
		late := got.Latest == nil || truth <= *got.Latest+0.25
		if early && late {
			held++
		}
	}
	t.Logf("held %.1f %% of %d; %d never left", 100*float64(held)/float64(known), known, never)
	if p := float64(held) / float64(known); p < 0.92 || p > 0.98 || known < 485 {
		t.Errorf("the interval of the day held %.3f of %d", p, known)
	}
}

// TestLeavingColour: a lot leaves a tolerance about its own colour, later where the
// colour is known from a scan exactly than at the earliest where three readings leave it
// open; and one that is outside says so.
func TestLeavingColour(t *testing.T) {
	c := learnt(t, 0)
	now := Reading{0.45, 0.60, 0.25, 0.002, 0.002, 0.002}
	v := cie.OIV()
	w, err := weightingOf(v)
	if err != nil {
		t.Fatal(err)
	}
	start, err := labOf([bands]float64{0.45, 0.60, 0.25}, w, v)
	if err != nil {
		t.Fatal(err)
	}
	lab := cie.Lab{L: start[0], A: start[1], B: start[2], View: v}
	limits := Limits{Within: map[Quantity][2]float64{DeltaE00: {0, 3}}, View: v, Reference: &lab}
	open, err := c.LeavingLimits(Lot{Reading: now, Days: 20}, limits)
	if err != nil {
		t.Fatal(err)
	}
	known, err := c.LeavingLimits(Lot{Reading: now, Days: 20, Lab: &lab}, limits)
	if err != nil {
		t.Fatal(err)
	}
	if known.First != DeltaE00 || known.Median == nil || open.Earliest == nil || known.Earliest == nil || *open.Earliest >= *known.Earliest {
		t.Errorf("open %+v, known %+v", open, known)
	}
	// Read at 460 and 570 nm too, it lies between.
	estimate, err := wineOf([bands]float64{0.45, 0.60, 0.25})
	if err != nil {
		t.Fatal(err)
	}
	further := reading.Readings{Cell: reading.Cell{PathMM: 10, Dilution: 1}, A420: 0.45, A520: 0.60, A620: 0.25, UAbsorbance: reading.DefaultU}
	for _, nm := range []float64{460, 570} {
		further.Extra = append(further.Extra, reading.At{NM: nm, Absorbance: estimate.At(nm)})
	}
	from, err := spectrum.FromReadings(further)
	if err != nil {
		t.Fatal(err)
	}
	five, err := c.LeavingLimits(Lot{Reading: now, Days: 20, Lab: &lab, From: &from}, limits)
	if err != nil || five.Earliest == nil || !(*open.Earliest < *five.Earliest && *five.Earliest < *known.Earliest) {
		t.Errorf("of five readings %+v, %v; of three %+v, known %+v", five, err, open, known)
	}
	// The central lot, followed directly through the estimate of its spectrum.
	var truth float64
	for d := 20.0; d < 548; d++ {
		var a [bands]float64
		for b := range a {
			mean, _, _ := c.choices[b].curve.change(20, d)
			a[b] = []float64{0.45, 0.60, 0.25}[b] * math.Exp(mean)
		}
		l, err := labOf(a, w, v)
		if err != nil {
			t.Fatal(err)
		}
		if (part{DeltaE00, 0, 3, difference.Weights{KL: 1, KC: 1, KH: 1}}).excess(a, l, &lab) > 0 {
			truth = d - 20
			break
		}
	}
	t.Logf("the mean lot leaves ΔE00 3 on day %g; median of draws %.1f [%.1f, %v]", truth, *known.Median, *known.Earliest, known.Latest)
	if math.Abs(*known.Median/truth-1) > 0.1 {
		t.Errorf("median %g, the mean lot leaves on day %g", *known.Median, truth)
	}
	out, err := c.LeavingLimits(Lot{Reading: now}, Limits{Within: map[Quantity][2]float64{A520: {0.7, 1}}})
	if err != nil || len(out.OutsideNow) != 1 || *out.Latest != 0 || out.Leaves < 0.999 {
		t.Errorf("outside now: %+v, %v", out, err)
	}
	in, err := c.LeavingLimits(Lot{Reading: now}, Limits{Within: map[Quantity][2]float64{A520: {0.1, 1}}})
	if err != nil || in.Median != nil || in.Latest != nil || in.Leaves > 0.02 {
		t.Errorf("never outside: %+v, %v", in, err)
	}
}
