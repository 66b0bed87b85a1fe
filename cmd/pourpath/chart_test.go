package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/release"
)

// withLots is a data folder with lots of the product House.
func withLots(t *testing.T, n int) string {
	t.Helper()
	s := &session{records: storeFlags{data: t.TempDir()}}
	c := &cobra.Command{}
	c.SetContext(t.Context())
	err := s.atRelease(c, func(r *release.Release) error {
		_, err := r.AddSpec(t.Context(), record.SpecBody{Product: "House", Spec: calc.Spec{Name: "House", Limits: &calc.Limits{L: &[2]float64{85, 97}}}})
		if err != nil {
			return err
		}
		for i := range n {
			day := record.At(time.Date(2025, 1, 1+i, 0, 0, 0, 0, time.UTC))
			lot, err := r.AddLot(t.Context(), record.LotBody{Name: fmt.Sprintf("L-%d", i+1), Product: "House", BottledAt: &day})
			if err != nil {
				return err
			}
			_, err = r.AddSample(t.Context(), lot.ID, record.SampleBody{Measurement: record.Measurement{
				Readings: &calc.Readings{A420: 0.142 + 0.001*float64(i*7%5), A520: 0.118 + 0.0007*float64(i*3%4), A620: 0.021},
			}})
			if err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return s.records.data
}

// TestChartCommand: a table for people, JSON for programs, and a picture.
func TestChartCommand(t *testing.T) {
	data := withLots(t, 30)
	picture := filepath.Join(t.TempDir(), "l.svg")
	got := pourpath("", "chart", "--data", data, "--product", "House", "--rules", "none", "--plot", picture)
	for _, want := range []string{"L* of House: 30 lots", "Action limits", "Cpk ", "95 % interval", "No signal.", "20 of 30 lots:", "L-30", "2025-01-30", "zone"} {
		if got.exit != 0 || !strings.Contains(got.out, want) {
			t.Errorf("exit %d, no %q in:\n%s%s", got.exit, want, got.out, got.err)
		}
	}
	if svg, err := os.ReadFile(picture); err != nil || !strings.Contains(string(svg), "L* of House") && !strings.Contains(string(svg), "House") {
		t.Errorf("the picture: %v, %.100s", err, svg)
	}
	got = pourpath("", "chart", "--data", data, "--product", "House", "--kind", "ewma", "--quantity", "tint", "--lambda", "0.3", "--points", "4", "--json")
	var chart release.Chart
	if err := json.Unmarshal([]byte(got.out), &chart); err != nil || chart.Kind != "ewma" || chart.Lambda != 0.3 || len(chart.Points) != 4 || chart.Lots != 30 {
		t.Errorf("%v, %+v, %s", err, chart, got.err)
	}
	for _, kind := range []string{"t2", "plane", "run", "ewma"} {
		if got := pourpath("", "chart", "--data", data, "--product", "House", "--kind", kind); got.exit != 0 || !strings.Contains(got.out, "L-30") {
			t.Errorf("%s: exit %d, %s%s", kind, got.exit, got.out, got.err)
		}
	}
}

// TestChartCommandRefused: each fault names its flag, and leaves no picture.
func TestChartCommandRefused(t *testing.T) {
	data := withLots(t, 3)
	picture := filepath.Join(t.TempDir(), "l.png")
	for says, args := range map[string][]string{
		"--product: lots of what":                       {},
		"there are 3 that count, and it needs 10":       {"--product", "House", "--plot", picture},
		"--from \"soon\": want a date":                  {"--product", "House", "--from", "soon"},
		"the name must end in .svg":                     {"--product", "House", "--plot", "l.bmp"},
		"--rules: want one of western_electric, nelson": {"--product", "House", "--rules", "mine"},
		"there are no records in /nowhere/at/all":       {"--product", "House", "--data", "/nowhere/at/all"},
		"--points: want 0 to 2000":                      {"--product", "House", "--points", "3000"},
		"\"House\" is not a flag":                       {"House"},
	} {
		got := pourpath("", append([]string{"chart", "--data", data}, args...)...)
		if got.exit != exitBadInput || !strings.Contains(got.err, says) {
			t.Errorf("%v: exit %d, %s, want %q", args, got.exit, got.err, says)
		}
	}
	if _, err := os.Stat(picture); err == nil {
		t.Error("there is a picture of a chart that cannot be made")
	}
}
