package record

import (
	"strings"
	"testing"

	"pourpath/api/calc"
)

// TestAheadAndBefore: a date alone is a whole day in whichever zone.
func TestAheadAndBefore(t *testing.T) {
	const now = "2026-03-12T20:00:00Z"
	for at, want := range map[string]bool{
		"2026-03-12T20:00:00Z": false, "2026-03-12T20:04:00Z": false, "2026-03-12T20:06:00Z": true, "2026-03-13T09:00:00+13:00": false,
		"2026-03-13": false, "2026-03-14": true, "2027-03-12": true,
	} {
		if got := moment(t, at).Ahead(moment(t, now)); got != want {
			t.Errorf("%s is ahead of %s: %v", at, now, got)
		}
	}
	for _, row := range []struct {
		at, other string
		want      bool
	}{
		{"2026-03-12T07:59:00Z", "2026-03-12T08:00:00Z", true}, {"2026-03-12T08:00:00Z", "2026-03-12T08:00:00Z", false},
		{"2026-03-12", "2026-03-12T08:00:00Z", false}, {"2026-03-11", "2026-03-12T08:00:00Z", true},
		{"2026-03-12T08:00:00+11:00", "2026-03-12", false}, {"2026-03-11T08:00:00Z", "2026-03-12", true}, {"2026-03-12", "2026-03-12", false},
	} {
		if got := moment(t, row.at).Precedes(moment(t, row.other)); got != row.want {
			t.Errorf("%s is before %s: %v", row.at, row.other, got)
		}
	}
}

// TestVersionAt: at each moment one version at most.
func TestVersionAt(t *testing.T) {
	day := func(text string) *Instant { at := moment(t, text); return &at }
	versions := []Spec{
		{Version: 1, CreatedAt: *day("2026-01-05"), SpecBody: SpecBody{ValidTo: day("2026-02-01")}},
		{Version: 2, CreatedAt: *day("2026-01-06"), SpecBody: SpecBody{ValidFrom: day("2026-03-01")}},
		{Version: 3, CreatedAt: *day("2026-04-01"), SpecBody: SpecBody{ValidTo: day("2026-05-01")}},
	}
	for at, want := range map[string]int{
		"1990-01-01": 1, "2026-01-31": 1, "2026-02-01": 0, "2026-02-28": 0, "2026-03-01": 2, "2026-03-31": 2, "2026-04-01": 3, "2026-04-30": 3, "2026-05-01": 0,
	} {
		got, ok := VersionAt(versions, moment(t, at))
		if ok != (want > 0) || ok && got.Version != want {
			t.Errorf("%s: version %d, %v, want %d", at, got.Version, ok, want)
		}
	}
	if _, ok := VersionAt(nil, moment(t, "2026-01-01")); ok {
		t.Error("there is a version of none")
	}
	for _, row := range []struct {
		next  Spec
		words string
	}{
		{Spec{Version: 4, CreatedAt: *day("2026-05-01")}, ""},
		{Spec{Version: 4, CreatedAt: *day("2026-04-20")}, "overlap"},
		{Spec{Version: 4, CreatedAt: *day("2026-05-01"), SpecBody: SpecBody{ValidFrom: day("2026-04-30")}}, "overlap"},
		{Spec{Version: 4, CreatedAt: *day("2026-05-01"), SpecBody: SpecBody{ValidFrom: day("2026-04-01")}}, "after the one before"},
		{Spec{Version: 4, CreatedAt: *day("2026-06-01"), SpecBody: SpecBody{ValidTo: day("2026-05-30")}}, "before its beginning"},
	} {
		var f calc.Faults
		CheckFollows(versions[2], row.next, &f)
		if err := f.Err(); (err == nil) != (row.words == "") || err != nil && !strings.Contains(err.Error(), row.words) {
			t.Errorf("%+v: %v, want %q", row.next, err, row.words)
		}
	}
}

// TestRunRules: each rule by itself, and none of them by retained bottles.
func TestRunRules(t *testing.T) {
	above := calc.CheckResult{Quantity: "L", Value: pointer(91.), WarningLower: pointer(80.), WarningUpper: pointer(90.), BeyondWarning: true, Within: true}
	below := above
	below.Value = pointer(79.)
	inside := above
	inside.Value, inside.BeyondWarning = pointer(85.), false
	sample := func(minute string, stage Stage, verdict string, r calc.CheckResult) Sample {
		at := moment(t, "2026-03-12T10:"+minute+":00Z")
		s := Sample{ID: minute, SampleBody: SampleBody{Stage: stage, Circumstances: Circumstances{TakenAt: &at}}}
		s.Verdict, s.Results = verdict, []calc.CheckResult{r}
		return s
	}
	for name, row := range map[string]struct {
		samples      []Sample
		advice, rule string
	}{
		"none":            {nil, "none", "none"},
		"retained":        {[]Sample{sample("01", Retained, "fail", inside), sample("02", "", "fail", inside)}, "none", "none"},
		"passes":          {[]Sample{sample("01", Beginning, "pass", inside)}, "go_on", "none"},
		"fails":           {[]Sample{sample("02", End, "fail", inside), sample("01", Beginning, "pass", inside)}, "stop", "newest_fails"},
		"failed before":   {[]Sample{sample("01", End, "fail", inside), sample("02", Middle, "pass", inside)}, "go_on", "none"},
		"open once":       {[]Sample{sample("01", Middle, "pass", inside), sample("02", Middle, "inconclusive", inside)}, "go_on", "none"},
		"open twice":      {[]Sample{sample("01", Middle, "inconclusive", inside), sample("02", Middle, "inconclusive", inside)}, "stop", "two_without_pass"},
		"open after fail": {[]Sample{sample("01", Middle, "fail", inside), sample("02", Middle, "inconclusive", inside)}, "stop", "two_without_pass"},
		"above once":      {[]Sample{sample("01", Middle, "pass", above), sample("02", Middle, "pass", inside)}, "go_on", "none"},
		"above twice":     {[]Sample{sample("01", Middle, "pass", above), sample("02", Middle, "pass", inside), sample("03", Middle, "pass", above)}, "stop", "two_of_three_beyond_warning"},
		"either side":     {[]Sample{sample("01", Middle, "pass", above), sample("02", Middle, "pass", below)}, "go_on", "none"},
		"long ago": {[]Sample{sample("01", Middle, "pass", above), sample("02", Middle, "pass", above),
			sample("03", Middle, "pass", inside), sample("04", Middle, "pass", inside)}, "go_on", "none"},
	} {
		if got := Run(row.samples); got.Advice != row.advice || got.Rule != row.rule {
			t.Errorf("%s: %+v, want %s by %s", name, got, row.advice, row.rule)
		}
	}
}

func moment(t *testing.T, text string) Instant {
	t.Helper()
	at, err := ParseInstant(text)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// TestAcetaldehydeIsTold: a sample that shows the pigment is not taken for one that
// shows the bottle, whatever is recorded of the reference; and the other way round.
func TestAcetaldehydeIsTold(t *testing.T) {
	yes, no, low, high := true, false, 10.0, 40.0
	for _, c := range []struct {
		name              string
		sample, reference *State
		want              string
	}{
		{"nothing known", nil, nil, ""},
		{"sample only", &State{Acetaldehyde: &yes}, nil, "acetaldehyde_differs"},
		{"reference only", nil, &State{Acetaldehyde: &yes}, "acetaldehyde_differs"},
		{"told not to be", &State{Acetaldehyde: &no}, nil, ""},
		{"pigment with pigment, SO2 apart", &State{Acetaldehyde: &yes, FreeSO2: &high}, &State{Acetaldehyde: &yes, FreeSO2: &low}, ""},
		{"bottle with bottle, SO2 apart", &State{FreeSO2: &high}, &State{FreeSO2: &low}, "so2_differs"},
		{"SO2 of one only", &State{FreeSO2: &high}, nil, ""},
	} {
		var codes []string
		for _, w := range StateWarnings(c.sample, c.reference) {
			codes = append(codes, w.Code)
		}
		if got := strings.Join(codes, " "); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestDecisionNamesVerdictsOnce(t *testing.T) {
	var f calc.Faults
	DecisionBody{Decision: "released", By: "Ada", Verdicts: []string{"a", "b", "a"}}.Check(&f)
	if p := calc.AsProblem(f.Err()); p == nil || len(p.Errors) != 1 || p.Errors[0].Location != "/verdicts/2" {
		t.Errorf("%v, want one fault at /verdicts/2", f.Err())
	}
}
