package store

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"pourpath/api/calc"
	"pourpath/api/record"
)

func figures(tb testing.TB, s *Store, of record.FigureOf, after int64) (list []record.Figure) {
	tb.Helper()
	if err := s.Figures(context.Background(), of, after, func(f record.Figure) { list = append(list, f) }); err != nil {
		tb.Fatal(err)
	}
	return list
}

// TestFiguresAreTheVerdicts: each verdict has its figures, of its own colour,
// under its specification and its product.
func TestFiguresAreTheVerdicts(t *testing.T) {
	s, ctx := open(t), context.Background()
	_, lot, sample := judged(t, s)
	list := figures(t, s, record.FigureOf{Spec: sample.Spec}, 0)
	if len(list) != 1 {
		t.Fatalf("%d figures, want 1", len(list))
	}
	c := sample.Colour
	want := record.Figure{
		No: 1, Sample: sample.ID, Lot: lot.ID, AtMicros: sample.At().UnixMicro(), Retained: sample.Stage == record.Retained,
		Conditions: record.FigureConditions(c.Conditions, c.Source), L: c.CIELAB.L, A: c.CIELAB.A, B: c.CIELAB.B,
		Intensity: orNot(c.Intensity), Tint: orNot(c.Tint), DeltaE00: math.NaN(),
	}
	if sample.Difference != nil {
		want.DeltaE00 = orNot(sample.Difference.DeltaE00)
	}
	if fmt.Sprint(list[0]) != fmt.Sprint(want) {
		t.Errorf("%+v, want %+v", list[0], want)
	}
	verdict := must[record.Verdict](t)(s.Verdict(ctx, sample.VerdictID))
	must[[]record.Verdict](t)(s.AddVerdicts(ctx, []record.Verdict{verdict, verdict}))
	if list := figures(t, s, record.FigureOf{Spec: sample.Spec}, 1); len(list) != 2 || list[0].No != 2 || list[1].No != 3 {
		t.Errorf("after the first %v, want numbers 2 and 3", list)
	}
	if list := figures(t, s, record.FigureOf{Spec: "none"}, 0); list != nil {
		t.Errorf("of no specification %v", list)
	}
	sound(t, s)
}

func orNot(v *float64) float64 {
	if v == nil {
		return math.NaN()
	}
	return *v
}

// TestFiguresOfProduct: a lot's product is its own word, else that of its
// specification, however it is written; its time is that of its bottling.
func TestFiguresOfProduct(t *testing.T) {
	s, ctx := open(t), context.Background()
	_, _, sample := judged(t, s)
	spec := must[record.Spec](t)(s.Spec(ctx, sample.Spec))
	bottled := must[record.Instant](t)(record.ParseInstant("2025-03-01"))
	add := func(product string) {
		spec.Product = product
		named := must[record.Spec](t)(s.CreateSpec(ctx, spec))
		lot := must[record.Lot](t)(s.CreateLot(ctx, record.LotBody{Name: "x", Spec: named.ID, BottledAt: &bottled}))
		another := sample
		another.LotID, another.Spec, another.SpecVersion, another.Stage = lot.ID, named.ID, named.Version, record.Retained
		must[record.Sample](t)(s.AddSample(ctx, another))
	}
	add("House Rosé")
	list := figures(t, s, record.FigureOf{Product: " house  rosé"}, 0)
	if len(list) != 1 || list[0].AtMicros != bottled.UnixMicro() || !list[0].Retained {
		t.Errorf("%+v, want one of %s, retained", list, bottled)
	}
}

// TestFiguresAreMadeAnew: an archive has none, and what restores it has the same,
// as has a database of the step before.
func TestFiguresAreMadeAnew(t *testing.T) {
	s := open(t)
	_, _, sample := judged(t, s)
	want := figures(t, s, record.FigureOf{Spec: sample.Spec}, 0)
	text := archived(t, s)
	if strings.Contains(text, "lot_figure") {
		t.Error("the archive holds what follows from the rest of it")
	}
	into := open(t)
	must[int64](t)(into.Restore(context.Background(), strings.NewReader(text)))
	if got := figures(t, into, record.FigureOf{Spec: sample.Spec}, 0); !reflect.DeepEqual(got, want) {
		t.Errorf("restored %+v, want %+v", got, want)
	}
	if _, err := into.write.ExecContext(context.Background(), "DELETE FROM lot_figure"); err != nil {
		t.Fatal(err)
	}
	tx, err := into.write.Begin()
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(allFigures(context.Background(), tx.Tx, into.postgres, bottledAsTold), tx.Commit()); err != nil {
		t.Fatal(err)
	}
	if got := figures(t, into, record.FigureOf{Spec: sample.Spec}, 0); !reflect.DeepEqual(got, want) {
		t.Errorf("by the step %+v, want %+v", got, want)
	}
}

// TestFiguresDamaged: a figure that is not what was written is an error where it
// is read, and verify names it and one that is missing.
func TestFiguresDamaged(t *testing.T) {
	s, ctx := open(t), context.Background()
	_, _, sample := judged(t, s)
	for _, c := range []struct{ statement, want string }{
		{"UPDATE lot_figure SET cie_a = cie_a + 0.001", "lot_figure 1"},
		{"DELETE FROM lot_figure", "lot_verdict " + sample.VerdictID},
	} {
		if _, err := s.write.ExecContext(ctx, c.statement); err != nil {
			t.Fatal(err)
		}
		v := must[Verification](t)(s.Verify(ctx))
		if !slices.ContainsFunc(v.Findings, func(f Finding) bool { return f.Place == c.want }) {
			t.Errorf("%s: verify found %v", c.statement, v.Findings)
		}
		err := s.Figures(ctx, record.FigureOf{Spec: sample.Spec}, 0, func(record.Figure) {})
		if damaged := strings.HasPrefix(c.statement, "UPDATE"); damaged != errors.Is(err, record.ErrDamaged) {
			t.Errorf("%s: reading gives %v", c.statement, err)
		}
	}
}

// TestFiguresWrittenAtOnce: whoever reads what came since a number misses
// nothing, while others write.
func TestFiguresWrittenAtOnce(t *testing.T) {
	s, ctx := open(t), context.Background()
	_, _, sample := judged(t, s)
	verdict := must[record.Verdict](t)(s.Verdict(ctx, sample.VerdictID))
	const writers, each = 4, 10
	var working sync.WaitGroup
	for range writers {
		working.Go(func() {
			for range each {
				if _, err := s.AddVerdicts(ctx, []record.Verdict{verdict}); err != nil {
					t.Error(err)
				}
			}
		})
	}
	done := make(chan struct{})
	go func() { working.Wait(); close(done) }()
	last, count := int64(0), 0
	read := func() {
		for _, f := range figures(t, s, record.FigureOf{Spec: sample.Spec}, last) {
			if f.No != last+1 {
				t.Errorf("number %d after %d", f.No, last)
			}
			last = f.No
			count++
		}
	}
	for ended := false; !ended; {
		select {
		case <-done:
			ended = true
		default:
		}
		read()
	}
	if want := 1 + writers*each; count != want {
		t.Errorf("%d figures were seen, want %d", count, want)
	}
}

// TestFigureView: the text of conditions can be read again.
func TestFigureView(t *testing.T) {
	t.Parallel()
	text := record.FigureConditions(calc.Conditions{Illuminant: "A", Observer: "2", PathMM: 2.5}, "spectrum")
	v, source, ok := record.FigureView(text)
	if !ok || source != "spectrum" || v.Illuminant != "A" || v.Observer != "2" || v.DepthMM != 2.5 || text != "A, 2° observer, 2.5 mm of wine, from a scan" {
		t.Errorf("%q is %+v, %t", text, v, ok)
	}
	if _, _, ok := record.FigureView("by daylight"); ok {
		t.Error("no conditions are taken for some")
	}
}
