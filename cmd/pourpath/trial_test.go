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

	"pourpath/api/bench"
	"pourpath/api/record"
)

// atBench runs pourpath trial on a store of its own.
type atBench struct {
	t    *testing.T
	data string
}

func (b atBench) run(in string, args ...string) result {
	b.t.Helper()
	return pourpath(in, append(append([]string{"trial"}, args...), "--data", b.data)...)
}

// does wants a command to succeed and to say something.
func (b atBench) does(wanted []string, args ...string) string {
	b.t.Helper()
	got := b.run("", args...)
	if got.exit != 0 || got.err != "" {
		b.t.Fatalf("%v: exit %d, %s", args, got.exit, got.err)
	}
	for _, w := range wanted {
		if !strings.Contains(got.out, w) {
			b.t.Errorf("%v does not say %q; it says:\n%s", args, w, got.out)
		}
	}
	return got.out
}

func begun(t *testing.T) atBench {
	t.Helper()
	b := atBench{t, t.TempDir()}
	if got := b.run(exampleTrial, "begin"); got.exit != 0 {
		t.Fatalf("exit %d: %s", got.exit, got.err)
	}
	return b
}

// TestTrialCommands runs a trial from plan to printed work order. A glass at 3 mL
// that gets 2 mL more holds 5, whatever anyone says (common practice, no source);
// 100 mL + 8 mL, 15 mL sipped, + 2 mL is 10.32 mL per 100 mL, not 10.
func TestTrialCommands(t *testing.T) {
	t.Parallel()
	b := begun(t)
	b.does([]string{"Measured with the 10 mL syringe.", "addition into B", "% of the blend"}, "plan", "First ladder", "--to-ml", "12", "--step-ml", "2")
	b.does([]string{"Glass C: 3 mL poured in all", "3.00 mL per 100 mL of base = 2.91 % of the blend"}, "pour", "first ladder", "--glass", "C", "--volume-ml", "3")
	b.does([]string{"Glass C: 5 mL poured in all", "Note (total_mismatch): 6 mL is stated as the total of glass C"}, "pour", "First ladder", "--glass", "C", "--volume-ml", "2", "--stated-total-ml", "6")
	b.does(nil, "pour", "First ladder", "--glass", "B", "--volume-ml", "8", "--tool", "10 mL syringe", "--who", "Ada", "--key", "one")
	b.does(nil, "pour", "First ladder", "--glass", "B", "--volume-ml", "8", "--tool", "10 mL syringe", "--who", "Ada", "--key", "one")
	b.does(nil, "withdraw", "First ladder", "--glass", "B", "--volume-ml", "15", "--why", "tasting")
	b.does([]string{"Glass B: 10 mL poured in all", "10.32 mL per 100 mL of base = 9.36 % of the blend, ± "}, "pour", "First ladder", "--glass", "B", "--volume-ml", "2", "--tool", "10 mL syringe")
	b.does([]string{"read_again_next_day"}, "read", "First ladder", "--glass", "B", "--a420", "0.27", "--a520", "0.31", "--a620", "0.06", "--minutes-since-blending", "20")
	b.does([]string{"score 71, of 100"}, "note", "First ladder", "--glass", "B", "--note", "bright", "--score", "71", "--scale", "of 100")
	b.does([]string{"entry 8: entry 2 taken back, miscounted"}, "undo", "First ladder", "--entry", "2", "--why", "miscounted")
	b.does([]string{"read"}, "plan", "First ladder", "--kind", "closing")
	b.does([]string{"10.32 mL per 100 mL of base"}, "choose", "First ladder", "--glass", "B", "--reasons", "liked best")
	b.does([]string{"look_again"}, "check", "First ladder", "--volume-ml", "250", "--a420", "0.27", "--a520", "0.31", "--a620", "0.06")
	b.does(nil, "check", "First ladder", "--clear", "true", "--look-note", "bright", "--look-at", "2099-01-01T09:00:00Z")
	shown := b.does([]string{"White base", "Young red", "C          3", "(taken back by entry 8)", "Chosen (entry 9): 10.32", "Final check, done: 250 mL poured", "it stayed clear. bright", "Closest to the target"}, "show", "First ladder")
	if n := strings.Count(shown, "8 mL poured into B"); n != 1 {
		t.Errorf("a pour that was sent twice is there %d times", n)
	}
	var answer bench.TrialAnswer
	if err := json.Unmarshal([]byte(b.run("", "show", "First ladder", "--json").out), &answer); err != nil || len(answer.Entries) != 6 {
		t.Errorf("%v, %d entries", err, len(answer.Entries))
	}

	for _, c := range []struct{ file, begins string }{{"sheet.pdf", "%PDF"}, {"sheet.html", "<!"}, {"report.pdf", "%PDF"}, {"report.html", "<!"}, {"order.pdf", "%PDF"}, {"order.html", "<!"}} {
		command, _, _ := strings.Cut(c.file, ".")
		out := filepath.Join(t.TempDir(), c.file)
		args := []string{command, answer.ID[:30], "-o", out}
		if command == "order" {
			args = append(args, "--base-l", "2000", "--stock-base-l", "2150", "--stock-addition-l", "250", "--heel-l", "3")
		}
		b.does([]string{out}, args...)
		if data, err := os.ReadFile(out); err != nil || !strings.HasPrefix(string(data), c.begins) {
			t.Errorf("%s: %v, begins with %.20q", c.file, err, data)
		}
	}
	b.does([]string{"First ladder", "3 glasses, 11 entries"}, "list")
	b.does([]string{"Archived"}, "archive", "First ladder")
}

// TestTrialCommandsRefused wants each fault to end with status 2, and to say what
// is wrong, where, and what would be right.
func TestTrialCommandsRefused(t *testing.T) {
	t.Parallel()
	b := begun(t)
	b.does(nil, "pour", "First ladder", "--glass", "B", "--volume-ml", "8")
	for _, c := range []struct {
		want string
		args []string
	}{
		{`/glass: this trial has no such glass: want one of "A", "B", "C"`, []string{"pour", "First ladder", "--glass", "Z", "--volume-ml", "2"}},
		{"/volume_ml: expected number > 0", []string{"pour", "First ladder", "--glass", "B", "--volume-ml", "-2"}},
		{"/volume_ml: expected number, not string", []string{"pour", "First ladder", "--glass", "B", "--volume-ml", "two"}},
		{"/volume_ml: the field \"volume_ml\" is missing", []string{"pour", "First ladder", "--glass", "B"}},
		{"/volume_ml: the 10 mL syringe holds 10 mL, not 12", []string{"pour", "First ladder", "--glass", "B", "--volume-ml", "12", "--tool", "10 mL syringe"}},
		{"/volume_ml: there are 108 mL in the glass", []string{"withdraw", "First ladder", "--glass", "B", "--volume-ml", "200"}},
		{"/why", []string{"withdraw", "First ladder", "--glass", "B", "--volume-ml", "2", "--why", "thirst"}},
		{"/readings/a520: the field \"a520\" is missing", []string{"read", "First ladder", "--glass", "B", "--a420", "0.2", "--a620", "0.1"}},
		{"/entry: the log has 1 entries", []string{"undo", "First ladder", "--entry", "7"}},
		{"no dose is chosen yet", []string{"check", "First ladder", "--volume-ml", "250"}},
		{"no dose is chosen yet, and an order is for the chosen dose", []string{"order", "First ladder", "--base-l", "200", "-o", "x.pdf"}},
		{`there is no trial "Last ladder"`, []string{"show", "Last ladder"}},
		{"takes one trial", []string{"show"}},
		{"unknown flag: --colour", []string{"pour", "First ladder", "--colour", "red"}},
		{"want the name of a file that ends in .pdf or .html", []string{"report", "First ladder", "-o", "report.doc"}},
		{"/kind: expected value to be one of", []string{"plan", "First ladder", "--kind", "steep"}},
		{"/tool: there is no such tool", []string{"plan", "First ladder", "--tool", "cup"}},
	} {
		got := b.run("", c.args...)
		if got.exit != 2 || !strings.Contains(got.err, c.want) {
			t.Errorf("%v: exit %d, %q, want %q", c.args, got.exit, got.err, c.want)
		}
	}
	if got := pourpath("", "trial", "pore"); got.exit != 2 || !strings.Contains(got.err, `there is no command "pore"`) {
		t.Errorf("no such command: exit %d, %s", got.exit, got.err)
	}
	var problem struct {
		Errors []struct{ Location string }
	}
	got := b.run("", "pour", "First ladder", "--glass", "Z", "--volume-ml", "2", "--json")
	if err := json.Unmarshal([]byte(got.err), &problem); err != nil || got.exit != 2 || problem.Errors[0].Location != "/glass" {
		t.Errorf("as JSON: exit %d, %v, %s", got.exit, err, got.err)
	}
	got = b.run(`{"name": "x", "base": {}, "addition": {"name": "Red"}, "base_ml": 100, "glasses": ["A", "A"], "colour": 1}`, "begin")
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
// nothing is lost, and the total is the sum.
func TestTwoAtOneTrial(t *testing.T) {
	t.Parallel()
	b := begun(t)
	const people, pours = 3, 4
	var wait sync.WaitGroup
	for who := range people {
		wait.Go(func() {
			for i := range pours {
				c := exec.Command(os.Args[0], "trial", "pour", "First ladder", "--glass", "B", "--volume-ml", "1", "--key", fmt.Sprintf("%d-%d", who, i), "--data", b.data)
				c.Env = append(os.Environ(), asProgram+"=1")
				if out, err := c.CombinedOutput(); err != nil {
					t.Errorf("%v: %s", err, out)
				}
			}
		})
	}
	wait.Wait()
	var answer bench.TrialAnswer
	if err := json.Unmarshal([]byte(b.run("", "show", "First ladder", "--json").out), &answer); err != nil {
		t.Fatal(err)
	}
	if total := answer.Glasses[1].PouredTotalML; total != people*pours || len(answer.Entries) != people*pours {
		t.Errorf("%g mL in %d entries, want %d", total, len(answer.Entries), people*pours)
	}
	for i, e := range answer.Entries {
		if e.No != i+1 || e.Kind != record.Pour {
			t.Errorf("entry %d has the number %d", i+1, e.No)
		}
	}
}
