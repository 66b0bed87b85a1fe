package drift

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pourpath/colour"
	"pourpath/colour/blend"
	"pourpath/colour/cie"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

func learnt(t testing.TB, k float64) *Class {
	t.Helper()
	m, err := Learn(rosé(k).observe(rand.New(rand.NewPCG(1, 1))))
	if err != nil || m.Classes[0].Unknown != "" {
		t.Fatal(err, m)
	}
	return &m.Classes[0]
}

// TestTooFew: each class says why nothing is known, and gives nothing.
func TestTooFew(t *testing.T) {
	full := rosé(0).observe(rand.New(rand.NewPCG(1, 1)))
	keep := func(ok func(Observation) bool) []Observation {
		return slices.DeleteFunc(slices.Clone(full), func(o Observation) bool { return !ok(o) })
	}
	noisy := rosé(0)
	noisy.lots, noisy.noise = 3, 0.07
	apart := keep(func(o Observation) bool { return o.Lot < " lot 2" })
	for i := range apart {
		if apart[i].Lot == " lot 1" {
			apart[i].A520 = full[0].A520 * (1 + 0.001*apart[i].Days)
		}
	}
	for _, c := range []struct {
		name string
		obs  []Observation
		want string
	}{
		{"one lot", keep(func(o Observation) bool { return o.Lot == " lot 1" }), "1 lot was read"},
		{"two days each", keep(func(o Observation) bool { return o.Days == 0 || o.Days == 365 }), "0 lots were read"},
		{"one day each", keep(func(o Observation) bool { return o.Days == 0 }), "0 lots were read"},
		{"three days within a month", func() []Observation {
			obs := keep(func(o Observation) bool { return o.Days <= 60 })
			for i := range obs {
				obs[i].Days /= 3
			}
			return obs
		}(), "at least 30 days"},
		{"all noise", noisy.observe(rand.New(rand.NewPCG(2, 2))), "says nothing"},
		{"two lots that differ", apart, "a third would tell"},
	} {
		m, err := Learn(c.obs)
		if err != nil {
			t.Fatal(c.name, err)
		}
		class := &m.Classes[0]
		if !strings.Contains(class.Unknown, c.want) {
			t.Errorf("%s: unknown because %q, want %q", c.name, class.Unknown, c.want)
		}
		if class.Bands != [3]Band{} {
			t.Errorf("%s: bands are given all the same", c.name)
		}
		if _, err := class.After(Reading{0.4, 0.5, 0.2, 0.002, 0.002, 0.002}, 0, 30); !errors.Is(err, ErrUnknown) {
			t.Errorf("%s: a forecast gave error %v", c.name, err)
		}
	}
}

func TestBadInput(t *testing.T) {
	good := Reading{0.4, 0.5, 0.2, 0.002, 0.002, 0.002}
	_, err := Learn([]Observation{
		{"a", "", 0, good},
		{"", "", -1, good},
		{"a", "", math.NaN(), Reading{math.Inf(1), 0.5, 0.2, 0, 0.002, 0.002}},
	})
	for _, want := range []string{"observations/1/lot", "observations/1/days", "observations/2/days", "observations/2/a420", "observations/2/u420"} {
		if err == nil || !strings.Contains(err.Error(), want+": ") {
			t.Errorf("no fault at %s in %v", want, err)
		}
	}
	c := learnt(t, 0)
	at := func(err error) string {
		var faults colour.FieldErrors
		if !errors.As(err, &faults) {
			return ""
		}
		return faults[0].Field
	}
	for _, q := range []struct {
		from, to float64
		want     string
	}{{0, 548, "to_days"}, {100, 99, "to_days"}, {-1, 100, "from_days"}, {0, 547, ""}} {
		f, err := c.After(good, q.from, q.to)
		if at(err) != q.want {
			t.Errorf("from %g to %g: %v", q.from, q.to, err)
		}
		if q.to == 547 && !slices.ContainsFunc(f.Warnings, func(w colour.Warning) bool { return w.Code == "drift_extrapolated" }) {
			t.Error("no warning beyond the last day")
		}
	}
	zero := good
	zero.A520 = 0
	if _, err := c.After(zero, 0, 30); at(err) != "a520" {
		t.Error("a share of nothing was taken:", err)
	}
	for want, l := range map[string]Limits{
		"limits":      {},
		"limits/a520": {Within: map[Quantity][2]float64{A520: {1, 0}}},
		"limits/x":    {Within: map[Quantity][2]float64{"x": {0, 1}}},
		"view":        {Within: map[Quantity][2]float64{L: {0, 80}}},
		"reference":   {Within: map[Quantity][2]float64{DeltaE00: {0, 2}}, View: cie.OIV()},
	} {
		if _, err := c.LeavingLimits(Lot{Reading: good}, l); at(err) != want {
			t.Errorf("want a fault at %s, got %v", want, err)
		}
	}
}

// TestAimReturns: a lot at the aim today is expected at the target on the day.
func TestAimReturns(t *testing.T) {
	for _, k := range []float64{0, 0.008} {
		c := learnt(t, k)
		target := Reading{0.45, 0.6, 0.25, 1e-9, 1e-9, 1e-9}
		aim, err := c.Aim(target, 10, 200)
		if err != nil {
			t.Fatal(err)
		}
		if !(aim.A[1].Lower > 0.6 && aim.A[0].Value < 0.45) {
			t.Errorf("aim %+v: A520 falls and A420 rises, so aim redder", aim.A)
		}
		then, err := c.After(certain([3]float64{aim.A[0].Value, aim.A[1].Value, aim.A[2].Value}), 10, 200)
		if err != nil {
			t.Fatal(err)
		}
		a, _ := target.values()
		for b := range bands {
			if math.Abs(then.A[b].Value-a[b]) > 1e-12 {
				t.Errorf("%d nm: %g comes back as %g", NMs()[b], a[b], then.A[b].Value)
			}
		}
	}
}

func pathOf(t testing.TB) *blend.Path {
	t.Helper()
	read := func(r reading.Readings) spectrum.Wine {
		w, err := spectrum.FromReadings(r)
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	return blend.NewPath(
		read(reading.Readings{Cell: reading.Cell{PathMM: 10, Dilution: 1}, A420: 0.10, A520: 0.03, A620: 0.01, UAbsorbance: 0.002}),
		read(reading.Readings{Cell: reading.Cell{PathMM: 1, Dilution: 1}, A420: 0.35, A520: 0.5, A620: 0.12, UAbsorbance: 0.002}))
}

// TestAimDose: more red is poured, and the blend so poured has the target's colour on the
// day of release.
func TestAimDose(t *testing.T) {
	c, p := learnt(t, 0), pathOf(t)
	goal := p.At(10)
	gc, err := goal.Colour(cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	i := goal.Indices()
	for name, target := range map[string]blend.Target{"colour": {Lab: &gc.Lab}, "intensity": {Intensity: &i.Intensity, Tint: &i.Tint}} {
		aim, err := c.AimDose(p, target, cie.OIV(), 40, 0, 180)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(aim.WithoutDrift)-10) > 0.01 || !(aim.MoreInterval95[0] < aim.More && aim.More < aim.MoreInterval95[1]) {
			t.Errorf("%s: %+v", name, aim)
		}
		if aim.Interval95 == nil || aim.Interval95[0] > float64(aim.Dose) || aim.Interval95[1] < float64(aim.Dose) {
			t.Errorf("%s: interval %v about %g", name, aim.Interval95, aim.Dose)
		}
		then := spectrum.IndicesOf(aim.AtRelease.A[0].Value, aim.AtRelease.A[1].Value, aim.AtRelease.A[2].Value)
		t.Logf("%s: %.2f, %.2f [%.2f, %.2f] more; intensity %.3f today, %.3f then, wanted %.3f", name, aim.WithoutDrift, aim.More,
			aim.MoreInterval95[0], aim.MoreInterval95[1], aim.Today[0]+aim.Today[1]+aim.Today[2], then.Intensity, i.Intensity)
		if name == "colour" && !(aim.More > 0.3) {
			t.Errorf("red fades by a tenth, and the dose is %g more only", aim.More)
		}
		if name == "intensity" && math.Abs(then.Intensity/i.Intensity-1) > 1e-3 {
			t.Errorf("intensity %g, want %g", then.Intensity, i.Intensity)
		}
	}
}

// TestReachInWholeDays: what is refused names whole days, each within what is known.
func TestReachInWholeDays(t *testing.T) {
	c := *learnt(t, 0)
	c.FirstDay, c.LastDay = 60.0625, 90.4
	for want, days := range map[string][2]float64{
		"lots were observed until day 90: a prediction is made until day 135 at most":                                               {60, 500},
		"no lot was read before day 60, and the first days are often the fastest: a prediction can start on day 15 at the earliest": {2, 90},
	} {
		if _, err := c.reach(days[0], days[1]); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("from day %g to %g: %v, want %q", days[0], days[1], err, want)
		}
	}
}
