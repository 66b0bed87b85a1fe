package calc

import (
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"
)

func mustDecode[T Request](t *testing.T, text string) T {
	t.Helper()
	r, err := Decode[T]([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The example pours the 6 L that were held back: its target is the glass of 6 mL
// per 100 mL, and its samples are that glass, a tenth of the dose short.
func TestTrimExample(t *testing.T) {
	a, err := Trim(mustDecode[TrimRequest](t, ExampleTrim))
	if err != nil {
		t.Fatal(err)
	}
	if !a.Mixing.Mixed || a.Trim == nil || a.Trim.AdditionInterval95 == nil || a.NominalDose != 5.4 {
		t.Fatalf("%+v", a)
	}
	i := a.Trim.AdditionInterval95
	if !(i[0] < 6 && 6 < i[1] && math.Abs(a.Trim.AdditionL-6) < 3) || a.Trim.Passed || a.Trim.BaseL != nil {
		t.Errorf("trim %g L, interval %v, want about 6", a.Trim.AdditionL, *i)
	}
	if !(*a.Result.DeltaE00 < *a.Difference.DeltaE00) || math.Abs(a.Trim.ResultL-1054-a.Trim.AdditionL) > 1e-9 {
		t.Errorf("from ΔE00 %g to %g, %g L", *a.Difference.DeltaE00, *a.Result.DeltaE00, a.Trim.ResultL)
	}
	t.Logf("trim %.2f L, %.2f to %.2f; dose %.3f ± %.3f; ΔE00 %.2f, then %.2f; warnings %v", a.Trim.AdditionL, i[0], i[1], a.Dose, a.UDose, *a.Difference.DeltaE00, *a.Result.DeltaE00, a.Warnings)
}

func TestTrimProblems(t *testing.T) {
	for _, row := range []struct{ name, from, to, location, says string }{
		{"no room", `"room_l": 60`, `"room_l": 1`, "/tank/room_l", "room for 1 L"},
		{"no base in the tank", `"base_l": 1000`, `"base_l": 0`, "/tank/base_l", "> 0"},
		{"exchanged", `"base_l": 1000, "u_base_l": 6, "poured_l": 54`, `"base_l": 54, "poured_l": 1000`, "/tank/poured_l", "exchanged"},
		{"rung of 0", `"dose_ml": 6`, `"dose_ml": 0`, "/measured/0/dose_ml", "> 0"},
		{"rung beyond reason", `"dose_ml": 6`, `"dose_ml": 6000`, "/measured/0/dose_ml", "at most 1000"},
		{"glass of 0", `"measured"`, `"base_ml": 0, "measured"`, "/base_ml", "> 0"},
		{"no top", `"top"`, `"tpo"`, "/top", "missing"},
		{"bottom saturated", `"a420": 0.186`, `"a420": 9`, "/bottom/readings/a420", "saturated"},
		{"no target", `"target"`, `"aim"`, "/target", "missing"},
		{"two inputs", `"bottom": {`, `"bottom": {"id": "x", `, "/bottom", "stand together"},
	} {
		text := strings.Replace(ExampleTrim, row.from, row.to, 1)
		r, err := Decode[TrimRequest]([]byte(text))
		if err == nil {
			_, err = Trim(r)
		}
		p := AsProblem(err)
		if p == nil {
			t.Errorf("%s: no problem, error %v", row.name, err)
			continue
		}
		found := false
		for _, f := range p.Errors {
			found = found || f.Location == row.location && strings.Contains(f.Message, row.says)
		}
		if !found {
			t.Errorf("%s: no %q at %s in %+v", row.name, row.says, row.location, p.Errors)
		}
	}
	if _, err := Trim(TrimRequest{}); AsProblem(err) == nil {
		t.Errorf("an empty request made in Go: %v", err)
	}
}

func TestTrimNotMixed(t *testing.T) {
	a, err := Trim(mustDecode[TrimRequest](t, strings.Replace(ExampleTrim, `"a420": 0.186, "a520": 0.199, "a620": 0.040`, `"a420": 0.207, "a520": 0.237, "a620": 0.046`, 1)))
	if err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(a)
	if err != nil {
		t.Fatal(err)
	}
	if a.Mixing.Mixed || a.Trim != nil || !strings.Contains(string(data), `"trim":null`) || !strings.Contains(string(data), "not_mixed") {
		t.Errorf("%s", data)
	}
}

// TestTrimOfStoredWines: a sample and a rung may be stored wines, and the answer
// names their readings.
func TestTrimOfStoredWines(t *testing.T) {
	whole := mustDecode[TrimRequest](t, ExampleTrim)
	text := strings.Replace(ExampleTrim, `"top": {"readings": {"a420": 0.185, "a520": 0.198, "a620": 0.040, "path_mm": 10,
    "extra": [{"nm": 460, "absorbance": 0.149}, {"nm": 560, "absorbance": 0.132}]}}`, `"top": {"id": "t1"}`, 1)
	shelf := oneWine{id: "t1", wine: whole.Top}
	_, a, err := Answer(context.Background(), []byte(text), shelf, Trim)
	if err != nil {
		t.Fatal(err)
	}
	want, err := Trim(whole)
	if err != nil {
		t.Fatal(err)
	}
	if a.Trim == nil || a.Trim.AdditionL != want.Trim.AdditionL || len(a.ReadingsUsed) != 1 || a.ReadingsUsed[0].Location != "/top" {
		t.Errorf("stored top: %+v, readings used %v; want %+v", a.Trim, a.ReadingsUsed, want.Trim)
	}
	if _, _, err := Answer(context.Background(), []byte(text), oneWine{}, Trim); AsProblem(err) == nil || AsProblem(err).Errors[0].Location != "/top/id" {
		t.Errorf("an unknown sample: %v", err)
	}
}

// oneWine is a cellar that holds one wine.
type oneWine struct {
	id   string
	wine Wine
}

func (c oneWine) StoredWine(_ context.Context, id string) (StoredWine, error) {
	if id != c.id {
		return StoredWine{}, ErrNotStored
	}
	return StoredWine{Wine: c.wine, ReadingIDs: []string{"r1"}}, nil
}

func (oneWine) StoredTarget(context.Context, string) (StoredTarget, error) {
	return StoredTarget{}, ErrNotStored
}

func FuzzTrim(f *testing.F) {
	f.Add([]byte(ExampleTrim))
	f.Add([]byte(strings.NewReplacer(`"base_l": 1000, "u_base_l": 6, "poured_l": 54`, `"base_l": 1e-9, "u_base_l": 0, "poured_l": 1e-11`, `"a520": 0.198`, `"a520": -0.01`).Replace(ExampleTrim)))
	f.Fuzz(func(t *testing.T, data []byte) { answerOrProblem(t, data, Trim) })
}
