package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// written writes a file in a temporary folder.
func written(t *testing.T, name, content string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestImportCommand: a spreadsheet's file with decimal commas, a bad row among
// good ones, and what its wines then serve for.
func TestImportCommand(t *testing.T) {
	data := t.TempDir()
	file := written(t, "cave.csv", "Nom;Type;DO 420;DO 520;DO 620;Trajet (mm)\nCuve 1;blanc;0,142;0,118;0,021;10\nCuve 2;rouge;0,431;0,592;0,102;1\nCuve 3;blanc;0,1x2;0,118;0,021;10\n")
	var result struct {
		ID                                       string
		Accepted, Rejected, Duplicates, NewWines int
		Rows                                     []struct {
			Row          int
			Status, Wine string
			Problem      struct {
				Errors []struct{ Location, Message string }
			}
			Name, Placement string
		}
	}
	answer := func(args ...string) {
		t.Helper()
		got := pourpath("", append([]string{"import", "--data", data, "--json", file}, args...)...)
		if got.exit != 0 {
			t.Fatalf("exit %d: %s", got.exit, got.err)
		}
		if err := json.Unmarshal([]byte(got.out), &result); err != nil {
			t.Fatal(err)
		}
	}
	if answer("--dry-run"); result.Accepted != 2 || result.ID != "" {
		t.Errorf("dry run: %+v", result)
	}
	if answer(); result.Accepted != 2 || result.Rejected != 1 || result.ID == "" {
		t.Errorf("%+v", result)
	}
	bad := result.Rows[2]
	if bad.Status != "rejected" || len(bad.Problem.Errors) == 0 || !strings.Contains(bad.Problem.Errors[0].Location, "4") {
		t.Errorf("the bad row: %+v, want its place, row 4", bad)
	}
	white, red := result.Rows[0].Wine, result.Rows[1].Wine
	if answer(); result.Accepted != 0 || result.Duplicates != 2 {
		t.Errorf("again: %+v", result)
	}
	for _, row := range []struct {
		name string
		exit int
		want string
		args []string
	}{
		{"for people", 0, "2 duplicates, 1 rejected", []string{"import", file}},
		{"all or nothing", 2, "1 of 3 readings", []string{"import", "--all-or-nothing", "--json", file}},
		{"verify", 0, "is sound", []string{"verify"}},
		{"verify as JSON", 0, `"sound": true`, []string{"verify", "--json"}},
	} {
		got := pourpath("", append(row.args, "--data", data)...)
		if got.exit != row.exit || !strings.Contains(got.out+got.err, row.want) {
			t.Errorf("%s: exit %d, %s%s, want %d and %q", row.name, got.exit, got.out, got.err, row.exit, row.want)
		}
	}
	request := fmt.Sprintf(`{"base":{"id":%q},"addition":{"id":%q},"base_ml":100,"doses_ml":[2,6]}`, white, red)
	got := pourpath(request, "ladder", "--json", "--data", data)
	if got.exit != 0 || !strings.Contains(got.out, "readings_used") {
		t.Errorf("a ladder of what was imported: exit %d, %.300s%s", got.exit, got.out, got.err)
	}
}

// TestBackupCommands: an archive restores into an empty store, and into no other.
func TestBackupCommands(t *testing.T) {
	data, other := t.TempDir(), t.TempDir()
	archive := filepath.Join(t.TempDir(), "cellar.jsonl")
	file := written(t, "r.csv", csvOf(1, 20))
	run := func(exit int, want string, args ...string) {
		t.Helper()
		if got := pourpath("", args...); got.exit != exit || !strings.Contains(got.out+got.err, want) {
			t.Fatalf("pourpath %v: exit %d, %s%s, want %d and %q", args, got.exit, got.out, got.err, exit, want)
		}
	}
	run(0, "20 accepted", "import", file, "--data", data)
	run(0, "rows from", "backup", archive, "--data", data)
	run(0, "rows restored", "restore", archive, "--data", other)
	run(0, "20 of them readings of 7 wines", "verify", "--data", other)
	run(2, "records already", "restore", archive, "--data", other)
	if text, err := os.ReadFile(archive); err != nil {
		t.Fatal(err)
	} else if err := os.WriteFile(archive, text[:len(text)/2], 0o600); err != nil {
		t.Fatal(err)
	}
	run(2, "nothing was restored", "restore", archive, "--data", t.TempDir())
	if left, err := filepath.Glob(filepath.Join(filepath.Dir(archive), ".*")); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

// TestMendAndUndo: a cell is mended and a row left out on the command line, and the
// import is undone.
func TestMendAndUndo(t *testing.T) {
	data := t.TempDir()
	file := written(t, "cave.csv", "Nom;DO 420;DO 520;DO 620\nCuve 1;0,142;0,118;0,021\nCuve 2;0,1x2;0,118;0,021\nCuve 3;7;0,118;0,021\n")
	run := func(exit int, want string, args ...string) result {
		t.Helper()
		got := pourpath("", append(args, "--data", data)...)
		if got.exit != exit || !strings.Contains(got.out+got.err, want) {
			t.Fatalf("pourpath %v: exit %d, %s%s, want %d and %q", args, got.exit, got.out, got.err, exit, want)
		}
		return got
	}
	run(2, "want ROW, HEADER=VALUE", "import", file, "--mend", "DO 420=0.1")
	run(2, "one file at a time", "import", file, file, "--leave-out", "4")
	run(2, "the table has no row 9", "import", file, "--leave-out", "9")
	run(2, `the table has no column "DO 460"`, "import", file, "--mend", "row 3, DO 460=0.1")
	run(2, "--reason goes with --undo", "import", file, "--reason", "x")
	mended := []string{"import", file, "--mend", "row 3, DO 420=0.12", "--leave-out", "4"}
	run(0, `row 3, DO 420 was mended from "0,1x2" to "0.12"`, append(mended, "--dry-run")...)
	var first struct{ ID string }
	if err := json.Unmarshal([]byte(run(0, `"accepted": 2`, append(mended, "--json")...).out), &first); err != nil {
		t.Fatal(err)
	}
	run(2, "say why the import is undone", "import", "--undo", first.ID)
	run(2, "takes no file", "import", file, "--undo", first.ID, "--reason", "x")
	run(0, "Archived: 2 readings, 2 of the 2 wines", "import", "--undo", first.ID, "--reason", "wrong file")
	run(0, "(wrong file)", "import", "--undo", first.ID, "--reason", "again")
	run(0, "2 accepted, 0 duplicates, 0 rejected; 2 new wines", mended...)
	run(0, "is sound", "verify")
	bare := written(t, "bare.csv", "Tank 1;0,142;0,118;0,021\nTank 2;0,2;0,118;0,021\n")
	run(0, "2 accepted", "import", bare, "--no-header")
}

// TestMapping: a header that is not understood is mapped once and remembered.
func TestMapping(t *testing.T) {
	data := t.TempDir()
	one := written(t, "one.csv", "Probe,E1,E2,E3\nFass 1,0.142,0.118,0.021\n")
	two := written(t, "two.csv", "Probe,E1,E2,E3\nFass 2,0.152,0.118,0.021\n")
	if got := pourpath("", "import", one, "--data", data); got.exit != 2 || !strings.Contains(got.err, "E1") {
		t.Errorf("without a mapping: exit %d, %s%s, want 2 and the headers", got.exit, got.out, got.err)
	}
	columns := []string{"--column", "Probe=name", "--column", "E1=a420", "--column", "E2=a520", "--column", "E3=a620"}
	if got := pourpath("", append([]string{"import", one, "--data", data}, columns...)...); got.exit != 0 || !strings.Contains(got.out, "1 accepted") {
		t.Errorf("with a mapping: exit %d, %s%s", got.exit, got.out, got.err)
	}
	if got := pourpath("", "import", two, "--data", data); got.exit != 0 || !strings.Contains(got.out, "1 accepted") {
		t.Errorf("the next file: exit %d, %s%s", got.exit, got.out, got.err)
	}
}
