package store

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/uptrace/bun"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// undo undoes an import and returns it as it is then.
func undo(t *testing.T, s *Store, id, reason string) record.Import {
	t.Helper()
	if err := s.UndoImport(t.Context(), id, reason); err != nil {
		t.Fatal(err)
	}
	i, err := s.FindImport(t.Context(), id)
	if err != nil || i.Undone == nil {
		t.Fatalf("%+v, %v", i, err)
	}
	return i
}

// TestUndoImport: what an import added is archived with the reason, nothing is
// deleted, undoing twice is undoing once, and the same file comes in anew.
func TestUndoImport(t *testing.T) {
	s, ctx := open(t), t.Context()
	older, _, err := s.CreateWine(ctx, white("Older"), nil)
	if err != nil {
		t.Fatal(err)
	}
	file := func() LabFile { return sent("one", entry("Tank 1", 0.142), bad("Tank 2"), entry("Older", 0.15)) }
	first := imported(t, s, file(), ImportOptions{})
	other := imported(t, s, sent("two", entry("Older", 0.16)), ImportOptions{})
	i := undo(t, s, first.ID, "wrong cell")
	if u := i.Undone; u.Reason != "wrong cell" || u.Readings != 2 || u.Wines != 1 || len(i.Resting) != 0 {
		t.Errorf("%+v, resting %+v", u, i.Resting)
	}
	for n, row := range first.Rows {
		if row.Status == record.Rejected {
			continue
		}
		r, err := s.Reading(ctx, row.Reading)
		if err != nil || r.ArchivedAt == nil || r.ArchiveReason != "wrong cell" {
			t.Errorf("reading %d: %+v, %v", n, r, err)
		}
	}
	if w, err := s.Wine(ctx, first.Rows[0].Wine); err != nil || w.ArchivedAt == nil || w.Version != 2 {
		t.Errorf("the wine that it added: %+v, %v", w, err)
	}
	if w, err := s.Wine(ctx, older.ID); err != nil || w.ArchivedAt != nil {
		t.Errorf("the wine that was there: %+v, %v", w, err)
	}
	if set, err := s.Current(ctx, older.ID); err != nil || len(set) != 1 || set[0].ID != other.Rows[0].Reading {
		t.Errorf("its current reading: %+v, %v", set, err)
	}
	again := undo(t, s, first.ID, "another reason")
	if *again.Undone != *i.Undone {
		t.Errorf("undone twice: %+v, want %+v", again.Undone, i.Undone)
	}
	list, err := s.Imports(ctx, record.Page{Newest: true, Limit: 10})
	if err != nil || len(list) != 2 || list[0].Undone != nil || list[1].Undone == nil {
		t.Errorf("%+v, %v", list, err)
	}

	anew := imported(t, s, file(), ImportOptions{})
	if got := statuses(anew); got != "accepted rejected accepted" || anew.ID == first.ID || anew.NewWines != 1 {
		t.Errorf("the same file after it was undone: %s, %+v", got, anew)
	}
	if same := imported(t, s, file(), ImportOptions{}); same.ID != anew.ID || same.Accepted != 0 {
		t.Errorf("once more it is %s, want %s: %+v", same.ID, anew.ID, same)
	}
	if kept, err := s.FindImport(ctx, anew.ID); err != nil || kept.Undone != nil {
		t.Errorf("%+v, %v", kept.Undone, err)
	}
	if err := s.UndoImport(ctx, "0192f000-0000-7000-8000-000000000000", "x"); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("none: %v", err)
	}
	sound(t, s)
}

// TestUndoKeeps: what rests on an import stays and is told, and so do wines that
// something else uses.
func TestUndoKeeps(t *testing.T) {
	s, ctx := open(t), t.Context()
	i := imported(t, s, sent("one", entry("Base", 0.14), entry("Held", 0.15), entry("Corrected", 0.16), entry("Changed", 0.17), entry("Free", 0.18)), ImportOptions{})
	wine := map[string]string{}
	for _, row := range i.Rows {
		wine[row.Name] = row.Wine
	}
	correction := three(0.2, 0.1, 0.02)
	correction.Supersedes, correction.Reason = i.Rows[2].Reading, "slip"
	corrected, err := s.AddReading(ctx, wine["Corrected"], correction)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.ChangeWine(ctx, wine["Changed"], 1, white("Changed by hand")); err != nil {
		t.Fatal(err)
	}
	fields := record.TrialFields{Name: "Ladder", BaseML: 100, Base: record.TrialWine{ID: wine["Base"], Name: "Base"}, Addition: record.TrialWine{Name: "Red"},
		Held: []record.TrialHeld{{Wine: record.TrialWine{ID: wine["Held"], Name: "Held"}, DoseMLPer100ML: 1}}}
	trial, err := s.CreateTrial(ctx, record.Trial{TrialFields: fields, ReadingsUsed: []calc.ReadingsUsed{{Wine: wine["Base"], Readings: []string{i.Rows[0].Reading}}}, Glasses: []string{"A"}})
	if err != nil {
		t.Fatal(err)
	}
	undone := undo(t, s, i.ID, "wrong file")
	if u := undone.Undone; u.Readings != 5 || u.Wines != 1 {
		t.Errorf("%+v, want the one wine that nothing uses archived", u)
	}
	told := map[string]string{}
	for _, r := range undone.Resting {
		told[r.Kind] = r.ID
	}
	if len(undone.Resting) != 2 || told["correction"] != corrected.ID || told["trial"] != trial.ID {
		t.Errorf("resting: %+v", undone.Resting)
	}
	if set, err := s.Current(ctx, wine["Corrected"]); err != nil || len(set) != 1 || set[0].ID != corrected.ID {
		t.Errorf("the correction no longer counts: %+v, %v", set, err)
	}
	if kept, err := s.Trial(ctx, trial.ID); err != nil || kept.Base.ID != wine["Base"] {
		t.Errorf("%+v, %v", kept, err)
	}
	for name, id := range wine {
		if w, err := s.Wine(ctx, id); err != nil || (w.ArchivedAt != nil) != (name == "Free") {
			t.Errorf("%s: %+v, %v", name, w, err)
		}
	}
	sound(t, s)
}

// TestUndoneIsRestored: what was mended, undone, archived and brought back is the same
// from an archive, and so is which files are known.
func TestUndoneIsRestored(t *testing.T) {
	s, ctx := open(t), t.Context()
	file := func() LabFile { return sent("one", entry("Tank 1", 0.142), entry("Tank 2", 0.15)) }
	mended, from, to := file(), "0,1x", "0.142"
	mended.Corrections = func() []record.Correction {
		return []record.Correction{{Row: 2, Column: "A420", From: &from, To: &to}}
	}
	first := imported(t, s, mended, ImportOptions{})
	undo(t, s, first.ID, "wrong cell")
	anew := imported(t, s, file(), ImportOptions{})
	if _, err := s.ArchiveWine(ctx, anew.Rows[0].Wine, 1, "sold"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.BringBackWine(ctx, anew.Rows[0].Wine, "not sold"); err != nil {
		t.Fatal(err)
	}
	text := archived(t, s)
	into := open(t)
	if _, err := into.Restore(ctx, strings.NewReader(text)); err != nil {
		t.Fatal(err)
	}
	sound(t, into)
	if again := archived(t, into); !slices.Equal(withoutHead(again), withoutHead(text)) {
		t.Errorf("what was restored gives another archive:\n%s\n%s", again, text)
	}
	if i, err := into.FindImport(ctx, first.ID); err != nil || i.Undone == nil || len(i.Corrections) != 1 || *i.Corrections[0].From != from {
		t.Errorf("%+v, %v", i, err)
	}
	if same := imported(t, into, file(), ImportOptions{}); same.ID != anew.ID || same.Accepted != 0 {
		t.Errorf("the same file after it: %+v", same)
	}
}

// TestSameContentIsTold: of two readings of the same content one is archived, by itself
// or with its import; a file that holds it is told by the other.
func TestSameContentIsTold(t *testing.T) {
	for name, archive := range map[string]func(*testing.T, *Store, record.Import){
		"by itself": func(t *testing.T, s *Store, i record.Import) {
			if _, err := s.ArchiveReading(t.Context(), i.Rows[0].Reading, "twice"); err != nil {
				t.Fatal(err)
			}
		},
		"with its import": func(t *testing.T, s *Store, i record.Import) { undo(t, s, i.ID, "twice") },
	} {
		t.Run(name, func(t *testing.T) {
			s, ctx := open(t), t.Context()
			file := func() LabFile { return sent("one", entry("Tank 1", 0.142)) }
			first := imported(t, s, file(), ImportOptions{})
			same := entry("Tank 1", 0.142)
			other, err := s.AddReading(ctx, first.Rows[0].Wine, same.Reading())
			if err != nil {
				t.Fatal(err)
			}
			archive(t, s, first)
			again := imported(t, s, file(), ImportOptions{})
			if again.Accepted != 0 || len(again.Rows) != 1 || again.Rows[0].Reading != other.ID {
				t.Errorf("the file once more: %+v, want it told by %s", again, other.ID)
			}
			sound(t, s)
		})
	}
}

// TestUndoAfterUndo: a wine that an import added and that stayed, when that was undone, for
// the reading of a later one, goes with the undoing of the later one; a wine that was
// there before both stays.
func TestUndoAfterUndo(t *testing.T) {
	s, ctx := open(t), t.Context()
	older, _, err := s.CreateWine(ctx, white("Older"), nil)
	if err != nil {
		t.Fatal(err)
	}
	first := imported(t, s, sent("one", entry("Tank 1", 0.142), entry("Older", 0.15)), ImportOptions{})
	second := imported(t, s, sent("two", entry("Tank 1", 0.143), entry("Older", 0.16)), ImportOptions{})
	if u := undo(t, s, first.ID, "wrong cell").Undone; u.Readings != 2 || u.Wines != 0 {
		t.Errorf("the first: %+v, want no wine archived while the second has a reading of it", u)
	}
	if u := undo(t, s, second.ID, "wrong cell too").Undone; u.Readings != 2 || u.Wines != 1 {
		t.Errorf("the second: %+v, want the wine that the first had added archived", u)
	}
	if w, err := s.Wine(ctx, first.Rows[0].Wine); err != nil || w.ArchivedAt == nil || w.ArchiveReason != "wrong cell too" {
		t.Errorf("%+v, %v", w, err)
	}
	if w, err := s.Wine(ctx, older.ID); err != nil || w.ArchivedAt != nil {
		t.Errorf("the wine that was there before: %+v, %v", w, err)
	}
}

// asked counts the queries of a database.
type asked struct{ n int }

func (*asked) BeforeQuery(ctx context.Context, _ *bun.QueryEvent) context.Context { return ctx }
func (a *asked) AfterQuery(context.Context, *bun.QueryEvent)                      { a.n++ }

// TestRestingTrialsTogether: what rests on an import is found by as many queries however
// many trials came after it, and is all told.
func TestRestingTrialsTogether(t *testing.T) {
	s, ctx := open(t), t.Context()
	i := imported(t, s, sent("one", entry("Base", 0.142)), ImportOptions{})
	base := record.TrialWine{ID: i.Rows[0].Wine, Name: "Base"}
	count := &asked{}
	s.read = s.read.WithQueryHook(count)
	queries := func(trials int) int {
		t.Helper()
		count.n = 0
		found, err := s.FindImport(ctx, i.ID)
		if err != nil || len(found.Resting) != trials {
			t.Fatalf("%d rest on it, want %d: %v", len(found.Resting), trials, err)
		}
		return count.n
	}
	fields := record.TrialFields{Name: "Ladder", BaseML: 100, Base: base, Addition: record.TrialWine{Name: "Red"}}
	begin := func() {
		t.Helper()
		if _, err := s.CreateTrial(ctx, record.Trial{TrialFields: fields, ReadingsUsed: []calc.ReadingsUsed{{Wine: base.ID, Readings: []string{i.Rows[0].Reading}}}, Glasses: []string{"A"}}); err != nil {
			t.Fatal(err)
		}
	}
	begin()
	one := queries(1)
	for range 9 {
		begin()
	}
	if ten := queries(10); ten != one {
		t.Errorf("%d queries with one trial, %d with ten", one, ten)
	}
}
