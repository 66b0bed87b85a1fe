package release

import (
	"context"
	"fmt"
	"io"
	"os"
	"slices"
	"testing"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/store"
	"pourpath/api/store/storetest"
)

func TestMain(m *testing.M) { os.Exit(storetest.Main(m)) }

// opening opens the stores that storetest copies.
func opening(ctx context.Context, dir, address string) (io.Closer, error) {
	return store.Open(ctx, store.Config{Dir: dir, URL: address})
}

func open(tb testing.TB) (*store.Store, *Release) {
	tb.Helper()
	dir, address := storetest.Made(tb, opening)
	s, err := store.Open(tb.Context(), store.Config{Dir: dir, URL: address})
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := s.Close(); err != nil {
			tb.Error(err)
		}
	})
	return s, New(s, bench.New(s), "1.0")
}

func pointerTo[T any](v T) *T { return &v }

func readings(a420, a520, a620 float64) record.Measurement {
	return record.Measurement{Readings: &calc.Readings{A420: a420, A520: a520, A620: a620}}
}

// scanned is a scan of a pale rosé.
func scanned(scale float64) record.Measurement {
	s := &calc.Spectrum{}
	for nm := 380.; nm <= 780; nm += 5 {
		s.NM, s.Absorbance = append(s.NM, nm), append(s.Absorbance, scale*(0.35-0.0004*(nm-380)))
	}
	return record.Measurement{Spectrum: s}
}

// lotWith is a lot of a guarded specification with samples.
func lotWith(tb testing.TB, r *Release, samples ...record.Measurement) record.Lot {
	tb.Helper()
	wine := readings(0.142, 0.118, 0.021).Wine("as it was")
	spec, err := r.AddSpec(tb.Context(), record.SpecBody{Spec: calc.Spec{
		Name: "House", Target: &calc.Target{Wine: &wine}, Tolerance: &calc.SpecTolerance{DeltaE00: 2}, Rule: "guarded",
	}})
	if err != nil {
		tb.Fatal(err)
	}
	lot, err := r.AddLot(tb.Context(), record.LotBody{Name: "L-31", Spec: spec.ID})
	if err != nil {
		tb.Fatal(err)
	}
	for _, m := range samples {
		if _, err := r.AddSample(tb.Context(), lot.ID, record.SampleBody{Measurement: m}); err != nil {
			tb.Fatal(err)
		}
	}
	return lot.Lot
}

// TestVerify: stored verdicts are found again, and one that is not what follows
// from its sample is named with the places.
func TestVerify(t *testing.T) {
	s, r := open(t)
	ctx := context.Background()
	lot := lotWith(t, r, readings(0.142, 0.118, 0.021), readings(0.15, 0.12, 0.02), scanned(0.4), readings(0.5, 0.5, 0.1))
	other := lotWith(t, r, readings(0.2, 0.2, 0.05))
	var told []int
	got, err := r.Verify(ctx, VerifyBody{}, func(done int) { told = append(told, done) })
	if err != nil || got.Verdicts != 5 || got.Same != 5 || got.Differed != 0 || got.Next != "" || !slices.Equal(told, []int{5}) {
		t.Fatalf("%+v, %v, told %v", got, err, told)
	}
	first, err := s.VerdictsOf(ctx, lot.ID, record.Page{Limit: 1})
	if err != nil {
		t.Fatal(err)
	}
	wrong := first[0]
	wrong.Verdict, wrong.Probability = "fail", pointerTo(*wrong.Probability*(1+1e-12)) // the last bits count for nothing
	wrong.Difference = &calc.Difference{DeltaE00: pointerTo(1.25), DeltaEab: wrong.Difference.DeltaEab}
	if _, err := s.AddVerdicts(ctx, []record.Verdict{wrong}); err != nil {
		t.Fatal(err)
	}
	got, err = r.Verify(ctx, VerifyBody{Lot: lot.ID}, nil)
	if err != nil || got.Verdicts != 5 || got.Same != 4 || got.Differed != 1 || len(got.Differ) != 1 || got.Differ[0].SampleID != wrong.SampleID {
		t.Fatalf("%+v, %v", got, err)
	}
	var places []string
	for _, d := range got.Differ[0].Differences {
		places = append(places, fmt.Sprintf("%s %v→%v", d.Location, d.Stored, d.Recomputed))
	}
	for _, want := range []string{"/verdict fail→pass", "/difference/delta_e_00 1.25→0"} {
		if !slices.Contains(places, want) {
			t.Errorf("%q lacks %q", places, want)
		}
	}
	for _, p := range places {
		if p[:5] == "/prob" {
			t.Errorf("the last bits of the probability count: %s", p)
		}
	}
	if got, err := r.Verify(ctx, VerifyBody{Lot: other.ID}, nil); err != nil || got.Verdicts != 1 || got.Same != 1 {
		t.Errorf("of the other lot: %+v, %v", got, err)
	}
	// In parts, each verdict once.
	n := 0
	for ask := (VerifyBody{Limit: 2}); ; {
		part, err := r.Verify(ctx, ask, nil)
		if err != nil {
			t.Fatal(err)
		}
		n += part.Verdicts
		if ask.After = part.Next; ask.After == "" {
			break
		}
	}
	if n != 6 {
		t.Errorf("%d verdicts in parts, want 6", n)
	}
}

// TestVerifyOlder: what another version of the program did not know is no
// difference.
func TestVerifyOlder(t *testing.T) {
	d := Differing{}
	was := map[string]any{"verdict": "pass", "new": nil, "list": []any{1.0}}
	is := map[string]any{"verdict": "pass", "new": 0.4, "added": true, "list": []any{1.0}}
	if d.compare("", was, is, false); len(d.Differences) != 0 {
		t.Errorf("%+v", d.Differences)
	}
	if d.compare("", was, is, true); len(d.Differences) != 2 {
		t.Errorf("of the same program: %+v", d.Differences)
	}
	d = Differing{}
	for _, other := range []any{nil, []any{}, []any{2.0}, map[string]any{}, "x"} {
		before := len(d.Differences)
		if d.compare("/list", []any{1.0}, other, false); len(d.Differences) != before+1 {
			t.Errorf("%v is no difference from [1]", other)
		}
	}
}

// BenchmarkVerify computes stored verdicts anew: by three readings well within the
// tolerance, about its limit, and by L*a*b*. The specification's reference is a
// wine, and the rule is guarded.
func BenchmarkVerify(b *testing.B) {
	for _, c := range []struct {
		name string
		of   func(i int) record.Measurement
	}{
		{"within", func(i int) record.Measurement { return readings(0.142+float64(i%50)/20000, 0.118, 0.021) }},
		{"limit", func(i int) record.Measurement { return readings(0.142+float64(i%50)/2000, 0.118, 0.021) }},
		{"cielab", func(i int) record.Measurement {
			return record.Measurement{CIELAB: &calc.CIELAB{L: calc.Decimal{Value: 92 + float64(i%50)/20, Decimals: 2}, A: calc.Decimal{Value: 7, Decimals: 2}, B: calc.Decimal{Value: 5, Decimals: 2}, PathMM: 10}}
		}},
	} {
		b.Run(c.name, func(b *testing.B) {
			_, r := open(b)
			const n = 500
			list := make([]record.Measurement, 250)
			for i := range list {
				list[i] = c.of(i)
			}
			for range n / len(list) {
				lotWith(b, r, list...)
			}
			b.ResetTimer()
			for b.Loop() {
				if got, err := r.Verify(context.Background(), VerifyBody{}, nil); err != nil || got.Same != n {
					b.Fatalf("%+v, %v", got, err)
				}
			}
			b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "verdicts/s")
		})
	}
}
