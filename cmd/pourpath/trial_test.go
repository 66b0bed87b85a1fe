package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pourpath/api/bench"
)

// aBench runs pourpath trial on a store of its own.
type aBench struct {
	t    *testing.T
	data string
}

func (b aBench) run(in string, args ...string) result {
	b.t.Helper()
	return pourpath(in, append(append([]string{"trial"}, args...), "--data", b.data)...)
}

// does wants a command to succeed and to say something.
func (b aBench) does(wanted []string, args ...string) string {
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

// shown is the trial as show prints it for programs.
func (b aBench) shown(trial string) (answer bench.TrialAnswer) {
	b.t.Helper()
	got := b.run("", "show", trial, "--json")
	if err := json.Unmarshal([]byte(got.out), &answer); err != nil {
		b.t.Fatalf("%v: %s%s", err, got.out, got.err)
	}
	return answer
}

func begun(t *testing.T) aBench {
	t.Helper()
	b := aBench{t, t.TempDir()}
	if got := b.run(exampleTrial, "begin"); got.exit != 0 {
		t.Fatalf("exit %d: %s", got.exit, got.err)
	}
	return b
}

// TestTrialCommands runs a trial from plan to printed work order. A glass at 3 mL
// that gets 2 mL more holds 5, whatever anyone says (common practice, no source);
// 100 mL + 8 mL, 15 mL sipped, + 2 mL is 10.32 mL per 100 mL, not 10:
// 100 × 93/108 = 86.11 mL of base are left with 6.89 + 2 mL of addition.
func TestTrialCommands(t *testing.T) {
	t.Parallel()
	b := begun(t)
	const trial = "First ladder"
	b.does([]string{"measured with the 10 mL syringe.", "of the addition into      B", "ΔE00 of a graduation", "% of the blend", "Next to read:"}, "plan", trial, "--to-ml", "12", "--step-ml", "2")
	b.does([]string{"Glass C: 3 mL poured in all\n  3.00 mL per 100 mL of base = 2.91 % of the blend"}, "pour", "first ladder", "--glass", "C", "--volume-ml", "3")
	b.does([]string{"Glass C: 5 mL poured in all\n  5.00 mL per 100 mL", "Note (total_mismatch): 6 mL is stated as the total of glass C"}, "pour", trial, "--glass", "C", "--volume-ml", "2", "--stated-total-ml", "6")
	b.does([]string{"Glass B: 8 mL poured in all\n  8.00 mL per 100 mL of base = 7.41 % of the blend, ± "}, "pour", trial, "--glass", "B", "--volume-ml", "8", "--tool", "10 mL syringe", "--who", "Ada")
	b.does([]string{"it holds 93.0 mL"}, "withdraw", trial, "--glass", "B", "--volume-ml", "15", "--why", "tasting")
	b.does([]string{"Glass B: 10 mL poured in all\n  10.32 mL per 100 mL of base = 9.36 % of the blend, ± "}, "pour", trial, "--glass", "B", "--volume-ml", "2", "--tool", "10 mL syringe")
	b.does([]string{"read_again_next_day", "A520 0.31"}, "read", trial, "--glass", "B", "--a420", "0.27", "--a520", "0.31", "--a620", "0.06", "--minutes-since-blending", "20", "--temperature-c", "19.5")
	b.does([]string{"B: bright, score 71, of 100"}, "note", trial, "--glass", "B", "--note", "bright", "--score", "71", "--scale", "of 100")
	b.does([]string{"Glass C: 3 mL poured in all", "entry 8: entry 2 taken back, miscounted"}, "undo", trial, "--entry", "2", "--why", "miscounted")
	b.does([]string{"Closing in on the target: ", "Closest to the target:"}, "plan", trial, "--kind", "closing")
	b.does([]string{"  2.00 ", "  7.00 "}, "plan", trial, "--kind", "given", "--doses-ml", "2,7")
	b.does([]string{"Chosen: 10.32 mL per 100 mL of base = 9.36 % of the blend"}, "choose", trial, "--glass", "B", "--reasons", "liked best")
	b.does([]string{"Final check of 10.32 mL per 100 mL of base = 9.36 % of the blend, ± 0.10 mL per 100 mL", "look_again"}, "check", trial, "--volume-ml", "250", "--a420", "0.27", "--a520", "0.31", "--a620", "0.06")
	b.does([]string{"looked_too_soon"}, "check", trial, "--clear", "true")
	b.does(nil, "check", trial, "--clear", "true", "--look-note", "bright", "--look-at", "2099-01-01T09:00:00Z")
	b.does([]string{
		"White base", "Young red", "C          3", "8 mL poured into B · 10 mL syringe · Ada", "(taken back by entry 8)", "20 min after blending, 19.5 °C",
		"Chosen (entry 9): 10.32", "Final check, done: 250 mL poured", "it stayed clear. bright", "Closest to the target", "Colours under D65, 10° observer, for 10 mm of wine.",
	}, "show", trial)
	answer := b.shown(trial)
	if g := answer.Glasses[1]; len(answer.Entries) != 6 || g.PouredTotalML != 10 || g.DoseMLPer100ML < 10.322 || g.DoseMLPer100ML > 10.323 {
		t.Errorf("%d entries, glass B %+v", len(answer.Entries), g)
	}
	b.does([]string{trial, "3 glasses, 12 entries"}, "list")
	b.prints(answer.ID[:30])
	b.does([]string{"Archived"}, "archive", trial)
	if got := b.run("", "pour", trial, "--glass", "B", "--volume-ml", "1"); got.exit != 2 || !strings.Contains(got.err, "archived and takes no more entries") {
		t.Errorf("into an archived trial: exit %d, %s", got.exit, got.err)
	}
	if got := b.run(exampleTrial, "begin"); got.exit != 0 {
		t.Fatal(got.err)
	}
	b.does([]string{"Glass B: 1 mL"}, "pour", trial, "--glass", "B", "--volume-ml", "1") // the one in use is meant
}

// prints wants all documents of a trial in both forms, those of HTML by themselves.
func (b aBench) prints(trial string) {
	b.t.Helper()
	for _, c := range []struct {
		file, begins string
		says         []string
	}{
		{"sheet.pdf", "%PDF", nil},
		{"report.pdf", "%PDF", nil},
		{"order.PDF", "%PDF", nil},
		{"sheet.html", "<!", []string{"Bench sheet"}},
		{"report.html", "<!", []string{"10.3 ± ", "liked best"}},
		{"order.html", "<!", []string{"2000", "tartrate", "is 99.45 L short"}}, // 2000 L × 10.3226 % are 206.45 L, and 3 L fill the line; 110 L are there
	} {
		command, _, _ := strings.Cut(c.file, ".")
		out := filepath.Join(b.t.TempDir(), c.file)
		args := []string{command, trial, "-o", out}
		if command == "order" {
			args = append(args, "--base-l", "2000", "--stock-base-l", "2150", "--stock-addition-l", "110", "--heel-l", "3")
		}
		b.does([]string{out}, args...)
		data, err := os.ReadFile(out)
		if err != nil || !strings.HasPrefix(string(data), c.begins) {
			b.t.Errorf("%s: %v, begins with %.20q", c.file, err, data)
		}
		if strings.HasSuffix(c.file, "html") && !strings.Contains(string(data), `<link rel="stylesheet" href="data:text/css;base64,`) {
			b.t.Errorf("%s does not have its style with it", c.file)
		}
		for _, want := range c.says {
			if !strings.Contains(string(data), want) {
				b.t.Errorf("%s does not say %q", c.file, want)
			}
		}
	}
	sized := filepath.Join(b.t.TempDir(), "sized.html")
	b.does(nil, "report", trial, "--blend-l", "1000", "-o", sized)
	if data, err := os.ReadFile(sized); err != nil || !strings.Contains(string(data), "906.4") { // 1000 / 1.1032 L of base
		b.t.Errorf("a report with a size: %v, without 906.4 L of base", err)
	}
	if got := b.run("", "report", trial, "-o", filepath.Join(b.t.TempDir(), "r.pdf"), "--json"); got.exit != 0 || !strings.Contains(got.out, `"file": `) {
		b.t.Errorf("report --json: exit %d, %s%s", got.exit, got.out, got.err)
	}
	if got := b.run("", "report", trial, "-o", filepath.Join(b.t.TempDir(), "none", "r.pdf")); got.exit != 1 || !strings.Contains(got.err, "r.pdf") {
		b.t.Errorf("a file that cannot be written: exit %d, %s", got.exit, got.err)
	}
}

// TestTrialRequests: flags, a file and standard input log the same; a key counts
// once, and its answer stays as it was.
func TestTrialRequests(t *testing.T) {
	t.Parallel()
	b := begun(t)
	const trial, body = "First ladder", `{"glass": "B", "volume_ml": 2, "tool": "10 mL syringe", "key": "one"}`
	file := written(t, "pour.json", body)
	first := b.run(body, "pour", trial)
	if first.exit != 0 || !strings.HasPrefix(first.out, "Glass B: 2 mL poured in all\n") {
		t.Fatalf("exit %d: %s%s", first.exit, first.out, first.err)
	}
	for _, again := range [][]string{
		{"pour", trial, "-f", file},
		{"pour", trial, "--glass", "B", "--volume-ml", "2", "--tool", "10 mL syringe", "--key", "one"},
	} {
		if got := b.run("", again...); got != first {
			t.Errorf("%v: %+v, want %+v", again, got, first)
		}
	}
	if got := b.run(body, "pour", trial, "-f", "-"); got != first {
		t.Errorf("-f -: %+v, want %+v", got, first)
	}
	if n := len(b.shown(trial).Entries); n != 1 {
		t.Errorf("a pour that was sent four times is there %d times", n)
	}
	if got := b.run(`{"glass": "B", "cielab": {"L": 90.1, "a": 9.4, "b": 5.2, "path_mm": 10}}`, "read", trial); got.exit != 0 || !strings.Contains(got.out, "L* 90.1, a* 9.4, b* 5.2") {
		t.Errorf("L*a*b*: exit %d, %s%s", got.exit, got.out, got.err)
	}
	if got := b.run(`{"kind": "even", "to_ml": 4, "step_ml": 2}`, "plan", trial, "-f", "-"); got.exit != 0 || got.out != b.does(nil, "plan", trial, "--to-ml", "4", "--step-ml", "2") {
		t.Errorf("a plan as JSON: exit %d, %s%s", got.exit, got.out, got.err)
	}
	var list struct{ Items []bench.TrialAnswer }
	if got := b.run("", "list", "--json"); json.Unmarshal([]byte(got.out), &list) != nil || len(list.Items) != 1 || len(list.Items[0].Entries) != 1 {
		t.Errorf("list --json: %s%s", got.out, got.err)
	}
}

// TestTrialExamples: what the help of each command shows for an entry works.
func TestTrialExamples(t *testing.T) {
	t.Parallel()
	b := begun(t)
	for _, body := range []string{`{"glass": "B", "volume_ml": 4}`, `{"glass": "B", "volume_ml": 4}`, `{"glass": "B", "volume_ml": 4}`} {
		if got := b.run(body, "pour", "First ladder"); got.exit != 0 {
			t.Fatal(got.err)
		}
	}
	for _, l := range logCommands() {
		if got := b.run("", append([]string{l.word, "First ladder"}, l.example...)...); got.exit != 0 {
			t.Errorf("%s %v: exit %d, %s", l.word, l.example, got.exit, got.err)
		}
	}
}

// TestTrialBeforeThePour: the closest dose is told before anything is in a glass,
// and is not taken for one that lies beyond.
func TestTrialBeforeThePour(t *testing.T) {
	t.Parallel()
	b := begun(t)
	out := b.does([]string{"Closest to the target: 6."}, "show", "First ladder")
	for _, wrong := range []string{"end of the ladder", "third wine"} {
		if strings.Contains(out, wrong) {
			t.Errorf("show says %q of a ladder that nobody has poured:\n%s", wrong, out)
		}
	}
}

// TestTrialWithoutRecords: a mistyped folder is not made.
func TestTrialWithoutRecords(t *testing.T) {
	t.Parallel()
	b := aBench{t, filepath.Join(t.TempDir(), "celar")}
	b.does([]string{"There is no trial yet"}, "list")
	if got := b.run("", "show", "First ladder"); got.exit != 2 || !strings.Contains(got.err, "no records in "+b.data) {
		t.Errorf("exit %d, %s", got.exit, got.err)
	}
	if _, err := os.Stat(b.data); err == nil {
		t.Errorf("%s was made", b.data)
	}
	var errOut bytes.Buffer
	if exit := run(context.Background(), []string{"trial", "list", "--data", b.data}, strings.NewReader(""), full{}, &errOut); exit != 1 {
		t.Errorf("output that cannot be written: exit %d, want 1: %s", exit, &errOut)
	}
}
