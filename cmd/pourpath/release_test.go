package main

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"

	"pourpath/api/release"
)

// aCheck runs the release check on a store of its own.
type aCheck struct {
	t    *testing.T
	data string
}

func (c aCheck) run(in string, args ...string) result {
	c.t.Helper()
	return pourpath(in, append(args, "--data", c.data)...)
}

// does wants a command to succeed and to say something.
func (c aCheck) does(in string, wanted []string, args ...string) string {
	c.t.Helper()
	got := c.run(in, args...)
	if got.exit != 0 || got.err != "" {
		c.t.Fatalf("%v: exit %d, %s", args, got.exit, got.err)
	}
	for _, w := range wanted {
		if !strings.Contains(got.out, w) {
			c.t.Errorf("%v does not say %q; it says:\n%s", args, w, got.out)
		}
	}
	return got.out
}

const tightSpec = `{"name": "House", "target": {"cielab": {"L": 87, "a": 13, "b": 5}}, "tolerance": {"delta_e_00": 0.4}, "rule": "guarded", "reading_method": {"source": "readings"}}`

// wideSpec is a version that a rosé read at three wavelengths can pass.
var wideSpec = strings.NewReplacer(`"delta_e_00": 0.4`, `"delta_e_00": 4`, `"name": "House"`, `"name": "House", "product": "House 750", "approved_by": "Bea"`).Replace(tightSpec)

// TestReleaseCommands goes from a specification to a released lot by commands
// alone.
func TestReleaseCommands(t *testing.T) {
	t.Parallel()
	c := aCheck{t, t.TempDir()}
	c.does("", []string{"identifier"}, "spec", "list")
	c.does(tightSpec, []string{"House, version 1, holds always", "NO LOT COULD PASS", "The least tolerance that it would pass is ΔE00"}, "spec", "add")
	c.does(wideSpec, []string{"version 2", "approved by Bea", "A lot of exactly the right colour would be within with probability"}, "spec", "new-version", "House", "--seen", "1")
	if got := c.run(wideSpec, "spec", "new-version", "House", "--seen", "1"); got.exit != 2 || !strings.Contains(got.err, "version 1 is not the newest any more, that is 2, approved by Bea: look at it and say --seen 2") {
		t.Errorf("a version that was overtaken: exit %d, %s", got.exit, got.err)
	}
	c.does("", []string{"always", "guarded"}, "spec", "versions", "house")
	c.does("", []string{"version 1"}, "spec", "show", "House", "--version", "1")
	c.does("", []string{"L-31, House 750", "No sample was read yet"}, "lot", "add", "--name", "L-31", "--product", "House 750")
	c.does("", []string{"L-32", "version 2"}, "lot", "add", "--name", "L-32", "--spec", "House")
	c.does(`{"instrument": "S2", "kind": "blank", "points": [{"certified": 0, "limit": 0.005, "reading": 0.05}]}`, []string{"S2, blank: FAILED"}, "instrument", "check")
	c.does("", []string{"FAILED"}, "instrument", "list")

	sample := []string{"lot", "sample", "L-31", "--stage", "first_bottles", "--a420", "0.196", "--a520", "0.216", "--a620", "0.043", "--free-so2", "28", "--filtered", "true"}
	c.does("", []string{"Verdict: pass", "delta_e_00", "Against the target"}, append(sample, "--exit-verdict")...)
	c.does("", []string{"instrument_check_failed"}, append(sample, "--instrument", "s2")...)
	if got := c.run("", "lot", "sample", "L-31", "--stage", "middle", "--a420", "0.4", "--a520", "0.45", "--a620", "0.1", "--exit-verdict"); got.exit != 3 || !strings.Contains(got.out, "Verdict: fail") {
		t.Errorf("a sample outside: exit %d, %s%s", got.exit, got.out, got.err)
	}
	c.does("", []string{"stop: The newest sample (middle) is outside"}, "lot", "run", "L-31")
	if got := c.run("", "lot", "decide", "L-31", "--decision", "released", "--by", "Bea"); got.exit != 2 || !strings.Contains(got.err, "/reason: the newest verdict on 1 of the lot's samples is no pass") {
		t.Errorf("released over a fail: exit %d, %s", got.exit, got.err)
	}
	c.does("", []string{"Decided: released by Bea: relabelled"}, "lot", "decide", "L-31", "--decision", "released", "--by", "Bea", "--reason", "relabelled")
	c.does("", []string{"first_bottles", "STOP", "Decided: released by Bea"}, "lot", "show", "L-31")
	c.does("", []string{"2 changed", "pass  inconclusive"}, "lot", "judge", "L-31", "--spec-version", "1")
	c.does("", []string{"version 1", "version 2"}, "lot", "verdicts", "L-31")
	c.does("", []string{"6 verdicts computed anew", "6 the same, 0 not"}, "lot", "recompute")
	c.does("", []string{"L-32", "fail", "released"}, "lot", "list")

	var lot release.LotAnswer
	if err := json.Unmarshal([]byte(c.does("", nil, "lot", "show", "L-31", "--json")), &lot); err != nil || len(lot.Samples) != 3 || len(lot.Decision.Verdicts) != 3 || lot.SpecVersion != 2 {
		t.Errorf("%+v, %v", lot, err)
	}
	c.does("", []string{"Archived"}, "lot", "archive", "L-32")
	c.does("", []string{"Archived"}, "spec", "archive", "House")
}

// TestReleaseRefused: what is wrong, where, and what would be right.
func TestReleaseRefused(t *testing.T) {
	t.Parallel()
	c := aCheck{t, t.TempDir()}
	if got := pourpath("", "lot", "show", "L-1", "--data", filepath.Join(c.data, "none")); got.exit != 2 || !strings.Contains(got.err, "there are no records in") {
		t.Errorf("without records: exit %d, %s", got.exit, got.err)
	}
	c.does(wideSpec, nil, "spec", "add")
	c.does(wideSpec, nil, "spec", "add")
	c.does("", nil, "lot", "add", "--name", "L-1", "--spec", specOf(c))
	for _, k := range []struct {
		in, wants string
		args      []string
	}{
		{"", `"House" is the name or the beginning of 2 specs`, []string{"spec", "show", "House"}},
		{"", `there is no spec "Garden"`, []string{"spec", "show", "Garden"}},
		{"", `there is no lot "L-2"`, []string{"lot", "show", "L-2"}},
		{"", "lot show takes one lot", []string{"lot", "show"}},
		{"", "/readings/a520", []string{"lot", "sample", "L-1", "--a420", "0.1"}},
		{"", "/stage", []string{"lot", "sample", "L-1", "--a420", "0.1", "--a520", "0.1", "--a620", "0.01", "--stage", "later"}},
		{"", "/taken_at", []string{"lot", "sample", "L-1", "--a420", "0.1", "--a520", "0.1", "--a620", "0.01", "--taken-at", "2099-01-01"}},
		{"", "a release rests on verdicts", []string{"lot", "decide", "L-1", "--decision", "released", "--by", "Bea"}},
		{"", "/decision", []string{"lot", "decide", "L-1", "--decision", "poured away", "--by", "Bea"}},
		{"", "/spec_version", []string{"lot", "judge", "L-1", "--spec-version", "0"}},
		{`{"name": "x"}`, "", []string{"spec", "add"}},
		{wideSpec, "--seen says which version", []string{"spec", "new-version", specOf(c)}},
		{`{"instrument": "S2", "kind": "filter", "points": [{"certified": 0.5, "limit": 0.01, "reading": 0.5}]}`, "/points/0/nm", []string{"instrument", "check"}},
	} {
		got := c.run(k.in, k.args...)
		if got.exit != 2 || got.out != "" || !strings.Contains(got.err, k.wants) {
			t.Errorf("%v: exit %d, %q, %s", k.args, got.exit, got.out, got.err)
		}
	}
}

// specOf is the identifier of the newest specification.
func specOf(c aCheck) string {
	c.t.Helper()
	var list struct {
		Items []struct{ ID string }
	}
	if err := json.Unmarshal([]byte(c.does("", nil, "spec", "list", "--json")), &list); err != nil || len(list.Items) == 0 {
		c.t.Fatalf("%v, %d", err, len(list.Items))
	}
	return list.Items[0].ID
}
