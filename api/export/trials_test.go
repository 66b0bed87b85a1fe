package export

import (
	"encoding/csv"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pourpath/api/record"
)

// otherwise are fields of an entry that have no column of their own name, with the
// columns that tell them.
var otherwise = map[string][]string{
	"id":           {"trial_id", "entry"}, // the place in the log says which entry it is
	"no":           {"entry"},
	"readings":     {"a420", "a520", "a620", "path_mm", "dilution", "measurement"},
	"spectrum":     {"measurement"},
	"cielab":       {"measurement"},
	"target":       nil, // is in the archive: see the package's comment
	"view":         nil,
	"name":         {"trial"},
	"looked_again": {"looked_again_at", "looked_again_clear", "looked_again_note"},
}

// fieldsOf are the names in JSON of a type's fields, those of embedded ones too.
func fieldsOf(t reflect.Type) (names []string) {
	for i := range t.NumField() {
		f := t.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case f.Anonymous && name == "":
			names = append(names, fieldsOf(f.Type)...)
		case name != "" && name != "-":
			names = append(names, name)
		}
	}
	return names
}

// TestTrialsHaveEveryField: whatever a log entry says, and what a trial is set up
// with, is in the table.
func TestTrialsHaveEveryField(t *testing.T) {
	all := append(fieldsOf(reflect.TypeFor[record.LogEntry]()), fieldsOf(reflect.TypeFor[record.TrialFields]())...)
	if len(all) < 40 {
		t.Fatalf("only %d fields: %v", len(all), all)
	}
	for _, name := range all {
		columns, known := otherwise[name]
		if !known {
			columns = []string{name}
		}
		for _, c := range columns {
			if !slices.Contains(trialsHeader, c) {
				t.Errorf("the field %q has no column %q", name, c)
			}
		}
	}
}

// TestEveryColumnIsTold: with a log that has everything, no column of the table is
// empty, so that none is left out or put into another's place.
func TestEveryColumnIsTold(t *testing.T) {
	s := open(t)
	fillAll(t, s)
	text := strings.TrimPrefix(csvOf(t, s, Trials), "\xEF\xBB\xBF")
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	cell := func(row int, column string) string {
		at := slices.Index(rows[0], column)
		if at < 0 {
			t.Fatalf("there is no column %q", column)
		}
		return rows[row][at]
	}
	for at, name := range rows[0] {
		told := slices.ContainsFunc(rows[1:], func(r []string) bool { return r[at] != "" })
		if unread := name == "archived_at" || name == "measurement"; told == unread {
			t.Errorf("column %s: told %v", name, told)
		}
	}
	for _, want := range []struct {
		row           int
		column, value string
	}{
		{4, "kind", "pour"}, {4, "undone_by", "5"}, {4, "fills", "2"}, {4, "key", "'@k1"}, {4, "stated_total_ml", "5"}, {4, "dose_ml_per_100ml", "0"},
		{5, "kind", "undo"}, {5, "undoes", "4"}, {5, "why", "'-it went into A"}, {5, "glass", "B"},
		{7, "stated_dose_ml_per_100ml", "7.5"}, {7, "dose_ml_per_100ml", "7"}, {7, "temperature_c", "18.5"}, {7, "minutes_since_blending", "20"},
		{8, "note", "'+bright"}, {8, "score", "71"}, {8, "scale", "of 100"},
		{9, "kind", "choice"}, {9, "chosen_dose_ml_per_100ml", "6.5"}, {9, "dose_ml_per_100ml", "6.5"}, {9, "reasons", "'=between the two"},
		{10, "kind", "final_check"}, {10, "volume_ml", "260"}, {10, "dose_ml_per_100ml", "6.5"}, {10, "a520", "0.3"},
		{11, "dose_ml_per_100ml", "6.5"}, {11, "looked_again_clear", "yes"}, {11, "looked_again_note", "'-bright"},
		{12, "entry", ""}, {12, "visible_step", "0.5"}, {12, "sample_volumes_ml", "[50,250]"},
	} {
		if got := cell(want.row, want.column); got != want.value {
			t.Errorf("row %d, %s: %q, want %q", want.row, want.column, got, want.value)
		}
	}
}
