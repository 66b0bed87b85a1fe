package conform

import (
	"math"
	"math/rand/v2"
	"testing"

	"pourpath/colour/difference"
)

// The guarded rule over the shapes that a specification can have, from one to
// five standard uncertainties wide on each side: of lots that lie on its border at most
// MaxRisk pass and at most MaxRisk fail. 2000 lots each, with correlated readings.
func TestRisksOnBorders(t *testing.T) {
	const (
		u       = 0.3
		maxRisk = 0.05
		lots    = 2000
		draws   = 1024
	)
	limit := maxRisk + 3*math.Sqrt(maxRisk*(1-maxRisk)/lots)
	columns := []column{{effect: state{u}}, {effect: state{0, u}}, {effect: state{0.2 * u, 0.4 * u, 0.9 * u}}}
	target := state{82, 12, 8, 0, 0, 0, 82, 12, 8}
	box := func(half float64) map[Quantity][2]float64 {
		return map[Quantity][2]float64{L: {82 - half, 82 + half}, A: {12 - half, 12 + half}, B: {8 - half, 8 + half}}
	}
	at := func(l, a, b float64) state {
		x := target
		x[0], x[1], x[2] = 82+l, 12+a, 8+b
		return x
	}
	heavy := difference.Weights{KL: 2, KC: 1, KH: 1}
	along := func(r *rand.Rand, p part) state { return onBorder(r, target, &p) }
	for _, shape := range []struct {
		name string
		spec func(half float64) Spec
		lot  func(r *rand.Rand, half float64, s Spec) state
	}{
		{"face of a box", func(h float64) Spec { return Spec{Limits: box(h)} }, func(_ *rand.Rand, h float64, _ Spec) state { return at(h, 0, 0) }},
		{"corner of a box", func(h float64) Spec { return Spec{Limits: box(h)} }, func(_ *rand.Rand, h float64, _ Spec) state { return at(h, h, -h) }},
		{"ΔE*ab", func(h float64) Spec { return Spec{ToleranceAB: h} }, func(r *rand.Rand, _ float64, s Spec) state { return along(r, s.parts()[0]) }},
		{"weighted ΔE00", func(h float64) Spec { return Spec{Tolerance: h, Weights: heavy} }, func(r *rand.Rand, _ float64, s Spec) state { return along(r, s.parts()[0]) }},
		{"ellipsoid", func(h float64) Spec { return Spec{Ellipsoid: ellipsoidOf(target, h)} }, func(r *rand.Rand, _ float64, s Spec) state { return along(r, s.parts()[0]) }},
		{"ΔE00 cut by a limit", func(h float64) Spec {
			return Spec{Tolerance: h, Limits: map[Quantity][2]float64{A: {12 - h/2, 12 + 9}}}
		}, func(_ *rand.Rand, h float64, _ Spec) state { return at(0, -h/2, 0) }},
	} {
		for _, ratio := range []float64{1, 2, 3, 5} {
			r := rand.New(rand.NewPCG(12, uint64(10*ratio)))
			spec := shape.spec(ratio * u)
			spec.Rule, spec.MaxRisk = Guarded, maxRisk
			c := judged{spec: spec, parts: spec.parts(), columns: columns, factor: factorOf(columns)}
			var passed, failed float64
			for range lots {
				c.middle = shape.lot(r, ratio*u, spec)
				for _, col := range columns {
					z := r.NormFloat64()
					for i := range absorbing {
						c.middle[i] += z * col.effect[i]
					}
				}
				switch c.decideBy(c.factor.probability(c.parts, &c.middle, draws)).verdict {
				case Pass:
					passed += 1.0 / lots
				case Fail:
					failed += 1.0 / lots
				}
			}
			t.Logf("%s, %g u: %.3f pass, %.3f fail", shape.name, ratio, passed, failed)
			if passed > limit || failed > limit {
				t.Errorf("%s, %g u: of the lots on the border %.3f pass and %.3f fail, more than %g", shape.name, ratio, passed, failed, maxRisk)
			}
		}
	}
}

// onBorder is onEdge for any part that grows with the distance from the target.
func onBorder(r *rand.Rand, target state, p *part) state {
	d := [absorbing]float64{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
	far := 1e-3
	move := func(by float64) state {
		x := target
		for i, v := range d {
			x[i] += by * v
		}
		return x
	}
	for x := move(far); p.value(&x) < p.upper; x = move(far) {
		far *= 2
	}
	near := far / 2
	for range 60 {
		middle := (near + far) / 2
		if x := move(middle); p.value(&x) < p.upper {
			near = middle
		} else {
			far = middle
		}
	}
	return move(near)
}

// ellipsoidOf is a region about the target whose least semi-axis is half.
func ellipsoidOf(target state, half float64) *Ellipsoid {
	e := &Ellipsoid{Lots: 30, Confidence: 0.95}
	e.Mean.L, e.Mean.A, e.Mean.B = target[0], target[1], target[2]
	s := half * half / e.Limit()
	e.Covariance = [quantities][quantities]float64{{s, 0, 0}, {0, 2 * s, 0.5 * s}, {0, 0.5 * s, 1.5 * s}}
	return e
}
