package record

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"pourpath/api/calc"
	"pourpath/colour/colourtest"
)

func instant(t testing.TB, text string) *Instant {
	t.Helper()
	i, err := ParseInstant(text)
	if err != nil {
		t.Fatal(err)
	}
	return &i
}

func pointer[T any](x T) *T { return &x }

func three(a420, a520, a620 float64) Measurement {
	return Measurement{Readings: &calc.Readings{A420: a420, A520: a520, A620: a620}}
}

// made makes a reading that was recorded that many minutes after noon.
func made(t testing.TB, id string, minutes int, change ...func(*Reading)) Reading {
	t.Helper()
	r := Reading{ID: id, Measurement: three(0.14, 0.02, 0.005), RecordedAt: At(time.Date(2026, 11, 25, 12, minutes, 0, 0, time.UTC))}
	for _, f := range change {
		f(&r)
	}
	return r
}

func idsOf(set []Reading) (out []string) {
	for _, r := range set {
		out = append(out, r.ID)
	}
	return out
}

func TestCurrent(t *testing.T) {
	number := func(n int) func(*Reading) { return func(r *Reading) { r.Replicate = &n } }
	taken := func(text string) func(*Reading) { return func(r *Reading) { r.TakenAt = instant(t, text) } }
	archived := func(r *Reading) { r.ArchivedAt = instant(t, "2026-11-26") }
	for _, row := range []struct {
		name     string
		readings []Reading
		want     []string
	}{
		{"none", nil, nil},
		{"newest recorded", []Reading{made(t, "a", 1), made(t, "c", 3), made(t, "b", 2)}, []string{"c"}},
		{"newest taken, though recorded before", []Reading{made(t, "a", 1, taken("2026-11-24")), made(t, "b", 2, taken("2026-11-20"))}, []string{"a"}},
		{"taken at once: recorded later", []Reading{made(t, "b", 1, taken("2026-11-24")), made(t, "a", 2, taken("2026-11-24"))}, []string{"a"}},
		{"all at once: by identifier", []Reading{made(t, "a", 1), made(t, "b", 1)}, []string{"b"}},
		{"archived", []Reading{made(t, "a", 1), made(t, "b", 2, archived)}, []string{"a"}},
		{"all archived", []Reading{made(t, "b", 2, archived)}, nil},
		{"superseded, so marked", []Reading{made(t, "a", 1), made(t, "b", 2, func(r *Reading) { r.SupersededBy = "x" })}, []string{"a"}},
		{"superseded by an older time", []Reading{
			made(t, "a", 1, taken("2026-11-24")), made(t, "b", 2, taken("2026-11-23"), func(r *Reading) { r.Supersedes = "a" }),
		}, []string{"b"}},
		{"superseded by what is archived", []Reading{
			made(t, "a", 1), made(t, "b", 2, archived, func(r *Reading) { r.Supersedes = "a" }), made(t, "c", 0),
		}, []string{"c"}},
		{"replicates of a day", []Reading{made(t, "a", 1, number(1)), made(t, "b", 2, number(2)), made(t, "c", 3, number(3))}, []string{"c", "b", "a"}},
		{"the newest has no number", []Reading{made(t, "a", 1, number(1)), made(t, "b", 2, number(2)), made(t, "c", 3)}, []string{"c"}},
		{"others have no number", []Reading{made(t, "a", 1), made(t, "b", 2, number(2))}, []string{"b"}},
		{"one number twice", []Reading{made(t, "a", 1, number(1)), made(t, "b", 2, number(1)), made(t, "c", 3, number(2))}, []string{"c", "b"}},
		{"one replicate corrected", []Reading{
			made(t, "a", 1, number(1)), made(t, "b", 2, number(2)), made(t, "c", 3, number(1), func(r *Reading) { r.Supersedes = "a" }),
		}, []string{"c", "b"}},
		{"one replicate archived", []Reading{made(t, "a", 1, number(1)), made(t, "b", 2, number(2), archived), made(t, "c", 3, number(3))}, []string{"c", "a"}},
		{"another day", []Reading{made(t, "a", -24*60, number(1)), made(t, "b", 2, number(2))}, []string{"b"}},
		{"same time taken, other day recorded", []Reading{
			made(t, "a", -24*60, number(1), taken("2026-11-24T08:00:00Z")), made(t, "b", 2, number(2), taken("2026-11-24T09:00:00+01:00")),
		}, []string{"b", "a"}},
		{"other time taken", []Reading{
			made(t, "a", 1, number(1), taken("2026-11-24T08:00:00Z")), made(t, "b", 2, number(2), taken("2026-11-24T08:00:01Z")),
		}, []string{"b"}},
		{"time told of one", []Reading{made(t, "a", 1, number(1)), made(t, "b", 2, number(2), taken("2026-11-25T12:30:00Z"))}, []string{"b"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			random := rand.New(rand.NewPCG(1, 2))
			for range 5 { // the order they come in does not matter
				set, ok := Current(row.readings)
				if ok != (row.want != nil) || !slices.Equal(idsOf(set), row.want) {
					t.Fatalf("got %v %v, want %v", idsOf(set), ok, row.want)
				}
				random.Shuffle(len(row.readings), func(i, j int) {
					row.readings[i], row.readings[j] = row.readings[j], row.readings[i]
				})
			}
		})
	}
}

// TestReplicatesAreOfOneSample: whatever is told of how a reading came about must
// be the same; what need not be told may differ from it in form only.
func TestReplicatesAreOfOneSample(t *testing.T) {
	scan := func(absorbance, percent []float64, last float64) func(*Reading) {
		return func(r *Reading) {
			r.Measurement = Measurement{Spectrum: &calc.Spectrum{NM: []float64{400, last}, Absorbance: absorbance, TransmittancePercent: percent}}
		}
	}
	report := func(depth float64, i calc.Illuminant, o calc.Observer) func(*Reading) {
		return func(r *Reading) {
			r.Measurement = Measurement{CIELAB: &calc.CIELAB{PathMM: depth, Illuminant: i, Observer: o}}
		}
	}
	further := func(nm ...float64) func(*Reading) {
		return func(r *Reading) {
			for _, x := range nm {
				r.Readings.Extra = append(r.Readings.Extra, calc.Reading{NM: x})
			}
		}
	}
	nothing := func(*Reading) {}
	for _, row := range []struct {
		name string
		a, b func(*Reading)
		want bool
	}{
		{"alike", nothing, nothing, true},
		{"the usual cell, told and not", nothing, func(r *Reading) { r.Readings.PathMM, r.Readings.Dilution = pointer(10.), pointer(1.) }, true},
		{"path", nothing, func(r *Reading) { r.Readings.PathMM = pointer(1.) }, false},
		{"dilution", nothing, func(r *Reading) { r.Readings.Dilution = pointer(5.) }, false},
		{"diluent", nothing, func(r *Reading) { r.Diluent = "acid" }, false},
		{"blank", nothing, func(r *Reading) { r.Blank = "air" }, false},
		{"instrument", nothing, func(r *Reading) { r.Instrument = "bench 2" }, false},
		{"analyst", nothing, func(r *Reading) { r.Analyst = "B" }, false},
		{"temperature", nothing, func(r *Reading) { r.TemperatureC = pointer(20.) }, true},
		{"further ones in another order", further(460, 560), further(560, 460), true},
		{"further ones", further(460, 560), further(460), false},
		{"other further ones", further(460), further(470), false},
		{"kinds", nothing, report(10, "", ""), false},
		{"scans", scan([]float64{1, 2}, nil, 700), scan(nil, []float64{10, 1}, 700), true},
		{"scans over other wavelengths", scan([]float64{1, 2}, nil, 700), scan([]float64{1, 2}, nil, 710), false},
		{"reports", report(10, "", ""), report(10, "D65", "10"), true},
		{"reports for another light", report(10, "", ""), report(10, "A", ""), false},
		{"reports for another observer", report(10, "", ""), report(10, "", "2"), false},
		{"reports for another depth", report(10, "", ""), report(1, "", ""), false},
	} {
		t.Run(row.name, func(t *testing.T) {
			a := made(t, "a", 1, func(r *Reading) { r.Replicate = pointer(1) }, row.a)
			b := made(t, "b", 2, func(r *Reading) { r.Replicate = pointer(2) }, row.b)
			if set, _ := Current([]Reading{a, b}); (len(set) == 2) != row.want {
				t.Errorf("one sample: %v, want %v", len(set) == 2, row.want)
			}
		})
	}
}

func TestCombineSingle(t *testing.T) {
	var m Measurement
	if err := json.Unmarshal([]byte(`{"cielab":{"L":71.20,"a":31.5,"b":9.80,"path_mm":10}}`), &m); err != nil {
		t.Fatal(err)
	}
	stored, statistics, err := Combine("Tank 4", []Reading{{ID: "r1", Measurement: m}})
	if err != nil || statistics != nil {
		t.Fatal(statistics, err)
	}
	if stored.Wine.Name != "Tank 4" || stored.Wine.CIELAB != m.CIELAB || !slices.Equal(stored.ReadingIDs, []string{"r1"}) {
		t.Errorf("got %+v", stored)
	}
	text, err := json.Marshal(stored.Wine.CIELAB)
	if want := `{"L":71.20,"a":31.5,"b":9.80,"path_mm":10}`; err != nil || string(text) != want {
		t.Errorf("got %s %v, want %s", text, err, want)
	}
}

func TestCombineReadings(t *testing.T) {
	repeats := func(u *float64, a520 ...float64) (set []Reading) {
		for i, a := range a520 {
			m := three(0.4, a, 0.1)
			m.Readings.PathMM, m.Readings.UAbsorbance = pointer(1.), u
			m.Readings.Extra = []calc.Reading{{NM: 460, Absorbance: 0.3}, {NM: 560, Absorbance: 0.2}}
			if i%2 == 1 {
				slices.Reverse(m.Readings.Extra)
			}
			set = append(set, Reading{ID: fmt.Sprint("r", i+1), Measurement: m})
		}
		return set
	}
	for _, row := range []struct {
		name  string
		set   []Reading
		mean  float64
		u     float64
		level string
	}{
		// One of five wavelengths scatters, with variance 0.0001: pooled 0.0001/5.
		{"their scatter", repeats(nil, 0.59, 0.60, 0.61), 0.60, math.Sqrt(0.0001/5) / math.Sqrt(3), ""},
		{"what is usual", repeats(nil, 0.60, 0.60), 0.60, 0.002 / math.Sqrt2, ""},
		{"what is stated", repeats(pointer(0.01), 0.59, 0.60, 0.61), 0.60, 0.01 / math.Sqrt(3), ""},
		{"an outlier", repeats(nil, 0.600, 0.601, 0.600, 0.601, 0.700), 0.6204, math.Sqrt(0.0019803/5) / math.Sqrt(5), "outlier"},
	} {
		t.Run(row.name, func(t *testing.T) {
			stored, s, err := Combine("", row.set)
			if err != nil {
				t.Fatal(err)
			}
			r := stored.Wine.Readings
			if !colourtest.Near(r.A520, row.mean, 1e-12, 0) || !colourtest.Near(r.A420, 0.4, 1e-12, 0) || r.Extra[0].NM != 460 || !colourtest.Near(r.Extra[0].Absorbance, 0.3, 1e-12, 0) || !colourtest.Near(r.Extra[1].Absorbance, 0.2, 1e-12, 0) {
				t.Errorf("mean %+v", r)
			}
			if !colourtest.Near(*r.UAbsorbance, row.u, 1e-9, 0) || *r.PathMM != 1 {
				t.Errorf("u = %g in %g mm, want %g in 1 mm", *r.UAbsorbance, *r.PathMM, row.u)
			}
			if s.N != len(row.set) || s.DegreesOfFreedom != 5*(s.N-1) || len(s.Quantities) != 5 || s.Quantities[1].Quantity != "a520" || s.Quantities[4].Quantity != "560 nm" {
				t.Errorf("statistics %+v", s)
			}
			if row.level == "" {
				if len(s.Outliers) != 0 {
					t.Errorf("outliers %+v", s.Outliers)
				}
			} else if o := s.Outliers[0]; len(s.Outliers) != 1 || string(o.Level) != row.level || o.Quantity != "a520" || o.Reading != "r5" {
				t.Errorf("outliers %+v", s.Outliers)
			}
			if _, err := calc.Colour(calc.ColourRequest{Wine: stored.Wine}); err != nil {
				t.Errorf("the mean has no colour: %v", err)
			}
		})
	}
	set := repeats(nil, 0.59, 0.61)
	if _, _, err := Combine("", set); err != nil || set[0].Readings.A520 != 0.59 || set[0].Readings.UAbsorbance != nil || set[0].Readings.Extra[0].Absorbance != 0.3 {
		t.Errorf("the readings were changed: %+v %v", set[0].Readings, err)
	}
}

func TestCombineSpectra(t *testing.T) {
	var nm, absorbance, percent []float64
	for x := 380.0; x <= 780; x += 10 {
		nm = append(nm, x)
		absorbance = append(absorbance, 0.2)
		percent = append(percent, 100*math.Pow(10, -0.4))
	}
	set := []Reading{
		{ID: "t", Measurement: Measurement{Spectrum: &calc.Spectrum{NM: nm, TransmittancePercent: percent, PathMM: pointer(5.), UAbsorbance: pointer(0.003)}}},
		{ID: "a", Measurement: Measurement{Spectrum: &calc.Spectrum{NM: nm, Absorbance: absorbance, PathMM: pointer(5.)}}},
	}
	stored, s, err := Combine("", set)
	if err != nil {
		t.Fatal(err)
	}
	got := stored.Wine.Spectrum
	if got.TransmittancePercent != nil || *got.PathMM != 5 || *got.UAbsorbance != 0.003 || len(got.Absorbance) != len(nm) {
		t.Errorf("got %+v", got)
	}
	for i, a := range got.Absorbance {
		if !colourtest.Near(a, 0.3, 1e-12, 0) {
			t.Fatalf("absorbance %d = %g, want 0.3", i, a)
		}
	}
	if set[0].Spectrum.Absorbance != nil || set[1].Spectrum.Absorbance[0] != 0.2 {
		t.Error("the readings were changed")
	}
	if len(s.Quantities) != 3 || s.Quantities[2].Quantity != "a620" || !colourtest.Near(s.Quantities[2].Mean, 0.3, 1e-12, 0) || !colourtest.Near(*s.PooledSD, 0.2/math.Sqrt2, 1e-12, 0) || s.DegreesOfFreedom != 3 {
		t.Errorf("statistics %+v", s)
	}
	set[1].Spectrum = &calc.Spectrum{NM: nm, Absorbance: absorbance[1:], PathMM: pointer(5.)}
	if _, _, err := Combine("", set); err == nil {
		t.Error("a scan that lacks a value is averaged")
	}
}

func TestCombineColours(t *testing.T) {
	var set []Reading
	for i, text := range []string{`{"L":71.2,"a":31.50,"b":9.8,"path_mm":10}`, `{"L":71.3,"a":31.52,"b":9.8,"path_mm":10}`, `{"L":71.2,"a":31.51,"b":9.9,"path_mm":10}`} {
		var c calc.CIELAB
		if err := json.Unmarshal([]byte(text), &c); err != nil {
			t.Fatal(err)
		}
		set = append(set, Reading{ID: fmt.Sprint(i), Measurement: Measurement{CIELAB: &c}})
	}
	stored, s, err := Combine("", set)
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(stored.Wine.CIELAB)
	if want := `{"L":71.23,"a":31.510,"b":9.83,"path_mm":10}`; err != nil || string(text) != want {
		t.Errorf("got %s %v, want %s", text, err, want)
	}
	if s.N != 3 || s.PooledSD != nil || len(s.Quantities) != 3 || s.Quantities[0].Quantity != "L" || !colourtest.Near(s.Quantities[1].SD, 0.01, 1e-12, 0) {
		t.Errorf("statistics %+v", s)
	}
}

func TestCombineRefuses(t *testing.T) {
	if _, _, err := Combine("", nil); !errors.Is(err, calc.ErrNoReading) {
		t.Errorf("nothing: %v", err)
	}
	one, other := three(0.1, 0.2, 0.05), three(0.1, 0.2, 0.05)
	other.Readings.PathMM = pointer(1.)
	for name, m := range map[string]Measurement{"another cell": other, "nothing": {}, "two kinds": {Readings: one.Readings, CIELAB: &calc.CIELAB{}}} {
		if _, _, err := Combine("", []Reading{{ID: "a", Measurement: one}, {ID: "b", Measurement: m}}); !errors.Is(err, errNotReplicates) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func ExampleCombine() {
	var set []Reading
	for i, a520 := range []float64{0.510, 0.511, 0.511, 0.519} {
		set = append(set, Reading{ID: fmt.Sprint("r", i+1), Measurement: Measurement{Readings: &calc.Readings{A420: 0.4, A520: a520, A620: 0.1}}})
	}
	wine, statistics, err := Combine("Tank 4", set)
	if err != nil {
		panic(err)
	}
	fmt.Printf("A520 %.4f from %v\n", wine.Wine.Readings.A520, wine.ReadingIDs)
	for _, o := range statistics.Outliers {
		fmt.Printf("%s %s: %s, G = %.3f above %.3f\n", o.Reading, o.Quantity, o.Level, o.G, o.Critical)
	}
	// Output:
	// A520 0.5128 from [r1 r2 r3 r4]
	// r4 a520: straggler, G = 1.490 above 1.481
}
