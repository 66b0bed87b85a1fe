package release

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/colour/control"
)

func must[T any](tb testing.TB) func(T, error) T {
	return func(v T, err error) T {
		tb.Helper()
		if err != nil {
			tb.Fatal(err)
		}
		return v
	}
}

// steady is a store with lots of the product Rosé that are bottled a day after
// each other, in the past, each with one sample as body says.
func steady(tb testing.TB, lots int, body func(i int) record.SampleBody) (*Release, []record.Lot, []record.Sample) {
	tb.Helper()
	_, r := open(tb)
	wine := readings(0.142, 0.118, 0.021).Wine("as it was")
	must[record.Spec](tb)(r.AddSpec(tb.Context(), record.SpecBody{Product: "Rosé", Spec: calc.Spec{
		Name: "House", Target: &calc.Target{Wine: &wine}, Tolerance: &calc.SpecTolerance{DeltaE00: 3},
		Limits: &calc.Limits{L: &[2]float64{90, 96}, A: &[2]float64{3, 11}},
	}}))
	var all []record.Lot
	var samples []record.Sample
	for i := range lots {
		lot, sample := another(tb, r, i, body(i))
		all, samples = append(all, lot), append(samples, sample)
	}
	return r, all, samples
}

// dayOf is when the lot with a number is bottled.
func dayOf(i int) record.Instant {
	return record.At(time.Date(2025, 1, 1+i, 0, 0, 0, 0, time.UTC))
}

func another(tb testing.TB, r *Release, i int, body record.SampleBody) (record.Lot, record.Sample) {
	tb.Helper()
	day := dayOf(i)
	lot := must[LotAnswer](tb)(r.AddLot(tb.Context(), record.LotBody{Name: fmt.Sprintf("L-%03d", i), Product: "Rosé", BottledAt: &day}))
	return lot.Lot, must[record.Sample](tb)(r.AddSample(tb.Context(), lot.ID, body))
}

// wobble is a steady process: readings that go up and down by a fixed pattern.
func wobble(i int) record.SampleBody {
	up := []float64{0, 1, -1, 2, -2, 1, 0, -1}
	return record.SampleBody{Measurement: readings(0.142+0.0008*up[i%8], 0.118+0.0007*up[(3*i+1)%8], 0.021+0.0002*up[(5*i+2)%8])}
}

// TestChartIsThatOfTheVerdicts: a chart of the answer's own values by package
// control is the chart.
func TestChartIsThatOfTheVerdicts(t *testing.T) {
	r, lots, samples := steady(t, 30, wobble)
	ask := ChartAsk{Product: "Rosé", Quantity: "a", Base: "20", Rules: "nelson"}
	got := must[Chart](t)(r.Chart(t.Context(), ask))
	var values []float64
	for _, s := range samples {
		values = append(values, s.Colour.CIELAB.A)
	}
	k := must[control.Individuals](t)(control.NewIndividuals(values, control.Base{First: 20}, control.Nelson()))
	if got.Level.Centre != k.Level.Centre || got.Level.Sigma != k.Level.Sigma || got.Level.Base != 20 || got.Limits.UpperAction != k.Limits.UpperAction {
		t.Errorf("level %+v, limits %+v; want %+v, %+v", got.Level, got.Limits, k.Level, k.Limits)
	}
	if got.Lots != 30 || len(got.Points) != 30 || len(got.Rules) != 8 || got.SignalCount != len(k.Signals)+len(k.Ranges.Signals) {
		t.Fatalf("%d lots, %d points, %d rules, %d signals", got.Lots, len(got.Points), len(got.Rules), got.SignalCount)
	}
	for i, p := range got.Points {
		if p.No != i+1 || p.Lot != lots[i].ID || p.Name != lots[i].Name || !p.At.Equal(dayOf(i).Time) || *p.Value != values[i] || *p.Zone != int(k.Zones[i]) {
			t.Errorf("point %d is %+v", i, p)
		}
	}
	if limits := got.SpecLimits; limits == nil || *limits.Lower != 3 || *limits.Upper != 11 || got.Spec == nil || got.Spec.Name != "House" {
		t.Errorf("limits %+v of %+v", limits, got.Spec)
	}
}

// TestChartKinds: each kind has its own part and a picture.
func TestChartKinds(t *testing.T) {
	r, _, samples := steady(t, 40, wobble)
	for _, kind := range ChartKinds {
		ask := ChartAsk{Spec: samples[0].Spec, Kind: kind, Quantity: "tint"}
		if kind == "t2" || kind == "plane" {
			ask.Quantity = ""
		}
		got := must[Chart](t)(r.Chart(t.Context(), ask))
		parts := map[string]bool{"individuals": got.Limits != nil, "ewma": got.Lambda > 0, "run": got.Median != nil, "t2": got.T2 != nil}
		for part, there := range parts {
			if there != (part == kind) {
				t.Errorf("%s: part %s is there: %t", kind, part, there)
			}
		}
		figure, err := got.Figure("1.0", nil)
		if err == nil {
			_, err = figure.Drawing()
		}
		if err != nil {
			t.Errorf("%s: %v", kind, err)
		}
	}
	apart := must[Chart](t)(r.Chart(t.Context(), ChartAsk{Product: "rosé", Quantity: "delta_e_00"}))
	if apart.Kind != "run" || *apart.Points[3].Value != *samples[3].Difference.DeltaE00 {
		t.Errorf("%s, %v; want a run plot of the verdicts' ΔE00", apart.Kind, *apart.Points[3].Value)
	}
	together := must[Chart](t)(r.Chart(t.Context(), ChartAsk{Product: "Rosé", Kind: "t2"}))
	if c := samples[5].Colour.CIELAB; *together.Points[5].L != c.L || *together.Points[5].A != c.A || *together.Points[5].B != c.B {
		t.Errorf("%+v, want %+v", together.Points[5], c)
	}
}

// TestChartCapability: a steady process has one, that of package control; one
// that is not, or has no limits, says why not.
func TestChartCapability(t *testing.T) {
	r, _, samples := steady(t, 48, wobble)
	got := must[Chart](t)(r.Chart(t.Context(), ChartAsk{Product: "Rosé", Quantity: "L", Rules: "none"}))
	var values []float64
	for _, s := range samples {
		values = append(values, s.Colour.CIELAB.L)
	}
	lower, upper := 90., 96.
	k := must[control.Individuals](t)(control.NewIndividuals(values, control.Base{}, []control.Rule{control.BeyondAction}))
	want := must[control.Capability](t)(k.Capability(control.Tolerance{Lower: &lower, Upper: &upper}))
	if c := got.Capability; c == nil || c.Cp.Value != want.Cp.Value || c.Cpk.Lower != want.Cpk.Lower || c.Ppk.Upper != want.Ppk.Upper || got.NoCapability != "" {
		t.Errorf("%+v (%q), want %+v", got.Capability, got.NoCapability, want)
	}
	if got := must[Chart](t)(r.Chart(t.Context(), ChartAsk{Product: "Rosé", Quantity: "tint"})); got.Capability != nil || !strings.Contains(got.NoCapability, "no specification gives limits") {
		t.Errorf("without limits: %+v, %q", got.Capability, got.NoCapability)
	}
	another(t, r, 48, record.SampleBody{Measurement: readings(0.142, 0.16, 0.021)})
	off := must[Chart](t)(r.Chart(t.Context(), ChartAsk{Product: "Rosé", Quantity: "L", Base: "48"}))
	if off.Capability != nil || !strings.Contains(off.NoCapability, "not steady") {
		t.Errorf("a lot far off: %+v, %q", off.Capability, off.NoCapability)
	}
	if s := off.Signals[len(off.Signals)-1]; s.Name != "L-048" || s.No != 49 || s.Text == "" {
		t.Errorf("signal %+v, want one of L-048", s)
	}
}

// TestChartLeavesOut: what was read in other conditions, what is of several, what
// is retained alone is named with the reason; what is archived is not there.
func TestChartLeavesOut(t *testing.T) {
	r, lots, _ := steady(t, 24, func(i int) record.SampleBody {
		body := wobble(i)
		switch i {
		case 7:
			body.Measurement = scanned(1)
		case 9:
			body.Stage = record.Retained
		case 11:
			body.Stage = record.Middle
		}
		return body
	})
	if _, err := r.AddSample(t.Context(), lots[11].ID, record.SampleBody{Measurement: scanned(1)}); err != nil {
		t.Fatal(err)
	}
	must[LotAnswer](t)(r.ArchiveLot(t.Context(), lots[13].ID))
	got := must[Chart](t)(r.Chart(t.Context(), ChartAsk{Product: "Rosé"}))
	want := map[string]string{"L-007": "other conditions", "L-009": "retained", "L-011": "different conditions"}
	if got.Lots != 20 || got.LeftCount != 3 || len(got.LeftOut) != 3 {
		t.Fatalf("%d lots, %d left out: %+v", got.Lots, got.LeftCount, got.LeftOut)
	}
	for _, l := range got.LeftOut {
		if w := want[l.Name]; w == "" || !strings.Contains(l.Reason, w) {
			t.Errorf("%s is left out as %s, want %q", l.Name, l.Reason, w)
		}
	}
	if slices.ContainsFunc(got.Points, func(p ChartPoint) bool { return p.Name == "L-013" }) {
		t.Error("a lot that is archived is charted")
	}
}

// TestChartMeanOfSamples: a lot is the mean of its samples, by their newest
// verdicts, those of retained bottles aside.
func TestChartMeanOfSamples(t *testing.T) {
	r, lots, samples := steady(t, 12, wobble)
	second := must[record.Sample](t)(r.AddSample(t.Context(), lots[4].ID, record.SampleBody{Measurement: readings(0.15, 0.12, 0.02)}))
	must[record.Sample](t)(r.AddSample(t.Context(), lots[4].ID, record.SampleBody{Measurement: readings(0.2, 0.11, 0.02), Stage: record.Retained}))
	must[Again](t)(r.Judge(t.Context(), lots[4].ID, record.JudgeBody{SpecVersion: 1}))
	got := must[Chart](t)(r.Chart(t.Context(), ChartAsk{Product: "Rosé", Quantity: "b"}))
	want := (samples[4].Colour.CIELAB.B + second.Colour.CIELAB.B) / 2
	if got.Lots != 12 || math.Abs(*got.Points[4].Value-want) > 1e-12 {
		t.Errorf("%d lots, value %g, want %g", got.Lots, *got.Points[4].Value, want)
	}
}

// TestChartWindow: what is listed and drawn is a part; all lots count.
func TestChartWindow(t *testing.T) {
	r, _, _ := steady(t, 40, func(i int) record.SampleBody {
		body := wobble(i)
		if i == 35 {
			body.Measurement = readings(0.142, 0.15, 0.021)
		}
		return body
	})
	whole := must[Chart](t)(r.Chart(t.Context(), ChartAsk{Product: "Rosé", Base: "15"}))
	ten, before := 10, 31
	for _, ask := range []ChartAsk{{Points: &ten}, {Points: &ten, Before: &before}} {
		for _, kind := range ChartKinds {
			ask.Product, ask.Kind, ask.Base = "Rosé", kind, "15"
			got := must[Chart](t)(r.Chart(t.Context(), ask))
			first := 31
			if ask.Before != nil {
				first = 21
			}
			if got.Lots != 40 || len(got.Points) != 10 || got.FirstPoint != first || got.Points[0].No != first {
				t.Errorf("%s: %d lots, %d points from %d", kind, got.Lots, len(got.Points), got.FirstPoint)
			}
			if kind == "individuals" && (!reflect.DeepEqual(got.Points, whole.Points[first-1:first+9]) || got.SignalCount != whole.SignalCount || *got.Level != *whole.Level) {
				t.Errorf("the part differs from the whole")
			}
			drawn, err := got.Figure("1.0", nil)
			if err == nil {
				_, err = drawn.Drawing()
			}
			if err != nil {
				t.Errorf("%s: %v", kind, err)
			}
		}
	}
}

// TestChartPeriod: from is in it and to is not; a base until a date are the lots
// before it.
func TestChartPeriod(t *testing.T) {
	r, _, _ := steady(t, 40, wobble)
	from, to := dayOf(5), dayOf(35)
	got := must[Chart](t)(r.Chart(t.Context(), ChartAsk{Product: "Rosé", From: &from, To: &to, Base: dayOf(20).Format(time.DateOnly)}))
	if got.Lots != 30 || got.Level.Base != 15 || got.Points[0].Name != "L-005" || got.Points[29].Name != "L-034" {
		t.Errorf("%d lots, base %d", got.Lots, got.Level.Base)
	}
}

// TestChartRefusals: what cannot be charted says what there is and what is
// needed.
func TestChartRefusals(t *testing.T) {
	r, _, samples := steady(t, 14, wobble)
	early, late, many := dayOf(0), dayOf(4), 2001
	for name, c := range map[string]struct {
		ask   ChartAsk
		place string
		says  string
	}{
		"nothing":         {ChartAsk{}, "/product", "lots of what"},
		"both":            {ChartAsk{Product: "Rosé", Spec: samples[0].Spec}, "/spec", "not both"},
		"no such spec":    {ChartAsk{Spec: "none"}, "/spec", "no specification"},
		"no such product": {ChartAsk{Product: "Red"}, "/product", "nothing to chart"},
		"kind":            {ChartAsk{Product: "Rosé", Kind: "pie"}, "/kind", "individuals"},
		"difference":      {ChartAsk{Product: "Rosé", Kind: "ewma", Quantity: "delta_e_00"}, "/kind", "never negative"},
		"quantity of t2":  {ChartAsk{Product: "Rosé", Kind: "t2", Quantity: "L"}, "/quantity", "leave the quantity out"},
		"period":          {ChartAsk{Product: "Rosé", From: &late, To: &early}, "/to", "ends at or before"},
		"few":             {ChartAsk{Product: "Rosé", From: &early, To: &late}, "", "there are 4 that count, and it needs 10"},
		"few for t2":      {ChartAsk{Product: "Rosé", Kind: "t2"}, "", "there are 14 that count, and it needs 15"},
		"small base":      {ChartAsk{Product: "Rosé", Base: "9"}, "/base", "10 or more"},
		"large base":      {ChartAsk{Product: "Rosé", Base: "15"}, "/base", "has 14"},
		"base before":     {ChartAsk{Product: "Rosé", Base: "2024-01-01"}, "/base", "nothing sets the limits"},
		"base of words":   {ChartAsk{Product: "Rosé", Base: "soon"}, "/base", "a date such as"},
		"many points":     {ChartAsk{Product: "Rosé", Points: &many}, "/points", "2000"},
	} {
		_, err := r.Chart(t.Context(), c.ask)
		p := calc.AsProblem(err)
		if p == nil || p.Errors[0].Location != c.place || !strings.Contains(p.Errors[0].Message, c.says) {
			t.Errorf("%s: %v, want %q at %q", name, err, c.says, c.place)
		}
	}
}

// TestChartAtOnce: while lots are added, judged again and archived, every chart is
// of what was committed before it was asked for, and the last is that of a
// program that has just begun.
func TestChartAtOnce(t *testing.T) {
	r, lots, _ := steady(t, 20, wobble)
	var working sync.WaitGroup
	working.Go(func() {
		for i := 20; i < 50; i++ {
			another(t, r, i, wobble(i))
		}
	})
	working.Go(func() {
		for i := range 10 {
			if _, err := r.Judge(t.Context(), lots[i].ID, record.JudgeBody{SpecVersion: 1}); err != nil {
				t.Error(err)
			}
			if _, err := r.ArchiveLot(t.Context(), lots[i].ID); err != nil {
				t.Error(err)
			}
		}
	})
	for range 2 {
		working.Go(func() {
			for range 20 {
				if got, err := r.Chart(t.Context(), ChartAsk{Product: "Rosé"}); err != nil || got.Lots < 10 || got.Lots > 50 {
					t.Errorf("%d lots, %v", got.Lots, err)
				}
			}
		})
	}
	working.Wait()
	got := must[Chart](t)(r.Chart(t.Context(), ChartAsk{Product: "Rosé"}))
	fresh := must[Chart](t)(New(r.store, bench.New(r.store), "1.0").Chart(t.Context(), ChartAsk{Product: "Rosé"}))
	got.drawn, fresh.drawn = drawn{}, drawn{}
	if got.Lots != 40 || !reflect.DeepEqual(got, fresh) {
		t.Errorf("%d lots, and %d anew", got.Lots, fresh.Lots)
	}
}

// TestChartAfterFault: a reading of figures that was cut off leaves nothing of
// it behind.
func TestChartAfterFault(t *testing.T) {
	r, _, _ := steady(t, 12, wobble)
	s := &chartSeries{}
	s.forget()
	r.known.Add(record.FigureOf{Product: "Rosé"}, s)
	ctx, cut := context.WithCancel(t.Context())
	cut()
	if _, err := r.Chart(ctx, ChartAsk{Product: "Rosé"}); err == nil {
		t.Fatal("a request that was given up is answered")
	}
	if got := must[Chart](t)(r.Chart(t.Context(), ChartAsk{Product: "Rosé"})); got.Lots != 12 {
		t.Errorf("%d lots, want 12", got.Lots)
	}
}
