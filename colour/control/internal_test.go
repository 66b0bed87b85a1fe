package control

import (
	"math"
	"testing"
)

func agrees(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.7g, want %.7g ± %g", what, got, want, within)
	}
}

// TestFactors derives the factors of the tables from the normal distribution.
func TestFactors(t *testing.T) {
	exact := 2 / math.SqrtPi
	agrees(t, "d2", d2, exact, 0.0005)
	agrees(t, "D4", d4, 1+3*math.Sqrt(2-4/math.Pi)/exact, 0.0005)
	// E2 of ISO7870-2 and NIST 6.3.2.2, from memory.
	agrees(t, "E2", actionSigmas/d2, 2.660, 0.0005)
	agrees(t, "false alarms of T²", FalseAlarms, math.Erfc(3/math.Sqrt2), 5e-6)
}

// TestWorkedCapabilities has NIST 6.1.6's example (limits 8 and 20, mean 16,
// standard deviation 2) and two of Montgomery, Introduction to Statistical
// Quality Control, chapter 8 (20 pieces; limits 38 and 62, s 1.75; and Cpk
// 1.33), all from memory.
func TestWorkedCapabilities(t *testing.T) {
	lower, upper := 8.0, 20.0
	p, k := Tolerance{&lower, &upper}.indices(16, 2, 50, 49)
	agrees(t, "Cp", p.Value, 1.0, 1e-12)
	agrees(t, "Cpk", k.Value, 0.6667, 5e-5)
	_, k = Tolerance{Lower: &lower}.indices(16, 2, 50, 49)
	agrees(t, "Cpl", k.Value, 1.3333, 5e-5)

	lower, upper = 38, 62
	p, _ = Tolerance{&lower, &upper}.indices(50, 1.75, 20, 19)
	agrees(t, "Cp", p.Value, 2.29, 0.005)
	agrees(t, "Cp, lower", p.Lower, 1.57, 0.0055) // from 2.29 and 8.91 as rounded
	agrees(t, "Cp, upper", p.Upper, 3.01, 0.0055)
	k = nearInterval(1.33, 20, 19)
	agrees(t, "Cpk, lower", k.Lower, 0.88, 0.005)
	agrees(t, "Cpk, upper", k.Upper, 1.78, 0.005)
}

// TestChiSquare has sqrt(qchisq(c(.025,.975), nu)/nu) of R 4.2.2.
func TestChiSquare(t *testing.T) {
	for nu, want := range map[float64][2]float64{
		14.8: {0.6438087256, 1.356056097}, 24: {0.7188286252, 1.280691171},
		99: {0.8608257733, 1.138943284}, 99999: {0.9956172404, 1.004382495},
	} {
		got := interval(1, nu)
		agrees(t, "lower", got.Lower, want[0], 1e-9)
		agrees(t, "upper", got.Upper, want[1], 1e-9)
	}
}

// TestT2Limits has qbeta and qf of R 4.2.2.
func TestT2Limits(t *testing.T) {
	for _, c := range []struct {
		n, p          int
		base, further float64
	}{{15, 2, 8.19072195, 22.1630495}, {25, 3, 11.12656458, 21.91251725}, {100, 3, 13.3739732, 15.62604035}, {1000, 5, 18.08506243, 18.43701963}} {
		agrees(t, "base", baseT2Limit(c.n, c.p), c.base, 1e-7)
		agrees(t, "further", furtherT2Limit(c.n, c.p), c.further, 1e-7)
	}
}

// TestAndersonDarlingTable has the critical values of Stephens, case 3
// (D'Agostino, Stephens, 1986, table 4.7, from memory), and looks that the
// pieces of the function meet.
func TestAndersonDarlingTable(t *testing.T) {
	for a, p := range map[float64]float64{0.631: 0.10, 0.752: 0.05, 0.873: 0.025, 1.035: 0.01} {
		agrees(t, "p", andersonDarlingP(a), p, p/50)
	}
	for a := 0.01; a < 200; a += 0.01 {
		if was, is := andersonDarlingP(a-0.01), andersonDarlingP(a); is > was+1e-3 || is < 0 || is > 1 {
			t.Fatalf("p falls from %g to %g at %g", was, is, a)
		}
	}
}

// TestLogBelow has pnorm(c(-1, -30.5, -40), log.p=TRUE) of R 4.2.2.
func TestLogBelow(t *testing.T) {
	for z, want := range map[float64]float64{-1: -1.84102164501, -30.5: -469.462737323, -40: -804.608442014} {
		agrees(t, "log", logBelow(z), want, 0.002)
	}
	agrees(t, "joint", logBelow(-30.0000001), logBelow(-29.9999999), 0.002)
}

// TestRangeDegrees: about 0.605 for each point (Cryer, Ryan, 1990, from memory).
func TestRangeDegrees(t *testing.T) {
	agrees(t, "for each point", rangeDegrees(100_000)/100_000, 0.605, 0.0005)
	agrees(t, "of two points", rangeDegrees(2), 2/math.Pi/(2-4/math.Pi), 1e-12)
}
