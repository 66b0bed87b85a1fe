package release

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"sync"
	"testing"
	"time"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// agedLot is a lot bottled in January 2025 with a reading on each of the days.
func agedLot(tb testing.TB, r *Release, spec, name string, days ...float64) record.Lot {
	tb.Helper()
	bottled := record.At(time.Date(2025, 1, 10, 9, 0, 0, 0, time.UTC))
	lot, err := r.AddLot(tb.Context(), record.LotBody{Name: name, Spec: spec, Product: "House rosé", Storage: "12 °C", BottledAt: &bottled})
	if err != nil {
		tb.Fatal(err)
	}
	for _, d := range days {
		readOn(tb, r, lot.Lot, d)
	}
	return lot.Lot
}

// readOn adds what a lot reads so many days after bottling: A520 falls by a third
// with a half-life of 100 days, without noise but for the fifth digit.
func readOn(tb testing.TB, r *Release, lot record.Lot, days float64) {
	tb.Helper()
	rng := rand.New(rand.NewPCG(uint64(days), uint64(len(lot.Name))))
	left := math.Exp2(-days/100) + 0.002*rng.NormFloat64()
	m := readings(0.142+0.02*(1-left), 0.118*(2+left)/3, 0.021*(4+left)/5)
	at := record.At(lot.BottledAt.Add(time.Duration(days * 24 * float64(time.Hour))))
	if _, err := r.AddSample(tb.Context(), lot.ID, record.SampleBody{Measurement: m, Circumstances: record.Circumstances{TakenAt: &at}}); err != nil {
		tb.Error(err)
	}
}

func houseSpec(tb testing.TB, r *Release) string {
	tb.Helper()
	wine := readings(0.142, 0.118, 0.021).Wine("as it was")
	spec, err := r.AddSpec(tb.Context(), record.SpecBody{Product: "House rosé", Spec: calc.Spec{Target: &calc.Target{Wine: &wine}, Tolerance: &calc.SpecTolerance{DeltaE00: 3}}})
	if err != nil {
		tb.Fatal(err)
	}
	return spec.ID
}

func (r *Release) drifted(tb testing.TB) Drift {
	tb.Helper()
	d, err := r.Drift(context.Background(), "house  Rosé")
	if err != nil {
		tb.Error(err)
	}
	return d
}

// TestLearnedIsRemembered: what was learned stays until there is a newer sample of
// the product, and no longer.
func TestLearnedIsRemembered(t *testing.T) {
	s, r := open(t)
	spec := houseSpec(t, r)
	lot := agedLot(t, r, spec, "L-1", 0, 30, 60, 120)
	agedLot(t, r, spec, "L-22", 0, 30, 60, 120)
	if d := r.drifted(t); !d.Classes[0].Known || d.Classes[0].Observations != 8 {
		t.Fatalf("%+v", d)
	}
	of := func() *learned { return r.drift.learned["house rosé"] }
	first := of()
	r.drifted(t)
	if of() != first {
		t.Error("it was learned again without a newer sample")
	}
	other := lotWith(t, r, readings(0.3, 0.2, 0.1))
	r.drifted(t)
	if &of().observations[0] != &first.observations[0] {
		t.Errorf("it was learned again for a sample of %q", other.Name)
	}
	readOn(t, r, lot, 200)
	if d := r.drifted(t); d.Classes[0].Observations != 9 {
		t.Errorf("the newer sample is missing: %+v", d)
	}
	// A sample whose identifier is older than the newest that was taken in, as of
	// somebody who began first and was done last.
	r.drift.last = "ffffffff"
	readOn(t, r, lot, 210)
	if d := r.drifted(t); d.Samples != 10 || r.drift.held != 11 {
		t.Errorf("the late sample is missing: %+v", d)
	}
	if n, err := s.SampleCount(t.Context()); err != nil || n != 11 {
		t.Errorf("%d samples, %v", n, err)
	}
}

// TestDriftWhileSamplesComeInAtOnce: those who ask while samples are being added
// never see fewer than were there when they asked, and at the end all.
func TestDriftWhileSamplesComeInAtOnce(t *testing.T) {
	_, r := open(t)
	spec := houseSpec(t, r)
	lots := make([]record.Lot, 4)
	for i := range lots {
		lots[i] = agedLot(t, r, spec, fmt.Sprintf("L-%*d", i+1, i), 0)
	}
	const each = 12
	var adding, asking sync.WaitGroup
	done := make(chan struct{})
	for _, lot := range lots {
		adding.Go(func() {
			for k := range each {
				readOn(t, r, lot, float64(10+20*k))
			}
		})
	}
	for range 3 {
		asking.Go(func() {
			for seen := 0; ; {
				there, err := r.store.SampleCount(context.Background())
				if err != nil {
					t.Error(err)
				}
				d := r.drifted(t)
				if d.Samples < there || d.Samples < seen {
					t.Errorf("%d samples, where %d were there and %d seen", d.Samples, there, seen)
				}
				seen = d.Samples
				select {
				case <-done:
					return
				default:
				}
			}
		})
	}
	adding.Wait()
	close(done)
	asking.Wait()
	if d := r.drifted(t); d.Samples != len(lots)*(each+1) || !d.Classes[0].Known || d.Classes[0].Observations != len(lots)*(each+1) {
		t.Errorf("at the end: %+v", d)
	}
}

// TestRunSamplesCountInEachStorage: what was read while bottling was not stored
// yet, so bottles of a lot that are kept in two ways both begin with it; samples of
// one day are one reading.
func TestRunSamplesCountInEachStorage(t *testing.T) {
	_, r := open(t)
	spec := houseSpec(t, r)
	for i := range 2 {
		lot := agedLot(t, r, spec, fmt.Sprintf("L-%*d", i+1, i))
		for _, stage := range []record.Stage{record.Beginning, record.Middle, record.End} {
			body := record.SampleBody{Measurement: readings(0.142, 0.118, 0.021), Circumstances: record.Circumstances{TakenAt: lot.BottledAt}, Stage: stage}
			if _, err := r.AddSample(t.Context(), lot.ID, body); err != nil {
				t.Fatal(err)
			}
		}
		for _, d := range []float64{30, 60, 90} {
			at := record.At(lot.BottledAt.Add(time.Duration(d * 24 * float64(time.Hour))))
			for storage, a520 := range map[string]float64{"": 0.118 * math.Exp(-d/1000), "  20 °c": 0.118 * math.Exp(-d/400)} {
				body := record.SampleBody{Measurement: readings(0.142, a520, 0.021), Circumstances: record.Circumstances{TakenAt: &at}, Stage: record.Retained, Storage: storage}
				if _, err := r.AddSample(t.Context(), lot.ID, body); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	d := r.drifted(t)
	if len(d.Classes) != 2 {
		t.Fatalf("%+v", d.Classes)
	}
	for i, want := range []struct {
		storage string
		rate    float64
	}{{"12 °C", -1. / 1000}, {"20 °c", -1. / 400}} {
		c := d.Classes[i]
		if c.Storage != want.storage || c.Observations != 8 || !c.Known {
			t.Fatalf("class %d: %+v", i, c)
		}
		if in := c.Learned.Bands[1].RateIn95; !(in[0] <= want.rate && want.rate <= in[1]) && math.Abs(c.Learned.Bands[1].Rate/want.rate-1) > 0.1 {
			t.Errorf("%s: rate %g in %v, want %g", want.storage, c.Learned.Bands[1].Rate, in, want.rate)
		}
	}
}

// TestForecastBeginsWithWhatWasSeen: a lot that was read at further wavelengths too is
// forecast from the colour that its verdict has, not from what three readings suggest.
func TestForecastBeginsWithWhatWasSeen(t *testing.T) {
	_, r := open(t)
	further := func(a460, a570 float64) record.Measurement {
		m := readings(0.142, 0.118, 0.021)
		m.Readings.Extra = []calc.Reading{{NM: 460, Absorbance: a460}, {NM: 570, Absorbance: a570}}
		return m
	}
	wine := further(0.098, 0.083).Wine("as it was")
	spec, err := r.AddSpec(t.Context(), record.SpecBody{Product: "House rosé", Spec: calc.Spec{Target: &calc.Target{Wine: &wine}, Tolerance: &calc.SpecTolerance{DeltaE00: 1}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"L-1", "L-22", "L-333"} {
		agedLot(t, r, spec.ID, name, 0, 30, 60, 120)
	}
	bare := agedLot(t, r, spec.ID, "three readings", 0)
	lot := agedLot(t, r, spec.ID, "five readings")
	at := record.At(lot.BottledAt.Time)
	sample, err := r.AddSample(t.Context(), lot.ID, record.SampleBody{Measurement: further(0.098, 0.083), Circumstances: record.Circumstances{TakenAt: &at}})
	if err != nil || sample.Verdict != "pass" {
		t.Fatalf("%s, %v", sample.Verdict, err)
	}
	three, err := r.LotDrift(t.Context(), bare.ID, at)
	if err != nil || len(three.OutsideThen) != 1 {
		t.Fatalf("three readings do not put it outside, so that this shows nothing: %+v, %v", three.OutsideThen, err)
	}
	if five, err := r.LotDrift(t.Context(), lot.ID, at); err != nil || len(five.OutsideThen) != 0 {
		t.Errorf("outside then %v though the sample passed, %v", five.OutsideThen, err)
	}
}

// BenchmarkDrift asks about the lots of a store, as it is asked after each sample
// and between two.
func BenchmarkDrift(b *testing.B) {
	_, r := open(b)
	spec := houseSpec(b, r)
	for i := range 100 {
		agedLot(b, r, spec, fmt.Sprintf("L-%*d", i%7, i), 0, 30, 60, 120, 240)
	}
	for name, forget := range map[string]bool{"anew": true, "remembered": false} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if forget {
					r.drift.lots = nil
				}
				if d := r.drifted(b); d.Samples != 500 {
					b.Fatal(d.Samples)
				}
			}
		})
	}
}

// TestLotsThatLeave: lots that are likelier to stay are counted apart, with the largest
// probability of leaving among them.
func TestLotsThatLeave(t *testing.T) {
	t.Parallel()
	day := "2026-11-01"
	out := LotDrift{OutsideThen: []string{"tint"}}
	late := LotDrift{Expected: &day, Earliest: &day, Warnings: []calc.Warning{{Code: expectedToHaveLeft}}}
	stays, hardly := LotDrift{Earliest: &day, Leaves: 0.4}, LotDrift{Leaves: 0.01}
	list, staying, most := DriftLots{Items: []LotDrift{out, late, stays, hardly}}.Leaving()
	if len(list) != 2 || staying != 2 || most != 0.4 || list[0].ExpectedPast() || !list[1].ExpectedPast() {
		t.Errorf("%d leave and %d stay, with %g at most: %+v", len(list), staying, most, list)
	}
}
