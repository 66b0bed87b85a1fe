package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pourpath/api/calc"
	"pourpath/api/release"
)

// TestReleaseCommandsRefused wants each fault to end with status 2, and to say what
// is wrong, where, and what would be right; nothing of it is kept.
func TestReleaseCommandsRefused(t *testing.T) {
	t.Parallel()
	d := atHouse(t)
	for _, c := range []struct {
		want string
		args []string
	}{
		{`/target/cielab/L: expected number, not string (given: "84,2")`, []string{"spec", "add", "--target-L", "84,2"}},
		{"/limits/L: the limits contradict each other", []string{"spec", "add", "--limits-L", "90,80"}},
		{"/limits/L: expected array length >= 2", []string{"spec", "add", "--limits-L", "80"}},
		{"/valid_to: it ends at or before its beginning", []string{"spec", "add", "--limits-L", "80,90", "--valid-from", "2026-02-01", "--valid-to", "2026-01-01"}},
		{`/reference/lots/0: there is no lot "L-99"`, []string{"spec", "add", "--reference-lots", "L-99", "--delta-e-00", "2"}},
		{`/reference/lots/0: the lot "L-31" was not released`, []string{"spec", "add", "--reference-lots", "L-31", "--delta-e-00", "2"}},
		{`/reference/trial: there is no trial "First"`, []string{"spec", "add", "--reference-trial", "First", "--delta-e-00", "2"}},
		{"--after-version: say which version you have seen as the newest", with([]string{"spec", "new-version", "House rosé"}, houseSpec)},
		{"--after-version 3: there is no such version: the newest is 1", with([]string{"spec", "new-version", "House rosé", "--after-version", "3"}, houseSpec)},
		{"--version: there is no version 2 of this specification: there are 1 to 1", []string{"spec", "show", "House rosé", "--version", "2"}},
		{"pourpath spec show takes one spec: its identifier", []string{"spec", "show"}},
		{`there is no spec "House"; pourpath spec list has those there are`, []string{"spec", "show", "House"}},
		{"/spec/reading_method: say how lots will be read", []string{"spec", "feasibility", "--limits-L", "80,90"}},
		{"the specification is given twice", []string{"spec", "feasibility", "House rosé", "-f", "x.json"}},
		{`/spec: there is no spec "House"`, []string{"lot", "add", "--name", "L-32", "--spec", "House"}},
		{"/spec: which specification is the lot held against?", []string{"lot", "add", "--name", "L-32"}},
		{"/bottled_at: this is no time: want", []string{"lot", "add", "--name", "L-32", "--spec", "House rosé", "--bottled-at", "20.11.2025"}},
		{`there is no lot "L-99"; pourpath lot list has those there are`, []string{"lot", "show", "L-99"}},
		{"there is no request", []string{"lot", "sample", "L-31"}},
		{"/readings/a620: the field \"a620\" is missing", []string{"lot", "sample", "L-31", "--a420", "0.142", "--a520", "0.118"}},
		{`give exactly one of "readings", "spectrum" or "cielab"; here are 2`, with([]string{"lot", "sample", "L-31", "--a420", "0.142", "--a520", "0.118", "--a620", "0.02"}, onTarget)},
		{"/stage: expected value to be one of", with([]string{"lot", "sample", "L-31", "--stage", "start"}, onTarget)},
		{"/taken_at: the sample is from the future", with([]string{"lot", "sample", "L-31", "--taken-at", "2099-01-01"}, onTarget)},
		{"/taken_at: a sample of the stage \"middle\" is taken from bottles", with([]string{"lot", "sample", "L-31", "--stage", "middle", "--taken-at", "2025-10-01"}, onTarget)},
		{"/cielab: these values are stated for D65/2°, 10 mm and the specification holds for D65/10°, 10 mm", with([]string{"lot", "sample", "L-31", "--cielab-observer", "2"}, onTarget)},
		{"/state/free_so2_mg_per_l: the free sulphur dioxide is above the total", with([]string{"lot", "sample", "L-31", "--free-so2-mg-per-l", "90", "--total-so2-mg-per-l", "30"}, onTarget)},
		{"given twice: either -f, or --stage", []string{"lot", "sample", "L-31", "-f", "x.json", "--stage", "end"}},
		{"/spec_version: the specification has no such version: there are 1 to 1", []string{"lot", "judge", "L-31", "--version", "2"}},
		{"/samples: this lot has no sample yet", []string{"lot", "judge", "L-31", "--version", "1"}},
		{`/spec: there is no spec "House"`, []string{"lot", "judge", "L-31", "--spec", "House"}},
		{`"ship" is no decision: want release, hold or reject`, []string{"lot", "decide", "L-31", "ship", "--by", "Ada"}},
		{"takes one lot and what was decided about it: release, hold or reject", []string{"lot", "decide", "L-31"}},
		{"/verdicts: a release rests on verdicts", []string{"lot", "decide", "L-31", "release", "--by", "Ada"}},
		{"/reason: say why the lot is held", []string{"lot", "decide", "L-31", "hold", "--by", "Ada"}},
		{"/by: the field \"by\" is missing", []string{"lot", "decide", "L-31", "release"}},
		{"/verdicts/0: this lot has no such verdict", []string{"lot", "decide", "L-31", "hold", "--by", "Ada", "--reason", "x", "--verdicts", "abc"}},
		{`"546.1;certified" is no name=value`, []string{"instrument", "add-check", "--points", "546.1;certified"}},
		{"/points/0/reading: the field \"reading\" is missing", []string{"instrument", "add-check", "--instrument", "x", "--kind", "blank", "--points", "certified=0,limit=0.002"}},
		{"/points/0/nm: at which wavelength was it read?", []string{"instrument", "add-check", "--instrument", "x", "--kind", "filter", "--points", "certified=0.5,limit=0.002,reading=0.5"}},
		{`no check of an instrument "bench 9" is recorded`, []string{"instrument", "show", "bench 9"}},
		{`there is no lot "L-99"`, []string{"verdicts", "verify", "--lot", "L-99"}},
		{"unknown flag: --colour", []string{"lot", "sample", "L-31", "--colour", "red"}},
	} {
		if got := d.run("", c.args...); got.exit != 2 || got.out != "" || !strings.Contains(got.err, c.want) {
			t.Errorf("%v: exit %d, %q, want %q", c.args, got.exit, got.err, c.want)
		}
	}
	if got := pourpath("", "lot", "plan"); got.exit != 2 || !strings.Contains(got.err, `there is no command "plan"`) {
		t.Errorf("no such command: exit %d, %s", got.exit, got.err)
	}
	if lot := printed[release.LotAnswer](d, "lot", "show", "L-31"); len(lot.Samples) != 0 || lot.Decision != nil {
		t.Errorf("something that was refused was kept: %+v", lot)
	}
	d.does([]string{"Version 2"}, with([]string{"spec", "new-version", "House rosé", "--after-version", "1"}, houseSpec)...)
	if got := d.run("", with([]string{"spec", "new-version", "House rosé", "--after-version", "1"}, houseSpec)...); got.exit != 2 || !strings.Contains(got.err, "somebody has added a version since") {
		t.Errorf("a version after one that is not the newest: exit %d, %s", got.exit, got.err)
	}
	d.does(nil, "lot", "add", "--name", "L-31", "--spec", "House rosé")
	if got := d.run("", "lot", "show", "L-31"); got.exit != 2 || !strings.Contains(got.err, `"L-31" is the name or the beginning of 2 lots: give one of the identifiers`) {
		t.Errorf("two lots of a name: exit %d, %s", got.exit, got.err)
	}
	d.does([]string{"Archived"}, "spec", "archive", "House rosé")
	if got := d.run("", "spec", "archive", "House rosé"); got.exit != 2 || !strings.Contains(got.err, "it is archived") {
		t.Errorf("archived twice: exit %d, %s", got.exit, got.err)
	}
}

// TestReleaseProblemsAsJSON: with --json a refusal is the service's problem.
func TestReleaseProblemsAsJSON(t *testing.T) {
	t.Parallel()
	d := atHouse(t)
	for _, c := range []struct {
		in, location string
		args         []string
	}{
		{"", "/stage", with([]string{"lot", "sample", "L-31", "--stage", "start"}, onTarget)},
		{`{"cielab": {"L": 84, "a": 13, "b": 8, "path_mm": 10}, "bottles": 2}`, "/bottles", []string{"lot", "sample", "L-31"}},
		{"", "/spec", []string{"lot", "add", "--name", "x", "--spec", "House"}},
		{"", "", []string{"lot", "show", "L-99"}},
		{`{`, "", []string{"spec", "add"}},
		{`[1]`, "", []string{"spec", "feasibility"}},
	} {
		var p calc.Problem
		got := d.run(c.in, append(c.args, "--json")...)
		if err := json.Unmarshal([]byte(got.err), &p); err != nil || got.exit != 2 || p.Type == "" || p.Status < 400 || len(p.Errors) == 0 || p.Errors[0].Location != c.location {
			t.Errorf("%v: exit %d, %v, %s", c.args, got.exit, err, got.err)
		}
	}
}

// TestReleaseWithoutRecords: a mistyped folder is not made.
func TestReleaseWithoutRecords(t *testing.T) {
	t.Parallel()
	d := aDesk{t, filepath.Join(t.TempDir(), "celar")}
	d.does([]string{"There is no specification yet"}, "spec", "list")
	d.does([]string{"There is no lot yet"}, "lot", "list")
	d.does([]string{"There is no check yet"}, "instrument", "list")
	d.does([]string{`"items": []`}, "lot", "list", "--json")
	for _, args := range [][]string{{"spec", "show", "House"}, {"lot", "show", "L-31"}, {"instrument", "show", "bench 2"}, {"verdicts", "verify"}, {"lot", "add", "--name", "x", "--spec", "House"}} {
		if got := d.run("", args...); got.exit != 2 || !strings.Contains(got.err, "no records in "+d.data) {
			t.Errorf("%v: exit %d, %s", args, got.exit, got.err)
		}
	}
	if _, err := os.Stat(d.data); err == nil {
		t.Errorf("%s was made", d.data)
	}
}
