package main

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// TestTrialCommandsRefused wants each fault to end with status 2, and to say what
// is wrong, where, and what would be right; nothing of it is logged.
func TestTrialCommandsRefused(t *testing.T) {
	t.Parallel()
	b := begun(t)
	const trial = "First ladder"
	b.does(nil, "pour", trial, "--glass", "B", "--volume-ml", "8")
	out := filepath.Join(t.TempDir(), "x.pdf")
	for _, c := range []struct {
		want string
		args []string
	}{
		{`/glass: this trial has no such glass: want one of "A", "B", "C"`, []string{"pour", trial, "--glass", "Z", "--volume-ml", "2"}},
		{`/glass: this trial has no such glass`, []string{"read", trial, "--glass", "", "--a420", "0.2", "--a520", "0.2", "--a620", "0.1"}},
		{"/volume_ml: expected number > 0", []string{"pour", trial, "--glass", "B", "--volume-ml", "-2"}},
		{"/volume_ml: expected number > 0", []string{"withdraw", trial, "--glass", "B", "--volume-ml", "0"}},
		{"/volume_ml: expected number <= 100000", []string{"pour", trial, "--glass", "B", "--volume-ml", "1e9"}},
		{"/volume_ml: expected number, not string", []string{"pour", trial, "--glass", "B", "--volume-ml", "two"}},
		{"/volume_ml: expected number, not string", []string{"pour", trial, "--glass", "B", "--volume-ml", "NaN"}},
		{"/volume_ml: expected number, not string", []string{"pour", trial, "--glass", "B", "--volume-ml", "2,5"}},
		{"/volume_ml: the field \"volume_ml\" is missing", []string{"pour", trial, "--glass", "B"}},
		{"/volume_ml: the 10 mL syringe holds 10 mL, not 12", []string{"pour", trial, "--glass", "B", "--volume-ml", "12", "--tool", "10 mL syringe"}},
		{"/volume_ml: there are 108 mL in the glass", []string{"withdraw", trial, "--glass", "B", "--volume-ml", "200"}},
		{"/why", []string{"withdraw", trial, "--glass", "B", "--volume-ml", "2", "--why", "thirst"}},
		{"/readings/a520: the field \"a520\" is missing", []string{"read", trial, "--glass", "B", "--a420", "0.2", "--a620", "0.1"}},
		{"/taken_at: this is no time", []string{"read", trial, "--glass", "B", "--a420", "0.2", "--a520", "0.2", "--a620", "0.1", "--taken-at", "noon"}},
		{"/entry: the log has 1 entries", []string{"undo", trial, "--entry", "7"}},
		{"/entry: expected integer", []string{"undo", trial, "--entry", "1.5"}},
		{"there is nothing noted", []string{"note", trial, "--glass", "B"}},
		{"one of the two", []string{"choose", trial, "--glass", "B", "--dose-ml-per-100ml", "6", "--reasons", "x"}},
		{"/reasons", []string{"choose", trial, "--glass", "B"}},
		{"/looked_again/clear: expected boolean", []string{"check", trial, "--clear", "perhaps"}},
		{"no dose is chosen yet", []string{"check", trial, "--volume-ml", "250"}},
		{"no dose is chosen yet, and an order is for the chosen dose", []string{"order", trial, "--base-l", "200", "-o", out}},
		{"there is no request", []string{"pour", trial}},
		{"given twice: either -f, or --glass", []string{"pour", trial, "-f", "x.json", "--glass", "B"}},
		{`there is no trial "Last ladder"`, []string{"show", "Last ladder"}},
		{"takes one trial", []string{"show"}},
		{"takes one trial", []string{"show", ""}},
		{"takes one trial", []string{"show", "First", "ladder"}},
		{"unknown flag: --colour", []string{"pour", trial, "--colour", "red"}},
		{"ends in .pdf or .html", []string{"report", trial, "-o", "report.doc"}},
		{"give -o FILE", []string{"report", trial}},
		{"/kind: expected value to be one of", []string{"plan", trial, "--kind", "steep"}},
		{"/tool: there is no such tool", []string{"plan", trial, "--tool", "cup"}},
		{"/step_ml: step_ml goes with the kind even", []string{"sheet", trial, "--kind", "closing", "--step-ml", "2", "-o", out}},
	} {
		if got := b.run("", c.args...); got.exit != 2 || got.out != "" || !strings.Contains(got.err, c.want) {
			t.Errorf("%v: exit %d, %q, want %q", c.args, got.exit, got.err, c.want)
		}
	}
	if answer := b.shown(trial); len(answer.Log) != 0 || len(answer.Entries) != 1 || answer.Choice != nil {
		t.Errorf("something that was refused was logged: %+v", answer.Entries)
	}
	if _, err := os.Stat(out); err == nil {
		t.Error("a document that was refused was written")
	}
}

// TestTrialProblemsAsJSON: with --json a refusal is the service's problem.
func TestTrialProblemsAsJSON(t *testing.T) {
	t.Parallel()
	b := begun(t)
	for _, c := range []struct {
		in, location string
		args         []string
	}{
		{"", "/glass", []string{"pour", "First ladder", "--glass", "Z", "--volume-ml", "2"}},
		{`{"glass": "B", "volume_ml": 2, "millilitres": 2}`, "/millilitres", []string{"pour", "First ladder"}},
		{"", "", []string{"show", "Last ladder"}},
		{"", "", []string{"pour", "First ladder", "--colour", "red"}},
		{"", "", []string{"report", "First ladder", "-o", "report.doc"}},
		{`{`, "", []string{"begin"}},
	} {
		var p calc.Problem
		got := b.run(c.in, append(c.args, "--json")...)
		if err := json.Unmarshal([]byte(got.err), &p); err != nil || got.exit != 2 || p.Type == "" || p.Title == "" || p.Status < 400 || len(p.Errors) == 0 || p.Errors[0].Location != c.location {
			t.Errorf("%v: exit %d, %v, %s", c.args, got.exit, err, got.err)
		}
	}
	if got := pourpath("", "trial", "pore"); got.exit != 2 || !strings.Contains(got.err, `there is no command "pore"`) {
		t.Errorf("no such command: exit %d, %s", got.exit, got.err)
	}
	got := b.run(`{"name": "x", "base": {}, "addition": {"name": "Red"}, "base_ml": 100, "glasses": ["A", "A"], "colour": 1}`, "begin")
	for _, want := range []string{"/base: which wine is it?", "/glasses/1", "/colour: unknown field"} {
		if got.exit != 2 || !strings.Contains(got.err, want) {
			t.Errorf("begin: exit %d, %q, want %q", got.exit, got.err, want)
		}
	}
	if got := b.run(exampleTrial, "begin"); got.exit != 0 {
		t.Fatal(got.err)
	}
	if got := b.run("", "show", "First ladder"); got.exit != 2 || !strings.Contains(got.err, "of 2 trials: give one of the identifiers") {
		t.Errorf("two trials of a name: exit %d, %s", got.exit, got.err)
	}
}

// TestTwoAtOneTrial lets processes of their own log into one trial at once:
// nothing is lost, a key that several send counts once, and the total is the sum.
func TestTwoAtOneTrial(t *testing.T) {
	t.Parallel()
	b := begun(t)
	const people, pours = 3, 4
	var wait sync.WaitGroup
	for who := range people {
		wait.Go(func() {
			for i := range pours + 1 {
				key := fmt.Sprintf("%d-%d", who, i)
				if i == pours {
					key = "of all"
				}
				c := exec.Command(os.Args[0], "trial", "pour", "First ladder", "--glass", "B", "--volume-ml", "1", "--key", key, "--data", b.data)
				c.Env = append(os.Environ(), asProgram+"=1")
				if out, err := c.CombinedOutput(); err != nil {
					t.Errorf("%v: %s", err, out)
				}
			}
		})
	}
	wait.Wait()
	const want = people*pours + 1
	answer := b.shown("First ladder")
	if total := answer.Glasses[1].PouredTotalML; total != want || len(answer.Entries) != want {
		t.Errorf("%g mL in %d entries, want %d", total, len(answer.Entries), want)
	}
	for i, e := range answer.Entries {
		if e.No != i+1 || e.Kind != record.Pour {
			t.Errorf("entry %d has the number %d", i+1, e.No)
		}
	}
}
