package calc

import (
	"encoding/json"
	"testing"
)

// answerOrProblem holds a calculation to its promise: whatever the bytes, there
// is an answer that can be written as JSON or a Problem, and never a panic.
func answerOrProblem[Req Request, Res any](t *testing.T, data []byte, f func(Req) (Res, error)) {
	t.Helper()
	request, err := Decode[Req](data)
	var answer Res
	if err == nil {
		answer, err = f(request)
	}
	if err == nil {
		if _, err := json.Marshal(answer); err != nil {
			t.Errorf("the answer to %s cannot be written: %v", data, err)
		}
		return
	}
	p := AsProblem(err)
	if p == nil {
		t.Fatalf("%s gave an error that is no Problem: %v", data, err)
	}
	if _, err := json.Marshal(p); err != nil {
		t.Errorf("the problem of %s cannot be written: %v", data, err)
	}
	if p.Status < 400 || p.Status > 499 || p.Detail == "" {
		t.Errorf("%s gave %+v", data, p)
	}
}

func FuzzColour(f *testing.F) {
	f.Add([]byte(ExampleColour))
	f.Add([]byte(`{"wine":{"cielab":{"L":84.6,"a":12.85,"b":8.71,"path_mm":10,"illuminant":"A","observer":"2"}},"view":{"path_mm":55}}`))
	f.Add([]byte(`{"wine":{"spectrum":{"nm":[400,700],"transmittance_percent":[50,90],"path_mm":2,"dilution":5}}}`))
	f.Add([]byte(`{"wine":{"readings":{"a420":1e308,"a520":-0,"a620":1e-320,"path_mm":1e-300,"extra":[{"nm":460,"absorbance":0.1}]}}}`))
	f.Add([]byte(`{"wine":{"wine":[[[{"":{"":null}}]]],"wine":"\ud800"}}`))
	f.Fuzz(func(t *testing.T, data []byte) { answerOrProblem(t, data, Colour) })
}

func FuzzBlend(f *testing.F) {
	f.Add([]byte(ExampleBlend))
	f.Add([]byte(`{"wines":[{"cielab":{"L":95,"a":-1,"b":8,"path_mm":10}},{"cielab":{"L":60,"a":40,"b":10,"path_mm":1}}],"fractions":[1,0],"target":{"intensity":1,"tint":1e-300}}`))
	f.Fuzz(func(t *testing.T, data []byte) { answerOrProblem(t, data, Blend) })
}

func FuzzLadder(f *testing.F) {
	f.Add([]byte(ExampleLadder))
	f.Add([]byte(`{"base":{"readings":{"a420":0.1,"a520":0.03,"a620":0.01}},"addition":{"readings":{"a420":2,"a520":3,"a620":0.5}},"base_ml":1e-9,"plan":{"to_ml":1e-9,"visible_step":0.01,"graduation_ml":1e-12},"target":{"wine":{"readings":{"a420":0.1,"a520":0.03,"a620":0.01}}}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		answerOrProblem(t, data, Ladder)
	})
}

func FuzzMatch(f *testing.F) {
	f.Add([]byte(ExampleMatch))
	f.Fuzz(func(t *testing.T, data []byte) { answerOrProblem(t, data, Match) })
}

func FuzzScale(f *testing.F) {
	f.Add([]byte(ExampleScale))
	f.Add([]byte(`{"dose_ml_per_100ml":1e-320,"bottles":{"count":999999999,"ml":1e300},"loss_percent":99.99999999999999}`))
	f.Fuzz(func(t *testing.T, data []byte) { answerOrProblem(t, data, Scale) })
}

func FuzzCheck(f *testing.F) {
	f.Add([]byte(ExampleCheck))
	f.Add([]byte(`{"spec":{"limits":{"h":[350,20],"tint":[0,1e308]},"rule":"guarded"},"wine":{"readings":{"a420":0.1,"a520":0,"a620":0.01}}}`))
	f.Add([]byte(`{"spec":{"approved_lots":` + eightLots + `,"ellipsoid":{"confidence":0.99},"warning":{"ellipsoid":{"confidence":0.9}},"tolerance":{"delta_e_ab":3}},"wine":` + lotAsRead + `}`))
	f.Fuzz(func(t *testing.T, data []byte) { answerOrProblem(t, data, Check) })
}

func FuzzFeasibility(f *testing.F) {
	f.Add([]byte(ExampleFeasibility))
	f.Add([]byte(`{"spec":{"limits":{"intensity":[0.2,0.4],"blue_percent":[5,9]},"rule":"guarded","reading_method":{"source":"cielab","decimals":0}}}`))
	f.Fuzz(func(t *testing.T, data []byte) { answerOrProblem(t, data, Feasibility) })
}

// FuzzNumbers asks every calculation with the same few numbers, which bytes
// alone would hardly ever hit upon.
func FuzzNumbers(f *testing.F) {
	f.Add(0.085, 0.021, 0.008, 10.0, 1.0, 84.6, 12.85, 8.71, 5.0, 1.5)
	f.Add(0.0, 0.0, 0.0, 1e-9, 1000.0, 100.0, 0.0, 0.0, 0.0, 100.0)
	f.Add(3.0, 3.0, 3.0, 100.0, 1.0, 0.0, -150.0, 150.0, 1000.0, 1e-9)
	f.Add(-0.01, 1e-300, 0.5, 0.1, 1.0, 110.0, 1.0, -1.0, 1e-300, 0.01)
	f.Fuzz(func(t *testing.T, a420, a520, a620, path, dilution, l, a, b, dose, tolerance float64) {
		type object = map[string]any
		read := object{"readings": object{"a420": a420, "a520": a520, "a620": a620, "path_mm": path, "dilution": dilution}}
		white := object{"readings": object{"a420": 0.085, "a520": 0.021, "a620": 0.008}}
		stated := object{"cielab": object{"L": l, "a": a, "b": b, "path_mm": path}}
		target := object{"cielab": object{"L": l, "a": a, "b": b}, "tolerance": object{"delta_e_00": tolerance}}
		ask := func(request object) []byte {
			data, err := json.Marshal(request)
			if err != nil {
				t.Skip("not a number that JSON has")
			}
			return data
		}
		answerOrProblem(t, ask(object{"wine": read, "view": object{"path_mm": dose}}), Colour)
		answerOrProblem(t, ask(object{"wine": stated}), Colour)
		answerOrProblem(t, ask(object{"wines": []object{white, read}, "volumes_ml": []float64{dilution, dose}, "target": target}), Blend)
		answerOrProblem(t, ask(object{"base": white, "addition": read, "base_ml": dilution, "doses_ml": []float64{dose, 0, dose / 2}, "target": target,
			"measured": []object{{"dose_ml": dose, "wine": stated}}}), Ladder)
		answerOrProblem(t, ask(object{"wines": []object{white, read, stated}, "target": target}), Match)
		answerOrProblem(t, ask(object{"dose_ml_per_100ml": dose, "blend_l": path, "loss_percent": tolerance}), Scale)
		answerOrProblem(t, ask(object{"spec": object{"target": target, "rule": "guarded", "limits": object{"tint": []float64{a, l}}}, "wine": read}), Check)
		answerOrProblem(t, ask(object{"spec": object{"target": target}, "wine": stated}), Check)
	})
}
