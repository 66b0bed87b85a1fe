package conform

import (
	"math"
	"math/rand/v2"
	"testing"

	"pourpath/colour/spectrum"
)

// The same for limits of single quantities and for the region of approved lots:
// on one limit, in a corner where two meet, and between limits that are close.
func TestRisksOnLimits(t *testing.T) {
	const (
		u       = 0.3
		maxRisk = 0.05
		lots    = 2000
	)
	limit := maxRisk + 3*math.Sqrt(maxRisk*(1-maxRisk)/lots)
	r := rand.New(rand.NewPCG(4, 4))
	columns := []column{
		{effect: state{u}}, {effect: state{0, u}}, {effect: state{0, 0.3 * u, u}},
		{effect: state{0, 0, 0, 0.004, 0.001}}, {effect: state{0, 0, 0, 0.001, 0.003}}, {effect: state{0, 0, 0, 0, 0, 0.002}},
	}
	e := approvedRegion(t, 0.95)
	onRegion := state{e.Mean.L, e.Mean.A, e.Mean.B}
	// From the mean along a*, as far as the region goes: T² grows with the square.
	far := onRegion
	far[1]++
	along, _ := e.region()
	onRegion[1] += math.Sqrt(e.Limit() / along.t2(far[0], far[1], far[2]))
	for _, c := range []struct {
		name string
		spec Spec
		lot  state
	}{
		{"one limit", Spec{Limits: map[Quantity][2]float64{L: {70, 82}}}, state{82, 12, 8}},
		{"between close limits", Spec{Limits: map[Quantity][2]float64{L: {82 - u, 82}}}, state{82, 12, 8}},
		{"one of three", Spec{Limits: map[Quantity][2]float64{L: {82 - 6*u, 82}, A: {12 - 3*u, 12 + 3*u}, B: {8 - 3*u, 8 + 3*u}}}, state{82, 12, 8}},
		{"in a corner", Spec{Limits: map[Quantity][2]float64{L: {82 - 6*u, 82}, A: {12 - 6*u, 12}}}, state{82, 12, 8}},
		{"chroma", Spec{Limits: map[Quantity][2]float64{Chroma: {5, 10}}}, state{82, 8, 6}},
		{"hue", Spec{Limits: map[Quantity][2]float64{Hue: {350, 45}}}, state{82, 6, 6}},
		{"shares and tint", Spec{Limits: map[Quantity][2]float64{Yellow: {10, 50}, Tint: {0.5, 1.25}}}, state{82, 12, 8, 0.25, 0.2, 0.05}},
		{"region", Spec{Ellipsoid: e}, onRegion},
	} {
		c.spec.Rule, c.spec.MaxRisk = Guarded, maxRisk
		j := judged{spec: c.spec, parts: c.spec.parts(), columns: columns, factor: factorOf(columns)}
		var passed, failed float64
		for range lots {
			j.middle = c.lot
			for _, col := range columns {
				z := r.NormFloat64()
				for i := range j.middle {
					j.middle[i] += z * col.effect[i]
				}
			}
			switch j.decideBy(j.factor.probability(j.parts, &j.middle, coarseDraws)).verdict {
			case Pass:
				passed += 1.0 / lots
			case Fail:
				failed += 1.0 / lots
			}
		}
		t.Logf("%s: %.3f pass, %.3f fail", c.name, passed, failed)
		if passed > limit || failed > limit {
			t.Errorf("%s: of the lots on the limit %.3f pass and %.3f fail, more than %g", c.name, passed, failed, maxRisk)
		}
	}
}

// A lot that meets every part at face value is not failed, however little is
// known of it: a tolerance far below the uncertainty leaves it open.
func TestFaceValueIsNotFailed(t *testing.T) {
	ref := &Reference{Stated: stated(82, 12, 8, 0, 0)}
	j := judge(t, Spec{Reference: ref, Tolerance: 0.1, Rule: Guarded, MaxRisk: 0.05}, Sample{Stated: stated(82, 12, 8, 0.3, 0.3)})
	if j.Verdict != Inconclusive || j.Probability > 0.05 || j.RejectionRisk != 1 || !j.CanNeverPass {
		t.Errorf("on the target: %s at probability %g, rejection risk %g, can never pass %t; want inconclusive, below 0.05, 1, true", j.Verdict, j.Probability, j.RejectionRisk, j.CanNeverPass)
	}
	far := judge(t, Spec{Reference: ref, Tolerance: 0.1, Rule: Guarded, MaxRisk: 0.05}, Sample{Stated: stated(86, 12, 8, 0.3, 0.3)})
	if far.Verdict != Fail || far.RejectionRisk > 1e-3 {
		t.Errorf("far off: %s, rejection risk %g, want fail", far.Verdict, far.RejectionRisk)
	}
	exact := judge(t, Spec{Reference: ref, Tolerance: 1, Rule: Guarded, MaxRisk: 0.05}, Sample{Stated: stated(86, 12, 8, 0, 0)})
	if exact.Verdict != Fail || exact.RejectionRisk != 0 {
		t.Errorf("exact and off: %s, rejection risk %g, want fail, 0", exact.Verdict, exact.RejectionRisk)
	}
	for _, s := range []Spec{{Limits: map[Quantity][2]float64{Tint: {0.5, 2}}}, {Limits: map[Quantity][2]float64{Red: {10, 60}}}} {
		s.Rule, s.MaxRisk = Guarded, 0.05
		if water := judge(t, s, Sample{Wine: &spectrum.Wine{}}); water.Verdict != Fail {
			t.Errorf("water has neither tint nor shares: %s, want fail", water.Verdict)
		}
	}
}
