package control_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pourpath/colour"
	"pourpath/colour/control"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.6g, want %.6g ± %g", what, got, want, within)
	}
}

// flow is NIST 6.3.2.2's example, ten batches; values and results from memory.
func flow() []float64 {
	return []float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1}
}

func TestNISTIndividuals(t *testing.T) {
	c, err := control.NewIndividuals(flow(), control.Base{}, control.WesternElectric())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "centre", c.Level.Centre, 50.81, 5e-5)
	near(t, "mean range", c.Ranges.Centre, 1.8778, 5e-5)
	near(t, "upper limit", c.Limits.UpperAction, 55.8041, 1.01e-4) // computed from 1.8778 as rounded
	near(t, "lower limit", c.Limits.LowerAction, 45.8159, 1.01e-4)
	near(t, "upper limit of ranges", c.Ranges.UpperAction, 3.267*1.8778, 2e-4)
	if len(c.Signals) != 0 || len(c.Ranges.Signals) != 0 {
		t.Errorf("signals %v %v; published: in control", c.Signals, c.Ranges.Signals)
	}
}

// TestNISTEWMA is NIST 6.3.2.4's example: twenty values, centre 50, s 2.0539,
// lambda 0.3, three standard deviations; values and results as quoted from that
// page. Its limits are at their final width, from a factor rounded to 0.4201;
// the exact ones reach it at the end.
func TestNISTEWMA(t *testing.T) {
	values := append([]float64{52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5}, flow()...)
	averages := []float64{
		50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33,
		50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
	}
	c, err := control.NewEWMA(values, control.Base{Known: &control.Level{Centre: 50, Sigma: 2.0539}}, 0.3, 3)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range averages {
		// Published ones are each computed from the rounded one before.
		near(t, "average", c.Averages[i], want, 0.0151)
	}
	near(t, "upper limit", c.Upper[19], 52.5884, 5e-4)
	near(t, "lower limit", c.Lower[19], 47.4115, 5e-4)
	near(t, "first upper limit", c.Upper[0], 50+3*0.3*2.0539, 1e-9)
	if len(c.Signals) != 0 {
		t.Errorf("signals %v; published: in control", c.Signals)
	}
}

// stackLoss is the first three columns of R's data set stackloss (Brownlee,
// Statistical Theory and Methodology in Science and Engineering, 1960).
func stackLoss() []control.Column {
	return []control.Column{
		{Name: "air flow", Values: []float64{80, 80, 75, 62, 62, 62, 62, 62, 58, 58, 58, 58, 58, 58, 50, 50, 50, 50, 50, 56, 70}},
		{Name: "water", Values: []float64{27, 27, 25, 24, 22, 23, 24, 24, 23, 18, 18, 17, 18, 19, 18, 18, 19, 19, 20, 20, 20}},
		{Name: "acid", Values: []float64{89, 88, 90, 87, 87, 87, 93, 93, 87, 80, 89, 88, 82, 93, 89, 86, 72, 79, 80, 82, 91}},
	}
}

// TestRStackLoss has T² by mahalanobis(X, colMeans(X), cov(X)) and the limits by
// qbeta and qf of R 4.2.2.
func TestRStackLoss(t *testing.T) {
	for _, c := range []struct {
		first         int
		base, further float64
		values        []float64
		signals       []int
	}{
		{21, 10.58286209, 24.16353012, []float64{
			5.078728426, 5.404438216, 2.539919156, 1.617723909, 0.09202563964, 0.5973662902, 3.432354238,
			3.432354238, 1.851291739, 3.04850429, 2.148282743, 3.391138354, 2.198248235, 3.164076598,
			2.856916314, 1.669093083, 7.290089005, 2.25947354, 2.538351632, 0.6513360511, 4.738288302,
		}, nil},
		{15, 9.279165491, 31.67820931, []float64{
			3.984107109, 4.056699342, 2.380844271, 2.24904012, 0.2488478668, 0.9573931091, 2.484855732,
			2.484855732, 2.964419885, 5.121697225, 2.160543533, 3.358835909, 3.200388668, 3.910270672,
			2.437200826, 2.506442144, 26.75478218, 10.56827546, 11.02112403, 3.956042481, 7.488088522,
		}, nil},
	} {
		got, err := control.NewT2(stackLoss(), control.Base{First: c.first})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "base limit", got.BaseLimit, c.base, 1e-8)
		near(t, "further limit", got.FurtherLimit, c.further, 1e-7)
		for i, want := range c.values {
			near(t, "T²", got.Values[i], want, 1e-8*max(1, want))
		}
		if len(got.Signals) != 0 {
			t.Errorf("signals %v", got.Signals)
		}
		// The columns fall all the way: the base is not of one level.
		if !hasWarning(got.Warnings, "base_shifts") {
			t.Error("no word of the base's shift")
		}
	}
}

// nile is the years 1899-1970 of R's data set Nile (Cobb, Biometrika 65 (1978)
// 243), after its known step.
func nile() []float64 {
	return []float64{
		774, 840, 874, 694, 940, 833, 701, 916, 692, 1020, 1050, 969, 831, 726, 456, 824, 702, 1120,
		1100, 832, 764, 821, 768, 845, 864, 862, 698, 845, 744, 796, 1040, 759, 781, 865, 845, 944,
		984, 897, 822, 1010, 771, 676, 649, 846, 812, 742, 801, 1040, 860, 874, 848, 890, 744, 749,
		838, 1050, 918, 986, 797, 923, 975, 815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740,
	}
}

// TestRNile has capabilities by mean, sd, qchisq and qnorm of R 4.2.2, with
// limits 400 and 1300, and the statistic of Anderson and Darling by its pnorm.
func TestRNile(t *testing.T) {
	lower, upper := 400.0, 1300.0
	both := control.Tolerance{Lower: &lower, Upper: &upper}
	c, err := control.NewIndividuals(nile(), control.Base{}, []control.Rule{control.BeyondAction})
	if err != nil {
		t.Fatal(err)
	}
	// The dry year 1913 is beyond three sigma: no capability.
	var unstable *control.UnstableError
	if _, err := c.Capability(both); !errors.As(err, &unstable) || len(unstable.Signals) != 1 || unstable.Signals[0].At != 14 {
		t.Fatalf("capability of an unsteady process: %v", err)
	}
	// By a rule that the series keeps, there is one.
	c, err = control.NewIndividuals(nile(), control.Base{}, []control.Rule{control.FifteenNear})
	if err != nil {
		t.Fatal(err)
	}
	got, err := c.Capability(both)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mean", got.Mean, 849.9722222, 1e-6)
	near(t, "within", got.Within, 113.0506443, 1e-6)
	near(t, "overall", got.Overall, 124.7764166, 1e-6)
	index := func(what string, got control.Index, want ...float64) {
		near(t, what, got.Value, want[0], 1e-8)
		near(t, what+", lower", got.Lower, want[1], 1e-8)
		near(t, what+", upper", got.Upper, want[2], 1e-8)
	}
	index("Pp", *got.Pp, 1.202150246, 1.004699244, 1.399238065)
	index("Ppk", got.Ppk, 1.20207604, 0.9898998826, 1.414252197)
	near(t, "Cp", got.Cp.Value, 1.326838966, 1e-8)
	near(t, "Cpk", got.Cpk.Value, 1.326757063, 1e-8)
	near(t, "Anderson-Darling", got.Normality.Statistic, 0.4762032889, 1e-8)
	if hasWarning(got.Warnings, "not_normal") {
		t.Errorf("p %g, yet a warning", got.Normality.P)
	}
	one, err := c.Capability(control.Tolerance{Lower: &lower})
	if err != nil || one.Cp != nil || one.Pp != nil {
		t.Errorf("one limit: %+v, %v", one, err)
	}
	near(t, "Ppk below", one.Ppk.Value, (got.Mean-lower)/(3*got.Overall), 1e-12)
}

func hasWarning(warnings []colour.Warning, code string) bool {
	return slices.ContainsFunc(warnings, func(w colour.Warning) bool { return w.Code == code })
}
