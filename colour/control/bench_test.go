package control_test

import (
	"testing"

	"pourpath/colour/control"
)

const lots = 100_000

func BenchmarkIndividuals(b *testing.B) {
	values, rules := normals(seeded(20), lots, 0), append(control.Nelson(), control.EightOneSide)
	for b.Loop() {
		if _, err := control.NewIndividuals(values, control.Base{}, rules); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkIndividualsMoved has a signal at nearly every point.
func BenchmarkIndividualsMoved(b *testing.B) {
	values, rules := normals(seeded(20), lots, 1.5), append(control.Nelson(), control.EightOneSide)
	for b.Loop() {
		if _, err := control.NewIndividuals(values, known, rules); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkEWMA(b *testing.B) {
	values := normals(seeded(20), lots, 0)
	for b.Loop() {
		if _, err := control.NewEWMA(values, control.Base{}, control.DefaultLambda, control.DefaultWidth); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkT2(b *testing.B) {
	columns := correlated(seeded(20), lots)
	for b.Loop() {
		if _, err := control.NewT2(columns, control.Base{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRunPlot(b *testing.B) {
	values := normals(seeded(20), lots, 10)
	for b.Loop() {
		if _, err := control.NewRunPlot(values); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCapability(b *testing.B) {
	c, err := control.NewIndividuals(normals(seeded(20), lots, 0), control.Base{Known: &control.Level{Sigma: 10}},
		[]control.Rule{control.BeyondAction})
	if err != nil {
		b.Fatal(err)
	}
	upper := 4.0
	for b.Loop() {
		if _, err := c.Capability(control.Tolerance{Upper: &upper}); err != nil {
			b.Fatal(err)
		}
	}
}
