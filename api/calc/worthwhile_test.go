package calc

import (
	"slices"
	"testing"
)

// TestWorthwhile: what changes the chance of a verdict next to nothing is not advised,
// unless it has a part in what settles it.
func TestWorthwhile(t *testing.T) {
	t.Parallel()
	at := func(action string, p float64, verdict string) Remedy {
		return Remedy{Action: action, Probability: &p, Verdict: verdict}
	}
	const open, pass, fail = "inconclusive", "pass", "fail"
	for _, c := range []struct {
		name string
		list []Remedy
		want []string
	}{
		{"none", nil, nil},
		{"little beside what settles", []Remedy{at("replicates", 0.76, open), at("scan", 0.99, pass), at("all_together", 1, pass)}, []string{"scan"}},
		{"little alone", []Remedy{at("replicates", 0.76, open)}, nil},
		{"much, though it settles nothing", []Remedy{at("replicates", 0.86, open)}, []string{"replicates"}},
		{"less likely by much", []Remedy{at("replicates", 0.6, open)}, []string{"replicates"}},
		{"little, and it settles", []Remedy{at("replicates", 0.74, fail)}, []string{"replicates"}},
		{"little each, together it settles", []Remedy{at("replicates", 0.76, open), at("one_session", 0.77, open), at("all_together", 0.96, pass)}, []string{"replicates", "one_session", "all_together"}},
		{"little each and together", []Remedy{at("replicates", 0.74, open), at("one_session", 0.75, open), at("all_together", 0.76, open)}, nil},
		{"all help", []Remedy{at("replicates", 0.86, open), at("scan", 0.99, pass), at("all_together", 1, pass)}, []string{"replicates", "scan", "all_together"}},
	} {
		now := 0.74
		var got []string
		for _, r := range Worthwhile(c.list, &now) {
			got = append(got, r.Action)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
	// A lot that lies near the limit of what three readings can tell: reading it again
	// four times does not help, a scan does.
	answer := checked(t, `{"target":{"cielab":{"L":92.3,"a":7.6,"b":6.3}},"tolerance":{"delta_e_00":2},"rule":"guarded","max_risk":0.05}`, `{"readings":{"a420":0.142,"a520":0.118,"a620":0.021}}`, "")
	if answer.Verdict != open || len(answer.WouldSettle) != 3 {
		t.Fatalf("%s, with %+v", answer.Verdict, answer.WouldSettle)
	}
	if list := Worthwhile(answer.WouldSettle, answer.Probability); len(list) != 1 || list[0].Action != "scan" {
		t.Errorf("advised is %+v, want a scan", list)
	}
}
