package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pourpath/api/calc"
)

var update = flag.Bool("update", false, "rewrite the golden tables")

// examples are the requests that the commands print.
var examples = map[string]string{
	"colour": calc.ExampleColour, "blend": calc.ExampleBlend, "ladder": calc.ExampleLadder,
	"match": calc.ExampleMatch, "scale": calc.ExampleScale, "trim": calc.ExampleTrim, "check": calc.ExampleCheck,
}

// result is what one run of the program left.
type result struct {
	exit     int
	out, err string
}

func pourpath(in string, args ...string) result {
	var out, errOut bytes.Buffer
	exit := run(context.Background(), args, strings.NewReader(in), &out, &errOut)
	return result{exit, out.String(), errOut.String()}
}

// TestTables holds the tables for people against golden files; a difference
// leaves what was got beside them.
func TestTables(t *testing.T) {
	for command, request := range examples {
		t.Run(command, func(t *testing.T) {
			got := pourpath(request, command)
			if got.exit != 0 || got.err != "" {
				t.Fatalf("exit %d: %s", got.exit, got.err)
			}
			golden := filepath.Join("testdata", command+".golden")
			if *update {
				if err := os.WriteFile(golden, []byte(got.out), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if got.out != string(want) {
				left := filepath.Join("testdata", ".got-"+command+".golden")
				if err := os.WriteFile(left, []byte(got.out), 0o666); err != nil {
					t.Error(err)
				}
				t.Errorf("the table is not that of %s; see %s. Got:\n%s", golden, left, got.out)
			}
		})
	}
}

// TestJSONIsTheServicesAnswer: --json prints full float64, and no more than the
// calculation answers.
func TestJSONIsTheServicesAnswer(t *testing.T) {
	for command, request := range examples {
		got := pourpath(request, command, "--json")
		if got.exit != 0 || !json.Valid([]byte(got.out)) {
			t.Errorf("%s --json: exit %d, %s%s", command, got.exit, got.out, got.err)
		}
	}
	var a calc.ScaleResponse
	if err := json.Unmarshal([]byte(pourpath(`{"dose_ml_per_100ml":13,"blend_l":0.75}`, "scale", "--json").out), &a); err != nil {
		t.Fatal(err)
	}
	// 750 mL of blend at 13 mL per 100 mL: 75000/113 mL of base. Common
	// practice gives it as 663.7 mL and 86.3 mL; no source.
	if want := 0.75 / 1.13; a.BaseL < want-1e-15 || a.BaseL > want+1e-15 {
		t.Errorf("base_l = %.17g, want %.17g", a.BaseL, want)
	}
}

func TestFileAndStandardInputAnswerAlike(t *testing.T) {
	file := filepath.Join(t.TempDir(), "request.json")
	if err := os.WriteFile(file, []byte(calc.ExampleBlend), 0o600); err != nil {
		t.Fatal(err)
	}
	want := pourpath(calc.ExampleBlend, "blend")
	for _, args := range [][]string{{"blend", "-f", file}, {"blend", "--file", file}} {
		if got := pourpath("", args...); got != want {
			t.Errorf("%v: %+v, want %+v", args, got, want)
		}
	}
	if got := pourpath(calc.ExampleBlend, "blend", "-f", "-"); got != want {
		t.Errorf("-f -: %+v, want %+v", got, want)
	}
}

func TestReadingsAsFlags(t *testing.T) {
	want := pourpath(`{"wine":{"readings":{"a420":0.142,"a520":0.118,"a620":0.021,"path_mm":5,"dilution":2}}}`, "colour", "--json")
	got := pourpath("", "colour", "--json", "--a420", "0.142", "--a520", "0.118", "--a620", "0.021", "--path-mm", "5", "--dilution", "2")
	if want.exit != 0 || got != want {
		t.Errorf("flags: %+v\nfile: %+v", got, want)
	}
}

func TestExitStatus(t *testing.T) {
	const pass, fail = `{"spec":{"limits":{"L":[80,90]}},`, `{"spec":{"limits":{"L":[10,20]}},`
	const doubtful = `{"spec":{"limits":{"L":[84.6,90]},"rule":"guarded"},`
	const wine = `"wine":{"cielab":{"L":84.6,"a":12.8,"b":8.7,"path_mm":10}}}`
	missing := filepath.Join(t.TempDir(), "missing.json")
	for _, row := range []struct {
		name string
		in   string
		args []string
		exit int
		err  string // wanted on standard error
	}{
		{"answer", calc.ExampleScale, []string{"scale"}, 0, ""},
		{"help", "", []string{"--help"}, 0, ""},
		{"version", "", []string{"version"}, 0, ""},
		{"nothing asked", "", nil, 0, ""},
		{"check passes", pass + wine, []string{"check", "--exit-verdict"}, 0, ""},
		{"check fails", fail + wine, []string{"check", "--exit-verdict"}, 3, ""},
		{"check is inconclusive", doubtful + wine, []string{"check", "--exit-verdict"}, 4, ""},
		{"check fails, without the flag", fail + wine, []string{"check"}, 0, ""},
		{"no request", "", []string{"blend"}, 2, "there is no request"},
		{"bad input", `{"wines":[]}`, []string{"blend"}, 2, "/wines: expected array length >= 2"},
		{"unknown field", `{"dose_ml_per_100ml":5,"base_l":1,"volume":2}`, []string{"scale"}, 2, "/volume: unknown field"},
		{"malformed", `{"dose`, []string{"scale"}, 2, "line 1"},
		{"too large", strings.Repeat(" ", calc.MaxBytes+1), []string{"scale"}, 2, "1048576 bytes"},
		{"no such file", "", []string{"blend", "-f", missing}, 1, "missing.json"},
		{"unknown command", "", []string{"bled"}, 2, `no command "bled"`},
		{"unknown flag", "", []string{"blend", "--fast"}, 2, "unknown flag: --fast"},
		{"stray word", "", []string{"blend", "request.json"}, 2, "-f FILE"},
		{"text for a number", "", []string{"colour", "--a420", "much"}, 2, "invalid argument"},
		{"NaN as a flag", "", []string{"colour", "--a420", "NaN", "--a520", "1", "--a620", "1"}, 2, "--a420 must be a number"},
		{"one reading missing", "", []string{"colour", "--a420", "0.1", "--a520", "0.1"}, 2, `/wine/readings/a620: the field "a620" is missing`},
		{"flag out of range", "", []string{"colour", "--a420", "0.1", "--a520", "0.1", "--a620", "0", "--dilution", "0.5"}, 2, "/wine/readings/dilution: expected number >= 1 (given: 0.5)"},
		{"wine given twice", "", []string{"colour", "--a420", "0.1", "-f", "x.json"}, 2, "given twice"},
		{"picture of another kind", calc.ExampleLadder, []string{"ladder", "--plot", "ladder.gif"}, 2, ".svg, .png or .pdf"},
		{"picture that cannot be written", calc.ExampleLadder, []string{"ladder", "--plot", filepath.Join(missing, "x.svg")}, 1, "x.svg"},
		{"database", "", []string{"serve", "--database", "mysql://user:secret@x"}, 2, "address of a PostgreSQL database"},
		{"no server", "", []string{"verify", "--database", "postgres://127.0.0.1:1/x"}, 1, "cannot be reached"},
		{"import of nothing", "", []string{"import"}, 2, "names of one file or more"},
		{"import of no file", "", []string{"import", "none.csv", "--data", t.TempDir()}, 1, "none.csv"},
		{"backup to nowhere", "", []string{"backup"}, 2, "name of one file"},
		{"column without a field", "", []string{"import", "x.csv", "--column", "Ext. 520"}, 2, "HEADER=FIELD"},
		{"stored wine of no store", `{"wine":{"id":"w1"}}`, []string{"colour", "--data", "none"}, 2, "none is stored"},
		{"listening by a name", "", []string{"serve", "--listen", "cellar.example:8420", "--data", t.TempDir()}, 2, "in numbers"},
		{"listening to an odd port", "", []string{"serve", "--listen", "127.0.0.1:web", "--data", t.TempDir()}, 2, "port from 0 to 65535"},
		{"a host with a port", "", []string{"serve", "--host", "cellar.local:8420", "--data", t.TempDir()}, 2, "without a port"},
		{"certificate without a key", "", []string{"serve", "--tls-cert", missing, "--data", t.TempDir()}, 2, "--tls-key"},
		{"key without a certificate", "", []string{"serve", "--tls-key", missing, "--data", t.TempDir()}, 2, "--tls-cert"},
		{"no such certificate", "", []string{"serve", "--tls-key", missing, "--tls-cert", missing, "--data", t.TempDir()}, 2, "as PEM"},
		{"pairing for loopback", "", []string{"device", "pair", "--listen", "127.0.0.1:8420", "--data", t.TempDir()}, 2, "no other machine"},
		{"sending nobody away", "", []string{"device", "revoke", "Ghost", "--data", t.TempDir()}, 2, "no device"},
		{"listening nowhere", "", []string{"serve", "--listen", "8420", "--data", t.TempDir()}, 2, "127.0.0.1:8420"},
		{"demo for all", "", []string{"demo", "--listen", "0.0.0.0:0"}, 2, "this machine only"},
	} {
		t.Run(row.name, func(t *testing.T) {
			got := pourpath(row.in, row.args...)
			if got.exit != row.exit || !strings.Contains(got.err, row.err) {
				t.Errorf("pourpath %v: exit %d, %q on standard error, want %d and %q", row.args, got.exit, got.err, row.exit, row.err)
			}
			if got.exit == 2 && got.out != "" {
				t.Errorf("a refusal on standard output: %q", got.out)
			}
			if row.exit == 0 && got.out == "" {
				t.Error("no answer")
			}
		})
	}
}

// TestProblemsAsJSON: with --json a refusal is a problem as the service's, for
// flags that cannot be read too.
func TestProblemsAsJSON(t *testing.T) {
	for _, row := range []struct {
		in, location string
		args         []string
	}{
		{`{"wines":5,"fractions":[]}`, "/wines", []string{"blend", "--json"}},
		{``, "", []string{"blend", "--fast", "--json"}},
		{`{`, "", []string{"blend", "--json"}},
	} {
		got := pourpath(row.in, row.args...)
		var p calc.Problem
		if err := json.Unmarshal([]byte(got.err), &p); err != nil || got.exit != 2 {
			t.Errorf("%v: exit %d, %v: %s", row.args, got.exit, err, got.err)
			continue
		}
		if p.Type == "" || p.Title == "" || p.Status < 400 || p.Detail == "" || len(p.Errors) == 0 || p.Errors[0].Location != row.location {
			t.Errorf("%v: %+v", row.args, p)
		}
	}
}

func TestPlotDrawsAndAnswers(t *testing.T) {
	want := pourpath(calc.ExampleLadder, "ladder")
	for ending, begins := range map[string]string{".svg": "<", ".png": "\x89PNG", ".PDF": "%PDF-"} {
		file := filepath.Join(t.TempDir(), "ladder"+ending)
		if got := pourpath(calc.ExampleLadder, "ladder", "--plot", file); got != want {
			t.Errorf("--plot changes the answer: %+v", got)
		}
		if picture, err := os.ReadFile(file); err != nil || !strings.HasPrefix(string(picture), begins) {
			t.Errorf("%s: %v, begins %.10q", ending, err, picture)
		}
	}
}

// TestBothConventions: a dose is never told without its share of the blend.
func TestBothConventions(t *testing.T) {
	for _, command := range []string{"ladder", "scale"} {
		out := pourpath(examples[command], command).out
		if !strings.Contains(out, "mL per 100 mL of base") || !strings.Contains(out, "% of the blend") {
			t.Errorf("%s tells a dose in one convention:\n%s", command, out)
		}
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

// TestOutputThatCannotBeWritten is a failure, not an answer.
func TestOutputThatCannotBeWritten(t *testing.T) {
	for _, args := range [][]string{{"colour"}, {"colour", "--json"}, {"version"}} {
		var errOut bytes.Buffer
		if exit := run(context.Background(), args, strings.NewReader(calc.ExampleColour), full{}, &errOut); exit != 1 {
			t.Errorf("%v: exit %d, want 1: %s", args, exit, &errOut)
		}
	}
	var errOut bytes.Buffer
	if exit := run(context.Background(), []string{"colour"}, io.MultiReader(strings.NewReader("{"), brokenReader{}), io.Discard, &errOut); exit != 1 {
		t.Errorf("standard input that breaks: exit %d, want 1: %s", exit, &errOut)
	}
}

type brokenReader struct{}

func (brokenReader) Read([]byte) (int, error) { return 0, errors.New("input/output error") }
