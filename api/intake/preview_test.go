package intake_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"pourpath/api/calc"
	"pourpath/api/intake"
	"pourpath/api/record"
	"pourpath/api/store"
	"pourpath/api/store/storetest"
)

func opened(t *testing.T) *store.Store {
	t.Helper()
	dir, address := storetest.Place(t)
	s, err := store.Open(context.Background(), store.Config{Dir: dir, URL: address})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// TestLook: what would become of each row, in which cell a fault stands, and that
// nothing is stored.
func TestLook(t *testing.T) {
	s, ctx := opened(t), t.Context()
	for _, lot := range []string{"A", "B"} {
		if _, _, err := s.CreateWine(ctx, record.WineFields{Name: "Twice", Kind: record.White, Lot: lot}, nil); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := intake.Take(ctx, s, "first.csv", strings.NewReader("name,a420,a520,a620\nTank 1,0.1,0.1,0.1\n"), intake.Options{}); err != nil {
		t.Fatal(err)
	}
	const file = "name,a420,a520,a620,lot\nTank 1,0.1,0.1,0.1,\nTank 1,0.2,0.1,0.1,\nTank 2,x,0.1,9,\nTwice,0.1,0.1,0.1,\nTank 3,0.1,0.1,0.1,\nTank 3,0.2,0.1,0.1,\n"
	p, err := intake.Look(ctx, s, "log.csv", strings.NewReader(file), intake.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var told []string
	for _, r := range p.Rows {
		line := fmt.Sprintf("%d %s %t", r.Row, r.Status, r.NewWine)
		for _, c := range r.Cells {
			line += fmt.Sprintf(" %d%s %d", c.Row, c.Column, c.Index)
		}
		told = append(told, line)
	}
	want := "2 duplicate false; 3 accepted false; 4 rejected false 4a420 1 4a620 3; 5 rejected false 5name 0; 6 accepted true; 7 accepted true"
	if got := strings.Join(told, "; "); got != want {
		t.Errorf("rows\n%s, want\n%s", got, want)
	}
	if i := p.Import; i.Accepted != 3 || i.Duplicates != 1 || i.Rejected != 2 || i.NewWines != 1 || i.ID != "" || p.NotShown != 0 {
		t.Errorf("%+v", i)
	}
	if r := p.Rows[1].Entry.Readings; r == nil || r.A420 != 0.2 {
		t.Errorf("row 3 is understood as %+v", r)
	}
	if list, err := s.Imports(ctx, record.Page{Limit: 9}); err != nil || len(list) != 1 {
		t.Errorf("%d imports, %v, want the first alone", len(list), err)
	}
	p, err = intake.Look(ctx, s, "odd.csv", strings.NewReader("x;y\n1;2\n"), intake.Options{})
	if calc.AsProblem(err) == nil || len(p.Columns) != 2 || p.Rows != nil {
		t.Errorf("not understood: %+v, %v", p, err)
	}
}

// TestLookIsBounded: of a long file the first rows are shown, and all with a
// problem up to a limit.
func TestLookIsBounded(t *testing.T) {
	var file strings.Builder
	file.WriteString("name,a420,a520,a620\n")
	const n = 2000
	for i := range n {
		reading := "0.1"
		if i%10 == 9 {
			reading = "x"
		}
		fmt.Fprintf(&file, "Tank %d,%s,0.1,0.1\n", i, reading)
	}
	p, err := intake.Look(t.Context(), opened(t), "long.csv", strings.NewReader(file.String()), intake.Options{})
	if err != nil || len(p.Rows) != intake.MostProblems+intake.MostOthers || p.NotShown != n-len(p.Rows) || p.Import.Rejected != n/10 {
		t.Errorf("%d rows, %d not shown, %v", len(p.Rows), p.NotShown, err)
	}
}

// TestCorrectedImport: what was mended is kept with the import, and makes another
// one of the same file.
func TestCorrectedImport(t *testing.T) {
	s, ctx := opened(t), t.Context()
	const file = "name,a420,a520,a620\nTank 1,0.1x,0.1,0.1\nTank 2,0.1,0.1,0.1\n"
	take := func(list ...record.Correction) record.Import {
		t.Helper()
		i, err := intake.Take(ctx, s, "log.csv", strings.NewReader(file), intake.Options{Corrections: list})
		if err != nil {
			t.Fatal(err)
		}
		return i
	}
	plain := take()
	to := "0.15"
	mend := record.Correction{Row: 2, Column: "a420", To: &to}
	mended := take(mend)
	if plain.Accepted != 1 || mended.Accepted != 1 || mended.Duplicates != 1 || mended.ID == plain.ID || mended.SHA256 != plain.SHA256 {
		t.Fatalf("%+v\n%+v", plain, mended)
	}
	if again := take(mend); again.ID != mended.ID || again.Accepted != 0 {
		t.Errorf("the same again: %+v", again)
	}
	kept, err := s.FindImport(ctx, mended.ID)
	if err != nil || len(kept.Corrections) != 1 || *kept.Corrections[0].From != "0.1x" || *kept.Corrections[0].To != "0.15" {
		t.Errorf("%+v, %v", kept.Corrections, err)
	}
	if v, err := s.Verify(ctx); err != nil || len(v.Findings) > 0 {
		t.Errorf("%+v, %v", v, err)
	}
}
