package sheet

import "iter"

// Visual is visual, for the tests.
var Visual = visual

// Lines are the lines of a text in the body's type, each with its width, for the
// tests.
func Lines(text string, width float64) iter.Seq2[string, float64] {
	return func(yield func(string, float64) bool) {
		m := newMetrics()
		for _, line := range m.wrap(text, regular, bodySize, width) {
			if !yield(line, m.width(line, regular, bodySize)) {
				return
			}
		}
	}
}
