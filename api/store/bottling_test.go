package store

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// TestBottling: when a lot was bottled is told later and corrected by further records;
// what was told stays, charts' figures follow, and an archive brings all of it back.
func TestBottling(t *testing.T) {
	s, ctx := open(t), context.Background()
	_, lot, sample := judged(t, s)
	at := func(day int) record.Instant { return record.At(time.Date(2026, 3, day, 0, 0, 0, 0, time.UTC)) }
	orders := func(of *Store) (list []int64) {
		t.Helper()
		if err := of.Figures(ctx, record.FigureOf{Spec: lot.Spec}, 0, func(f record.Figure) { list = append(list, f.AtMicros) }); err != nil {
			t.Fatal(err)
		}
		return list
	}
	before := orders(s)
	had := lot.BottledAt != nil
	first := record.BottlingBody{BottledAt: at(12), By: "Ada", Reason: "it was not known"}
	if _, err := s.AddBottling(ctx, lot.ID, 2, first); !errors.Is(err, record.ErrChanged) {
		t.Errorf("of a version that is not: %v", err)
	}
	told := must[record.Lot](t)(s.AddBottling(ctx, lot.ID, 1, first))
	if told.Version() != 2 || !told.BottledAt.Equal(at(12).Time) || told.Bottlings[0].By != "Ada" || told.SpecVersion != lot.SpecVersion {
		t.Errorf("told: %+v", told)
	}
	if _, err := s.AddBottling(ctx, lot.ID, 1, first); !errors.Is(err, record.ErrChanged) {
		t.Errorf("by who has not seen it: %v", err)
	}
	_, err := s.AddBottling(ctx, lot.ID, 2, record.BottlingBody{BottledAt: at(14), By: "Ben"})
	if problem := calc.AsProblem(err); problem == nil || problem.Errors[0].Location != "/reason" {
		t.Errorf("a correction without a reason: %v", err)
	}
	corrected := must[record.Lot](t)(s.AddBottling(ctx, lot.ID, 2, record.BottlingBody{BottledAt: at(14), By: "Ben", Reason: "two days later"}))
	if len(corrected.Bottlings) != 2 || !corrected.BottledAt.Equal(at(14).Time) || corrected.Bottlings[0].Reason != "it was not known" {
		t.Errorf("corrected: %+v", corrected)
	}
	if after := orders(s); had || len(after) != len(before) || after[0] != at(14).UnixMicro() || after[0] == before[0] {
		t.Errorf("the figures were at %v and are at %v", before, after)
	}
	aged := must[record.Sample](t)(s.Sample(ctx, sample.ID))
	if aged.DaysSinceBottling == nil || *aged.DaysSinceBottling != aged.At().Sub(at(14).Time).Hours()/24 {
		t.Errorf("days since bottling: %v", aged.DaysSinceBottling)
	}
	for _, statement := range []string{"UPDATE lot_bottling SET bottled_at = ''", "DELETE FROM lot_bottling"} {
		if _, err := s.write.ExecContext(ctx, statement); err == nil || !strings.Contains(err.Error(), "record another one") {
			t.Errorf("%s: %v", statement, err)
		}
	}
	var archive strings.Builder
	must[int64](t)(s.Archive(ctx, &archive))
	into := open(t)
	must[int64](t)(into.Restore(ctx, strings.NewReader(archive.String())))
	if again := must[record.Lot](t)(into.Lot(ctx, lot.ID)); len(again.Bottlings) != 2 || orders(into)[0] != at(14).UnixMicro() {
		t.Errorf("restored: %+v", again)
	}
	if v := must[Verification](t)(into.Verify(ctx)); len(v.Findings) > 0 {
		t.Errorf("restored: %v", v.Findings)
	}
	must[record.Lot](t)(s.ArchiveLot(ctx, lot.ID))
	if _, err := s.AddBottling(ctx, lot.ID, 3, first); !errors.Is(err, record.ErrArchived) {
		t.Errorf("of an archived lot: %v", err)
	}
}

// TestBottlingsAtOnce: of several who tell it after the same version, one does.
func TestBottlingsAtOnce(t *testing.T) {
	s, ctx := open(t), context.Background()
	_, lot, _ := judged(t, s)
	errs := make(chan error, 8)
	for range 8 {
		go func() {
			_, err := s.AddBottling(ctx, lot.ID, 1, record.BottlingBody{BottledAt: s.Now(), By: "Ada", Reason: "x"})
			errs <- err
		}()
	}
	taken := 0
	for range 8 {
		if err := <-errs; err == nil {
			taken++
		} else if !errors.Is(err, record.ErrChanged) {
			t.Error(err)
		}
	}
	if got := must[record.Lot](t)(s.Lot(ctx, lot.ID)); taken != 1 || len(got.Bottlings) != 1 {
		t.Errorf("%d were taken, %d are there", taken, len(got.Bottlings))
	}
}
