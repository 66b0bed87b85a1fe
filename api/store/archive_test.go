package store

import (
	"bytes"
	"context"
	"errors"
	"reflect"
	"strings"
	"testing"

	"pourpath/api/record"
)

// furnished is a store with something in every table.
func furnished(t *testing.T) *Store {
	t.Helper()
	s, ctx := open(t), context.Background()
	wine, first := added(t, s, white("Tank \"1\"\n\u2028é"), three(0.1+0.2, 1.0/3, 0.021))
	correction := three(0.31, 1.0/3, 0.021)
	correction.Supersedes, correction.Reason = first.ID, "digits"
	if _, err := s.AddReading(ctx, wine.ID, correction); err != nil {
		t.Fatal(err)
	}
	if _, err := s.CreateTarget(ctx, record.TargetFields{Name: "House", Notes: "x"}); err != nil {
		t.Fatal(err)
	}
	f := sent("one", entry("Tank 3", 0.142), bad("Tank 2"), entry("Tank 3", 0.142))
	f.Header, f.Mapping, f.Given = []string{"Probe"}, map[string]string{"Probe": "name"}, true
	imported(t, s, f, ImportOptions{})
	return s
}

func archived(t *testing.T, s *Store) string {
	t.Helper()
	var text bytes.Buffer
	if _, err := s.Archive(context.Background(), &text); err != nil {
		t.Fatal(err)
	}
	return text.String()
}

// withoutHead leaves out the line that tells when it was made, and the sum.
func withoutHead(archive string) []string {
	lines := strings.Split(strings.TrimSpace(archive), "\n")
	return lines[1 : len(lines)-1]
}

// TestArchiveRestores: an archive in an empty store is the same records with the
// same identifiers.
func TestArchiveRestores(t *testing.T) {
	s, ctx := furnished(t), context.Background()
	text := archived(t, s)
	into := open(t)
	rows, err := into.Restore(ctx, strings.NewReader(text))
	if err != nil || int(rows) != len(withoutHead(text)) {
		t.Fatalf("%d rows, %v", rows, err)
	}
	if again := archived(t, into); !reflect.DeepEqual(withoutHead(again), withoutHead(text)) {
		t.Errorf("what was restored gives another archive:\n%s\n%s", again, text)
	}
	sound(t, into)
	want, err := s.Readings(ctx, record.Page{Limit: 100, Archived: true})
	if err != nil {
		t.Fatal(err)
	}
	if got, err := into.Readings(ctx, record.Page{Limit: 100, Archived: true}); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("readings %+v, %v, want %+v", got, err, want)
	}
	if i := imported(t, into, sent("one", entry("Tank 3", 0.142)), ImportOptions{}); i.Accepted != 0 {
		t.Errorf("a file that was imported before the archive brings %d readings", i.Accepted)
	}
}

// TestArchiveRefused: an archive that is not whole is refused with its line, and
// nothing of it stays.
func TestArchiveRefused(t *testing.T) {
	text := archived(t, furnished(t))
	lines := strings.SplitAfter(text, "\n")
	for name, row := range map[string]struct{ text, want string }{
		"cut off":         {strings.Join(lines[:len(lines)-2], ""), "cut off"},
		"cut in a line":   {text[:len(text)/2], "line"},
		"a row is gone":   {strings.Join(append(append([]string{}, lines[:2]...), lines[3:]...), ""), "line"},
		"a digit changed": {strings.Replace(text, "0.31", "0.32", 1), "SHA-256"},
		"something else":  {"name,a420\n", "no archive"},
		"empty":           {"", "cut off"},
		"later version":   {strings.Replace(text, `"format":1`, `"format":2`, 1), "later version"},
		"later step":      {strings.Replace(text, `"step":`, `"step":9`, 1), "later version"},
		"text after":      {text + "{}\n", "after the last line"},
		"unknown table":   {strings.Replace(text, `{"table":"target"`, `{"table":"cellar"`, 1), `no table "cellar"`},
		"unknown column":  {strings.Replace(text, `"stock_l":null`, `"stock":5`, 1), `no column "stock"`},
		"not allowed":     {strings.Replace(text, `"kind":"white"`, `"kind":"green"`, 1), "refused"},
	} {
		t.Run(name, func(t *testing.T) {
			into := open(t)
			_, err := into.Restore(context.Background(), strings.NewReader(row.text))
			var fault *ArchiveError
			if !errors.As(err, &fault) || !strings.Contains(err.Error(), row.want) {
				t.Fatalf("%v, want an archive error with %q", err, row.want)
			}
			for _, table := range tables {
				if n := count(t, into, table.name); n != 0 {
					t.Errorf("%d rows in %s", n, table.name)
				}
			}
		})
	}
}

// TestRestoreIntoEmptyOnly: what is there is never mixed with an archive.
func TestRestoreIntoEmptyOnly(t *testing.T) {
	s := furnished(t)
	_, err := s.Restore(context.Background(), strings.NewReader(archived(t, s)))
	var notEmpty *NotEmptyError
	if !errors.As(err, &notEmpty) {
		t.Errorf("%v, want a NotEmptyError", err)
	}
}

// TestVerifyFindsOrphans: rows that refer to nothing, and files that are not
// what was sent.
func TestVerifyFindsOrphans(t *testing.T) {
	s, ctx := furnished(t), context.Background()
	sound(t, s)
	for _, statement := range map[bool][]string{
		false: {"PRAGMA foreign_keys = 0", "DROP TRIGGER reading_is_not_deleted", "DELETE FROM wine WHERE name = 'Tank 3'", "DELETE FROM file_piece"},
		true: {
			"ALTER TABLE reading DROP CONSTRAINT reading_wine_id_fkey", "ALTER TABLE import_row DROP CONSTRAINT import_row_wine_id_fkey",
			"DELETE FROM wine WHERE name = 'Tank 3'", "DELETE FROM file_piece",
		},
	}[s.postgres] {
		if _, err := s.write.ExecContext(ctx, statement); err != nil {
			t.Fatal(statement, err)
		}
	}
	v, err := s.Verify(ctx)
	if err != nil {
		t.Fatal(err)
	}
	var places []string
	for _, f := range v.Findings {
		places = append(places, f.Place+": "+f.Message)
	}
	all := strings.Join(places, "\n")
	for _, want := range []string{"reading: a row refers to wine", "stored_file", "piece 0 is missing"} {
		if !strings.Contains(all, want) {
			t.Errorf("verify does not find %q in:\n%s", want, all)
		}
	}
}

// FuzzRestore: whatever stands in an archive, restoring ends with all of it or a
// fault that names a line, and an empty store stays empty on a fault.
func FuzzRestore(f *testing.F) {
	s := fresh(f)
	var whole bytes.Buffer
	if _, err := s.Archive(context.Background(), &whole); err != nil {
		f.Fatal(err)
	}
	f.Add(whole.String())
	f.Add("{\"archive\":\"pourpath\",\"format\":1,\"step\":1}\n{\"table\":\"wine\",\"row\":{\"id\":\"a\",\"version\":1e99}}\n")
	f.Add("{\"rows\":0,\"sha256\":\"\"}\n{}")
	f.Fuzz(func(t *testing.T, text string) {
		_, err := s.Restore(context.Background(), strings.NewReader(text))
		var fault *ArchiveError
		if err != nil && !errors.As(err, &fault) {
			t.Errorf("%v, want an archive error", err)
		}
		if n := count(t, s, "wine"); n != 0 {
			t.Errorf("%d wines of %.200q", n, text)
		}
	})
}
