package export

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/store"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// open opens an empty store with a clock that goes on by a minute at each look.
func open(tb testing.TB) *store.Store {
	tb.Helper()
	now := time.Date(2026, 11, 25, 14, 0, 0, 0, time.UTC)
	s, err := store.Open(context.Background(), store.Config{Dir: tb.TempDir(), Now: func() time.Time { now = now.Add(time.Minute); return now }})
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := s.Close(); err != nil {
			tb.Error(err)
		}
	})
	return s
}

func ptr[T any](v T) *T { return &v }

// scanOf is a scan of 400 to 700 nm whose values can be told apart.
func scanOf(stepNM, first float64, percent bool) *calc.Spectrum {
	s := &calc.Spectrum{PathMM: ptr(2.)}
	for nm := 400.; nm <= 700; nm += stepNM {
		s.NM = append(s.NM, nm)
		y := first + (700-nm)/1000
		if percent {
			s.TransmittancePercent = append(s.TransmittancePercent, 0.01*y)
		} else {
			s.Absorbance = append(s.Absorbance, y)
		}
	}
	return s
}

var taken = record.At(time.Date(2026, 11, 24, 9, 30, 15, 123456000, time.UTC))

// fill adds a record of each kind, all of which count.
func fill(tb testing.TB, s *store.Store) {
	tb.Helper()
	ctx := context.Background()
	for _, row := range []struct {
		wine     record.WineFields
		readings []record.Reading
	}{
		{record.WineFields{
			Name: "Tank 4, \"grüne\" Seite", Kind: record.White, Lot: "2026;04", Vintage: ptr(2026), StockL: ptr(1200.5),
			Varieties: []record.Variety{{Name: "Grenache", SharePercent: ptr(60.5)}, {Name: "Cinsault"}}, Notes: "first\nsecond",
		}, []record.Reading{
			{
				Measurement: record.Measurement{Readings: &calc.Readings{
					A420: 0.1 + 0.2, A520: 1. / 3, A620: -0.0005, PathMM: ptr(10.), Dilution: ptr(2.5), UAbsorbance: ptr(0.004),
					Extra: []calc.Reading{{NM: 460, Absorbance: 0.125}, {NM: 560.5, Absorbance: 1e-7}},
				}},
				Circumstances: record.Circumstances{
					TakenAt: &taken, Instrument: "bench 2", Analyst: "M", Diluent: "model_wine", Blank: "water", TemperatureC: ptr(-0.5),
					MinutesSinceBlending: ptr(90.25), Replicate: ptr(2),
				},
			},
			{Measurement: record.Measurement{Readings: &calc.Readings{A420: 0.142, A520: 0.118, A620: 0.021}}},
		}},
		{record.WineFields{Name: "Rosé ñ 漢", Kind: record.Rose}, []record.Reading{{Measurement: record.Measurement{CIELAB: &calc.CIELAB{
			L: calc.Decimal{Value: 71.2, Decimals: 2}, A: calc.Decimal{Value: 25, Decimals: 1}, B: calc.Decimal{Value: -3.123456789, Decimals: 6},
			PathMM: 10, Illuminant: "D65", Observer: "10",
		}}}}},
		{record.WineFields{Name: "Cask 7", Kind: record.Red, Lot: "007"}, []record.Reading{
			{Measurement: record.Measurement{Spectrum: scanOf(5, 0.7, false)}, Circumstances: record.Circumstances{TakenAt: &taken}},
		}},
		{record.WineFields{Name: "=Cask 9", Kind: record.Red}, []record.Reading{{Measurement: record.Measurement{Readings: &calc.Readings{A420: 0.4, A520: 0.6, A620: 0.1, PathMM: ptr(1.)}}}}},
		{record.WineFields{Name: "Cask 8", Kind: record.Other}, []record.Reading{{Measurement: record.Measurement{Spectrum: scanOf(5, 0.6, false)}}}},
	} {
		wine, _, err := s.CreateWine(ctx, row.wine, nil)
		for _, r := range row.readings {
			if err == nil {
				_, err = s.AddReading(ctx, wine.ID, r)
			}
		}
		if err != nil {
			tb.Fatal(err)
		}
	}
}

// fillAll adds what an import cannot tell too: corrections, archived records,
// targets, and a scan in transmittance.
func fillAll(tb testing.TB, s *store.Store) {
	tb.Helper()
	fill(tb, s)
	ctx := context.Background()
	must := func(err error) {
		tb.Helper()
		if err != nil {
			tb.Fatal(err)
		}
	}
	single := func(a520 float64) record.Measurement {
		return record.Measurement{Readings: &calc.Readings{A420: 0.5, A520: a520, A620: 0.1}}
	}
	wine, first, err := s.CreateWine(ctx, record.WineFields{Name: `=HYPERLINK("http://x.example")`, Kind: record.White, Lot: "-3", Notes: "a;@b"}, &record.Reading{Measurement: single(5.9)})
	must(err)
	second, err := s.AddReading(ctx, wine.ID, record.Reading{Measurement: single(0.9), Supersedes: first.ID, Reason: "+ a slip of the point"})
	must(err)
	_, err = s.AddReading(ctx, wine.ID, record.Reading{Measurement: record.Measurement{Spectrum: scanOf(10, 40, true)}})
	must(err)
	_, err = s.ArchiveReading(ctx, second.ID, "wrong cell")
	must(err)
	gone, _, err := s.CreateWine(ctx, record.WineFields{Name: "gone", Kind: record.Red}, &record.Reading{Measurement: single(0.8)})
	must(err)
	_, err = s.ArchiveWine(ctx, gone.ID, gone.Version, "used up")
	must(err)
	_, err = s.CreateTarget(ctx, record.TargetFields{
		Name: "@summer", Target: &calc.Target{CIELAB: &calc.TargetColour{L: 80.5, A: -10, B: 5}, Tolerance: &calc.Tolerance{DeltaE00: 2}}, View: &calc.View{Observer: "2", PathMM: ptr(50.)},
	})
	must(err)
	t, err := s.CreateTarget(ctx, record.TargetFields{Name: "as last year", Target: &calc.Target{Wine: &calc.Wine{Readings: single(0.4).Readings}}})
	must(err)
	_, err = s.ArchiveTarget(ctx, t.ID, t.Version)
	must(err)
	fillTrials(tb, s, single(0.3))
	_, err = s.CreateTarget(ctx, record.TargetFields{Name: "deep", Target: &calc.Target{Intensity: ptr(1.5), Tint: ptr(0.8)}})
	must(err)
}

// fillTrials adds a trial with a log and one without, a specification, and a lot
// with a sample and one without.
func fillTrials(tb testing.TB, s *store.Store, m record.Measurement) {
	tb.Helper()
	ctx := context.Background()
	must := func(err error) {
		tb.Helper()
		if err != nil {
			tb.Fatal(err)
		}
	}
	setup := record.Trial{
		TrialFields: record.TrialFields{Name: "autumn", Base: record.TrialWine{Name: "Tank 4"}, Addition: record.TrialWine{Name: "=Cask 7"}, BaseML: 100},
		Glasses:     []string{"A", "B"},
	}
	trial, err := s.CreateTrial(ctx, setup)
	must(err)
	for _, entry := range []record.LogEntry{
		{Kind: record.Pour, Glass: "A", VolumeML: ptr(8.), StatedTotalML: ptr(8.)},
		{Kind: record.Withdrawal, Glass: "A", VolumeML: ptr(15.), Why: "tasting"},
		{Kind: record.Measuring, Glass: "A", Measurement: m},
	} {
		_, err := s.AddEntry(ctx, trial.ID, entry)
		must(err)
	}
	for _, entry := range wholeLog(m) {
		_, err := s.AddEntry(ctx, trial.ID, entry)
		must(err)
	}
	setup.Name = "not begun"
	setup.Held = []record.TrialHeld{{Wine: record.TrialWine{Name: "Cask 3"}, DoseMLPer100ML: 5}}
	setup.Tools = []calc.Tool{{Name: "=syringe", Kind: "syringe", CapacityML: 5, GraduationML: 0.2}}
	setup.Samples, setup.Visible = []float64{50, 250}, ptr(0.5)
	_, err = s.CreateTrial(ctx, setup)
	must(err)
	spec, err := s.CreateSpec(ctx, record.Spec{SpecBody: record.SpecBody{Spec: calc.Spec{Name: "house", Limits: &calc.Limits{L: &[2]float64{80, 90}}, Rule: "simple"}}})
	must(err)
	yes := true
	_, err = s.AddSpecVersion(ctx, spec.ID, 1, record.Spec{ReferenceSource: "-the mean", ReferenceReadings: []string{"s"}, SpecBody: record.SpecBody{
		Spec: calc.Spec{Name: "=house", Limits: &calc.Limits{L: &[2]float64{81, 90}}}, Product: "@House", ValidFrom: &taken, ApprovedBy: "+Ada",
		Reference: &record.SpecReference{Trial: "t"}, ReferenceState: &record.State{Filtered: &yes},
	}})
	must(err)
	lot, err := s.CreateLot(ctx, record.LotBody{Name: "bottled 1", Spec: spec.ID, Product: "@House", BottledAt: &taken, Storage: "12 °C", Notes: "-late"})
	must(err)
	judged, err := calc.Check(calc.CheckRequest{Spec: spec.Spec, Wine: m.Wine("")})
	must(err)
	sample, err := s.AddSample(ctx, record.Sample{LotID: lot.ID, Judgement: record.Judged(spec, "test", judged, []calc.Warning{{Code: "instrument_check_failed"}}), SampleBody: record.SampleBody{
		Measurement: m, Circumstances: record.Circumstances{TakenAt: &taken, Instrument: "bench 2"}, Stage: record.Beginning, Bottle: "=7", Storage: "=20 °C",
		State: &record.State{FreeSO2: ptr(28.), TotalSO2: ptr(95.), Filtered: &yes, CO2: ptr(900.), Temperature: ptr(12.5), Acetaldehyde: new(bool)},
	}})
	must(err)
	_, err = s.CreateLot(ctx, record.LotBody{Name: "bottled 2", Spec: spec.ID})
	must(err)
	_, err = s.AddDecision(ctx, lot.ID, record.DecisionBody{Decision: "released", Verdicts: []string{sample.VerdictID}, By: "=Ada", At: &taken, Reason: "-"})
	must(err)
	_, err = s.AddStatement(ctx, lot.ID, sample.VerdictID, func(no int, _ record.Instant) ([]byte, error) { return fmt.Appendf(nil, `{"no":%d}`, no), nil })
	must(err)
	_, err = s.AddInstrumentCheck(ctx, record.InstrumentCheckBody{
		Instrument: "=bench 2", Kind: record.FilterCheck, Reference: "@N3", CheckedAt: &taken, By: "-Ada", NextDue: &taken, Notes: "+lamp",
		Points: []record.CheckPoint{{NM: ptr(440.), Certified: 0.5, Limit: 0.005, Reading: 0.505}, {NM: ptr(546.1), Certified: 0.4, Limit: 0.005, Reading: 0.41}},
	})
	must(err)
}

// wholeLog has a kind of entry each, with all that can be said of one.
func wholeLog(m record.Measurement) []record.LogEntry {
	said := record.Said{At: &taken, Who: "Ada", Tool: "=spoon", Fills: 2}
	circumstances := record.Circumstances{
		TakenAt: &taken, Instrument: "bench 2", Analyst: "M", Diluent: "water", Blank: "water", TemperatureC: ptr(18.5), MinutesSinceBlending: ptr(20.), Replicate: ptr(1),
	}
	list := []record.LogEntry{
		{Kind: record.Pour, Glass: "B", VolumeML: ptr(6.), StatedTotalML: ptr(5.), Said: said, Keyed: record.Keyed{Key: "@k1"}},
		{Kind: record.Undo, Undoes: 4, Why: "-it went into A", Said: record.Said{Who: "Ada", At: &taken}},
		{Kind: record.Pour, Glass: "B", VolumeML: ptr(7.)},
		record.MeasurementBody{Glass: "B", Measurement: m, Circumstances: circumstances, Dosed: ptr(7.5)}.Entry(),
		record.NoteBody{Glass: "B", Note: "+bright", Score: ptr(71.), Scale: "of 100", Who: "Ada"}.Entry(),
		record.ChoiceBody{Dose: ptr(6.5), Reasons: "=between the two"}.Entry(),
		record.FinalCheckBody{VolumeML: ptr(260.), Measurement: m, Circumstances: circumstances}.Entry(),
		record.FinalCheckBody{LookedAgain: &record.LookedAgain{At: &taken, Clear: true, Note: "-bright"}}.Entry(),
	}
	return list
}

func csvOf(tb testing.TB, s *store.Store, what What) string {
	tb.Helper()
	var b bytes.Buffer
	if err := CSV(context.Background(), s, what, &b); err != nil {
		tb.Fatal(err)
	}
	return b.String()
}

var uuids = regexp.MustCompile(`[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}`)

// numbered puts numbers in the place of identifiers, which differ from run to
// run.
func numbered(text string) string {
	seen := map[string]string{}
	return uuids.ReplaceAllStringFunc(text, func(id string) string {
		if seen[id] == "" {
			seen[id] = fmt.Sprintf("id-%d", len(seen)+1)
		}
		return seen[id]
	})
}

func TestCSV(t *testing.T) {
	s := open(t)
	fillAll(t, s)
	importFile(t, s, "=file.csv", "name;A420;A520;A620;path_mm;odd\nFrom a file;0,2;0,1;0,05;10;x\n")
	fillPanels(t, s)
	for _, what := range All() {
		t.Run(string(what), func(t *testing.T) {
			got := numbered(csvOf(t, s, what))
			golden := filepath.Join("testdata", string(what)+".csv")
			if *update {
				if err := os.WriteFile(golden, []byte(got), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("not as %s:\n%s", golden, got)
			}
			if strings.Count(got, "\n") != strings.Count(got, "\r\n") || !strings.HasPrefix(got, "\xEF\xBB\xBF") {
				t.Error("a line ends without a carriage return, or the byte order mark is missing")
			}
		})
	}
}

func TestEmptyStore(t *testing.T) {
	s := open(t)
	for _, what := range All() {
		if got := csvOf(t, s, what); strings.Count(got, "\r\n") != 1 {
			t.Errorf("%s: %q, want a header alone", what, got)
		}
	}
}

func TestUnknownTable(t *testing.T) {
	s := open(t)
	for _, err := range []error{
		CSV(context.Background(), s, "wine", &bytes.Buffer{}),
		XLSX(context.Background(), s, &bytes.Buffer{}, "wine"),
	} {
		if p := calc.AsProblem(err); p == nil || !strings.Contains(p.Detail+fmt.Sprint(p.Errors), "readings") {
			t.Errorf("error %v, want a problem that lists the tables", err)
		}
	}
}

// brokenPipe takes so many bytes and then no more.
type brokenPipe struct{ left int }

var errBroken = errors.New("broken pipe")

func (b *brokenPipe) Write(p []byte) (int, error) {
	if b.left -= len(p); b.left < 0 {
		return 0, errBroken
	}
	return len(p), nil
}

// TestBrokenPipe: what cannot be written is never taken for a whole export.
func TestBrokenPipe(t *testing.T) {
	s := open(t)
	fillAll(t, s)
	for _, left := range []int{0, 100, 1000} {
		if err := CSV(context.Background(), s, Readings, &brokenPipe{left}); !errors.Is(err, errBroken) {
			t.Errorf("CSV to a pipe of %d bytes: %v", left, err)
		}
		if err := XLSX(context.Background(), s, &brokenPipe{left}); !errors.Is(err, errBroken) {
			t.Errorf("XLSX to a pipe of %d bytes: %v", left, err)
		}
	}
}
