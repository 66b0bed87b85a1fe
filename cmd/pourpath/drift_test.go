package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
	"pourpath/api/store"
)

// agedCellar is a folder of records with lots whose A520 falls by a third with a
// half-life of 100 days, and the identifier of their specification.
func agedCellar(t *testing.T) (dir, spec string) {
	t.Helper()
	dir = t.TempDir()
	s, err := store.Open(t.Context(), store.Config{Dir: dir})
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}()
	r := release.New(s, bench.New(s), version)
	wine := calc.Wine{Readings: &calc.Readings{A420: 0.142, A520: 0.118, A620: 0.021}}
	house, err := r.AddSpec(t.Context(), record.SpecBody{Product: "House rosé", Spec: calc.Spec{Name: "House", Target: &calc.Target{Wine: &wine}, Tolerance: &calc.SpecTolerance{DeltaE00: 1.5}}})
	if err != nil {
		t.Fatal(err)
	}
	read := func(a420, a520, a620, mm float64) record.TrialWine {
		return record.TrialWine{Measurement: record.Measurement{Readings: &calc.Readings{A420: a420, A520: a520, A620: a620, PathMM: &mm}}}
	}
	trial := record.TrialBody{Glasses: []string{"A"}}
	trial.Name, trial.BaseML, trial.Target = "Spring rosé", 100, &calc.Target{Wine: &wine}
	trial.Base, trial.Addition = read(0.085, 0.021, 0.008, 10), read(0.231, 0.398, 0.067, 1)
	if _, err := bench.New(s).Begin(t.Context(), trial); err != nil {
		t.Fatal(err)
	}
	bottled := record.At(time.Date(2025, 3, 1, 9, 0, 0, 0, time.UTC))
	for i := range 6 {
		days := []float64{0, 30, 60, 120, 240}
		if i == 5 {
			days = days[:2]
		}
		lot, err := r.AddLot(t.Context(), record.LotBody{Name: fmt.Sprintf("L-%d", i), Spec: house.ID, Storage: "12 °C", BottledAt: &bottled})
		if err != nil {
			t.Fatal(err)
		}
		for k, d := range days {
			left := math.Exp2(-d/100) + 0.004*math.Sin(float64(7*i+3*k))
			at := record.At(bottled.Add(time.Duration(d*24) * time.Hour))
			body := record.SampleBody{Circumstances: record.Circumstances{TakenAt: &at}, Measurement: record.Measurement{Readings: &calc.Readings{A420: 0.142 + 0.01*(1-left), A520: 0.118 * (2 + left) / 3, A620: 0.021 * (4 + left) / 5}}}
			if _, err := r.AddSample(t.Context(), lot.ID, body); err != nil {
				t.Fatal(err)
			}
		}
	}
	return dir, house.ID
}

func TestDriftCommands(t *testing.T) {
	t.Parallel()
	dir, spec := agedCellar(t)
	picture := filepath.Join(dir, "drift.png")
	for _, tt := range []struct {
		in     string
		args   []string
		wanted []string
	}{
		{"", []string{"--product", "house rosé", "--plot", picture}, []string{"House rosé: 6 lots, 27 samples", "Storage: 12 °C", "6 lots with 27 readings, days 0 to 240", "A520", "settles, half-life", "A lot at the median level"}},
		{"", []string{"aim", "--release-days", "120", "--spec", spec}, []string{"To be at the target 120 days after bottling", "Aim at bottling: L*", "redder", "days_from_bottling"}},
		{"", []string{"aim", "--release-days", "120", "--trial", "spring rosé"}, []string{"Pour ", "mL per 100 mL of base = "}},
		{"", []string{"aim", "--release-days", "120", "--spec", "house"}, []string{"Aim at bottling: L*"}},
		{exampleDriftAim, []string{"aim"}, []string{"mL per 100 mL of base = ", "on what would be nearest today", "95 % interval of the dose"}},
		{"", []string{"lot", "l-5"}, []string{"Expected to leave its specification on 2025-", "first by ΔE00", "expected_to_have_left", "limits looked at: ΔE00"}},
		{"", []string{"lots"}, []string{"L-5", "expected", "97.5 %"}},
	} {
		got := pourpath(tt.in, append(append([]string{"drift"}, tt.args...), "--data", dir)...)
		if got.exit != 0 || got.err != "" {
			t.Errorf("%v: exit %d, %s", tt.args, got.exit, got.err)
		}
		for _, w := range tt.wanted {
			if !strings.Contains(got.out, w) {
				t.Errorf("%v does not say %q; it says:\n%s", tt.args, w, got.out)
			}
		}
		if again := pourpath(tt.in, append(append([]string{"drift"}, tt.args...), "--data", dir, "--json")...); !json.Valid([]byte(again.out)) {
			t.Errorf("%v --json is no JSON: %s", tt.args, again.out)
		}
	}
	if data, err := os.ReadFile(picture); err != nil || !strings.HasPrefix(string(data), "\x89PNG") {
		t.Errorf("the picture: %v, %.8q", err, data)
	}
}

// TestDriftApart: the sign is of aim less target, and the word goes with it.
func TestDriftApart(t *testing.T) {
	t.Parallel()
	for x, want := range map[float64]string{0.42: "+0.4 (paler)", -0.42: "-0.4 (darker)", 0.04: "0.0 (as dark)", -0.04: "0.0 (as dark)"} {
		if got := apart(x, 1, "paler", "darker", "as dark"); got != want {
			t.Errorf("%g is %q, want %q", x, got, want)
		}
	}
	dir, spec := agedCellar(t)
	ask := []string{"drift", "aim", "--release-days", "120", "--spec", spec, "--data", dir}
	var aim release.DriftAim
	if err := json.Unmarshal([]byte(pourpath("", append(ask, "--json")...).out), &aim); err != nil || aim.Today == nil {
		t.Fatalf("no aim: %v", err)
	}
	// The colour fades, so the aim is darker: its L* is below the target's.
	dL := aim.Today.Colour.CIELAB.L - aim.Target.CIELAB.L
	if want := fmt.Sprintf("ΔL* %+.1f (darker)", dL); dL > -0.05 || !strings.Contains(pourpath("", ask...).out, want) {
		t.Errorf("does not say %q", want)
	}
}

func TestDriftCommandsRefuse(t *testing.T) {
	t.Parallel()
	dir, _ := agedCellar(t)
	for wanted, args := range map[string][]string{
		"no lot of this product":     {"--product", "Other"},
		"must end in .svg":           {"--plot", "drift.gif"},
		"there is no lot \"L-9\"":    {"lot", "L-9"},
		"takes one lot":              {"lot"},
		"what is the lot to be":      {"aim", "--release-days", "20"},
		"there is no spec \"none\"":  {"aim", "--release-days", "20", "--spec", "none"},
		"there is no trial \"none\"": {"aim", "--release-days", "20", "--trial", "none"},
	} {
		if got := pourpath("", append(append([]string{"drift"}, args...), "--data", dir)...); got.exit != exitBadInput || !strings.Contains(got.err, wanted) {
			t.Errorf("%v: exit %d, %q, want %q", args, got.exit, got.err, wanted)
		}
	}
	if got := pourpath("", "drift", "--data", filepath.Join(dir, "nowhere")); got.exit != exitBadInput || !strings.Contains(got.err, "there are no records") {
		t.Errorf("no records: exit %d, %q", got.exit, got.err)
	}
}
