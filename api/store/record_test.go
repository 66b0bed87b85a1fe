package store

import (
	"context"
	"errors"
	"reflect"
	"testing"
	"time"

	"pourpath/api/calc"
	"pourpath/api/record"
)

func pointer[T any](v T) *T { return &v }

// TestWineStays: what is said of a wine comes back as it was said, and a change
// or archiving is kept with its version.
func TestWineStays(t *testing.T) {
	s, ctx := open(t), context.Background()
	fields := record.WineFields{
		Name: "Cuvée Nº 7 – «été»", Kind: record.Rose, Lot: "L-7", Vintage: pointer(2025),
		Varieties: []record.Variety{{Name: "Grenache", SharePercent: pointer(70.5)}, {Name: "Syrah"}},
		StockL:    pointer(1200.25), Notes: "line one\nline two",
	}
	made, _, err := s.CreateWine(ctx, fields, nil)
	if err != nil {
		t.Fatal(err)
	}
	got, err := s.Wine(ctx, made.ID)
	if err != nil || !reflect.DeepEqual(got, made) || !reflect.DeepEqual(got.WineFields, fields) {
		t.Fatalf("%+v, %v, want %+v", got, err, made)
	}
	changed, err := s.ChangeWine(ctx, made.ID, 1, white("plain"))
	if err != nil || changed.Version != 2 || !reflect.DeepEqual(changed.WineFields, white("plain")) {
		t.Fatalf("changed: %+v, %v", changed, err)
	}
	if _, err := s.ChangeWine(ctx, made.ID, 1, fields); !errors.Is(err, record.ErrChanged) {
		t.Errorf("a change of version 1 after version 2: %v, want ErrChanged", err)
	}
	archived, err := s.ArchiveWine(ctx, made.ID, 2, "sold")
	if err != nil || archived.ArchivedAt == nil {
		t.Fatalf("archived: %+v, %v", archived, err)
	}
	if _, err := s.ChangeWine(ctx, made.ID, 3, fields); !errors.Is(err, record.ErrArchived) {
		t.Errorf("a change of an archived wine: %v, want ErrArchived", err)
	}
	if _, err := s.AddReading(ctx, made.ID, three(0.1, 0.1, 0)); !errors.Is(err, record.ErrArchived) {
		t.Errorf("a reading of an archived wine: %v, want ErrArchived", err)
	}
	for page, want := range map[record.Page]int{{Limit: 10}: 0, {Limit: 10, Archived: true}: 1} {
		if list, err := s.Wines(ctx, page); err != nil || len(list) != want {
			t.Errorf("%+v lists %d wines, %v, want %d", page, len(list), err, want)
		}
	}
	if got, err := s.Wine(ctx, made.ID); err != nil || !reflect.DeepEqual(got, archived) || got.ArchiveReason != "sold" {
		t.Errorf("the archived wine is %+v, %v, want %+v", got, err, archived)
	}
	back, err := s.BringBackWine(ctx, made.ID, "not sold")
	if err != nil || back.ArchivedAt != nil || back.ArchiveReason != "" || back.Version != 4 {
		t.Fatalf("brought back: %+v, %v", back, err)
	}
	if got, err := s.Wine(ctx, made.ID); err != nil || !reflect.DeepEqual(got, back) {
		t.Errorf("the wine is %+v, %v, want %+v", got, err, back)
	}
	if _, err := s.BringBackWine(ctx, made.ID, ""); !errors.Is(err, record.ErrNotArchived) {
		t.Errorf("a wine that is in use is brought back: %v, want ErrNotArchived", err)
	}
	if again, err := s.ArchiveWine(ctx, made.ID, 4, ""); err != nil || again.ArchiveReason != "" {
		t.Errorf("archived again, without a reason: %+v, %v", again, err)
	}
	if got, err := s.Wine(ctx, made.ID); err != nil || got.ArchiveReason != "" {
		t.Errorf("the reason of the first time is told of the second: %+v, %v", got, err)
	}
	if _, err := s.Wine(ctx, "none"); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("no such wine: %v, want ErrNotFound", err)
	}
}

// TestReadingStays: each kind of reading comes back with all its digits.
func TestReadingStays(t *testing.T) {
	s, ctx := open(t), context.Background()
	wine, _, err := s.CreateWine(ctx, white("Tank 1"), nil)
	if err != nil {
		t.Fatal(err)
	}
	taken, err := record.ParseInstant("2026-10-02T08:15:30.123456+02:00")
	if err != nil {
		t.Fatal(err)
	}
	nm, absorbance := []float64{400, 410, 420}, []float64{0.1 + 0.2, 1e-3, 0.30000000000000004}
	for name, m := range map[string]record.Measurement{
		"three": {Readings: &calc.Readings{A420: 0.1 + 0.2, A520: 1.0 / 3, A620: -0.001, PathMM: pointer(10.0), Dilution: pointer(2.5), UAbsorbance: pointer(0.003)}},
		"more": {Readings: &calc.Readings{
			A420: 0.431, A520: 0.592, A620: 0.102, PathMM: pointer(1.0), Dilution: pointer(1.0), Extra: []calc.Reading{{NM: 570, Absorbance: 0.31}, {NM: 460.5, Absorbance: 0.2}},
		}},
		"scan":          {Spectrum: &calc.Spectrum{NM: nm, Absorbance: absorbance, PathMM: pointer(2.0), Dilution: pointer(1.0)}},
		"transmittance": {Spectrum: &calc.Spectrum{NM: nm, TransmittancePercent: []float64{12.5, 50, 99.9}, PathMM: pointer(10.0), Dilution: pointer(1.0)}},
		"colour": {CIELAB: &calc.CIELAB{
			L: calc.Decimal{Value: 71.2, Decimals: 2}, A: calc.Decimal{Value: 31.5, Decimals: 1}, B: calc.Decimal{Value: 9, Decimals: 0}, PathMM: 10, Illuminant: "C", Observer: "2",
		}},
	} {
		t.Run(name, func(t *testing.T) {
			in := record.Reading{Measurement: m, Circumstances: record.Circumstances{
				TakenAt: &taken, Instrument: "bench 2", Analyst: "ab", Diluent: "model_wine", Blank: "water",
				TemperatureC: pointer(20.5), MinutesSinceBlending: pointer(15.0), Replicate: pointer(2),
			}}
			made, err := s.AddReading(ctx, wine.ID, in)
			if err != nil {
				t.Fatal(err)
			}
			got, err := s.Reading(ctx, made.ID)
			if err != nil || !reflect.DeepEqual(got, made) {
				t.Fatalf("%+v, %v, want %+v", got, err, made)
			}
			if !reflect.DeepEqual(got.Measurement, m) || !reflect.DeepEqual(got.Circumstances, in.Circumstances) {
				t.Errorf("got %+v %+v, want %+v %+v", got.Measurement, got.Circumstances, m, in.Circumstances)
			}
		})
	}
}

// TestCorrection: a correction supersedes, both stay, and a reading has one.
func TestCorrection(t *testing.T) {
	s, ctx := open(t), context.Background()
	wine, first := added(t, s, white("Tank 1"), three(0.142, 0.118, 0.021))
	other, _ := added(t, s, white("Tank 2"), three(0.15, 0.118, 0.021))

	correction := three(0.241, 0.118, 0.021)
	correction.Supersedes, correction.Reason = first.ID, "digits were swapped"
	second, err := s.AddReading(ctx, wine.ID, correction)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.AddReading(ctx, wine.ID, correction); !errors.Is(err, record.ErrSuperseded) {
		t.Errorf("a second correction of one reading: %v, want ErrSuperseded", err)
	}
	if _, err := s.AddReading(ctx, other.ID, correction); calc.AsProblem(err) == nil {
		t.Errorf("a correction of another wine's reading: %v, want a problem at /supersedes", err)
	}
	list, err := s.ReadingsOf(ctx, wine.ID, record.Page{Limit: 10})
	if err != nil || len(list) != 2 || list[0].SupersededBy != second.ID || list[1].Supersedes != first.ID {
		t.Errorf("both stay: %+v, %v", list, err)
	}
	stored, err := s.StoredWine(ctx, wine.ID)
	if err != nil || stored.Wine.Readings.A420 != 0.241 || !reflect.DeepEqual(stored.ReadingIDs, []string{second.ID}) {
		t.Errorf("current is %+v, %v, want the correction", stored, err)
	}
	if _, err := s.ArchiveReading(ctx, second.ID, "read in the wrong cell"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.StoredWine(ctx, wine.ID); !errors.Is(err, calc.ErrNoReading) {
		t.Errorf("after the only one that counts is archived: %v, want ErrNoReading", err)
	}
	if got, err := s.Reading(ctx, second.ID); err != nil || got.ArchiveReason != "read in the wrong cell" {
		t.Errorf("an archived reading stays readable: %+v, %v", got, err)
	}
	back, err := s.BringBackReading(ctx, second.ID, "it was the right one")
	if err != nil || back.ArchivedAt != nil || back.ArchiveReason != "" {
		t.Fatalf("brought back: %+v, %v", back, err)
	}
	if stored, err = s.StoredWine(ctx, wine.ID); err != nil || !reflect.DeepEqual(stored.ReadingIDs, []string{second.ID}) {
		t.Errorf("the current one is %v, %v, want the one that was brought back", stored.ReadingIDs, err)
	}
	if _, err := s.BringBackReading(ctx, second.ID, ""); !errors.Is(err, record.ErrNotArchived) {
		t.Errorf("a reading that counts is brought back: %v, want ErrNotArchived", err)
	}
	if _, err := s.BringBackReading(ctx, "none", ""); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("no such reading: %v, want ErrNotFound", err)
	}
	if v, err := s.Verify(ctx); err != nil || len(v.Findings) > 0 || v.Rows["archiving"] != 2 {
		t.Errorf("verification finds %v in %v, %v", v.Findings, v.Rows, err)
	}
}

// TestCurrentReading: the newest counts by when it was taken.
func TestCurrentReading(t *testing.T) {
	s, ctx := open(t), context.Background()
	at := func(day int) *record.Instant {
		return pointer(record.At(time.Date(2026, 10, day, 9, 0, 0, 0, time.UTC)))
	}
	late := three(0.2, 0.15, 0.03)
	late.TakenAt = at(9)
	wine, newest := added(t, s, white("Tank 1"), late)
	early := three(0.1, 0.1, 0.02)
	early.TakenAt = at(2)
	if _, err := s.AddReading(ctx, wine.ID, early); err != nil {
		t.Fatal(err)
	}
	set, err := s.Current(ctx, wine.ID)
	if err != nil || len(set) != 1 || set[0].ID != newest.ID {
		t.Errorf("current is %+v, %v, want the one taken last", set, err)
	}
}

// TestDatabaseKeepsReadings: the database itself refuses to change or delete a
// reading, and values that no reading has.
func TestDatabaseKeepsReadings(t *testing.T) {
	s, ctx := open(t), context.Background()
	_, r := added(t, s, white("Tank 1"), three(0.142, 0.118, 0.021))
	for _, statement := range []string{
		"UPDATE reading SET a420 = 0.2",
		"UPDATE reading SET taken_at = '2026-01-01T00:00:00.000000Z'",
		"DELETE FROM reading",
		"DELETE FROM wine",
		"UPDATE wine SET kind = 'green'",
		"UPDATE wine SET name = '  '",
		"UPDATE wine SET stock_l = -1",
	} {
		if _, err := s.write.ExecContext(ctx, statement); err == nil {
			t.Errorf("%s: the database did it", statement)
		}
	}
	if got, err := s.Reading(ctx, r.ID); err != nil || got.Readings.A420 != 0.142 {
		t.Errorf("the reading is %+v, %v", got, err)
	}
}

// TestPages: a list in pages is the list.
func TestPages(t *testing.T) {
	s, ctx := open(t), context.Background()
	wine, _, err := s.CreateWine(ctx, white("Tank 1"), nil)
	if err != nil {
		t.Fatal(err)
	}
	base := time.Date(2026, 10, 1, 9, 0, 0, 0, time.UTC)
	for i := range 25 {
		r := three(0.1+float64(i)/1000, 0.1, 0.02)
		r.TakenAt = pointer(record.At(base.Add(time.Duration(i/3) * time.Hour))) // several at one time
		if _, err := s.AddReading(ctx, wine.ID, r); err != nil {
			t.Fatal(err)
		}
	}
	for name, list := range map[string]func(record.Page) ([]record.Reading, error){
		"of a wine": func(p record.Page) ([]record.Reading, error) { return s.ReadingsOf(ctx, wine.ID, p) },
		"of all":    func(p record.Page) ([]record.Reading, error) { return s.Readings(ctx, p) },
	} {
		whole, err := list(record.Page{Limit: 1000})
		if err != nil || len(whole) != 25 {
			t.Fatalf("%s: %d, %v", name, len(whole), err)
		}
		var paged []record.Reading
		for after := ""; ; after = paged[len(paged)-1].ID {
			page, err := list(record.Page{Limit: 4, After: after})
			if err != nil {
				t.Fatal(err)
			}
			if len(page) == 0 {
				break
			}
			paged = append(paged, page...)
		}
		if !reflect.DeepEqual(paged, whole) {
			t.Errorf("%s: pages give %d readings, not the list", name, len(paged))
		}
		if name == "of all" {
			continue // has one order
		}
		back, err := list(record.Page{Limit: 4, After: whole[10].ID, Newest: true})
		if err != nil || len(back) != 4 || back[0].ID != whole[9].ID || back[3].ID != whole[6].ID {
			t.Errorf("%s, the newest first after the 11th: %+v, %v", name, back, err)
		}
	}
}

// TestTargetStays: a target and its conditions come back, and changes keep to
// versions.
func TestTargetStays(t *testing.T) {
	s, ctx := open(t), context.Background()
	fields := record.TargetFields{
		Name: "House rosé", Target: &calc.Target{CIELAB: &calc.TargetColour{L: 86, A: 15, B: 6.5}, Tolerance: &calc.Tolerance{DeltaE00: 1.5}},
		View: &calc.View{Illuminant: "D50", PathMM: pointer(5.0)}, Notes: "as last year",
	}
	made, err := s.CreateTarget(ctx, fields)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := s.Target(ctx, made.ID); err != nil || !reflect.DeepEqual(got, made) {
		t.Errorf("%+v, %v, want %+v", got, err, made)
	}
	if got, err := s.StoredTarget(ctx, made.ID); err != nil || got.View.Illuminant != "D50" || got.Target.CIELAB.L != 86 {
		t.Errorf("for a calculation: %+v, %v", got, err)
	}
	fields.Name = "Other"
	if got, err := s.ChangeTarget(ctx, made.ID, 1, fields); err != nil || got.Version != 2 {
		t.Errorf("changed: %+v, %v", got, err)
	}
	if _, err := s.ArchiveTarget(ctx, made.ID, 1); !errors.Is(err, record.ErrChanged) {
		t.Errorf("archiving version 1 after version 2: %v, want ErrChanged", err)
	}
	if list, err := s.Targets(ctx, record.Page{Limit: 5}); err != nil || len(list) != 1 {
		t.Errorf("list: %+v, %v", list, err)
	}
}

// TestWinesNamed: each word must be in the name or the lot, as people type it.
func TestWinesNamed(t *testing.T) {
	s, ctx := open(t), context.Background()
	for _, w := range []record.WineFields{
		{Name: "Rosé ÉTÉ 100%", Kind: record.Rose, Lot: "L-7"}, {Name: "Red  barrel_7", Kind: record.Red, Lot: "l-17"}, {Name: "White", Kind: record.White},
	} {
		if _, _, err := s.CreateWine(ctx, w, nil); err != nil {
			t.Fatal(err)
		}
	}
	for words, want := range map[string]int{
		"": 3, " ": 3, "été": 1, "ÉTÉ  rosé": 1, "été red": 0, "7": 2, "L-7": 1, "l-17 barrel": 1, "%": 1, "_": 1, `\`: 0, "' OR 1=1": 0, "r": 2,
	} {
		if list, err := s.Wines(ctx, record.Page{Limit: 10, Named: words}); err != nil || len(list) != want {
			t.Errorf("%q finds %d wines, %v, want %d", words, len(list), err, want)
		}
	}
}
