package panel_test

import (
	"testing"

	"pourpath/colour/panel"
)

// BenchmarkAnalyse is a panel of 30 judges and 8 glasses, each with all.
func BenchmarkAnalyse(b *testing.B) {
	draw := seeded(12)
	table := panel.Table{Doses: doses(8)}
	for range 30 {
		row := make([]float64, 8)
		for g := range row {
			row[g] = float64(draw(10) - (g-4)*(g-4))
		}
		table.Answers = append(table.Answers, row)
	}
	for b.Loop() {
		if _, err := panel.Analyse(table, panel.Options{Kind: panel.Scores, From: -100, To: 100, Level: panel.DefaultLevel}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkNewServing is the largest design that is searched for.
func BenchmarkNewServing(b *testing.B) {
	for b.Loop() {
		if _, err := panel.NewServing(panel.MostGlasses, panel.MostPerJudge, panel.MostJudges, seeded(1)); err != nil {
			b.Fatal(err)
		}
	}
}
