package calc

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// eightLots are approved lots that scatter in all of L*, a*, b*.
const eightLots = `[{"L":84.2,"a":13.1,"b":8.4},{"L":83.9,"a":13.4,"b":8.9},{"L":84.6,"a":12.7,"b":8.2},{"L":84.0,"a":13.3,"b":8.5},
	{"L":84.9,"a":12.4,"b":8.0},{"L":83.7,"a":13.2,"b":8.8},{"L":84.4,"a":12.9,"b":8.1},{"L":84.1,"a":13.5,"b":8.6}]`

const (
	lotAsStated = `{"cielab":{"L":84.3,"a":13.1,"b":8.5,"path_mm":10}}`
	lotAsRead   = `{"readings":{"a420":0.146,"a520":0.123,"a620":0.022}}`
	targetAt84  = `"target":{"cielab":{"L":84,"a":13,"b":8}}`
)

func checked(t *testing.T, spec, wine, more string) CheckResponse {
	t.Helper()
	_, answer, err := Answer(t.Context(), []byte(`{"spec":`+spec+`,"wine":`+wine+more+`}`), nil, Check)
	if err != nil {
		t.Fatalf("%s: %v", spec, err)
	}
	return answer
}

// TestSpecParts: each kind of part is judged under its name.
func TestSpecParts(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, spec, wine string
		verdict          string
		parts            []string
	}{
		{"weighted", `{` + targetAt84 + `,"tolerance":{"delta_e_00":2,"kL":2,"kH":0.5}}`, lotAsStated, "pass", []string{"delta_e_00"}},
		{"both differences", `{` + targetAt84 + `,"tolerance":{"delta_e_00":2,"delta_e_ab":0.5}}`, lotAsStated, "fail", []string{"delta_e_00", "delta_e_ab"}},
		{"tolerance in the target", `{"target":{"cielab":{"L":84,"a":13,"b":8},"tolerance":{"delta_e_00":2}},"tolerance":{"delta_e_ab":2}}`, lotAsStated, "pass", []string{"delta_e_00", "delta_e_ab"}},
		{"shares", `{"limits":{"yellow_percent":[45,55],"red_percent":[38,45],"blue_percent":[5,9]}}`, lotAsRead, "pass", []string{"yellow_percent", "red_percent", "blue_percent"}},
		{"one share missed", `{"limits":{"yellow_percent":[45,55],"blue_percent":[8,9]}}`, lotAsRead, "fail", []string{"yellow_percent", "blue_percent"}},
		{"region", `{"approved_lots":` + eightLots + `,"ellipsoid":{}}`, lotAsStated, "pass", []string{"hotelling_t2"}},
		{"region with limits and a tolerance", `{"approved_lots":` + eightLots + `,"ellipsoid":{"confidence":0.99},"tolerance":{"delta_e_00":2},"limits":{"L":[80,90]},"rule":"guarded"}`, lotAsStated, "pass", []string{"delta_e_00", "L", "hotelling_t2"}},
		{"mean of two lots", `{"approved_lots":[{"L":84,"a":13,"b":8},{"L":84.6,"a":13.2,"b":9}],"tolerance":{"delta_e_ab":0.01}}`, lotAsStated, "pass", []string{"delta_e_ab"}},
	} {
		a := checked(t, c.spec, c.wine, "")
		var parts []string
		for _, r := range a.Results {
			parts = append(parts, r.Quantity)
		}
		if a.Verdict != c.verdict || !slices.Equal(parts, c.parts) {
			t.Errorf("%s: %s by %q, want %s by %q", c.name, a.Verdict, parts, c.verdict, c.parts)
		}
	}
	weighted := checked(t, `{`+targetAt84+`,"tolerance":{"delta_e_00":2,"kL":2}}`, lotAsStated, "")
	if w := weighted.Results[0].Weights; w == nil || *w != (DeltaEWeights{2, 1, 1}) || !(*weighted.Results[0].Value < *weighted.Difference.DeltaE00) {
		t.Errorf("weights %+v, value %g, difference at 1:1:1 %g", w, *weighted.Results[0].Value, *weighted.Difference.DeltaE00)
	}
	plain := checked(t, `{`+targetAt84+`,"tolerance":{"delta_e_00":2}}`, lotAsStated, "")
	if plain.Results[0].Weights != nil || plain.Results[0].WarningUpper != nil || plain.RejectionRisk != nil {
		t.Errorf("plain: %+v, rejection risk %v, want no weights, warning or risk", plain.Results[0], plain.RejectionRisk)
	}
}

// TestSpecWarning: beyond a warning limit the verdict stands, and says so.
func TestSpecWarning(t *testing.T) {
	t.Parallel()
	spec := `{` + targetAt84 + `,"tolerance":{"delta_e_00":2},"limits":{"L":[80,90]},"warning":{"tolerance":{"delta_e_00":0.1},"limits":{"L":[83,85]}}}`
	a := checked(t, spec, lotAsStated, "")
	if a.Verdict != "pass" || !a.BeyondWarning || !a.Results[0].BeyondWarning || a.Results[1].BeyondWarning || *a.Results[1].WarningLower != 83 {
		t.Errorf("%s, beyond %t, results %+v", a.Verdict, a.BeyondWarning, a.Results)
	}
	if !slices.ContainsFunc(a.Warnings, func(w Warning) bool { return w.Code == "beyond_warning" }) {
		t.Errorf("warnings %v, want beyond_warning", a.Warnings)
	}
}

// TestOpenVerdict: it says what it is open by, and one session makes it surer.
func TestOpenVerdict(t *testing.T) {
	t.Parallel()
	spec := `{"target":{"wine":{"readings":{"a420":0.142,"a520":0.118,"a620":0.021}}},"tolerance":{"delta_e_00":1.0,"kL":2},"rule":"guarded"}`
	apart := checked(t, spec, lotAsRead, "")
	if apart.Verdict != "inconclusive" || len(apart.Causes) == 0 || len(apart.WouldSettle) == 0 {
		t.Fatalf("%s, causes %v, remedies %v", apart.Verdict, apart.Causes, apart.WouldSettle)
	}
	var sum float64
	for _, c := range apart.Causes {
		sum += c.Share
	}
	if math.Abs(sum-1) > 1e-9 {
		t.Errorf("shares add up to %g", sum)
	}
	together := checked(t, spec, lotAsRead, `,"same_session":true`)
	if !(*together.Probability > *apart.Probability) {
		t.Errorf("probability %g apart, %g in one session", *apart.Probability, *together.Probability)
	}
}

// TestSpecFaults names each fault of the new parts at its place.
func TestSpecFaults(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, spec, more, place, says string }{
		{"unknown field", `{` + targetAt84 + `,"tolerance":{"delta_e_00":2,"kX":1}}`, "", "/spec/tolerance/kX", "unknown field"},
		{"unknown limit", `{"limits":{"green_percent":[1,2]}}`, "", "/spec/limits/green_percent", "unknown field"},
		{"empty tolerance", `{` + targetAt84 + `,"tolerance":{}}`, "", "/spec/tolerance", "empty"},
		{"tolerance twice", `{"target":{"cielab":{"L":84,"a":13,"b":8},"tolerance":{"delta_e_00":2}},"tolerance":{"delta_e_00":2}}`, "", "/spec/tolerance", "once"},
		{"factor out of range", `{` + targetAt84 + `,"tolerance":{"delta_e_00":2,"kL":0}}`, "", "/spec/tolerance/kL", "0.1"},
		{"factors of nothing", `{` + targetAt84 + `,"tolerance":{"delta_e_ab":2,"kL":2}}`, "", "/spec/tolerance/kL", "delta_e_00"},
		{"target outside", `{` + targetAt84 + `,"limits":{"L":[85,90]}}`, "", "/spec/limits/L", "would fail"},
		{"few lots", `{"approved_lots":[{"L":84,"a":13,"b":8}],"ellipsoid":{}}`, "", "/spec/approved_lots", "7 more"},
		{"no lots", `{"ellipsoid":{}}`, "", "/spec/approved_lots", "at least 8"},
		{"one lot's mean", `{"approved_lots":[{"L":84,"a":13,"b":8}],"tolerance":{"delta_e_00":2}}`, "", "/spec/approved_lots", "two or more"},
		{"lots for nothing", `{` + targetAt84 + `,"approved_lots":` + eightLots + `,"tolerance":{"delta_e_00":2}}`, "", "/spec/approved_lots", "serve nothing"},
		{"sure region", `{"approved_lots":` + eightLots + `,"ellipsoid":{"confidence":1}}`, "", "/spec/ellipsoid/confidence", "0.9999"},
		{"target outside the region", `{"target":{"cielab":{"L":74,"a":13,"b":8}},"approved_lots":` + eightLots + `,"ellipsoid":{}}`, "", "/spec/ellipsoid", "outside the region"},
		{"warning outside", `{"limits":{"L":[80,90]},"warning":{"limits":{"L":[79,85]}}}`, "", "/spec/warning/limits/L", "within the limits"},
		{"warning of nothing", `{"limits":{"L":[80,90]},"warning":{"tolerance":{"delta_e_00":1}}}`, "", "/spec/warning/tolerance/delta_e_00", "no tolerance"},
		{"method of wavelengths", `{"limits":{"L":[80,90]},"reading_method":{"source":"spectrum","extra_nm":[460]}}`, "", "/spec/reading_method/extra_nm", "belong to readings"},
		{"warning of the target", `{` + targetAt84 + `,"limits":{"L":[80,90]},"warning":{"limits":{"L":[85,89]}}}`, "", "/spec/warning/limits/L", "would be warned of"},
		{"no such wavelength", `{"limits":{"L":[80,90]},"reading_method":{"source":"readings","extra_nm":[460,9000]}}`, "", "/spec/reading_method/extra_nm/1", "380 to 780"},
		{"wavelength twice", `{"limits":{"L":[80,90]},"reading_method":{"source":"readings","extra_nm":[420.5]}}`, "", "/spec/reading_method/extra_nm/0", "given twice"},
		{"cell of stated values", `{"limits":{"L":[80,90]},"reading_method":{"source":"cielab","path_mm":10}}`, "", "/spec/reading_method/path_mm", "serves nothing"},
		{"digits of readings", `{"limits":{"L":[80,90]},"reading_method":{"source":"readings","decimals":2}}`, "", "/spec/reading_method/decimals", "serves nothing"},
		{"session with what is written down", `{` + targetAt84 + `,"tolerance":{"delta_e_00":2},"reading_method":{"source":"readings","same_session":true}}`, "", "/spec/reading_method/same_session", "no reading"},
		{"risk too small to tell", `{"limits":{"L":[80,90]},"rule":"guarded","max_risk":1e-5}`, "", "/spec/max_risk", "0.001"},
		{"no session", `{` + targetAt84 + `,"tolerance":{"delta_e_00":2}}`, `,"same_session":true`, "/same_session", "no reading"},
		{"other conditions", `{"approved_lots":` + eightLots + `,"ellipsoid":{},"limits":{"b":[-200,-190]}}`, "", "/spec/limits/b", "no wine"},
	} {
		_, _, err := Answer(t.Context(), []byte(`{"spec":`+c.spec+`,"wine":`+lotAsStated+c.more+`}`), nil, Check)
		p := AsProblem(err)
		if p == nil {
			t.Errorf("%s: err = %v, want a problem", c.name, err)
			continue
		}
		if !slices.ContainsFunc(p.Errors, func(f Fault) bool {
			return f.Location == c.place && strings.Contains(f.Message, c.says)
		}) {
			t.Errorf("%s: faults %+v, want %q at %s", c.name, p.Errors, c.says, c.place)
		}
	}
}

// TestOtherConditions: a colour stated for another lamp is judged through a
// spectrum, and where none has it refused with the reason.
func TestOtherConditions(t *testing.T) {
	t.Parallel()
	under := func(lab string) string { return `{"cielab":{` + lab + `,"path_mm":10,"illuminant":"A"}}` }
	a := checked(t, `{"limits":{"L":[60,95]}}`, under(`"L":84.3,"a":13.1,"b":8.5`), "")
	if !slices.ContainsFunc(a.Warnings, func(w Warning) bool { return w.Code == "conditions_converted" }) {
		t.Errorf("warnings %v, want conditions_converted", a.Warnings)
	}
	_, _, err := Answer(t.Context(), []byte(`{"spec":{"limits":{"L":[60,95]}},"wine":`+under(`"L":50,"a":-20,"b":-60`)+`}`), nil, Check)
	if p := AsProblem(err); p == nil || !strings.Contains(p.Detail, "no wine-like spectrum") {
		t.Errorf("err = %v, want a refusal with the reason", err)
	}
}

// TestFeasibility: known before anyone measures, and refused without a way of
// reading.
func TestFeasibility(t *testing.T) {
	t.Parallel()
	ask := func(spec string) (FeasibilityResponse, error) {
		_, a, err := Answer(t.Context(), []byte(`{"spec":`+spec+`}`), nil, Feasibility)
		return a, err
	}
	tight, err := ask(`{` + targetAt84 + `,"tolerance":{"delta_e_00":0.3},"rule":"guarded","reading_method":{"source":"readings"}}`)
	if err != nil || !tight.CanNeverPass || tight.NeededDeltaE00 == nil || !(*tight.NeededDeltaE00 > 0.3) || len(tight.WouldSettle) == 0 {
		t.Errorf("three readings: %+v, %v, want that none can pass", tight, err)
	}
	scan, err := ask(`{` + targetAt84 + `,"tolerance":{"delta_e_00":0.6},"rule":"guarded","reading_method":{"source":"spectrum"}}`)
	if err != nil || scan.CanNeverPass || scan.NeededDeltaE00 != nil {
		t.Errorf("a scan: %+v, %v, want that one can pass", scan, err)
	}
	if _, err := ask(`{` + targetAt84 + `,"tolerance":{"delta_e_00":0.3}}`); AsProblem(err) == nil || AsProblem(err).Errors[0].Location != "/spec/reading_method" {
		t.Errorf("no way of reading: %v, want a fault at /spec/reading_method", err)
	}
	if _, _, err := Answer(t.Context(), []byte(ExampleFeasibility), nil, Feasibility); err != nil {
		t.Errorf("the example: %v", err)
	}
}

// TestRisksOfProcess: the risks of a process are given with it, and never without.
func TestRisksOfProcess(t *testing.T) {
	t.Parallel()
	const spec = `{"spec":{"limits":{"L":[82,86]},"reading_method":{"source":"spectrum"}}`
	ask := func(process string) (FeasibilityResponse, error) {
		_, a, err := Answer(t.Context(), []byte(spec+process+`}`), nil, Feasibility)
		return a, err
	}
	without, err := ask("")
	if err != nil || without.Risks != nil {
		t.Errorf("no process: risks %+v, %v, want none", without.Risks, err)
	}
	const mean = `,"process":{"mean":{"L":84,"a":13,"b":8}`
	bySD, err := ask(mean + `,"standard_deviation":{"L":1,"a":0.5,"b":0.5}}`)
	if err != nil || bySD.Risks == nil {
		t.Fatalf("a process: %+v, %v", bySD, err)
	}
	// 2 standard deviations either way: R's pnorm(2) - pnorm(-2) = 0.9544997.
	r := bySD.Risks
	if math.Abs(r.Conforming-0.9545) > 0.003 || !(r.Consumer > 0 && r.Consumer < r.Producer) || r.OutsidePassed == nil || r.Prior.Mean.L != 84 || r.Prior.StandardDeviation.A != 0.5 {
		t.Errorf("risks %+v", r)
	}
	byCovariance, err := ask(mean + `,"covariance":[[1,0,0],[0,0.25,0],[0,0,0.25]]}`)
	if err != nil || byCovariance.Risks.Consumer != r.Consumer || byCovariance.Risks.Producer != r.Producer {
		t.Errorf("by its covariance %+v, %v, by its deviations %+v", byCovariance.Risks, err, r)
	}
	for process, place := range map[string]string{
		mean + `}`: "/process",
		mean + `,"standard_deviation":{"L":1,"a":1,"b":1},"covariance":[[1,0,0],[0,1,0],[0,0,1]]}`: "/process",
		mean + `,"standard_deviation":{"L":0,"a":1,"b":1}}`:                                        "/process/standard_deviation/L",
		mean + `,"covariance":[[1,1,0],[1,1,0],[0,0,1]]}`:                                          "/process/covariance",
		`,"process":{"standard_deviation":{"L":1,"a":1,"b":1}}`:                                    "/process/mean",
	} {
		_, err := ask(process)
		if p := AsProblem(err); p == nil || p.Errors[0].Location != place {
			t.Errorf("%s: %v, want a fault at %s", process, err, place)
		}
	}
}
