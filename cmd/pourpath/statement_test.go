package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"

	"pourpath/api/record"
	"pourpath/api/release"
)

// atDesk runs pourpath statement on a store with the lots L-1 to L-3.
type atDesk struct {
	t    *testing.T
	data string
}

func (d atDesk) run(exit int, wanted []string, args ...string) string {
	d.t.Helper()
	got := pourpath("", append(args, "--data", d.data)...)
	if got.exit != exit || (got.err != "") != (exit != 0 && args[len(args)-1] != "list" && args[0] != "verify") {
		d.t.Fatalf("%v: exit %d, %s%s", args, got.exit, got.out, got.err)
	}
	for _, w := range wanted {
		if !strings.Contains(got.out+got.err, w) {
			d.t.Errorf("%v does not say %q; it says:\n%s%s", args, w, got.out, got.err)
		}
	}
	return got.out
}

func (d atDesk) statement(wanted []string, args ...string) string {
	d.t.Helper()
	return d.run(0, wanted, append([]string{"statement"}, args...)...)
}

// TestStatementCommands: a draft is printed as one, two statements are issued and
// found by number and by lot, and whoever has a file of one can compute its
// checksum, which verify names.
func TestStatementCommands(t *testing.T) {
	d := atDesk{t, withLots(t, 3)}
	d.statement([]string{"No statement was issued yet"}, "list")
	d.statement([]string{"Draft: it was not issued", "Within spec at face value", "L-1", "House, version 1", "Absorbances at 420, 520, 620 nm", "local codes and licensed practice decide"}, "show", "L-1")
	d.statement([]string{"Statement 1\n", "by Ada", "first of the spring", "SHA-256"}, "issue", "L-1", "--by", "Ada", "--note", "first of the spring")
	d.statement([]string{"Statement 2\n", "Follows"}, "issue", "L-2", "--by", "Ada <a&b>")
	d.statement([]string{"No", "L-2", "pass", "Ada <a&b>", "as issued"}, "list")
	byLot := d.statement([]string{"Statement 2\n"}, "show", "L-2", "--json=false")
	if byNo := d.statement(nil, "show", "2"); byNo != byLot {
		t.Errorf("by its number it is\n%sand by its lot\n%s", byNo, byLot)
	}
	previous := ""
	for _, no := range []string{"1", "2"} {
		file := filepath.Join(t.TempDir(), "s.json")
		d.statement([]string{file}, "print", no, "-o", file)
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		previous = confirmed(t, text, previous)
		if shown := d.statement(nil, "show", no, "--json"); shown != string(text) {
			t.Errorf("show --json has %s, the file %s", shown, text)
		}
		d.statement([]string{previous}, "show", no)
	}
	d.run(0, []string{"is sound", "Statements of conformity: 1 to 2 are as issued", "SHA-256 of number 2: " + previous}, "verify")
	for _, end := range []string{".pdf", ".html"} {
		for _, said := range []string{"2", "L-3"} {
			file := filepath.Join(t.TempDir(), "s"+end)
			d.statement([]string{file}, "print", said, "-o", file)
			text, err := os.ReadFile(file)
			if err != nil || !bytes.HasPrefix(text, []byte(map[string]string{".pdf": "%PDF-", ".html": "<!doctype html>"}[end])) {
				t.Errorf("%s: %v, %.40s", file, err, text)
			}
			if end == ".html" && bytes.Contains(text, []byte(previous)) != (said == "2") {
				t.Errorf("the page of %s has no checksum of its own", said)
			}
		}
	}
	var list struct {
		Items  []record.Statement
		Faults map[string]string
	}
	if err := json.Unmarshal([]byte(d.statement(nil, "list", "--json")), &list); err != nil || len(list.Items) != 2 || list.Items[0].No != 2 || len(list.Faults) != 0 {
		t.Errorf("%v, %+v", err, list)
	}
}

// confirmed computes the checksum of a statement from the bytes of a file.
func confirmed(t *testing.T, text []byte, previous string) string {
	t.Helper()
	var st struct {
		SHA256   string          `json:"sha256"`
		Previous string          `json:"previous_sha256"`
		Content  json.RawMessage `json:"content"`
	}
	if err := json.Unmarshal(text, &st); err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(append([]byte(previous+"\n"), st.Content...))
	if st.Previous != previous || st.SHA256 != hex.EncodeToString(sum[:]) {
		t.Errorf("it has the checksum %s after %q, computed %x", st.SHA256, st.Previous, sum)
	}
	return st.SHA256
}

// TestStatementCommandsRefused: each says what is wrong and what would be right,
// and leaves no file and no statement.
func TestStatementCommandsRefused(t *testing.T) {
	d := atDesk{t, withLots(t, 2)}
	s := &session{records: storeFlags{data: d.data}}
	c := &cobra.Command{}
	c.SetContext(t.Context())
	verdict := ""
	err := s.atRelease(c, func(r *release.Release) error {
		id, err := lotID(t.Context(), r, "L-2")
		if err != nil {
			return err
		}
		lot, err := r.Lot(t.Context(), id)
		if err != nil {
			return err
		}
		sample, err := r.AddSample(t.Context(), id, lot.Samples[0].SampleBody)
		if err != nil {
			return err
		}
		verdict = sample.VerdictID
		_, err = r.AddLot(t.Context(), record.LotBody{Name: "Unread", Product: "House"})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "s.odt")
	for says, args := range map[string][]string{
		"takes one lot":                                 {"issue"},
		"--by: say who":                                 {"issue", "L-1", "--by", " "},
		"there is no lot \"L-7\"":                       {"issue", "L-7", "--by", "Ada"},
		"--verdict: this lot has several verdicts":      {"issue", "L-2", "--by", "Ada"},
		"--verdict: this lot has no such verdict":       {"issue", "L-1", "--by", "Ada", "--verdict", verdict},
		"no sample of this lot was judged yet":          {"issue", "Unread", "--by", "Ada"},
		"no sample of the lot \"Unread\" was judged":    {"show", "Unread"},
		"no statement number 4, and no lot":             {"show", "4"},
		"takes one statement":                           {"show"},
		"with a name that ends in .pdf, .html or .json": {"print", "L-1", "-o", file},
	} {
		if got := d.run(exitBadInput, []string{says}, append([]string{"statement"}, args...)...); got != "" {
			t.Errorf("%v: it says on standard output %s", args, got)
		}
	}
	if _, err := os.Stat(file); err == nil {
		t.Error("there is a file")
	}
	d.statement([]string{"No statement was issued yet"}, "list")
	d.statement([]string{"Statement 1\n"}, "issue", "L-2", "--by", "Ada", "--verdict", verdict)
	nowhere := atDesk{t, filepath.Join(t.TempDir(), "none")}
	nowhere.statement([]string{"No statement was issued yet"}, "list")
	nowhere.run(exitBadInput, []string{"there are no records in"}, "statement", "show", "1")
	if _, err := os.Stat(nowhere.data); err == nil {
		t.Error("a store was made only to be looked into")
	}
}

// TestStatementByteChanged: one byte of a statement that is changed in the store's
// file is found by verify, and by all that would show or print it.
func TestStatementByteChanged(t *testing.T) {
	d := atDesk{t, withLots(t, 2)}
	for i := range 2 {
		d.statement(nil, "issue", fmt.Sprintf("L-%d", i+1), "--by", "Ada", "--note", "as it was issued")
	}
	files, err := filepath.Glob(filepath.Join(d.data, "*.sqlite"))
	if err != nil || len(files) != 1 {
		t.Fatalf("%v, %v", files, err)
	}
	store, err := os.ReadFile(files[0])
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(store, []byte("as it was issued"))
	if at < 0 {
		t.Fatal("the note is not in the file")
	}
	store[at] = 'A'
	if err := os.WriteFile(files[0], store, 0o600); err != nil {
		t.Fatal(err)
	}
	d.run(exitFailure, []string{"its SHA-256 does not fit: it is not what was issued", "is damaged"}, "verify")
	listed := d.run(exitFailure, []string{"DAMAGED", "as issued", "it is not what was issued"}, "statement", "list")
	no := "1"
	if strings.Contains(listed, "Statement 2:") {
		no = "2"
	}
	out := filepath.Join(t.TempDir(), "s.pdf")
	for _, said := range []string{no, "L-" + no} {
		d.run(exitFailure, []string{"the store is damaged"}, "statement", "show", said)
		d.run(exitFailure, []string{"the store is damaged"}, "statement", "print", said, "-o", out)
	}
	if _, err := os.Stat(out); err == nil {
		t.Error("it was printed")
	}
}
