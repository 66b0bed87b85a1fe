package sheet_test

import (
	"io"
	"testing"
)

// A report of three pages, with its figure, is written while a reader waits.
func BenchmarkTrial(b *testing.B) {
	r := trial(b)
	if n := len(pagesOf(b, pdfOf(b, r))); n != 3 {
		b.Fatalf("the report has %d pages: want 3", n)
	}
	b.Run("pdf", func(b *testing.B) {
		for b.Loop() {
			if err := r.WritePDF(io.Discard, nil); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("html", func(b *testing.B) {
		for b.Loop() {
			if err := r.WriteHTML(io.Discard, nil, styleAddress); err != nil {
				b.Fatal(err)
			}
		}
	})
}
