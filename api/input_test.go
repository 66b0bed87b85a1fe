package api

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"testing"

	"pourpath/api/calc"
)

const (
	white   = `{"readings":{"a420":0.085,"a520":0.021,"a620":0.008}}`
	red     = `{"readings":{"a420":0.231,"a520":0.398,"a620":0.067,"path_mm":1}}`
	darkRed = `{"cielab":{"L":18.2,"a":45.1,"b":30.2,"path_mm":10}}`
	rose    = `{"cielab":{"L":84.6,"a":12.85,"b":8.71,"path_mm":10}}`
	blueLab = `{"cielab":{"L":70,"a":-40,"b":-40,"path_mm":10}}`
)

// scan is a spectrum from lo to hi nm, with a value at each.
func scan(lo, hi, step int, value float64, quantity string) string {
	var nm, values []string
	for x := lo; x <= hi; x += step {
		nm, values = append(nm, strconv.Itoa(x)), append(values, fmt.Sprint(value))
	}
	return fmt.Sprintf(`{"spectrum":{"nm":[%s],%q:[%s]}}`, strings.Join(nm, ","), quantity, strings.Join(values, ","))
}

func wine(w string) string { return `{"wine":` + w + `}` }

func ladderOf(fields string) string {
	return `{"base":` + white + `,"addition":` + red + `,` + fields + `}`
}

func blendOf(fields string) string { return `{"wines":[` + white + `,` + red + `],` + fields + `}` }

func checkOf(spec string) string { return `{"spec":` + spec + `,"wine":` + rose + `}` }

// TestRefusals has a row for each kind of bad input: where the fault must be
// named, and what must be said of it.
func TestRefusals(t *testing.T) {
	many := strings.TrimSuffix(strings.Repeat("1,", 10_000), ",")
	rows := []struct {
		name, path, body string
		location         string // of one of the faults
		want             string // in that fault's message
	}{
		{"empty object", "colour", `{}`, "/wine", "missing"},
		{"not an object", "colour", `[1]`, "", "object"},
		{"just a number", "colour", `7`, "", "object"},
		{"null", "colour", `null`, "", "object"},
		{"negative path", "colour", wine(`{"readings":{"a420":0.1,"a520":0.1,"a620":0.1,"path_mm":-10}}`), "/wine/readings/path_mm", ">= 0.01"},
		{"zero path", "colour", wine(`{"readings":{"a420":0.1,"a520":0.1,"a620":0.1,"path_mm":0}}`), "/wine/readings/path_mm", ">= 0.01"},
		{"path of a metre", "colour", wine(`{"readings":{"a420":0.1,"a520":0.1,"a620":0.1,"path_mm":1000}}`), "/wine/readings/path_mm", "100"},
		{"dilution below 1", "colour", wine(`{"readings":{"a420":0.1,"a520":0.1,"a620":0.1,"dilution":0.5}}`), "/wine/readings/dilution", ">= 1"},
		{"saturated reading", "colour", wine(`{"readings":{"a420":9.9,"a520":0.1,"a620":0.1}}`), "/wine/readings/a420", ""},
		{"negative reading", "colour", wine(`{"readings":{"a420":0.1,"a520":-0.4,"a620":0.1}}`), "/wine/readings/a520", ""},
		{"missing reading", "colour", wine(`{"readings":{"a420":0.1,"a520":0.1}}`), "/wine/readings/a620", "missing"},
		{"reading is null", "colour", wine(`{"readings":{"a420":null,"a520":0.1,"a620":0.1}}`), "/wine/readings/a420", "null"},
		{"text for a number", "colour", wine(`{"readings":{"a420":"0.1","a520":0.1,"a620":0.1}}`), "/wine/readings/a420", "expected number, not string"},
		{"list for a number", "colour", wine(`{"readings":{"a420":[1],"a520":0.1,"a620":0.1}}`), "/wine/readings/a420", "not array"},
		{"number beyond float64", "colour", wine(`{"readings":{"a420":1e999,"a520":0.1,"a620":0.1}}`), "/wine/readings/a420", "64-bit"},
		{"extra reading outside the range", "colour", wine(`{"readings":{"a420":0.1,"a520":0.1,"a620":0.1,"extra":[{"nm":300,"absorbance":1}]}}`), "/wine/readings/extra/0/nm", "380"},
		{"extra reading without absorbance", "colour", wine(`{"readings":{"a420":0.1,"a520":0.1,"a620":0.1,"extra":[{"nm":500}]}}`), "/wine/readings/extra/0/absorbance", "missing"},
		{"no kind of input", "colour", wine(`{"name":"x"}`), "/wine", `"readings", "spectrum", "cielab" or "id"`},
		{"two kinds of input", "colour", wine(`{"readings":{"a420":0.1,"a520":0.1,"a620":0.1},"cielab":{"L":80,"a":1,"b":1,"path_mm":10}}`), "/wine", "stand together"},
		{"stored wine", "colour", wine(`{"id":"w1"}`), "/wine/id", "none is stored under this identifier"},
		{"unknown field", "colour", `{"wine":` + white + `,"colour":"pink"}`, "/colour", "unknown field"},
		{"unknown field inside", "colour", wine(`{"readings":{"a420":0.1,"a520":0.1,"a620":0.1,"a700":0.1}}`), "/wine/readings/a700", "known here: a420"},
		{"field in other case", "colour", wine(`{"readings":{"A420":0.1,"a420":0.1,"a520":0.1,"a620":0.1}}`), "/wine/readings/A420", "unknown field"},
		{"field with dots and slashes", "colour", `{"wine":` + white + `,"a.b/c~d":1}`, "/a.b~1c~0d", "unknown field"},
		{"doubled field", "colour", wine(`{"readings":{"a420":0.1,"a420":0.2,"a520":0.1,"a620":0.1}}`), "/wine/readings/a420", "twice"},
		{"nested without end", "colour", `{"wine":` + strings.Repeat("[", 5000) + strings.Repeat("]", 5000) + `}`, "/wine", "array"},
		{"scan unsorted", "colour", wine(`{"spectrum":{"nm":[400,420,410,700],"absorbance":[1,1,1,1]}}`), "/wine/spectrum/nm/2", ""},
		{"scan with a wavelength twice", "colour", wine(`{"spectrum":{"nm":[400,410,410,700],"absorbance":[1,1,1,1]}}`), "/wine/spectrum/nm/2", ""},
		{"scan not from 400", "colour", wine(scan(450, 750, 5, 0.2, "absorbance")), "/wine/spectrum/nm", "400"},
		{"scan not to 700", "colour", wine(scan(380, 650, 5, 0.2, "absorbance")), "/wine/spectrum/nm", "700"},
		{"scan too coarse", "colour", wine(scan(380, 780, 20, 0.2, "absorbance")), "/wine/spectrum/nm/2", "10 nm"},
		{"scan of unequal lengths", "colour", wine(`{"spectrum":{"nm":[400,410],"absorbance":[1]}}`), "/wine/spectrum/absorbance", ""},
		{"scan without ordinates", "colour", wine(`{"spectrum":{"nm":[400,410]}}`), "/wine/spectrum", "transmittance_percent"},
		{"scan with both ordinates", "colour", wine(`{"spectrum":{"nm":[400,410],"absorbance":[1,1],"transmittance_percent":[1,1]}}`), "/wine/spectrum", "stand together"},
		{"transmittance of 0", "colour", wine(scan(380, 780, 5, 0, "transmittance_percent")), "/wine/spectrum/transmittance_percent/0", ""},
		{"L* above 110", "colour", wine(`{"cielab":{"L":111,"a":1,"b":1,"path_mm":10}}`), "/wine/cielab/L", "110"},
		{"L* below 0", "colour", wine(`{"cielab":{"L":-1,"a":1,"b":1,"path_mm":10}}`), "/wine/cielab/L", ">= 0"},
		{"a* above 150", "colour", wine(`{"cielab":{"L":50,"a":151,"b":1,"path_mm":10}}`), "/wine/cielab/a", "150"},
		{"b* below -150", "colour", wine(`{"cielab":{"L":50,"a":1,"b":-151,"path_mm":10}}`), "/wine/cielab/b", "-150"},
		{"L*a*b* without its depth", "colour", wine(`{"cielab":{"L":50,"a":1,"b":1}}`), "/wine/cielab/path_mm", "missing"},
		{"a colour that no wine has", "colour", wine(blueLab), "/wine/cielab", "no wine-like spectrum"},
		{"unknown illuminant", "colour", `{"wine":` + white + `,"view":{"illuminant":"D75"}}`, "/view/illuminant", "D65"},
		{"unknown observer", "colour", `{"wine":` + white + `,"view":{"observer":"5"}}`, "/view/observer", "2"},
		{"observer as a number", "colour", `{"wine":` + white + `,"view":{"observer":10}}`, "/view/observer", "expected string, not number"},
		{"no depth to view", "colour", `{"wine":` + white + `,"view":{"path_mm":0}}`, "/view/path_mm", "> 0"},

		{"one wine", "blend", `{"wines":[` + white + `],"fractions":[1]}`, "/wines", "2"},
		{"fault in the second wine", "blend", `{"wines":[` + white + `,{"readings":{"a420":0.1,"a520":"x","a620":0.1}}],"fractions":[0.5,0.5]}`, "/wines/1/readings/a520", "number"},
		{"fractions that sum to 0.9", "blend", blendOf(`"fractions":[0.5,0.4]`), "/fractions", "sum"},
		{"fractions off by 2e-6", "blend", blendOf(`"fractions":[0.5,0.500002]`), "/fractions", "sum"},
		{"negative fraction", "blend", blendOf(`"fractions":[1.5,-0.5]`), "/fractions/1", ""},
		{"one fraction too few", "blend", blendOf(`"fractions":[1]`), "/fractions", "2 wines"},
		{"no volume at all", "blend", blendOf(`"volumes_ml":[0,0]`), "/volumes_ml", ""},
		{"negative volume", "blend", blendOf(`"volumes_ml":[100,-5]`), "/volumes_ml/1", ""},
		{"one volume too many", "blend", blendOf(`"volumes_ml":[1,1,1]`), "/volumes_ml", "2 wines"},
		{"no amounts", "blend", blendOf(`"view":{}`), "", `"volumes_ml" or "fractions"`},
		{"amounts twice", "blend", blendOf(`"volumes_ml":[1,1],"fractions":[0.5,0.5]`), "", "stand together"},
		{"red too dark to blend", "blend", `{"wines":[` + white + `,` + darkRed + `],"fractions":[0.9,0.1]}`, "/wines/1/cielab/L", "1-2 mm"},
		{"target without value", "blend", blendOf(`"fractions":[0.5,0.5],"target":{}`), "/target", "cielab"},
		{"target without b*", "blend", blendOf(`"fractions":[0.5,0.5],"target":{"cielab":{"L":80,"a":1}}`), "/target/cielab/b", "missing"},
		{"target given twice", "blend", blendOf(`"fractions":[0.5,0.5],"target":{"cielab":{"L":80,"a":1,"b":2},"intensity":1,"tint":1}`), "/target", "stand together"},
		{"intensity without tint", "blend", blendOf(`"fractions":[0.5,0.5],"target":{"intensity":1}`), "/target/tint", "go together"},
		{"tolerance of an intensity", "blend", blendOf(`"fractions":[0.5,0.5],"target":{"intensity":1,"tint":1,"tolerance":{"delta_e_00":1}}`), "/target/tolerance", "needs a colour"},
		{"tolerance of 0", "blend", blendOf(`"fractions":[0.5,0.5],"target":{"cielab":{"L":80,"a":1,"b":2},"tolerance":{"delta_e_00":0}}`), "/target/tolerance/delta_e_00", "> 0"},

		{"no rungs", "ladder", ladderOf(`"base_ml":100,"doses_ml":[]`), "/doses_ml", "1"},
		{"10,000 rungs", "ladder", ladderOf(`"base_ml":100,"doses_ml":[` + many + `]`), "/doses_ml", "2000"},
		{"negative dose", "ladder", ladderOf(`"base_ml":100,"doses_ml":[1,-1]`), "/doses_ml/1", ""},
		{"zero base", "ladder", ladderOf(`"base_ml":0,"doses_ml":[1]`), "/base_ml", "> 0"},
		{"neither doses nor plan", "ladder", ladderOf(`"base_ml":100`), "", `"doses_ml" or "plan"`},
		{"doses and plan", "ladder", ladderOf(`"base_ml":100,"doses_ml":[1],"plan":{"to_ml":5,"step_ml":1}`), "", "stand together"},
		{"plan of 10,000 rungs", "ladder", ladderOf(`"base_ml":100,"plan":{"to_ml":100,"step_ml":0.01}`), "/plan/step_ml", "2000"},
		{"plan without a step", "ladder", ladderOf(`"base_ml":100,"plan":{"to_ml":100}`), "/plan", "step_ml"},
		{"plan that ends before it begins", "ladder", ladderOf(`"base_ml":100,"plan":{"from_ml":5,"to_ml":1,"step_ml":1}`), "/plan/to_ml", ""},
		{"fault in a measured rung", "ladder", ladderOf(`"base_ml":100,"doses_ml":[1],"measured":[{"dose_ml":5,"wine":{}}]`), "/measured/0/wine", "missing"},
		{"measured rung without a dose", "ladder", ladderOf(`"base_ml":100,"doses_ml":[1],"measured":[{"dose_ml":0,"wine":` + rose + `}]`), "/measured/0/dose_ml", "> 0"},
		{"the same, to draw", "ladder/plot", ladderOf(`"base_ml":0,"doses_ml":[1]`), "/base_ml", "> 0"},

		{"match without target", "match", `{"wines":[` + white + `,` + red + `]}`, "/target", "missing"},
		{"match of nine wines", "match", `{"wines":[` + strings.TrimSuffix(strings.Repeat(white+",", 9), ",") + `],"target":{"cielab":{"L":80,"a":1,"b":2}}}`, "/wines", "8"},
		{"limit of no wine", "match", blendOf(`"target":{"cielab":{"L":80,"a":1,"b":2}},"limits":[{"wine":2,"max_fraction":0.5}]`), "/limits/0/wine", ""},
		{"limit above 1", "match", blendOf(`"target":{"cielab":{"L":80,"a":1,"b":2}},"limits":[{"wine":1,"max_fraction":1.5}]`), "/limits/0/max_fraction", "<= 1"},
		{"limits that contradict", "match", blendOf(`"target":{"cielab":{"L":80,"a":1,"b":2}},"limits":[{"wine":1,"min_fraction":0.5,"max_fraction":0.2}]`), "/limits/0", ""},
		{"half a wine", "match", blendOf(`"target":{"cielab":{"L":80,"a":1,"b":2}},"limits":[{"wine":0.5}]`), "/limits/0/wine", "integer"},

		{"dose of 0", "scale", `{"dose_ml_per_100ml":0,"base_l":100}`, "/dose_ml_per_100ml", "> 0"},
		{"no size", "scale", `{"dose_ml_per_100ml":5}`, "", ""},
		{"two sizes", "scale", `{"dose_ml_per_100ml":5,"base_l":100,"blend_l":100}`, "", ""},
		{"zero volume", "scale", `{"dose_ml_per_100ml":5,"base_l":0}`, "/base_l", "> 0"},
		{"all of it lost", "scale", `{"dose_ml_per_100ml":5,"base_l":10,"loss_percent":100}`, "/loss_percent", "< 100"},
		{"no bottles", "scale", `{"dose_ml_per_100ml":5,"bottles":{"count":0,"ml":750}}`, "/bottles/count", ">= 1"},
		{"half a bottle", "scale", `{"dose_ml_per_100ml":5,"bottles":{"count":1.5,"ml":750}}`, "/bottles/count", "integer"},
		{"negative stock", "scale", `{"dose_ml_per_100ml":5,"base_l":10,"stock":{"base_l":-1}}`, "/stock/base_l", ">= 0"},

		{"empty spec", "check", checkOf(`{}`), "/spec", ""},
		{"target without tolerance or limits", "check", checkOf(`{"target":{"cielab":{"L":80,"a":1,"b":2}}}`), "/spec", "tolerance"},
		{"tolerance without target", "check", checkOf(`{"tolerance":{"delta_e_00":1}}`), "/spec/target", ""},
		{"tolerance twice", "check", checkOf(`{"tolerance":{"delta_e_00":1},"target":{"cielab":{"L":80,"a":1,"b":2},"tolerance":{"delta_e_00":2}}}`), "/spec/tolerance", "once"},
		{"limits that are upside down", "check", checkOf(`{"limits":{"L":[90,80]}}`), "/spec/limits/L", ""},
		{"limits of one value", "check", checkOf(`{"limits":{"L":[80]}}`), "/spec/limits/L", "2"},
		{"limits on an unknown quantity", "check", checkOf(`{"limits":{"X":[1,2]}}`), "/spec/limits/X", "unknown field"},
		{"unknown rule", "check", checkOf(`{"limits":{"L":[80,90]},"rule":"strict"}`), "/spec/rule", "guarded"},
		{"risk of a half", "check", checkOf(`{"limits":{"L":[80,90]},"rule":"guarded","max_risk":0.5}`), "/spec/max_risk", "< 0.5"},
		{"intensity of a colour that no wine has", "check", `{"spec":{"limits":{"intensity":[0,1]}},"wine":` + blueLab + `}`, "/wine", "spectrum"},
		{"a colour that no wine has under another light", "check", `{"spec":{"limits":{"L":[0,100]}},"wine":` + blueLab + `,"view":{"illuminant":"A"}}`, "/wine/cielab", "no wine-like spectrum"},
	}
	service := newTestService(t)
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			w := do(service, call{path: "/v1/" + row.path, body: row.body})
			if w.Code != http.StatusUnprocessableEntity {
				t.Fatalf("status %d, want 422: %.1000s", w.Code, w.Body)
			}
			if w.Body.Len() > 64<<10 {
				t.Errorf("a problem of %d bytes", w.Body.Len())
			}
			p := problemOf(t, w)
			if !named(p, row.location, row.want) {
				t.Errorf("no fault at %q with %q in %+v", row.location, row.want, p.Errors)
			}
			for _, f := range p.Errors {
				if parent := f.Location[:max(0, strings.LastIndex(f.Location, "/"))]; !holds(t, row.body, parent) {
					t.Errorf("fault at %q, but there is no %q in the request", f.Location, parent)
				}
			}
		})
	}
}

func named(p calc.Problem, location, want string) bool {
	for _, f := range p.Errors {
		if f.Location == location && strings.Contains(f.Message, want) && f.Message != "" {
			return true
		}
	}
	return false
}

// holds reports whether a JSON Pointer (RFC 6901) points to something.
func holds(t *testing.T, document, pointer string) bool {
	t.Helper()
	var at any
	if err := json.Unmarshal([]byte(document), &at); err != nil {
		return strings.Contains(err.Error(), "1e999") // which the other fields survive
	}
	if pointer == "" {
		return true
	}
	for _, token := range strings.Split(pointer[1:], "/") {
		token = strings.NewReplacer("~1", "/", "~0", "~").Replace(token)
		switch v := at.(type) {
		case map[string]any:
			next, ok := v[token]
			if !ok {
				return false
			}
			at = next
		case []any:
			i, err := strconv.Atoi(token)
			if err != nil || i < 0 || i >= len(v) {
				return false
			}
			at = v[i]
		default:
			return false
		}
	}
	return true
}

// TestEveryFaultAtOnce: faults of the schema and those that only the field's own
// rules know are named together, each once.
func TestEveryFaultAtOnce(t *testing.T) {
	body := `{
	  "base": {"readings": {"a420": 0.1, "a520": -0.5, "a620": 0.1, "path_mm": 0}},
	  "addition": {"spectrum": {"nm": [450, 460], "absorbance": [0.1, 0.2]}},
	  "base_ml": -3,
	  "doses_ml": [1, "two", -3],
	  "target": {"intensity": 1},
	  "coulour": 1
	}`
	p := problemOf(t, do(newTestService(t), call{path: "/v1/ladder", body: body}))
	for _, location := range []string{
		"/base/readings/a520", "/base/readings/path_mm", "/addition/spectrum/nm", "/base_ml", "/doses_ml/1", "/doses_ml/2", "/target/tint", "/coulour",
	} {
		times := 0
		for _, f := range p.Errors {
			if f.Location == location {
				times++
			}
		}
		if times != 1 {
			t.Errorf("%s is named %d times, want once: %+v", location, times, p.Errors)
		}
	}
}

func TestValuesAreGivenBack(t *testing.T) {
	long := strings.Repeat("é", 5000)
	body := `{"wine":{"readings":{"a420":-7.5,"a520":"` + long + `","a620":0.1}}}`
	p := problemOf(t, do(newTestService(t), call{path: "/v1/colour", body: body}))
	for _, f := range p.Errors {
		switch f.Location {
		case "/wine/readings/a420":
			if f.Value != -7.5 {
				t.Errorf("value of a420 is %v, want -7.5", f.Value)
			}
		case "/wine/readings/a520":
			if text, _ := f.Value.(string); len([]rune(text)) > 101 || !strings.HasPrefix(text, "éé") {
				t.Errorf("value of a520 is %.20q… of %d bytes, want its beginning", text, len(text))
			}
		}
	}
	if len(p.Errors) < 2 {
		t.Errorf("%+v, want both faults", p.Errors)
	}
}

func TestManyFaultsAreCut(t *testing.T) {
	body := ladderOf(`"base_ml":100,"doses_ml":[` + strings.TrimSuffix(strings.Repeat(`"x",`, 1500), ",") + `]`)
	p := problemOf(t, do(newTestService(t), call{path: "/v1/ladder", body: body}))
	if len(p.Errors) != 100 || !strings.Contains(p.Detail, "1500 faults, the first 100 listed") {
		t.Errorf("%d faults listed, detail %q", len(p.Errors), p.Detail)
	}
}

func TestMalformed(t *testing.T) {
	service := newTestService(t)
	for _, row := range []struct{ name, body, want string }{
		{"empty", "", "body is required"},
		{"blanks", "  \n ", "no request"},
		{"broken off", `{"wine": {`, "line 1, column 11"},
		{"third line", "{\n \"wine\":\n  x}", "line 3, column 3"},
		{"NaN", `{"wine":{"readings":{"a420":NaN}}}`, "no NaN"},
		{"Infinity", `{"wine":{"readings":{"a420":-Infinity}}}`, "no Infinity"},
		{"decimal comma", `{"wine":{"readings":{"a420":0,412}}}`, "line 1"},
		{"single quotes", `{'wine':1}`, "double quotes"},
		{"trailing comma", `{"wine":1,}`, "line 1, column 11"},
		{"two requests", `{}{}`, "after top-level value"},
		{"comment", "{} // white", "after top-level value"},
		{"not UTF-8", "{\"wine\":\"\xff\"}", "UTF-8"},
		{"half a surrogate is fine, a control is not", "{\"wine\":\"\x01\"}", "line 1"},
		{"deeper than any parser goes", strings.Repeat("[", 200_000), "line 1"},
	} {
		t.Run(row.name, func(t *testing.T) {
			w := do(service, call{path: "/v1/colour", body: row.body})
			if p := problemOf(t, w); p.Status != http.StatusBadRequest || !strings.Contains(p.Detail, row.want) {
				t.Errorf("%+v, want 400 with %q", p, row.want)
			}
		})
	}
	if w := do(service, call{path: "/v1/colour", body: "\ufeff" + calc.ExampleColour}); w.Code != http.StatusOK {
		t.Errorf("with a byte order mark: status %d: %s", w.Code, w.Body)
	}
}
