package blend

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/colourtest"
	"pourpath/colour/reading"
	"pourpath/colour/spectrum"
)

// sampled reads a sample that is exactly the path's at a dose.
func sampled(t testing.TB, p *Path, d Dose) spectrum.Wine {
	t.Helper()
	w := p.At(d)
	return mustRead(t, 10, w.Absorbance[cie.Index(420)], w.Absorbance[cie.Index(520)], w.Absorbance[cie.Index(620)])
}

func mustTrim(t testing.TB, p *Path, tank Tank, target Target) Trim {
	t.Helper()
	out, err := p.Trim(tank, target, cie.OIV())
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestTrimIsWhatWasHeldBack: after an exact first part the trim is the part held
// back, whatever the share; and base brings back what was poured too much.
func TestTrimIsWhatWasHeldBack(t *testing.T) {
	p := NewPath(paleWhite(t), youngRed(t))
	for _, row := range []struct {
		dose  Dose
		share float64
	}{{8, 90}, {8, 50}, {8, 25}, {3, 95}, {15, 80}, {8, 100.5}, {8, 110}, {8, 150}} {
		base := 1000.0
		goal := labAt(t, p, row.dose)
		poured := base * float64(row.dose) / 100 * row.share / 100
		now := DoseOf(poured, base)
		tank := Tank{BaseL: base, PouredL: poured, Top: sampled(t, p, now), Bottom: sampled(t, p, now)}
		got := mustTrim(t, p, tank, Target{Lab: &goal})
		if !got.Mixing.Mixed || got.Need == nil || !colourtest.Near(float64(got.Dose), float64(now), 0, 1e-3) || !colourtest.Near(float64(got.NominalDose), float64(now), 0, 1e-12) {
			t.Errorf("%+v: mixing %+v, dose %g, want %g", row, got.Mixing, float64(got.Dose), float64(now))
			continue
		}
		n := got.Need
		full := base * float64(row.dose) / 100
		if passed := row.share > 100; n.Passed != passed {
			t.Errorf("%+v: passed %v", row, n.Passed)
		} else if passed {
			want := poured/float64(row.dose)*100 - base
			if n.AdditionL != 0 || n.BaseL == nil || !colourtest.Near(*n.BaseL, want, 0.002*base, 0) || !colourtest.Near(n.ResultL, base+poured+want, 0.002*base, 0) {
				t.Errorf("%+v: %+v, want %g L of base", row, n, want)
			}
			if message(got.Warnings, "target_passed") == "" {
				t.Errorf("%+v: not warned that the target was passed: %v", row, got.Warnings)
			}
		} else if held := full - poured; !colourtest.Near(n.AdditionL, held, 0.001*full, 0) || n.BaseL != nil || !colourtest.Near(n.ResultL, base+full, 0.001*full, 0) {
			t.Errorf("%+v: %+v, want the %g L held back", row, n, held)
		}
		if i := n.AdditionInterval95; i == nil || !(i[0] < full-poured && full-poured < i[1]) {
			t.Errorf("%+v: interval %v", row, i)
		}
		if now := row.share < 99 || row.share > 102; now && !(n.MissNow > n.MissAfter) {
			t.Errorf("%+v: ΔE00 %g now and %g after", row, n.MissNow, n.MissAfter)
		}
	}
}

// TestTrimScalesWithTheTank: ten times the tank needs ten times the trim.
func TestTrimScalesWithTheTank(t *testing.T) {
	p := NewPath(paleWhite(t), youngRed(t))
	goal := labAt(t, p, 8)
	var litres, half [2]float64
	for i, base := range []float64{54, 540} {
		tank := Tank{BaseL: base, UBaseL: 0.01 * base, PouredL: 0.07 * base, UPouredL: 0.0005 * base, Top: sampled(t, p, 7), Bottom: sampled(t, p, 7)}
		n := mustTrim(t, p, tank, Target{Lab: &goal}).Need
		litres[i], half[i] = n.AdditionL, n.AdditionInterval95[1]-n.AdditionL
	}
	if !colourtest.Near(litres[1], 10*litres[0], 0, 1e-6) || !colourtest.Near(half[1], 10*half[0], 0, 1e-6) {
		t.Errorf("trims %v ± %v", litres, half)
	}
}

// TestTrimFollowsTheSamples: an addition that colours 1.4 times as much in this
// base as it does neat needs no further part.
func TestTrimFollowsTheSamples(t *testing.T) {
	p := NewPath(paleWhite(t), youngRed(t))
	z := make([]float64, len(p.errors))
	for k := range p.errors {
		if p.errors[k].part == onFactor {
			z[k] = math.Log(1.4) / factorSpread
		}
	}
	strong := *p
	strong.centre = p.strand(z)
	goal := labAt(t, &strong, 8)
	for _, row := range []struct {
		now  Dose
		want float64
	}{{7.2, 8}, {9, -10}} {
		tank := Tank{BaseL: 1000, UBaseL: 10, PouredL: 10 * float64(row.now), UPouredL: 0.3, Top: sampled(t, &strong, row.now), Bottom: sampled(t, &strong, row.now)}
		got := mustTrim(t, p, tank, Target{Lab: &goal})
		i := got.Need.AdditionInterval95
		if !(i[0] < row.want && row.want < i[1]) || !colourtest.Near((i[0]+i[1])/2, row.want, 4, 0) {
			t.Errorf("at %g: %v, want about %g L", float64(row.now), *i, row.want)
		}
		if y := got.Path.ColourYield(); !colourtest.Near(y, 1.4, 0.05, 0) {
			t.Errorf("colour yield %g, want 1.4", y)
		}
	}
}

func TestMixing(t *testing.T) {
	p := NewPath(paleWhite(t), youngRed(t))
	goal := labAt(t, p, 8)
	coarse := func(d Dose, u float64) spectrum.Wine {
		a := p.At(d).Absorbance
		w, err := spectrum.FromReadings(reading.Readings{Cell: reading.Cell{PathMM: 10, Dilution: 1}, A420: a[cie.Index(420)], A520: a[cie.Index(520)], A620: a[cie.Index(620)], UAbsorbance: u})
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	for _, row := range []struct {
		name        string
		top, bottom spectrum.Wine
		mixed       bool
		code, says  string
	}{
		{"alike", sampled(t, p, 7), sampled(t, p, 7), true, "", ""},
		{"within the readings", sampled(t, p, 7), sampled(t, p, 7.1), true, "", ""},
		{"red below", sampled(t, p, 6.5), sampled(t, p, 7.5), false, "not_mixed", "the bottom has more"},
		{"red above", sampled(t, p, 8), sampled(t, p, 6), false, "not_mixed", "the top has more"},
		{"readings too coarse", coarse(6.8, 0.03), coarse(7.2, 0.03), true, "mixing_not_seen", "do not prove"},
	} {
		tank := Tank{BaseL: 1000, UBaseL: 10, PouredL: 70, UPouredL: 1, Top: row.top, Bottom: row.bottom}
		got := mustTrim(t, p, tank, Target{Lab: &goal})
		if got.Mixing.Mixed != row.mixed || (got.Need != nil) != row.mixed {
			t.Errorf("%s: %+v, need %+v", row.name, got.Mixing, got.Need)
		}
		if !got.Mixing.Mixed {
			for _, w := range got.Warnings {
				if w.Code == "rung_off_path" {
					t.Errorf("%s: a layer is told as a rung that is off: %s", row.name, w.Message)
				}
			}
		}
		for _, code := range []string{"not_mixed", "mixing_not_seen"} {
			if text := message(got.Warnings, code); (text != "") != (code == row.code) || code == row.code && !strings.Contains(text, row.says) {
				t.Errorf("%s: warning %s is %q", row.name, code, text)
			}
		}
	}
}

func TestTrimWarns(t *testing.T) {
	p := NewPath(paleWhite(t), youngRed(t))
	at8, at40, base := labAt(t, p, 8), labAt(t, p, 60), labAt(t, p, 0)
	green := cie.Lab{L: 80, A: -30, B: 20, View: cie.OIV()}
	tank := func(d Dose) Tank {
		return Tank{BaseL: 1000, UBaseL: 10, PouredL: 10 * float64(d), UPouredL: 0.5, Top: sampled(t, p, d), Bottom: sampled(t, p, d)}
	}
	with := func(tank Tank, change func(*Tank)) Tank { change(&tank); return tank }
	for _, row := range []struct {
		name   string
		tank   Tank
		target Target
		code   string
		says   string
	}{
		{"nearly there", tank(7.95), Target{Lab: &at8}, "on_target", "cannot be told from none"},
		{"target far above", tank(7), Target{Lab: &at40}, "trim_at_end", "5 times"},
		{"target is the base", tank(7), Target{Lab: &base}, "target_passed", "No amount of base"},
		{"no wine has it", tank(7), Target{Lab: &green, Tolerance: 2}, "target_off_path", "third wine"},
		{"half of it poured elsewhere", with(tank(7), func(k *Tank) {
			k.Rungs = []Measured{{Dose: 5, Wine: sampled(t, p, 5)}, {Dose: 10, Wine: sampled(t, p, 10)}}
			k.Top, k.Bottom = sampled(t, p, 3.5), sampled(t, p, 3.5)
		}), Target{Lab: &at8}, "tank_disagrees", "samples from this tank"},
		{"no room for base", with(tank(12), func(k *Tank) { k.RoomL = litres(50) }), Target{Lab: &at8}, "target_passed", "room for 50 L"},
		{"room for base", with(tank(12), func(k *Tank) { k.RoomL = litres(5000) }), Target{Lab: &at8}, "target_passed", "bring it back"},
	} {
		got := mustTrim(t, p, row.tank, row.target)
		if text := message(got.Warnings, row.code); !strings.Contains(text, row.says) || text == "" {
			t.Errorf("%s: %q, want %q in %s; need %+v", row.name, text, row.says, row.code, got.Need)
		}
	}
	if got := mustTrim(t, p, tank(7), Target{Lab: &at8}); len(got.Warnings) != 0 {
		t.Errorf("a plain trim warns: %v", got.Warnings)
	}
}

// TestTrimByIntensity: a target of intensity and tint is met in its intensity.
func TestTrimByIntensity(t *testing.T) {
	p := NewPath(paleWhite(t), youngRed(t))
	goal := p.At(8)
	ix := goal.Indices()
	tank := Tank{BaseL: 1000, UBaseL: 5, PouredL: 70, UPouredL: 0.5, Top: sampled(t, p, 7), Bottom: sampled(t, p, 7)}
	n := mustTrim(t, p, tank, Target{Intensity: &ix.Intensity, Tint: &ix.Tint}).Need
	if !colourtest.Near(n.AdditionL, 10, 0.05, 0) || !(n.MissAfter < 1e-6 && n.MissNow > 0.05) {
		t.Errorf("%+v, want 10 L", n)
	}
}

// TestTrimNeedsRoom: a trim that does not fit is refused, with what would fit;
// the blend drawn off takes its share of both wines along.
func TestTrimNeedsRoom(t *testing.T) {
	p := NewPath(paleWhite(t), youngRed(t))
	goal := labAt(t, p, 8)
	tank := Tank{BaseL: 1000, UBaseL: 10, PouredL: 40, UPouredL: 0.5, Top: sampled(t, p, 4), Bottom: sampled(t, p, 4), RoomL: litres(15)}
	_, err := p.Trim(tank, Target{Lab: &goal}, cie.OIV())
	wantFields(t, "too full", err, []string{"room_l"}, "room for 15 L")
	// 40 L are wanted. Of x drawn off, 15 + x = 40 (1 - x/1040) gives 24.07.
	if err == nil || !strings.Contains(err.Error(), "needs 40 L") || !strings.Contains(err.Error(), "24.0") || !strings.Contains(err.Error(), "39.0") {
		t.Errorf("error %v", err)
	}
	tank.RoomL = litres(41)
	if n := mustTrim(t, p, tank, Target{Lab: &goal}).Need; !colourtest.Near(n.AdditionL, 40, 0.1, 0) {
		t.Errorf("with room: %+v", n)
	}
}

func TestTrimFaults(t *testing.T) {
	p := NewPath(paleWhite(t), youngRed(t))
	goal := labAt(t, p, 8)
	good := Tank{BaseL: 1000, PouredL: 70, Top: sampled(t, p, 7), Bottom: sampled(t, p, 7)}
	with := func(change func(*Tank)) Tank { k := good; change(&k); return k }
	nan := math.NaN()
	for _, c := range []struct {
		name   string
		tank   Tank
		target Target
		fields []string
		text   string
	}{
		{"empty", Tank{}, Target{Lab: &goal}, []string{"base_l", "poured_l", "top", "bottom"}, "above 0"},
		{"negative", with(func(k *Tank) { k.BaseL, k.PouredL = -1, nan }), Target{Lab: &goal}, []string{"base_l", "poured_l"}, "above 0"},
		{"uncertain beyond use", with(func(k *Tank) { k.UBaseL, k.UPouredL = 501, -1 }), Target{Lab: &goal}, []string{"u_base_l", "u_poured_l"}, "half of its"},
		{"exchanged", with(func(k *Tank) { k.BaseL, k.PouredL = 7, 100 }), Target{Lab: &goal}, []string{"poured_l"}, "exchanged"},
		{"room below 0", with(func(k *Tank) { k.RoomL = litres(-1) }), Target{Lab: &goal}, []string{"room_l"}, "still fits"},
		{"rung without dose", with(func(k *Tank) { k.Rungs = []Measured{{Dose: 0, Wine: k.Top}} }), Target{Lab: &goal}, []string{"measured/0/dose_ml"}, "above 0"},
		{"no target", good, Target{}, []string{""}, "empty"},
	} {
		_, err := p.Trim(c.tank, c.target, cie.OIV())
		wantFields(t, c.name, err, c.fields, c.text)
	}
	learned, _, err := p.Calibrate([]Measured{{Dose: 7, Wine: good.Top}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := learned.Trim(good, Target{Lab: &goal}, cie.OIV()); err == nil {
		t.Error("a trim from a path that has learned already: no error")
	}
}

// 90 % of the red for 1000 L is in the tank, both samples are read, and the trim
// is asked for.
func ExamplePath_Trim() {
	read := func(pathMM, a420, a520, a620 float64) spectrum.Wine {
		w, err := spectrum.FromReadings(reading.Readings{Cell: reading.Cell{PathMM: pathMM, Dilution: 1}, A420: a420, A520: a520, A620: a620, UAbsorbance: 0.002})
		if err != nil {
			panic(err)
		}
		return w
	}
	path := NewPath(read(10, 0.095, 0.016, 0.003), read(1, 0.30, 0.58, 0.06))
	tank := Tank{
		BaseL: 1000, UBaseL: 6, PouredL: 57.6, UPouredL: 0.3,
		Rungs: []Measured{{Dose: 6.4, Wine: read(10, 0.271, 0.366, 0.039)}},
		Top:   read(10, 0.254, 0.332, 0.036), Bottom: read(10, 0.255, 0.335, 0.036),
	}
	chosen := read(10, 0.271, 0.366, 0.039) // the glass that was chosen
	c, err := chosen.Colour(cie.OIV())
	if err != nil {
		fmt.Println(err)
		return
	}
	trim, err := path.Trim(tank, Target{Lab: &c.Lab}, cie.OIV())
	if err != nil {
		fmt.Println(err)
		return
	}
	i := trim.Need.AdditionInterval95
	fmt.Println("mixed:", trim.Mixing.Mixed)
	fmt.Printf("pour %.1f L more (95 %%: %.1f to %.1f L)\n", trim.Need.AdditionL, i[0], i[1])
	// Output:
	// mixed: true
	// pour 7.4 L more (95 %: 3.0 to 11.8 L)
}
