package panel

import (
	"math"
	"testing"
)

// complete is a panel in which each judge has all glasses and finds none alike.
func complete(judges, glasses int) judged {
	j := judged{doses: make([]float64, glasses), count: affordable, simulate: Simulated}
	for g := range glasses {
		j.doses[g] = float64(g)
	}
	for row := range judges {
		j.blocks = append(j.blocks, block{row, identity(glasses), nil})
	}
	return j.untied()
}

// TestFriedmanTables has probabilities of Friedman's exact tables (Friedman 1937,
// tables V and VI, as in Siegel, Nonparametric Statistics, 1956, table N;
// from memory).
func TestFriedmanTables(t *testing.T) {
	for _, c := range []struct {
		judges, glasses int
		statistic, p    float64
		within          float64
	}{
		{2, 3, 4, 0.167, 5e-4}, {2, 3, 3, 0.5, 5e-4},
		{3, 3, 6, 0.028, 5e-4}, {3, 3, 4.667, 0.194, 5e-4}, {3, 3, 2.667, 0.361, 5e-4}, {3, 3, 2, 0.528, 5e-4},
		{4, 3, 8, 0.0046, 5e-5}, {4, 3, 6.5, 0.042, 5e-4}, {4, 3, 6, 0.069, 5e-4}, {4, 3, 4.5, 0.125, 5e-4},
		{5, 3, 10, 0.00077, 5e-6}, {5, 3, 8.4, 0.0085, 5e-5}, {5, 3, 7.6, 0.024, 5e-4}, {5, 3, 6.4, 0.039, 5e-4},
		{6, 3, 12, 0.00013, 5e-6}, {6, 3, 9.33, 0.0055, 5e-5}, {6, 3, 7, 0.029, 5e-4}, {6, 3, 6.33, 0.052, 5e-4},
		{8, 3, 9, 0.0099, 5e-5}, {8, 3, 6.25, 0.047, 5e-4}, {9, 3, 6.222, 0.048, 5e-4},
		{2, 4, 6, 0.042, 5e-4}, {2, 4, 5.4, 0.167, 5e-4},
		{3, 4, 9, 0.0017, 5e-5}, {3, 4, 8.2, 0.017, 5e-4}, {3, 4, 7.4, 0.033, 5e-4}, {3, 4, 7, 0.054, 5e-4},
		{4, 4, 11.1, 0.00094, 5e-6}, {4, 4, 9.6, 0.0069, 5e-5}, {4, 4, 7.8, 0.036, 5e-4}, {4, 4, 7.5, 0.052, 5e-4},
	} {
		j := complete(c.judges, c.glasses)
		null := differenceNull(j, newQuadratic(j))
		if null.by != ByExact {
			t.Errorf("%+v: by %s", c, null.by)
		}
		if got := null.p(c.statistic - 0.006); math.Abs(got-c.p) > c.within { // tables round the statistic
			t.Errorf("%+v: %.6f", c, got)
		}
	}
}

// TestPageTable has Page's critical values of L at one-sided 0.05 and 0.01 (Page
// 1963, table 2, from memory): L is at or below the level, L-1 is not. Page has
// the larger panels by the normal distribution: for 10 judges and 7 or 8 glasses
// his values are at 0.05001 and 0.05027, one below the exact ones.
func TestPageTable(t *testing.T) {
	table := map[float64]map[int][]float64{ // glasses to L for 2, 3, 4 ... judges
		0.05: {
			3: {28, 41, 54, 66, 79, 91, 104, 116, 128},
			4: {58, 84, 111, 137, 163, 189, 214, 240, 266},
			5: {103, 150, 197, 244, 291, 338, 384, 431, 477},
			6: {166, 244, 321, 397, 474, 550, 625, 701, 777},
			7: {252, 370, 487, 603, 719, 835, 950, 1065, 1180},
			8: {362, 532, 701, 869, 1037, 1204, 1371, 1537, 1703},
		},
		0.01: {
			3: {math.NaN(), 42, 55, 68, 81, 93, 106, 119, 131},
			4: {60, 87, 114, 141, 167, 193, 220, 246, 272},
			5: {106, 155, 204, 251, 299, 346, 393, 441, 487},
		},
	}
	normal := map[[2]int]bool{{10, 7}: true, {10, 8}: true}
	for level, rows := range table {
		for glasses, critical := range rows {
			for i, want := range critical {
				j := complete(i+2, glasses)
				up := pageNull(j, twiceRanks(j.doses)).up
				if up.by != ByExact {
					t.Fatalf("%d judges, %d glasses: by %s", i+2, glasses, up.by)
				}
				got, ok := up.critical(level)
				if normal[[2]int{i + 2, glasses}] {
					if p := up.p(want); p < level || p > level+0.0005 {
						t.Errorf("%d judges, %d glasses: p of %g is %.5f", i+2, glasses, want, p)
					}
					want++
				}
				if math.IsNaN(want) {
					if ok {
						t.Errorf("%d judges, %d glasses, level %g: L %g, the table has none", i+2, glasses, level, got)
					}
				} else if got != want {
					t.Errorf("%d judges, %d glasses, level %g: L %g (p %.5f; below %.5f), the table has %g", i+2, glasses, level, got, up.p(got), up.p(got-1), want)
				}
			}
		}
	}
}
