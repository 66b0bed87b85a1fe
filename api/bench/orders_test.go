package bench_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pourpath/api/calc"
	"pourpath/api/record"
)

func TestOrderIsTheScale(t *testing.T) {
	p := newPrinter(t)
	id := p.begin(`{"base": ` + white + `, "addition": ` + red + `, ` + aim + kit + around + `}`)
	_, err := p.order(id, `{"base_l": 1000}`)
	refusedAt(t, err, "", "no dose is chosen yet")
	add[record.ChoiceBody](p, id, `{"dose_ml_per_100ml": 0, "reasons": "none is best"}`)
	_, err = p.order(id, `{"base_l": 1000}`)
	refusedAt(t, err, "", "nothing to add")
	add[record.ChoiceBody](p, id, `{"dose_ml_per_100ml": 6, "reasons": "closest"}`)
	_, err = p.order(id, `{"base_l": 1000, "blend_l": 1000}`)
	if calc.AsProblem(err) == nil {
		t.Errorf("two sizes: %v", err)
	}
	_, err = p.order(id, `{}`)
	if calc.AsProblem(err) == nil {
		t.Errorf("no size: %v", err)
	}
	body := `{"blend_l": 1060, "loss_percent": 2, "stock": {"base_l": 2000, "addition_l": 50}, "first_percent": 80,
		"measuring": {"base_graduation_l": 10, "addition_graduation_ml": 500, "base_u_percent": 0.6, "heel_l": 3}, "vessel": "Tank 7", "base_lot": "W-26"}`
	o := p.mustOrder(id, body)
	ask, err := calc.Decode[calc.ScaleRequest]([]byte(`{"dose_ml_per_100ml": 6, "blend_l": 1060, "loss_percent": 2, "stock": {"base_l": 2000, "addition_l": 50}, "first_percent": 80,
		"measuring": {"base_graduation_l": 10, "addition_graduation_ml": 500, "base_u_percent": 0.6, "heel_l": 3}, "base": ` + white + `, "addition": ` + red + `}`))
	if err != nil {
		t.Fatal(err)
	}
	want, err := calc.Scale(ask)
	if err != nil {
		t.Fatal(err)
	}
	v := o.Volumes
	near(t, "base", v.Vessels[0].BaseL, want.BaseL)
	near(t, "the other way", v.Vessels[0].Otherwise.AdditionL, want.OtherConvention.AdditionL)
	near(t, "to measure out", v.Rounded.AdditionL, want.Rounded.AdditionL)
	near(t, "its first part", v.Rounded.FirstL, want.Rounded.FirstAdditionL)
	near(t, "the rounding's ΔE00", *v.Rounded.DeltaE00, *want.Rounded.DeltaE00)
	near(t, "the gauge", v.Gauge.DoseU, want.Delivery.UDose)
	near(t, "needed", v.Stocks[1].NeededL, want.PourL)
	// 1060 / 0.98 / 1.06 = 1020.4 L of base, which take 61.2 L; 3 L more fill the line.
	wants(t, saysOf(t, o), "Tank 7 BLEND-LED, this order: 1060 L of finished blend", "1020.41", "61.22", "Base-led, NOT this order", "Lot W-26", "80 % of the addition",
		"Young red 50.00 64.22", "14.22", "is 14.22 L short", "Signed", "Carbon dioxide", "US gal", "Imperial gal", "At the chosen dose")
	bottles := p.mustOrder(id, `{"bottles": {"count": 600, "ml": 750}}`)
	near(t, "base for bottles", bottles.Volumes.Vessels[0].BaseL, 450/1.06)
	two := p.mustOrder(id, `{"vessels": [{"name": "Carboy", "count": 3, "blend_l": 54}, {"base_l": 20}]}`)
	near(t, "a carboy", two.Volumes.Vessels[0].BaseL, 54/1.06)
	near(t, "a keg", two.Volumes.Vessels[1].AdditionL, 1.2)
	wants(t, saysOf(t, bottles), "600 bottles of 750 mL BLEND-LED, this order: 450 L")
	wants(t, saysOf(t, two), "3 × Carboy, each", "Vessel 2", "All 4 vessels together")
}

// The trim is that of /v1/trim for the chosen dose's own colour.
func TestOrderTrims(t *testing.T) {
	p := newPrinter(t)
	id := p.begin(`{"base": ` + white + `, "addition": ` + red + `, ` + aim + kit + around + `}`)
	p.pour(id, `"glass": "B", "volume_ml": 6`)
	glass := `{"readings": {"a420": 0.196, "a520": 0.216, "a620": 0.043}}`
	add[record.MeasurementBody](p, id, `{"glass": "B", "readings": {"a420": 0.196, "a520": 0.216, "a620": 0.043}}`)
	add[record.ChoiceBody](p, id, `{"glass": "B", "reasons": "closest"}`)
	sample := `{"readings": {"a420": 0.185, "a520": 0.198, "a620": 0.040}}`
	trim := func(tank, top, more string) string {
		return `{"base_l": 1000, "trim": {"tank": ` + tank + `, "top": ` + top + `, "bottom": ` + sample + more + `}}`
	}
	const tank = `{"base_l": 1000, "poured_l": 54}`
	o := p.mustOrder(id, trim(tank, sample, ""))
	answer, err := p.Trial(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	u := answer.Measurements[0].UDose
	ask, err := calc.Decode[calc.TrimRequest]([]byte(fmt.Sprintf(`{"base": %s, "addition": %s, "measured": [{"dose_ml": 6, "wine": %s}], "tank": %s, "top": %s, "bottom": %s,
		"target": {"wine": %s, "tolerance": {"delta_e_00": 3}}}`, white, red, glass, tank, sample, sample, glass)))
	if err != nil {
		t.Fatal(err)
	}
	want, err := calc.Trim(ask)
	if err != nil {
		t.Fatal(err)
	}
	if k := o.Trim; math.Abs(k.AdditionL-want.Trim.AdditionL) > 0.05*want.Trim.AdditionL || k.Passed || k.Interval95 == nil { // the rung's dose is known as the syringe has it, here u
		t.Errorf("trim %+v (rung ± %g), /v1/trim without the tool %+v", k, u, want.Trim)
	}
	wants(t, saysOf(t, o), "Aims at the chosen dose as glass B was read (entry 2)", "The tank has", "95 % interval")

	add[record.FinalCheckBody](p, id, `{"volume_ml": 250, "readings": {"a420": 0.196, "a520": 0.216, "a620": 0.043}}`)
	wants(t, p.mustOrder(id, trim(tank, sample, "")).Trim.Aim, "the final check")
	given := p.mustOrder(id, trim(tank, sample, `, "target": {"cielab": {"L": 93, "a": 7, "b": 5}}`))
	if !given.Trim.Passed || given.Trim.BackL == nil || given.Trim.Aim != "the target that was asked for" {
		t.Errorf("a paler target: %+v", given.Trim)
	}
	wants(t, saysOf(t, given), "The target was passed: add nothing more.", "Base that brings it back")
	layered := p.mustOrder(id, trim(tank, `{"readings": {"a420": 0.12, "a520": 0.08, "a620": 0.02}}`, ""))
	if !layered.Trim.NotMixed {
		t.Errorf("a tank in layers: %+v", layered.Trim)
	}
	wants(t, saysOf(t, layered), "the tank is not mixed, so no trim is given")
	_, err = p.order(id, trim(`{"base_l": 1000, "poured_l": 54, "room_l": 0.5}`, sample, ""))
	refusedAt(t, err, "/trim/tank/room_l", "")
	_, err = p.order(id, trim(tank, `{"readings": {"a420": 9, "a520": 0.08, "a620": 0.02}}`, ""))
	refusedAt(t, err, "/trim/top/readings/a420", "")
	_, err = p.order(id, trim(tank, `{"id": "none"}`, ""))
	refusedAt(t, err, "/trim/top/id", "none is stored")

	add[record.ChoiceBody](p, id, `{"dose_ml_per_100ml": 6.4, "reasons": "a little more"}`)
	wants(t, p.mustOrder(id, trim(tank, sample, "")).Trim.Aim, "as it is predicted")
}

// TestOrderOffTarget: an order for a dose outside the tolerance of the target says so,
// one for a dose inside or without a tolerance does not.
func TestOrderOffTarget(t *testing.T) {
	const warning = "outside the tolerance of the trial's target"
	p := newPrinter(t)
	for _, c := range []struct {
		target string
		dose   float64
		warned bool
	}{
		{`"tolerance": {"delta_e_00": 2}`, 6, false}, {`"tolerance": {"delta_e_00": 2}`, 12, true}, {``, 12, false},
	} {
		target := `"target": {"cielab": {"L": 86, "a": 15, "b": 5.5}`
		if c.target != "" {
			target += ", " + c.target
		}
		id := p.begin(`{"base": ` + white + `, "addition": ` + red + `, ` + target + `}, ` + kit + around + `}`)
		add[record.PourBody](p, id, `{"glass": "B", "volume_ml": 15}`)
		add[record.ChoiceBody](p, id, fmt.Sprintf(`{"dose_ml_per_100ml": %g, "reasons": "as it tastes"}`, c.dose))
		o := p.mustOrder(id, `{"base_l": 1000}`)
		if got := strings.Contains(strings.Join(o.Warnings, " "), warning); got != c.warned {
			t.Errorf("%g mL per 100 mL with %q: warned %v, want %v: %q", c.dose, c.target, got, c.warned, o.Warnings)
		}
	}
}
