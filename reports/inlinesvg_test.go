package reports_test

import (
	"bytes"
	"testing"

	"pourpath/reports"
)

// A figure inside a page has no style that the page's policy would hold back,
// and still the paint of the figure by itself.
func TestInlineSVG(t *testing.T) {
	f := realistic(t)
	f.Title = `one style="fill:red" <svg`
	inline := drawn(t, f, reports.LadderFigure.WriteInlineSVG)
	if !bytes.HasPrefix(inline, []byte("<svg ")) || bytes.Contains(inline, []byte(` style="`)) {
		t.Errorf("begins %.60q", inline)
	}
	whole := drawn(t, f, reports.LadderFigure.WriteSVG)
	for _, paint := range []string{"#22262B", "stroke-dasharray", "Liberation Sans"} {
		if n := bytes.Count(whole, []byte(paint)); n == 0 || bytes.Count(inline, []byte(paint)) != n {
			t.Errorf("%s: %d times: want %d as in the figure", paint, bytes.Count(inline, []byte(paint)), n)
		}
	}
	checkSVG(t, inline)
}
