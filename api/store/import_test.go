package store

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// sent makes a file of entries; its content is told apart by text.
func sent(text string, list ...record.Entry) LabFile {
	sum := sha256.Sum256([]byte(text))
	return LabFile{
		Name: "readings.csv", SHA256: hex.EncodeToString(sum[:]), Bytes: int64(len(text)), Content: strings.NewReader(text),
		Format: "csv", Layout: "one wine a row", Header: []string{"name", "a420", "a520", "a620"},
		Entries: func(yield func(record.Entry, error) bool) {
			for i, e := range list {
				e.Row, e.Place = i+2, fmt.Sprintf("row %d", i+2)
				if !yield(e, nil) {
					return
				}
			}
		},
		Warnings: func() []calc.Warning { return []calc.Warning{{Code: "path_assumed", Message: "10 mm was taken."}} },
	}
}

func entry(name string, a420 float64) record.Entry {
	return record.Entry{Wine: record.WineFields{Name: name}, Measurement: three(a420, 0.118, 0.021).Measurement}
}

func bad(name string) record.Entry {
	e := entry(name, 0)
	e.Raw = []string{name, "x", "0.118", "0.021"}
	e.Faults = []calc.Fault{{Location: "row, A420", Message: "this is no number", Value: "x"}}
	return e
}

// statuses lists what became of each row.
func statuses(i record.Import) string {
	var list []string
	for _, r := range i.Rows {
		list = append(list, string(r.Status))
	}
	return strings.Join(list, " ")
}

func imported(t *testing.T, s *Store, f LabFile, o ImportOptions) record.Import {
	t.Helper()
	i, err := s.Import(context.Background(), f, o)
	if err != nil {
		t.Fatal(err)
	}
	return i
}

// count counts the rows of a table.
func count(t *testing.T, s *Store, table string) int {
	t.Helper()
	n, err := s.read.NewSelect().TableExpr(table).Count(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	return int(n)
}

// TestImport: good rows are taken, a bad one is kept with its reason and blocks
// none, a reading that is there is told, and the same file again changes nothing.
func TestImport(t *testing.T) {
	s, ctx := open(t), context.Background()
	file := func() LabFile {
		return sent("one", entry("Tank 1", 0.142), bad("Tank 2"), entry("Tank 1", 0.142), entry("Tank 3", 0.15))
	}
	first := imported(t, s, file(), ImportOptions{})
	if got := statuses(first); got != "accepted rejected duplicate accepted" || first.Accepted != 2 || first.Rejected != 1 || first.Duplicates != 1 || first.NewWines != 2 {
		t.Fatalf("%s: %+v", got, first)
	}
	if first.Rows[2].Reading != first.Rows[0].Reading {
		t.Errorf("the duplicate names %q, want the reading of row 2, %q", first.Rows[2].Reading, first.Rows[0].Reading)
	}
	again := imported(t, s, file(), ImportOptions{})
	if again.Accepted != 0 || again.Duplicates != 3 || again.Rejected != 1 || again.ID != first.ID {
		t.Errorf("the same file again: %+v", again)
	}
	if n := count(t, s, "file_import"); n != 1 {
		t.Errorf("%d imports after the same file twice, want 1", n)
	}
	other := imported(t, s, sent("two", entry("TANK  1", 0.142), entry("Tank 1", 0.2)), ImportOptions{})
	if got := statuses(other); got != "duplicate accepted" || other.NewWines != 0 {
		t.Errorf("the same reading in another file: %s, %d new wines", got, other.NewWines)
	}
	found, err := s.FindImport(ctx, first.ID)
	if err != nil || statuses(found) != statuses(first) || !reflect.DeepEqual(found.Rows[1].Raw, []string{"Tank 2", "x", "0.118", "0.021"}) {
		t.Errorf("kept: %+v, %v", found, err)
	}
	rejected, err := s.ImportRows(ctx, first.ID, 0, record.Rejected, 10)
	if err != nil || len(rejected) != 1 || rejected[0].Problem.Errors[0].Message != "this is no number" {
		t.Errorf("rejected: %+v, %v", rejected, err)
	}
	var original bytes.Buffer
	if err := s.ReadFile(ctx, first.SHA256, &original); err != nil || original.String() != "one" {
		t.Errorf("the file as it was sent: %q, %v", &original, err)
	}
	sound(t, s)
}

// TestImportLeavesNoTrace: a dry run, and all or nothing with a bad row.
func TestImportLeavesNoTrace(t *testing.T) {
	s, ctx := open(t), context.Background()
	file := func() LabFile { return sent("one", entry("Tank 1", 0.142), bad("Tank 2")) }
	dry := imported(t, s, file(), ImportOptions{DryRun: true})
	if dry.ID != "" || dry.Accepted != 1 || dry.Rejected != 1 {
		t.Errorf("dry run: %+v", dry)
	}
	_, err := s.Import(ctx, file(), ImportOptions{AllOrNothing: true})
	if p := calc.AsProblem(err); p == nil || !strings.Contains(p.Detail, "1 of 2 readings") || p.Errors[0].Message != "this is no number" {
		t.Errorf("all or nothing: %v", err)
	}
	for _, table := range tables {
		if n := count(t, s, table.name); n != 0 {
			t.Errorf("%d rows in %s", n, table.name)
		}
	}
}

// TestImportFails: an error in the middle of a file leaves nothing of it.
func TestImportFails(t *testing.T) {
	s := open(t)
	f := sent("one")
	broken := errors.New("the file ended in the middle of a row")
	f.Entries = func(yield func(record.Entry, error) bool) {
		for e, err := range entries(1000) {
			if !yield(e, err) {
				return
			}
		}
		yield(record.Entry{}, broken)
	}
	if _, err := s.Import(context.Background(), f, ImportOptions{}); !errors.Is(err, broken) {
		t.Fatalf("%v, want the file's error", err)
	}
	if n := count(t, s, "reading") + count(t, s, "wine") + count(t, s, "stored_file"); n != 0 {
		t.Errorf("%d rows of a file that failed", n)
	}
}

// TestWhichWine: by name and lot, or by name alone where it is the only one.
func TestWhichWine(t *testing.T) {
	s, ctx := open(t), context.Background()
	for _, lot := range []string{"A", "B"} {
		fields := white("Tank 1")
		fields.Lot = lot
		if _, _, err := s.CreateWine(ctx, fields, nil); err != nil {
			t.Fatal(err)
		}
	}
	withLot := entry("tank 1", 0.142)
	withLot.Wine.Lot = "B"
	newLot := entry("Tank 1", 0.15)
	newLot.Wine.Lot = "C"
	i := imported(t, s, sent("one", entry("Tank 1", 0.1), withLot, newLot), ImportOptions{})
	if got := statuses(i); got != "rejected accepted accepted" || i.NewWines != 1 {
		t.Fatalf("%s, %d new wines: %+v", got, i.NewWines, i.Rows)
	}
	if m := i.Rows[0].Problem.Errors[0].Message; !strings.Contains(m, `"A", "B"`) {
		t.Errorf("two wines of one name: %q, want it to name the lots", m)
	}
}

// TestImportAfterArchiving: what no longer counts comes in anew.
func TestImportAfterArchiving(t *testing.T) {
	s, ctx := open(t), context.Background()
	file := func() LabFile { return sent("one", entry("Tank 1", 0.142), entry("Tank 2", 0.15)) }
	first := imported(t, s, file(), ImportOptions{})
	if _, err := s.ArchiveReading(ctx, first.Rows[0].Reading, "wrong cell"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.ArchiveWine(ctx, first.Rows[1].Wine, 1, ""); err != nil {
		t.Fatal(err)
	}
	again := imported(t, s, file(), ImportOptions{})
	if got := statuses(again); got != "accepted accepted" || again.NewWines != 1 {
		t.Errorf("%s, %d new wines", got, again.NewWines)
	}
}

// TestImportAfterBringingBack: what counts again is told by its content again, unless
// a file brought it anew meanwhile.
func TestImportAfterBringingBack(t *testing.T) {
	for name, meanwhile := range map[string]bool{"nothing meanwhile": false, "brought anew meanwhile": true} {
		t.Run(name, func(t *testing.T) {
			s, ctx := open(t), context.Background()
			file := func() LabFile { return sent("one", entry("Tank 1", 0.142), entry("Tank 2", 0.15)) }
			first := imported(t, s, file(), ImportOptions{})
			if _, err := s.ArchiveReading(ctx, first.Rows[0].Reading, "wrong cell"); err != nil {
				t.Fatal(err)
			}
			if _, err := s.ArchiveWine(ctx, first.Rows[1].Wine, 1, "sold"); err != nil {
				t.Fatal(err)
			}
			if meanwhile {
				imported(t, s, file(), ImportOptions{})
			}
			if _, err := s.BringBackReading(ctx, first.Rows[0].Reading, "right cell"); err != nil {
				t.Fatal(err)
			}
			if _, err := s.BringBackWine(ctx, first.Rows[1].Wine, ""); err != nil {
				t.Fatal(err)
			}
			again := imported(t, s, sent("two", entry("Tank 1", 0.142)), ImportOptions{})
			if again.Accepted != 0 || again.Duplicates != 1 {
				t.Errorf("%+v", again)
			}
		})
	}
}

// TestImportAfterRenaming: a file is recognised by what it says, also when the
// wine has another name by now.
func TestImportAfterRenaming(t *testing.T) {
	s, ctx := open(t), context.Background()
	first := imported(t, s, sent("one", entry("Tank 1", 0.142)), ImportOptions{})
	if _, err := s.ChangeWine(ctx, first.Rows[0].Wine, 1, white("House white")); err != nil {
		t.Fatal(err)
	}
	again := imported(t, s, sent("one", entry("Tank 1", 0.142)), ImportOptions{})
	if again.Accepted != 0 || again.Duplicates != 1 || again.NewWines != 0 {
		t.Errorf("%+v", again)
	}
}

// TestManyRows: the rows of a long file are answered in pages, in its order.
func TestManyRows(t *testing.T) {
	s, ctx := open(t), context.Background()
	const n = 2500
	f := sent("one")
	f.Entries = func(yield func(record.Entry, error) bool) {
		i := 0
		for e, err := range entries(n) {
			if i%100 == 3 {
				e.Faults = []calc.Fault{{Message: "bad"}}
			}
			if i++; !yield(e, err) {
				return
			}
		}
	}
	i := imported(t, s, f, ImportOptions{})
	if i.Accepted != n-n/100 || len(i.Rows) != 1000 || i.Next == "" {
		t.Fatalf("%d accepted, %d rows, next %q", i.Accepted, len(i.Rows), i.Next)
	}
	seen := 0
	for after := 0; ; {
		page, err := s.ImportRows(ctx, i.ID, after, "", 700)
		if err != nil {
			t.Fatal(err)
		}
		if len(page) == 0 {
			break
		}
		for _, row := range page {
			if want := seen + 2; row.Row != want || (row.Status == record.Rejected) != (seen%100 == 3) {
				t.Fatalf("row %d is %d, %s", want, row.Row, row.Status)
			}
			seen++
			after = row.Row
		}
	}
	if seen != n {
		t.Errorf("%d rows, want %d", seen, n)
	}
}

// TestMappingRemembered: a mapping that was given is known for the next file
// with such a header, and no other.
func TestMappingRemembered(t *testing.T) {
	s, ctx := open(t), context.Background()
	f := sent("one", entry("Tank 1", 0.142))
	f.Header, f.Mapping, f.Given = []string{"Probe", "Ext. 420"}, map[string]string{"Probe": "name"}, true
	imported(t, s, f, ImportOptions{})
	got, err := s.MappingFor(ctx, []string{"PROBE", "ext. 420"})
	if err != nil || !reflect.DeepEqual(got, f.Mapping) {
		t.Errorf("%v, %v, want %v", got, err, f.Mapping)
	}
	if got, err := s.MappingFor(ctx, []string{"Probe"}); err != nil || got != nil {
		t.Errorf("another header: %v, %v", got, err)
	}
}
