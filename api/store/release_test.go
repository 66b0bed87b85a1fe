package store

import (
	"context"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pourpath/api/calc"
	"pourpath/api/record"
)

func must[T any](tb testing.TB) func(T, error) T {
	tb.Helper()
	return func(v T, err error) T {
		tb.Helper()
		if err != nil {
			tb.Fatal(err)
		}
		return v
	}
}

// TestVerdictsStay: a sample keeps its first verdict, and each further one is
// another.
func TestVerdictsStay(t *testing.T) {
	s, ctx := open(t), context.Background()
	_, lot, sample := judged(t, s)
	first := must[record.Verdict](t)(s.Verdict(ctx, sample.VerdictID))
	if first.SampleID != sample.ID || first.LotID != lot.ID || !reflect.DeepEqual(first.Judgement, sample.Judgement) {
		t.Errorf("%+v, want that of %+v", first, sample)
	}
	other := first
	other.Verdict = "fail"
	other.Noted = []calc.Warning{{Code: "instrument_check_failed", Message: "«x»"}}
	other.Warnings = append(slices.Clone(first.Warnings), other.Noted...)
	added := must[[]record.Verdict](t)(s.AddVerdicts(ctx, []record.Verdict{other}))
	if got := must[record.Verdict](t)(s.NewestVerdictOn(ctx, sample.ID)); !reflect.DeepEqual(got, added[0]) || got.VerdictID == first.VerdictID {
		t.Errorf("newest %+v, want %+v", got, added[0])
	}
	if got := must[record.Sample](t)(s.Sample(ctx, sample.ID)); !reflect.DeepEqual(got, sample) {
		t.Errorf("the sample became %+v", got)
	}
	for page, want := range map[record.Page][]record.Verdict{
		{Limit: 9}: {first, added[0]}, {Limit: 1}: {first}, {Limit: 9, After: first.VerdictID}: {added[0]},
		{Limit: 9, Newest: true}: {added[0], first}, {Limit: 9, Newest: true, After: added[0].VerdictID}: {first},
	} {
		if got := must[[]record.Verdict](t)(s.VerdictsOf(ctx, lot.ID, page)); !reflect.DeepEqual(got, want) {
			t.Errorf("%+v: %d verdicts, want %d", page, len(got), len(want))
		}
		if got := must[[]record.Verdict](t)(s.Verdicts(ctx, page)); !reflect.DeepEqual(got, want) {
			t.Errorf("%+v: of all %d verdicts, want %d", page, len(got), len(want))
		}
	}
	for _, err := range []error{second(s.Verdict(ctx, "none")), second(s.VerdictsOf(ctx, "none", record.Page{Limit: 1}))} {
		if !errors.Is(err, record.ErrNotFound) {
			t.Errorf("nothing there: %v", err)
		}
	}
	if bodies := must[map[string]record.SampleBody](t)(s.SampleBodies(ctx, []string{sample.ID})); !reflect.DeepEqual(bodies[sample.ID], sample.SampleBody) {
		t.Errorf("bodies %+v", bodies)
	}
	sound(t, s)
}

func second[T any](_ T, err error) error { return err }

// everything is a store with a record of each kind that a release rests on, which
// are returned.
func everything(tb testing.TB, s *Store) []any {
	tb.Helper()
	ctx := context.Background()
	when := record.At(s.now())
	spec := specified(tb, s)
	yes, state := true, record.State{FreeSO2: pointer(28.5), TotalSO2: pointer(95.), Filtered: pointer(true), CO2: pointer(900.), Temperature: pointer(12.5), Acetaldehyde: pointer(false)}
	next := spec
	next.ValidFrom, next.ApprovedBy, next.Product, next.ReferenceState = &when, "Ada", "House – «été»", &state
	later := record.At(when.Add(time.Hour))
	next.ValidTo, next.Reference = &later, &record.SpecReference{Lots: []string{"a", "b"}}
	next.ReferenceSource, next.ReferenceReadings = "the mean of 2 released lots", []string{"s1"}
	version := must[record.Spec](tb)(s.AddSpecVersion(ctx, spec.ID, 1, next))
	lot := must[record.Lot](tb)(s.CreateLot(ctx, record.LotBody{Name: "L-7", Spec: spec.ID, Product: "house – «ÉTÉ»", BottledAt: &when, Notes: "line one\nline two"}))
	m := three(0.142, 0.118, 0.021).Measurement
	answer := must[calc.CheckResponse](tb)(calc.Check(calc.CheckRequest{Spec: spec.Spec, View: spec.View, Wine: m.Wine("")}))
	body := record.SampleBody{Measurement: m, Circumstances: record.Circumstances{TakenAt: &later, Instrument: "bench 2"}, Stage: record.Retained, Bottle: "7", State: &state, SameSession: yes}
	sample := must[record.Sample](tb)(s.AddSample(ctx, record.Sample{LotID: lot.ID, SampleBody: body, Judgement: record.Judged(version, "1.0", answer, []calc.Warning{{Code: "x", Message: "y"}})}))
	decision := must[record.Decision](tb)(s.AddDecision(ctx, lot.ID, record.DecisionBody{Decision: "released", By: "Ada", Verdicts: []string{sample.VerdictID}, At: &when, Reason: "«oui»"}))
	check := must[record.InstrumentCheck](tb)(s.AddInstrumentCheck(ctx, record.InstrumentCheckBody{
		Instrument: "Bench  2", Kind: record.FilterCheck, Points: []record.CheckPoint{{NM: pointer(440.), Certified: 0.5, Limit: 0.005, Reading: 0.505}},
		Reference: "N3", CheckedAt: &when, By: "Ada", NextDue: &later, Notes: "new lamp",
	}))
	statement := must[record.Statement](tb)(s.AddStatement(ctx, lot.ID, sample.VerdictID, func(no int, at record.Instant) ([]byte, error) {
		return fmt.Appendf(nil, `{"no":%d,"at":%q,"note":"<ΔE> & «oui»"}`, no, at), nil
	}))
	return []any{spec, version, lot, sample, decision, check, statement}
}

// found are the same records as they are read.
func found(tb testing.TB, s *Store, made []any) []any {
	tb.Helper()
	ctx := context.Background()
	var out []any
	for _, m := range made {
		switch m := m.(type) {
		case record.Spec:
			out = append(out, must[record.Spec](tb)(s.SpecVersion(ctx, m.ID, m.Version)))
		case record.Lot:
			out = append(out, must[record.Lot](tb)(s.Lot(ctx, m.ID)))
		case record.Sample:
			out = append(out, must[record.Sample](tb)(s.Sample(ctx, m.ID)))
		case record.Decision:
			out = append(out, *must[*record.Decision](tb)(s.DecisionOf(ctx, m.LotID)))
		case record.InstrumentCheck:
			out = append(out, must[record.InstrumentCheck](tb)(s.InstrumentCheck(ctx, m.ID)))
		case record.Statement:
			out = append(out, must[record.Statement](tb)(s.Statement(ctx, m.No)))
		}
	}
	return out
}

// TestReleaseStays: what a release rests on comes back as it was written, from the
// store and from an archive of it, and the database refuses to change it.
func TestReleaseStays(t *testing.T) {
	s, ctx := open(t), context.Background()
	made := everything(t, s)
	for i, got := range found(t, s, made) {
		if !reflect.DeepEqual(got, made[i]) {
			t.Errorf("%T %+v, want %+v", got, got, made[i])
		}
	}
	if sample, ok := made[3].(record.Sample); !ok || *sample.DaysSinceBottling != 1./24 || len(sample.Noted) != 1 {
		t.Errorf("days since bottling: %+v", made[3])
	}
	for table, set := range map[string]string{"lot_detail": "product = 'x'", "lot_decision": "body = '{}'", "statement": "content = '{}'", "instrument_check": "passed = 0", "lot_verdict": "verdict = 'pass'", "spec": "body = '{}'"} {
		for _, statement := range []string{"UPDATE " + table + " SET " + set, "DELETE FROM " + table} {
			if _, err := s.write.ExecContext(ctx, statement); err == nil {
				t.Errorf("the database takes %s", statement)
			}
		}
	}
	v := sound(t, s)
	for _, table := range []string{"lot_detail", "lot_decision", "statement", "instrument_check"} {
		if v.Rows[table] != 1 {
			t.Errorf("verify looked at %d rows of %s", v.Rows[table], table)
		}
	}
	into := open(t)
	if _, err := into.Restore(ctx, strings.NewReader(archived(t, s))); err != nil {
		t.Fatal(err)
	}
	for i, got := range found(t, into, made) {
		if !reflect.DeepEqual(got, made[i]) {
			t.Errorf("restored %T %+v, want %+v", got, got, made[i])
		}
	}
	sound(t, into)
}

// unkept lets a test change what the database keeps.
func unkept(t *testing.T, s *Store, table string) {
	t.Helper()
	for _, trigger := range []string{table + "_is_kept", table + "_is_not_deleted"} {
		statement := "DROP TRIGGER " + trigger
		if s.postgres {
			statement += " ON " + table
		}
		if _, err := s.write.ExecContext(context.Background(), statement); err != nil {
			t.Fatal(err)
		}
	}
}

// TestRegisterAtOnce: numbers run without a gap whoever issues at once, each statement
// is chained to the one before, and whatever is done to one shows.
func TestRegisterAtOnce(t *testing.T) {
	s, ctx := open(t), context.Background()
	_, lot, sample := judged(t, s)
	other := must[record.Lot](t)(s.CreateLot(ctx, lotBody(lot.Spec)))
	const n = 24
	errs := make(chan error, n)
	for range n {
		go func() {
			_, err := s.AddStatement(ctx, lot.ID, sample.VerdictID, func(no int, _ record.Instant) ([]byte, error) { return fmt.Appendf(nil, `{"no":%d}`, no), nil })
			errs <- err
		}()
	}
	for range n {
		if err := <-errs; err != nil {
			t.Fatal(err)
		}
	}
	list := must[[]record.Statement](t)(s.Statements(ctx, "", 0, 100))
	previous := ""
	for i, st := range list {
		if st.No != i+1 || st.Previous != previous || st.SHA256 != record.Chained(previous, st.Content) || string(st.Content) != fmt.Sprintf(`{"no":%d}`, st.No) {
			t.Errorf("statement %d is %+v after %q", i+1, st, previous)
		}
		previous = st.SHA256
	}
	if len(list) != n {
		t.Fatalf("%d statements", len(list))
	}
	if got := must[record.Statement](t)(s.StatementOf(ctx, lot.ID)); got.No != n {
		t.Errorf("the newest is %d", got.No)
	}
	if _, err := s.StatementOf(ctx, other.ID); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("of a lot without one: %v", err)
	}
	if got := must[[]record.Statement](t)(s.Statements(ctx, lot.ID, 20, 2)); len(got) != 2 || got[0].No != 21 {
		t.Errorf("after 20: %+v", got)
	}
	if _, err := s.AddStatement(ctx, lot.ID, sample.VerdictID, func(int, record.Instant) ([]byte, error) { return nil, errBroken }); !errors.Is(err, errBroken) {
		t.Errorf("a statement that cannot be written: %v", err)
	}
	sound(t, s)
	if v := must[Verification](t)(s.Verify(ctx)); v.LastStatement != 24 || v.LastSHA256 == "" || faultsListed(t, s) != "" {
		t.Errorf("the end of the register: %d %s; listed: %s", v.LastStatement, v.LastSHA256, faultsListed(t, s))
	}

	unkept(t, s, "statement")
	row := new(statementRow)
	tamper := func(no int64, change func()) string {
		t.Helper()
		if err := s.write.NewSelect().Model(row).Where("statement_no = ?", no).Scan(ctx); err != nil {
			t.Fatal(err)
		}
		was := *row
		change()
		seal(row) // by whoever knows how rows are sealed
		must[any](t)(any(nil), second(s.write.NewUpdate().Model(row).WherePK().Exec(ctx)))
		v, err := s.Verify(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if listed := faultsListed(t, s); len(v.Findings) != 1 || listed != v.Findings[0].Message {
			t.Errorf("the register says %q of what is found as %v", listed, v.Findings)
		}
		must[any](t)(any(nil), second(s.write.NewUpdate().Model(&was).WherePK().Exec(ctx)))
		return fmt.Sprint(v.Findings)
	}
	if got := tamper(5, func() { row.Content = `{"no":5,"verdict":"pass"}` }); !strings.Contains(got, "statement 5 its SHA-256 does not fit") {
		t.Errorf("changed content: %s", got)
	}
	if got := tamper(5, func() {
		row.Content = `{"no":5,"verdict":"pass"}`
		row.SHA256 = record.Chained(row.Previous, []byte(row.Content))
	}); !strings.Contains(got, "statement 6 it does not follow") {
		t.Errorf("changed content with its checksum: %s", got)
	}
	if _, err := s.write.ExecContext(ctx, "DELETE FROM statement WHERE statement_no = 7"); err != nil {
		t.Fatal(err)
	}
	if v := must[Verification](t)(s.Verify(ctx)); !strings.Contains(fmt.Sprint(v.Findings), "number 7 is missing") {
		t.Errorf("a statement that was taken out: %v", v.Findings)
	}
	if got := faultsListed(t, s); got != "number 7 is missing from the register: the next there is 8" {
		t.Errorf("the register says of a statement that was taken out: %s", got)
	}
}

// faultsListed is what the register says of damaged statements when it is listed,
// three at a time.
func faultsListed(t *testing.T, s *Store) string {
	t.Helper()
	var told []string
	for before := 0; ; {
		page := must[[]Registered](t)(s.Register(t.Context(), before, 3))
		for _, st := range page {
			if before != 0 && st.No >= before {
				t.Fatalf("number %d comes after number %d", st.No, before)
			}
			before = st.No
			if st.Fault != "" {
				told = append(told, st.Fault)
			}
		}
		if len(page) < 3 {
			return strings.Join(told, "; ")
		}
	}
}

var errBroken = errors.New("broken")

// TestSpecVersionsAtOnce: of many that add a version after the same one, one does.
func TestSpecVersionsAtOnce(t *testing.T) {
	s, ctx := open(t), context.Background()
	spec := specified(t, s)
	errs := make(chan error, 8)
	for range 8 {
		go func() {
			_, err := s.AddSpecVersion(ctx, spec.ID, 1, spec)
			errs <- err
		}()
	}
	made := 0
	for range 8 {
		switch err := <-errs; {
		case err == nil:
			made++
		case !errors.Is(err, record.ErrChanged):
			t.Errorf("the others: %v", err)
		}
	}
	if n := len(must[[]record.Spec](t)(s.SpecVersions(ctx, spec.ID))); made != 1 || n != 2 {
		t.Errorf("%d added, %d versions", made, n)
	}
	if list := must[[]record.Spec](t)(s.Specs(ctx, record.Page{Limit: 9})); len(list) != 1 || list[0].Version != 2 {
		t.Errorf("listed %+v", list)
	}
}

// TestChecksAt: at each moment the newest check of each kind counts, by whatever
// letter case and spaces the instrument is named.
func TestChecksAt(t *testing.T) {
	s, ctx := open(t), context.Background()
	day := func(n int) *record.Instant {
		at := record.At(time.Date(2026, 3, n, 8, 0, 0, 0, time.UTC))
		return &at
	}
	add := func(name string, kind record.CheckKind, at int, reading float64) record.InstrumentCheck {
		return must[record.InstrumentCheck](t)(s.AddInstrumentCheck(ctx, record.InstrumentCheckBody{
			Instrument: name, Kind: kind, CheckedAt: day(at), Points: []record.CheckPoint{{Certified: 0, Limit: 0.01, Reading: reading}},
		}))
	}
	blank5, blank1 := add("Bench 2", record.BlankCheck, 5, 0.02), add("bench  2", record.BlankCheck, 1, 0.01)
	stray3 := add("BENCH 2", record.StrayLightCheck, 3, 0)
	add("bench 3", record.BlankCheck, 1, 0)
	if blank5.Passed || !blank1.Passed {
		t.Errorf("passed: %v, %v", blank5, blank1)
	}
	for at, want := range map[int][]record.InstrumentCheck{0: {}, 1: {blank1}, 4: {blank1, stray3}, 5: {blank5, stray3}} {
		if got := must[[]record.InstrumentCheck](t)(s.ChecksAt(ctx, " bench 2 ", *day(at))); !reflect.DeepEqual(got, want) {
			t.Errorf("on day %d: %+v, want %+v", at, got, want)
		}
	}
	if got := must[[]record.InstrumentCheck](t)(s.ChecksAt(ctx, "", *day(9))); len(got) != 0 {
		t.Errorf("of no instrument: %+v", got)
	}
	if got := must[[]record.InstrumentCheck](t)(s.InstrumentChecks(ctx, record.Page{Limit: 2, After: blank5.ID})); !reflect.DeepEqual(got, []record.InstrumentCheck{blank1, stray3}) {
		t.Errorf("listed %+v", got)
	}
}
