package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"pourpath/api/panel"
)

// aPanel runs pourpath panel on the store of a bench.
type aPanel struct{ aBench }

func (p aPanel) run(in string, args ...string) result {
	p.t.Helper()
	return pourpath(in, append(append([]string{"panel"}, args...), "--data", p.data)...)
}

func (p aPanel) does(wanted []string, args ...string) string {
	p.t.Helper()
	got := p.run("", args...)
	if got.exit != 0 || got.err != "" {
		p.t.Fatalf("%v: exit %d, %s", args, got.exit, got.err)
	}
	for _, w := range wanted {
		if !strings.Contains(got.out, w) {
			p.t.Errorf("%v does not say %q; it says:\n%s", args, w, got.out)
		}
	}
	return got.out
}

func (p aPanel) refused(wanted string, args ...string) {
	p.t.Helper()
	if got := p.run("", args...); got.exit != 2 || !strings.Contains(got.err, wanted) {
		p.t.Errorf("%v: exit %d, %s, want %q", args, got.exit, got.err, wanted)
	}
}

// seen is the panel as show prints it for programs.
func (p aPanel) seen(name string) (now panel.Session) {
	p.t.Helper()
	got := p.run("", "show", name, "--json")
	if err := json.Unmarshal([]byte(got.out), &now); err != nil {
		p.t.Fatalf("%v: %s%s", err, got.out, got.err)
	}
	return now
}

// of are the codes of glasses of a panel.
func of(now panel.Session, glasses ...string) string {
	codes := make([]string, len(glasses))
	for i, label := range glasses {
		for _, g := range now.Glasses {
			if g.Glass == label {
				codes[i] = g.Code
			}
		}
	}
	return strings.Join(codes, ",")
}

func opened(t *testing.T) aPanel {
	t.Helper()
	b := begun(t)
	for glass, ml := range map[string]string{"A": "2", "B": "6", "C": "10"} {
		b.does(nil, "pour", "First ladder", "--glass", glass, "--volume-ml", ml)
	}
	p := aPanel{b}
	got := p.run(examplePanel, "open", "First ladder", "--at", "https://cellar.example:8420/")
	if got.exit != 0 || strings.Count(got.out, "https://cellar.example:8420/judge/") != 4 {
		t.Fatalf("exit %d: %s%s", got.exit, got.out, got.err)
	}
	return p
}

// What is drawn, or differs from run to run: the code of a glass, codes in an order
// of serving, identifiers.
var (
	codeOfGlass = regexp.MustCompile(`(?m)^( *[ABC] +)[1-9]\d\d `)
	codesServed = regexp.MustCompile(`[1-9]\d\d( [1-9]\d\d)+`)
	identifier  = regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f-]{27}`)
)

// golden holds what a command says, without what is drawn, against a file.
func (p aPanel) golden(name, said string) {
	p.t.Helper()
	said = identifier.ReplaceAllString(codesServed.ReplaceAllString(codeOfGlass.ReplaceAllString(said, "$1### "), "### ### ###"), "ID")
	file := filepath.Join("testdata", name+".golden")
	if *update {
		if err := os.WriteFile(file, []byte(said), 0o666); err != nil {
			p.t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		p.t.Fatal(err)
	}
	if said != string(want) {
		p.t.Errorf("%s: want\n%s, got\n%s", name, want, said)
	}
}

// TestPanelCommands runs a panel from opening to its printed documents.
func TestPanelCommands(t *testing.T) {
	t.Parallel()
	p := opened(t)
	now := p.seen("Thursday")
	p.golden("panel_open", p.does([]string{"NOT FOR JUDGES", "2.00"}, "show", "thursday"))
	p.does([]string{"Fay", "/judge/"}, "join", "Thursday", "--judges", "Fay")
	p.refused("another judge has this name", "join", "Thursday", "--judges", "Fay")
	link := p.does([]string{"Ben"}, "link", "Thursday", "--judge", "ben")
	if again := p.does(nil, "link", "Thursday", "--judge", "Ben"); again == link {
		t.Error("a new link is the old one")
	}
	p.does([]string{"Recorded as the answer of Ada"}, "answer", "Thursday", "--judge", "Ada", "--ranks", of(now, "C", "A", "B"))
	p.does([]string{"stands already"}, "answer", "Thursday", "--judge", "Ada", "--ranks", of(now, "C", "A", "B"))
	p.refused("an answer was handed in before", "answer", "Thursday", "--judge", "Ada", "--ranks", of(now, "C", "B", "A"))
	p.does(nil, "answer", "Thursday", "--judge", "Ada", "--ranks", of(now, "C", "B", "A"), "--corrects", p.seen("Thursday").Judges[0].AnswerID, "--reason", "two were swapped")
	p.refused("glass is missing", "answer", "Thursday", "--judge", "Ben", "--ranks", of(now, "C", "B"))
	p.refused("have one rank", "answer", "Thursday", "--judge", "Ben", "--ranks", strings.Replace(of(now, "C", "B", "A"), ",", "=", 1))
	p.refused("ranks are asked for", "answer", "Thursday", "--judge", "Ben", "--scores", strings.ReplaceAll(of(now, "C", "B", "A"), ",", "=1,")+"=2")
	p.refused("one of the two", "answer", "Thursday", "--judge", "Ben")
	p.refused("it has Ada, Ben, Cleo, Dan, Fay", "answer", "Thursday", "--judge", "Zoe", "--ranks", of(now, "C", "B", "A"))
	for _, judge := range []string{"Ben", "Cleo", "Dan"} {
		p.does(nil, "answer", "Thursday", "--judge", judge, "--ranks", of(now, "C", "B", "A"))
	}
	p.refused("still open", "result", "Thursday")
	if got := p.run("", "close", "Thursday"); got.exit != 2 || !strings.Contains(got.err, `with --without "Fay" or --without `) {
		t.Errorf("with a judge missing: exit %d, %s", got.exit, got.err)
	}
	p.does([]string{"Closed by Eve"}, "close", "Thursday", "--without", "Fay", "--by", "Eve")
	p.refused("has ended", "answer", "Thursday", "--judge", "Fay", "--ranks", of(now, "C", "B", "A"))
	p.golden("panel_result", p.does([]string{"The glasses differ"}, "result", "Thursday"))
	p.does([]string{now.ID, "closed, 4 of 5 judges"}, "list")
	for paper, want := range map[string]string{"labels": "Code labels", "sheets": "Judge sheet", "pouring": "NOT FOR JUDGES"} {
		out := filepath.Join(t.TempDir(), paper+".html")
		p.does([]string{out}, paper, "Thursday", "-o", out)
		if data, err := os.ReadFile(out); err != nil || !strings.Contains(string(data), want) {
			t.Errorf("%s: %v, without %q", paper, err, want)
		}
	}
	report := filepath.Join(t.TempDir(), "report.html")
	p.aBench.does(nil, "report", "First ladder", "-o", report)
	if data, err := os.ReadFile(report); err != nil || !strings.Contains(string(data), "Panel: Which colour do you like most?") {
		t.Errorf("the report of the trial: %v, without the panel", err)
	}
	p.refused("there is no panel", "show", "Friday")
	if got := pourpath("", "panel", "list", "--data", t.TempDir()); !strings.Contains(got.out, "no panel yet") {
		t.Errorf("without records: %s%s", got.out, got.err)
	}
}

// TestPanelResultAsJSON: every digit, and problems as problems.
func TestPanelResultAsJSON(t *testing.T) {
	t.Parallel()
	p := opened(t)
	now := p.seen("Thursday")
	for _, judge := range []string{"Ada", "Ben", "Cleo", "Dan"} {
		p.does(nil, "answer", "Thursday", "--judge", judge, "--ranks", of(now, "C", "B", "A"))
	}
	if got := p.run("", "result", "Thursday", "--json"); got.exit != 2 || !strings.Contains(got.err, `"status":422`) && !strings.Contains(got.err, `"status": 422`) {
		t.Errorf("open: exit %d, %s", got.exit, got.err)
	}
	p.does(nil, "close", "Thursday")
	var found panel.Outcome
	got := p.run("", "result", "Thursday", "--json")
	if err := json.Unmarshal([]byte(got.out), &found); err != nil || math.Abs(found.Difference.Statistic-8) > 1e-12 || found.Agreement == nil || math.Abs(*found.Agreement-1) > 1e-12 {
		t.Errorf("%v: %s%s", err, got.out, got.err) // four judges of one mind on three glasses: chi-square 4 × 2 = 8
	}
}
