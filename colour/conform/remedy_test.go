package conform

import (
	"math"
	"slices"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

func readAs(t testing.TB, u float64, a420, a520, a620 float64, extra ...reading.At) *spectrum.Wine {
	t.Helper()
	w, err := spectrum.FromReadings(reading.Readings{Cell: reading.Cell{PathMM: 10, Dilution: 1}, A420: a420, A520: a520, A620: a620, UAbsorbance: u, Extra: extra})
	if err != nil {
		t.Fatal(err)
	}
	return &w
}

// Parting a reading error into its kinds changes nothing of what each side is
// uncertain by; one session leaves of a reading's variance in the difference
// twice its repeating half, and a scan's sixteenth.
func TestOneSession(t *testing.T) {
	lot := rosé(0, 0.002, 0, "m")
	for _, source := range []struct {
		source spectrum.Source
		left   float64
	}{{spectrum.Readings, repeatOfReading}, {spectrum.Scan, repeatOfScan}} {
		lot.Source = source.source
		ref := *lot
		spec := Spec{Reference: &Reference{Wine: &ref}, ToleranceAB: 1, Rule: Simple}
		variance := func(same bool) (own, of float64) {
			c, err := newCase(spec, Sample{Wine: lot, SameSession: same}, cie.OIV())
			if err != nil {
				t.Fatal(err)
			}
			v := covariance(c.columns)
			return v[1][1], v[1][1] + v[1+reference][1+reference] - 2*v[1][1+reference]
		}
		ownApart, apart := variance(false)
		ownTogether, together := variance(true)
		if !colourtest.Near(ownApart, ownTogether, 0, 1e-12) || !colourtest.Near(apart, 2*ownApart, 0, 1e-12) {
			t.Errorf("%s: own variance of a* %g, in one session %g; of the difference %g", source.source, ownApart, ownTogether, apart)
		}
		if !colourtest.Near(together, source.left*apart, 0, 1e-9) {
			t.Errorf("%s in one session: variance of the difference in a* %g, want %g", source.source, together, source.left*apart)
		}
	}
	// Further readings belong together by wavelength, in whatever order.
	one := readAs(t, 0.005, 0.2, 0.23, 0.05, reading.At{NM: 460, Absorbance: 0.15}, reading.At{NM: 560, Absorbance: 0.14})
	other := readAs(t, 0.005, 0.2, 0.23, 0.05, reading.At{NM: 560, Absorbance: 0.14}, reading.At{NM: 460, Absorbance: 0.15})
	uncertainty := func(ref *spectrum.Wine) float64 {
		s := Spec{Reference: &Reference{Wine: ref}, ToleranceAB: 5, Rule: Simple}
		j, err := Judge(s, Sample{Wine: one, SameSession: true}, cie.OIV())
		if err != nil {
			t.Fatal(err)
		}
		return j.Results[0].Uncertainty
	}
	if a, b := uncertainty(one), uncertainty(other); !colourtest.Near(a, b, 0, 1e-6) {
		t.Errorf("uncertainty %g with the readings in one order, %g in another", a, b)
	}
	_, err := Judge(Spec{Reference: &Reference{Stated: stated(80, 10, 5, 0, 0)}, Tolerance: 1, Rule: Simple}, Sample{Wine: one, SameSession: true}, cie.OIV())
	wantFields(t, "no session with a written colour", err, []string{"same_session"}, "no reading")
}

func remedyFor(j Judgement, a Action) *Remedy {
	if i := slices.IndexFunc(j.Remedies, func(r Remedy) bool { return r.Action == a }); i >= 0 {
		return &j.Remedies[i]
	}
	return nil
}

// Replicates settle what repeats, a scan what lies between the readings, and
// nothing what lies on a limit.
func TestRemedies(t *testing.T) {
	guarded := func(s Spec) Spec { s.Rule, s.MaxRisk = Guarded, 0.05; return s }
	shape := judge(t, guarded(Spec{Reference: &Reference{Wine: rosé(0.02, 0.0005, 0.5, "m")}, Tolerance: 0.7}), Sample{Wine: rosé(0.02, 0.0005, 0, "m")})
	if shape.Verdict != Inconclusive || shape.DominantCause != spectrum.Shape {
		t.Fatalf("%s (probability %g) from %s, want inconclusive from shape", shape.Verdict, shape.Probability, shape.DominantCause)
	}
	if r := remedyFor(shape, Replicates); r == nil || r.Settles() || !(r.Probability < shape.Probability+0.05) {
		t.Errorf("shape dominates, replicates: %+v from %g, want little", r, shape.Probability)
	}
	if r := remedyFor(shape, ScanBoth); r == nil || r.Verdict != Pass {
		t.Errorf("shape dominates, a scan: %+v, want pass", r)
	}
	if s := shape.Budget[0]; s.Cause != spectrum.Shape || s.Of < 0.5 || s.Repeats || s.Common {
		t.Errorf("budget %+v, want shape first", shape.Budget)
	}

	noise := judge(t, guarded(Spec{Reference: &Reference{Wine: rosé(0, 0.003, 0, "m")}, Tolerance: 0.75}), Sample{Wine: rosé(0, 0.003, 0, "m")})
	if noise.Verdict != Inconclusive || noise.DominantCause != spectrum.Reading {
		t.Fatalf("%s (probability %g) from %s, want inconclusive from reading", noise.Verdict, noise.Probability, noise.DominantCause)
	}
	all := remedyFor(noise, AllTogether)
	for _, a := range []Action{Replicates, OneSession} {
		if r := remedyFor(noise, a); r == nil || !(r.Probability > noise.Probability+0.03) || !(all.Probability >= r.Probability) {
			t.Errorf("reading dominates, %s: %+v from %g, want more; all together %+v", a, r, noise.Probability, all)
		}
	}
	if all.Verdict != Pass || remedyFor(noise, ScanBoth) != nil || remedyFor(noise, MoreDigits) != nil {
		t.Errorf("remedies %+v: want all together to pass, and none for what is not there", noise.Remedies)
	}
	var sum float64
	for _, s := range noise.Budget {
		sum += s.Of
		if s.Repeats == s.Common {
			t.Errorf("share %+v of a reading error, want repeating or common", s)
		}
	}
	if !colourtest.Near(sum, 1, 1e-12, 0) {
		t.Errorf("shares add up to %g", sum)
	}

	onLimit := judge(t, guarded(Spec{Limits: map[Quantity][2]float64{L: {70, 80}}}), Sample{Stated: stated(80, 10, 5, 0.3, 0.3)})
	if onLimit.Verdict != Inconclusive || hasWarning(onLimit, "no_remedy") == "" {
		t.Errorf("on the limit: %s, warnings %v, want no_remedy", onLimit.Verdict, onLimit.Warnings)
	}
	digits := judge(t, guarded(Spec{Limits: map[Quantity][2]float64{L: {70, 80}}}), Sample{Stated: stated(79.7, 10, 5, 0.3, 0.3)})
	if r := remedyFor(digits, MoreDigits); r == nil || r.Verdict != Pass || hasWarning(digits, "no_remedy") != "" {
		t.Errorf("rounded: %+v, warnings %v, want more digits to pass", digits.Remedies, digits.Warnings)
	}
}

// Warning limits say so and decide nothing.
func TestWarningLimits(t *testing.T) {
	ref := &Reference{Stated: stated(80, 10, 5, 0, 0)}
	s := Spec{
		Reference: ref, Tolerance: 3, ToleranceAB: 5, Limits: map[Quantity][2]float64{L: {70, 90}, Hue: {350, 60}}, Rule: Simple,
		Warning: WarningLimits{Tolerance: 1.5, ToleranceAB: 2, Limits: map[Quantity][2]float64{L: {79, 81.5}, Hue: {355, 40}}},
	}
	calm := judge(t, s, Sample{Stated: stated(80.5, 10.2, 5, 0, 0)})
	if calm.BeyondWarning || calm.Verdict != Pass || len(calm.Warnings) != 0 {
		t.Errorf("inside: %s, beyond %t, warnings %v", calm.Verdict, calm.BeyondWarning, calm.Warnings)
	}
	pale := judge(t, s, Sample{Stated: stated(82, 10, 5, 0, 0)})
	var beyond []Quantity
	for _, r := range pale.Results {
		if r.BeyondWarning {
			beyond = append(beyond, r.Quantity)
		}
		if r.Warning == nil {
			t.Errorf("%s has no warning limits", r.Quantity)
		}
	}
	// ΔE*ab is exactly on its warning limit, which is inside.
	if pale.Verdict != Pass || !pale.BeyondWarning || !slices.Equal(beyond, []Quantity{L}) || hasWarning(pale, "beyond_warning") == "" {
		t.Errorf("beyond L*: %s, beyond %v, warnings %v", pale.Verdict, beyond, pale.Warnings)
	}
	e := approvedRegion(t, 0.99)
	r := judge(t, Spec{Ellipsoid: e, Warning: WarningLimits{Confidence: 0.95}, Rule: Simple}, Sample{Stated: stated(84.3, 13.6, 9.4, 0, 0)}).Results[0]
	if !r.Within || !r.BeyondWarning || !colourtest.Near(r.Warning[1], 18.4429846538946, 0, 1e-9) {
		t.Errorf("T² %g within %g, warning at %v: want within and beyond the warning", r.Value, r.Upper, r.Warning)
	}
}

func TestWarningFaults(t *testing.T) {
	s := Spec{Reference: &Reference{Stated: stated(80, 10, 5, 0, 0)}, Tolerance: 2, Limits: map[Quantity][2]float64{A: {5, 15}, Hue: {350, 60}}, Rule: Simple}
	on := func(q Quantity, lower, upper float64) WarningLimits {
		return WarningLimits{Limits: map[Quantity][2]float64{q: {lower, upper}}}
	}
	for _, c := range []struct {
		name    string
		warning WarningLimits
		field   string
		says    string
	}{
		{"outside the tolerance", WarningLimits{Tolerance: 2.5}, "warning/tolerance/delta_e_00", "outside the tolerance of 2"},
		{"not above 0", WarningLimits{Tolerance: math.NaN()}, "warning/tolerance/delta_e_00", "above 0"},
		{"of none", WarningLimits{ToleranceAB: 2}, "warning/tolerance/delta_e_ab", "no tolerance delta_e_ab"},
		{"outside the limits", on(A, 4, 10), "warning/limits/a", "within the limits 5 to 15"},
		{"open where the limits are not", on(A, 6, math.Inf(1)), "warning/limits/a", "within the limits"},
		{"of no limits", on(L, 70, 80), "warning/limits/L", "no limits on L"},
		{"contradictory", on(A, 9, 8), "warning/limits/a", "contradict"},
		{"arc beyond", on(Hue, 40, 70), "warning/limits/h", "within the limits"},
		{"arc the other way round", on(Hue, 40, 355), "warning/limits/h", "within the limits"},
		{"of no region", WarningLimits{Confidence: 0.9}, "warning/ellipsoid/confidence", "no ellipsoid"},
	} {
		s.Warning = c.warning
		wantFields(t, c.name, s.Validate(), []string{c.field}, c.says)
	}
	s.Warning = on(Hue, 355, 60)
	if err := s.Validate(); err != nil {
		t.Errorf("arc within: %v", err)
	}
	wide := Spec{Ellipsoid: approvedRegion(t, 0.95), Warning: WarningLimits{Confidence: 0.99}, Rule: Simple}
	wantFields(t, "larger region", wide.Validate(), []string{"warning/ellipsoid/confidence"}, "larger")
}

// Values stated for another lamp are judged through their spectrum, and it is
// said; without one they are refused (TestSampleFaults).
func TestConverted(t *testing.T) {
	other := cie.View{Illuminant: "A", Observer: "10", DepthMM: 10}
	w, err := spectrum.FromLab(spectrum.Stated{Lab: cie.Lab{L: 84, A: 14, B: 10, View: other}, HalfStepL: 0.05, HalfStepAB: 0.05})
	if err != nil {
		t.Fatal(err)
	}
	s := Spec{Limits: map[Quantity][2]float64{L: {60, 95}}, Rule: Simple}
	j := judge(t, s, Sample{Wine: &w})
	if hasWarning(j, "conditions_converted") == "" || !(j.Results[0].Uncertainty > 0) {
		t.Errorf("stated for A: warnings %v, uncertainty %g", j.Warnings, j.Results[0].Uncertainty)
	}
	if j := judge(t, s, Sample{Wine: rosé(0, 0, 0, "m")}); hasWarning(j, "conditions_converted") != "" {
		t.Errorf("readings: warnings %v", j.Warnings)
	}
}
