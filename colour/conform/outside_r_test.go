//go:build outside

package conform_test

import (
	"fmt"
	"math"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/conform"
)

// TestOutsideR holds the region of approved lots against base R: F quantiles by
// qf, T² by mahalanobis of colMeans and cov.
func TestOutsideR(t *testing.T) {
	rscript, err := exec.LookPath("Rscript")
	if err != nil {
		t.Fatal("Rscript is missing: install Debian's package r-base-core (apt-get install r-base-core)")
	}
	var script strings.Builder
	var want []string
	for n := conform.MinLots; n <= 40; n += 4 {
		var lots []cie.Lab
		var values []string
		for i := range n {
			x := float64(i)
			l, a, b := 84+math.Sin(x), 13+0.4*math.Cos(2*x)-0.5*math.Sin(x), 8+0.3*math.Sin(5*x)
			lots = append(lots, cie.Lab{L: l, A: a, B: b, View: cie.OIV()})
			values = append(values, fmt.Sprintf("%.17g,%.17g,%.17g", l, a, b))
		}
		for _, confidence := range []float64{0.5, 0.9, 0.95, 0.99, 0.9999} {
			e, err := conform.EllipsoidOf(lots, confidence)
			if err != nil {
				t.Fatal(err)
			}
			t2, err := e.T2(cie.Lab{L: 83.1, A: 13.9, B: 8.3, View: cie.OIV()})
			if err != nil {
				t.Fatal(err)
			}
			fmt.Fprintf(&script, "n <- %d; x <- matrix(c(%s), ncol=3, byrow=TRUE)\n", n, strings.Join(values, ","))
			fmt.Fprintf(&script, "cat(sprintf('%%.17g %%.17g\\n', 3*(n+1)*(n-1)/(n*(n-3))*qf(%g,3,n-3), mahalanobis(c(83.1,13.9,8.3), colMeans(x), cov(x))))\n", confidence)
			want = append(want, fmt.Sprintf("%.17g %.17g", e.Limit(), t2))
		}
	}
	run := exec.Command(rscript, "--vanilla", "-")
	run.Stdin = strings.NewReader(script.String())
	out, err := run.Output()
	if err != nil {
		t.Fatalf("Rscript: %v", err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	if len(lines) != len(want) {
		t.Fatalf("R answered %d lines, want %d", len(lines), len(want))
	}
	var worst float64
	for i, line := range lines {
		theirs, ours := strings.Fields(line), strings.Fields(want[i])
		for k := range ours {
			r, errR := strconv.ParseFloat(theirs[k], 64)
			p, errP := strconv.ParseFloat(ours[k], 64)
			gap := math.Abs(p-r) / r
			if errR != nil || errP != nil || !(gap <= 1e-8) {
				t.Errorf("line %d: %s, R %s", i, want[i], line)
			}
			worst = max(worst, gap)
		}
	}
	t.Logf("%d regions: largest relative difference %.2g", len(lines), worst)
}
