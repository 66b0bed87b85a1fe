package reports_test

import (
	"io"
	"testing"
)

// A figure is drawn while a reader waits: tens of milliseconds as SVG.
func BenchmarkLadderFigure(b *testing.B) {
	f := realistic(b)
	for _, format := range formats {
		b.Run(format.name, func(b *testing.B) {
			for b.Loop() {
				if err := format.write(f, io.Discard); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
