//go:build outside

package drift

import (
	"fmt"
	"os/exec"
	"strconv"
	"strings"
	"testing"
)

// TestOutsideR runs R (Debian's r-base-core) on the same readings.
func TestOutsideR(t *testing.T) {
	var table strings.Builder
	table.WriteString("lot t a\n")
	for _, p := range rReadings {
		fmt.Fprintln(&table, p.lot, p.t, p.a)
	}
	cmd := exec.CommandContext(t.Context(), "Rscript", "--vanilla", "-e", rScript)
	cmd.Stdin = strings.NewReader(table.String())
	said, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("Rscript: %v\n%s", err, said)
	}
	t.Logf("\n%s", said)
	here := ours(t)
	found := 0
	for line := range strings.Lines(string(said)) {
		words := strings.Fields(line)
		var want []float64
		for _, w := range words[1:] {
			x, err := strconv.ParseFloat(w, 64)
			if err != nil {
				t.Fatal(line)
			}
			want = append(want, x)
		}
		within(t, words[0], here[words[0]], want, rPart)
		found++
	}
	if found != len(here) {
		t.Errorf("R answered %d of %d fits", found, len(here))
	}
}
