package conform

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"sync"
	"testing"

	"pourpath/colour"
	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
	"pourpath/colour/difference"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

// bell is a smooth curve about a wavelength.
func bell(height, centreNM, widthNM float64) (c cie.Curve) {
	for i := range c {
		d := (cie.Wavelength(i) - centreNM) / widthNM
		c[i] = height * math.Exp(-d*d/2)
	}
	return c
}

func sum(curves ...cie.Curve) (out cie.Curve) {
	for _, c := range curves {
		for i, v := range c {
			out[i] += v
		}
	}
	return out
}

func times(c cie.Curve, by float64) cie.Curve {
	for i := range c {
		c[i] *= by
	}
	return c
}

// rosé is a wine with errors of reading and of shape; turn mixes its two shape
// errors among themselves, which changes nothing of what they stand for.
func rosé(shape, readingU, turn float64, method string) *spectrum.Wine {
	sin, cos := math.Sincos(turn)
	one, two := bell(shape, 465, 20), bell(shape/2, 570, 18)
	return &spectrum.Wine{
		Absorbance: sum(bell(0.25, 400, 60), bell(0.22, 525, 40)),
		Source:     spectrum.Readings,
		Method:     method,
		Terms: []spectrum.Term{
			{Cause: spectrum.Reading, Effect: bell(readingU, 420, 40)},
			{Cause: spectrum.Reading, Effect: bell(readingU, 520, 40)},
			{Cause: spectrum.Shape, Effect: sum(times(one, cos), times(two, sin))},
			{Cause: spectrum.Shape, Effect: sum(times(one, -sin), times(two, cos))},
		},
	}
}

// Sharing changes what sample and reference have in common, never what each is
// uncertain by; a turn of the reference's terms changes nothing at all.
func TestSharedShape(t *testing.T) {
	colourOf := func(w *spectrum.Wine) *side {
		var faults colour.FieldErrors
		s := seen(nil, w, cie.OIV(), "wine", &faults)
		if s == nil {
			t.Fatal(faults)
		}
		return s
	}
	sample := colourOf(rosé(0.02, 0.002, 0, "readings 420 520 620"))
	alone := covariance(append(sample.own(0), sample.own(reference)...))
	for _, turn := range []float64{0, 0.7, 2, -1.3} {
		ref := colourOf(rosé(0.02, 0.002, turn, "readings 420 520 620"))
		got := covariance(jointColumns(sample, ref, false))
		for i := range got {
			for j := range got[i] {
				if (i < reference) != (j < reference) {
					continue
				}
				if !colourtest.Near(got[i][j], alone[i][j], 1e-12, 1e-9) {
					t.Fatalf("turn %g: covariance[%d][%d] = %g, by itself %g", turn, i, j, got[i][j], alone[i][j])
				}
			}
		}
		// Of the shape's variance of the difference, 2(1-ρ) is left; the
		// readings' stays twice that of one side.
		for i := range absorbing {
			var ofReading, ofShape float64
			for _, c := range sample.own(0) {
				if c.cause == spectrum.Shape {
					ofShape += c.effect[i] * c.effect[i]
				} else {
					ofReading += c.effect[i] * c.effect[i]
				}
			}
			variance := got[i][i] + got[i+reference][i+reference] - 2*got[i][i+reference]
			if want := 2*ofReading + 2*(1-shapeCorrelation)*ofShape; !colourtest.Near(variance, want, 1e-12, 1e-6) {
				t.Errorf("turn %g: variance of difference %d = %g, want %g", turn, i, variance, want)
			}
		}
	}

	// Fewer terms on one side: the marginals still hold.
	short := rosé(0.02, 0.002, 0, "readings 420 520 620")
	short.Terms = short.Terms[:3]
	ref := colourOf(short)
	got, own := covariance(jointColumns(sample, ref, false)), covariance(append(sample.own(0), ref.own(reference)...))
	for i := range got {
		if !colourtest.Near(got[i][i], own[i][i], 1e-12, 1e-9) {
			t.Errorf("one term less: variance %d = %g, by itself %g", i, got[i][i], own[i][i])
		}
	}
	ref = colourOf(rosé(0.02, 0.002, 0, "spectrum"))
	if got := covariance(jointColumns(sample, ref, false)); got[0][reference] != 0 {
		t.Errorf("methods differ, yet L* of sample and reference have covariance %g", got[0][reference])
	}
}

// A reference read like the sample makes the difference surer.
func TestLikeWithLike(t *testing.T) {
	lot := Sample{Wine: rosé(0.02, 0.0005, 0, "readings 420 520 620")}
	spec := func(method string) Spec {
		return Spec{Reference: &Reference{Wine: rosé(0.02, 0.0005, 0.5, method)}, Tolerance: 1.2, Rule: Guarded, MaxRisk: 0.05}
	}
	like, unlike := judge(t, spec("readings 420 520 620"), lot), judge(t, spec("spectrum"), lot)
	t.Logf("read alike %.3f ± %.3f, not alike %.3f ± %.3f", like.Probability, like.ProbabilitySE, unlike.Probability, unlike.ProbabilitySE)
	if !(like.Probability > unlike.Probability+0.1) || like.Verdict != Pass {
		t.Errorf("probability %g when read alike (%s), %g when not", like.Probability, like.Verdict, unlike.Probability)
	}
	if hasWarning(like, "methods_differ") != "" || !strings.Contains(hasWarning(unlike, "methods_differ"), "readings 420 520 620") {
		t.Errorf("warnings read alike %v, not alike %v", like.Warnings, unlike.Warnings)
	}
	if unlike.DominantCause != spectrum.Shape {
		t.Errorf("DominantCause = %q, want shape", unlike.DominantCause)
	}
}

func hasWarning(j Judgement, code string) string {
	for _, w := range j.Warnings {
		if w.Code == code {
			return w.Message
		}
	}
	return ""
}

func TestNeverPasses(t *testing.T) {
	far := math.Inf(1)
	ref := &Reference{Stated: stated(82, 12, 8, 0, 0)}
	for _, c := range []struct {
		name  string
		spec  Spec
		lot   *spectrum.Stated
		never bool
		says  string
	}{
		// One dimension: 95 % lie within 1.960 u of the middle (normal quantile).
		{"narrow limits", Spec{Limits: map[Quantity][2]float64{L: {80, 80 + 2*1.90*0.3}}}, stated(75, 10, 5, 0.3, 0), true, "rounding"},
		{"wide enough limits", Spec{Limits: map[Quantity][2]float64{L: {80, 80 + 2*2.02*0.3}}}, stated(75, 10, 5, 0.3, 0), false, ""},
		{"open side", Spec{Limits: map[Quantity][2]float64{L: {80, far}}}, stated(75, 10, 5, 0.3, 0), false, ""},
		{"narrow tolerance", Spec{Reference: ref, Tolerance: 0.3}, stated(82, 12, 8, 0.3, 0.3), true, "state one more digit"},
		{"reference on its limit, with room", Spec{Reference: ref, Tolerance: 1.2, Limits: map[Quantity][2]float64{L: {82, 90}}}, stated(75, 10, 5, 0.2, 0.2), false, ""},
		{"room between tolerance and limits, off every middle", Spec{Reference: ref, Tolerance: 1.2, Limits: map[Quantity][2]float64{L: {82, 110}, A: {12, 20}}}, stated(75, 10, 5, 0.2, 0.2), false, ""},
		{"the same without room", Spec{Reference: ref, Tolerance: 0.7, Limits: map[Quantity][2]float64{L: {82, 110}, A: {12, 20}}}, stated(75, 10, 5, 0.2, 0.2), true, "No lot"},
		{"hue against a*", Spec{Limits: map[Quantity][2]float64{Hue: {20, 40}, A: {-12, -8}}}, stated(82, 12, 8, 0, 0), true, "contradict each other"},
		{"hue and chroma", Spec{Limits: map[Quantity][2]float64{Chroma: {10, 14}, Hue: {350, 20}}}, stated(82, -12, 8, 0.2, 0.2), false, ""},
		{"one-sided and exact", Spec{Limits: map[Quantity][2]float64{A: {-far, 5}, B: {7, far}}}, stated(82, 12, 0, 0, 0), false, ""},
	} {
		c.spec.Rule, c.spec.MaxRisk = Guarded, 0.05
		j := judge(t, c.spec, Sample{Stated: c.lot})
		if j.Verdict == Pass || j.CanNeverPass != c.never {
			t.Errorf("%s: %s, CanNeverPass = %t (best %g), want %t", c.name, j.Verdict, j.CanNeverPass, j.BestProbability, c.never)
		}
		if text := hasWarning(j, "can_never_pass"); (text != "") != c.never || !strings.Contains(text, c.says) {
			t.Errorf("%s: warning %q, want %q in it", c.name, text, c.says)
		}
	}
}

// A specification whose limits its own reference misses is refused, whatever it
// knows the reference by, before and while a lot is judged.
func TestReferenceOutsideLimits(t *testing.T) {
	ref := &Reference{Stated: stated(82, 12, 8, 0, 0)}
	lot := Sample{Stated: stated(82, 12, 8, 0.05, 0.05), Wine: rosé(0, 0, 0, "m")}
	wine := rosé(0, 0.002, 0, "m")
	ix := wine.Indices()
	cielab := *wine
	cielab.Source = spectrum.CIELAB
	three := 3.0
	for _, c := range []struct {
		name   string
		spec   Spec
		fields []string
		says   string
	}{
		{"colour", Spec{Reference: ref, Tolerance: 2, Limits: map[Quantity][2]float64{L: {83, 90}, Hue: {350, 40}}}, []string{"limits/L"}, "its L is 82, and they are 83 to 90"},
		{"two limits", Spec{Reference: ref, ToleranceAB: 2, Limits: map[Quantity][2]float64{Chroma: {1, 2}, Hue: {350, 10}}}, []string{"limits/C", "limits/h"}, ""},
		{"wine's share", Spec{Reference: &Reference{Wine: wine}, Limits: map[Quantity][2]float64{Yellow: {ix.YellowPercent + 1, 90}}}, []string{"limits/yellow_percent"}, ""},
		{"index", Spec{Reference: &Reference{Intensity: &three, Tint: &three}, Limits: map[Quantity][2]float64{Intensity: {2, 4}, Tint: {1, 2}}}, []string{"limits/tint"}, "its tint is 3"},
		{"lots' region", Spec{Reference: &Reference{Stated: stated(88, 13, 8, 0, 0)}, Ellipsoid: approvedRegion(t, 0.95)}, []string{"ellipsoid"}, "outside the region"},
		{"lots' mean", Spec{Ellipsoid: approvedRegion(t, 0.95), Limits: map[Quantity][2]float64{A: {0, 12}}}, []string{"limits/a"}, "13.03"},
	} {
		c.spec.Rule = Simple
		wantFields(t, c.name, c.spec.ValidateIn(cie.OIV()), c.fields, c.says)
		var under []string
		for _, f := range c.fields {
			under = append(under, "spec/"+f)
		}
		_, err := Judge(c.spec, lot, cie.OIV())
		wantFields(t, c.name, err, under, c.says)
	}
	// An L*a*b* has indices by an estimate only: they exclude nothing.
	if err := (Spec{Reference: &Reference{Wine: &cielab}, Limits: map[Quantity][2]float64{Yellow: {ix.YellowPercent + 1, 90}}, Rule: Simple}).ValidateIn(cie.OIV()); err != nil {
		t.Errorf("reference by L*a*b*: %v, want no fault", err)
	}
	inside := Spec{Reference: ref, Tolerance: 2, Limits: map[Quantity][2]float64{L: {82, 90}, Hue: {350, 40}}, Rule: Simple}
	if j := judge(t, inside, lot); len(j.Warnings) != 0 {
		t.Errorf("reference on its own limit: warnings %v", j.Warnings)
	}
}

func TestIntensityAndTint(t *testing.T) {
	wine := rosé(0, 0.002, 0, "m")
	ix := wine.Indices()
	aim, shade := ix.Intensity-0.01, ix.Tint+0.1
	spec := Spec{
		Reference: &Reference{Intensity: &aim, Tint: &shade},
		Limits:    map[Quantity][2]float64{Intensity: {0.1, ix.Intensity}, Tint: {0.5, 2}},
		Rule:      Guarded, MaxRisk: 0.05,
	}
	j := judge(t, spec, Sample{Wine: wine})
	// On its upper limit half of the intensity's draws conform.
	if !colourtest.Near(j.Probability, 0.5, 0.005, 0) || j.Verdict != Inconclusive || !j.Results[0].Within {
		t.Errorf("intensity on its limit: %s, probability %g, results %+v", j.Verdict, j.Probability, j.Results)
	}
	c, err := wine.Colour(cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	if !colourtest.Near(j.Results[0].Uncertainty, c.Uncertainty.Intensity, 0, 0.005) || !colourtest.Near(j.Results[1].Uncertainty, c.Uncertainty.Tint, 0, 0.01) {
		t.Errorf("uncertainties %g and %g, by propagation %g and %g", j.Results[0].Uncertainty, j.Results[1].Uncertainty, c.Uncertainty.Intensity, c.Uncertainty.Tint)
	}
	if j.Difference != nil || j.IndexDifference == nil || !colourtest.Near(j.IndexDifference.Intensity, 0.01, 1e-12, 0) || !colourtest.Near(j.IndexDifference.Tint, -0.1, 1e-12, 0) {
		t.Errorf("differences %v and %+v, want none and 0.01, -0.1", j.Difference, j.IndexDifference)
	}
	water := Sample{Wine: &spectrum.Wine{}}
	spec.Rule = Simple
	if j := judge(t, spec, water); j.Verdict != Fail || !math.IsNaN(j.Results[1].Value) || j.Results[1].Within {
		t.Errorf("water: %s, results %+v: it has no tint and must not conform", j.Verdict, j.Results)
	}
}

// Two lots known by three readings each: most of what is uncertain about either
// is the same about both. A scan as reference leaves that open.
func TestReadingsAgainstReadings(t *testing.T) {
	read := func(a420, a520, a620 float64) *spectrum.Wine {
		w, err := spectrum.FromReadings(reading.Readings{Cell: reading.Cell{PathMM: 10, Dilution: 1}, A420: a420, A520: a520, A620: a620, UAbsorbance: 0.001})
		if err != nil {
			t.Fatal(err)
		}
		return &w
	}
	lot, ref := read(0.205, 0.236, 0.049), read(0.198, 0.231, 0.048)
	spec := Spec{Reference: &Reference{Wine: ref}, Tolerance: 2, Rule: Guarded, MaxRisk: 0.05}
	like := judge(t, spec, Sample{Wine: lot})
	scan := *ref
	scan.Source, scan.Method = spectrum.Scan, string(spectrum.Scan)
	scan.Terms = nil
	spec.Reference = &Reference{Wine: &scan}
	unlike := judge(t, spec, Sample{Wine: lot})
	t.Logf("ΔE00 %.2f: read alike u %.2f, probability %.3f (%s); against a scan u %.2f, probability %.3f (%s)",
		like.Difference.DeltaE00, like.Results[0].Uncertainty, like.Probability, like.DominantCause,
		unlike.Results[0].Uncertainty, unlike.Probability, unlike.DominantCause)
	if !(like.Probability > unlike.Probability) || hasWarning(unlike, "methods_differ") == "" {
		t.Errorf("probability %g read alike, %g against a scan (warnings %v)", like.Probability, unlike.Probability, unlike.Warnings)
	}
}

// What is judged again from the same specification and readings comes out the
// same to the last bit, in any order and at the same time.
func TestRecomputed(t *testing.T) {
	spec := Spec{
		Reference: &Reference{Wine: readAs(t, 0.002, 0.198, 0.231, 0.048)}, Tolerance: 1, Weights: difference.Weights{KL: 2, KC: 1, KH: 1},
		ToleranceAB: 3, Limits: map[Quantity][2]float64{Tint: {0.8, 0.95}, L: {70, 90}, Hue: {350, 60}, Red: {40, 52}},
		Warning: WarningLimits{Tolerance: 0.5}, Rule: Guarded, MaxRisk: 0.05,
	}
	lots := []Sample{
		{Wine: readAs(t, 0.002, 0.2, 0.235, 0.05)}, {Wine: readAs(t, 0.002, 0.21, 0.25, 0.05)},
		{Wine: readAs(t, 0.002, 0.26, 0.25, 0.06)}, {Wine: readAs(t, 0.002, 0.198, 0.231, 0.048), SameSession: true},
	}
	var first []string
	for _, lot := range lots {
		first = append(first, fmt.Sprintf("%+v", judge(t, spec, lot)))
	}
	again := make([]string, 3*len(lots))
	var wait sync.WaitGroup
	for i := range again {
		wait.Go(func() {
			j, err := Judge(spec, lots[len(lots)-1-i%len(lots)], cie.OIV())
			if err != nil {
				t.Error(err)
			}
			again[i] = fmt.Sprintf("%+v", j)
		})
	}
	wait.Wait()
	for i := range again {
		if k := len(lots) - 1 - i%len(lots); stripped(again[i]) != stripped(first[k]) {
			t.Errorf("lot %d: first %s, then %s", k, first[k], again[i])
		}
	}
}

// stripped takes the addresses out of what %+v prints.
func stripped(s string) string { return regexp.MustCompile(`0x[0-9a-f]+`).ReplaceAllString(s, "") }

// BenchmarkJudge is one verdict of each kind: clear ones, an open one with what
// would settle it, and one under a specification that nothing can pass.
func BenchmarkJudge(b *testing.B) {
	spec := Spec{
		Reference: &Reference{Wine: rosé(0.02, 0.002, 0.5, "m")}, Tolerance: 1,
		Limits: map[Quantity][2]float64{L: {70, 90}, Hue: {350, 60}}, Rule: Guarded, MaxRisk: 0.05,
	}
	lot, off := rosé(0.02, 0.002, 0, "m"), rosé(0.02, 0.002, 0, "m")
	off.Absorbance = times(off.Absorbance, 2)
	open := rosé(0.001, 0.002, 0, "m")
	open.Absorbance = times(open.Absorbance, 1.03)
	for _, c := range []struct {
		name      string
		tolerance float64
		lot       *spectrum.Wine
		want      Verdict
	}{{"pass", 3, lot, Pass}, {"fail", 3, off, Fail}, {"open", 0.7, open, Inconclusive}, {"never", 0.1, lot, Inconclusive}} {
		b.Run(c.name, func(b *testing.B) {
			spec.Tolerance = c.tolerance
			for b.Loop() {
				if j := judge(b, spec, Sample{Wine: c.lot}); j.Verdict != c.want {
					b.Fatalf("%s, want %s", j.Verdict, c.want)
				}
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "verdicts/s")
		})
	}
}
