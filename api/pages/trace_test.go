package pages

import (
	"encoding/json"
	"log/slog"
	"math"
	"strings"
	"testing"
)

// TestLookUp reads a small path between its points.
func TestLookUp(t *testing.T) {
	t.Parallel()
	path := trace{
		Dose:    []rounded{0, 2, 4},
		Columns: map[string][]rounded{"L": {90, 80, 75}, "tint": {rounded(math.NaN()), 1, 2}, "h": {350, 10, 350}},
		Colours: map[string]string{"cell": "ffffff" + "ff8000" + "000000"},
		Clipped: map[string]string{"cell": "001"},
		Levels:  levels{Every: 2, Count: 2, Colours: "ffffff" + "ff0000" + "ffffff" + "000000"},
	}
	for _, c := range []struct {
		key        string
		dose, want float64
	}{
		{"L", 0, 90}, {"L", 1, 85}, {"L", 4, 75}, {"L", 9, 75}, {"L", -1, 90}, {"dose", 1.5, 1.5}, {"tint", 3, 1.5},
		{"h", 1, 0}, {"h", 0.5, 355}, {"h", 2.5, 5}, {"h", 3.5, 355},
	} {
		if got := path.at(c.key, c.dose); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s at %g = %g, want %g", c.key, c.dose, got, c.want)
		}
	}
	for _, key := range []string{"tint", "none"} {
		if got := path.at(key, 0.5); !math.IsNaN(got) {
			t.Errorf("%s at 0.5 = %g, want none", key, got)
		}
	}
	for dose, want := range map[float64]string{0: "#ffffff", 1: "#ffc080", 2: "#ff8000", 4: "#000000"} {
		if got := path.screen("cell", dose); got.Hex != want || got.InGamut == (dose == 4) {
			t.Errorf("colour at %g = %v, want %s", dose, got, want)
		}
	}
	for dose, want := range map[float64]string{0: "#ff0000", 2: "#800000", 4: "#000000"} {
		if got := path.level(1, dose); got != want {
			t.Errorf("level 1 at %g = %s, want %s", dose, got, want)
		}
	}
}

func TestRounded(t *testing.T) {
	t.Parallel()
	got, err := json.Marshal([]rounded{0, 82.441234567, -0.00001, rounded(math.NaN()), rounded(math.Inf(1)), 1e6})
	if want := "[0,82.4412,-0,null,null,1000000]"; err != nil || string(got) != want {
		t.Errorf("rounded = %s, %v, want %s", got, err, want)
	}
}

// TestAddress: an address made of a choice opens the same choice, and leaves out
// what is as usual or was typed for another kind.
func TestAddress(t *testing.T) {
	t.Parallel()
	s, err := newSite(Config{Demo: true, Log: slog.New(slog.DiscardHandler)})
	if err != nil {
		t.Fatal(err)
	}
	for query, want := range map[string]string{
		"": "base=white-5&red=red-7&target=last-year",
		"base=white-3&base_a420=0.1&red=readings&red_a420=0.2&red_path_mm=1&red_dilution=&lamp=D65&depth_mm=10&tank_l=": "base=white-3&red=readings&red_a420=0.2&tank_l=&target=none",
		"third=white-9&third_dose=2&target=lab&target_L=80&target_intensity=3&tolerance=1":                              "base=white-5&red=red-7&target=lab&target_L=80&third=white-9&third_dose=2&tolerance=1",
		"rung=none&red_dose=4": "base=white-5&red=red-7&red_dose=4&rung=none&target=last-year",
		"base_a420=x&frob=1":   "base=readings&base_a420=x&red=red-7&target=none",
	} {
		c, err := s.read(t.Context(), query)
		if err != nil {
			t.Fatal(err)
		}
		if got := c.address(nil); got != want {
			t.Errorf("%q = %q, want %q", query, got, want)
		}
		again, err := s.read(t.Context(), c.address(nil))
		if err != nil || again.address(nil) != want {
			t.Errorf("%q opens %q (%v)", want, again.address(nil), err)
		}
	}
}

// TestWithHeader finds out how bare columns are parted.
func TestWithHeader(t *testing.T) {
	t.Parallel()
	for pasted, want := range map[string]string{
		"400\t0.2\n410\t0.1":    "nm\tabsorbance\n400\t0.2\n410\t0.1",
		"400;0,2\n410;0,1":      "nm;absorbance\n400;0,2\n410;0,1",
		"400  0,2\n 410  0,1\n": "nm\tabsorbance\n400\t0,2\n410\t0,1\n",
		"400,0.2\n410,0.1":      "nm,absorbance\n400,0.2\n410,0.1",
		"nm\tA\n400\t0.2":       "nm\tA\n400\t0.2",
		"":                      "",
	} {
		got, added := withHeader(pasted)
		if got != want || added != (strings.HasPrefix(want, "nm") && !strings.HasPrefix(pasted, "nm")) {
			t.Errorf("withHeader(%q) = %q, %v, want %q", pasted, got, added, want)
		}
	}
}

func TestExtra(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"460:0.06 570=0.02": `[{"absorbance":0.06,"nm":460},{"absorbance":0.02,"nm":570}]`,
		"460 0.06; 570 0.0": `[{"absorbance":0.06,"nm":460},{"absorbance":0.0,"nm":570}]`,
		"460":               `[{"nm":460}]`,
		"blue 0.1":          `[{"absorbance":0.1,"nm":"blue"}]`,
	} {
		got, err := json.Marshal(pointing.extra(text))
		if err != nil || string(got) != want {
			t.Errorf("extra(%q) = %s, %v, want %s", text, got, err, want)
		}
	}
}

// TestFaultPlaces: a fault belongs to the field with the longest pointer that it
// lies in, else to the first field of the object it is about.
func TestFaultPlaces(t *testing.T) {
	t.Parallel()
	var p places
	p.add("/base", "base")
	p.add("/base/readings/a420", "base_a420")
	p.add("/base/readings/a520", "base_a520")
	p.add("/doses_ml", "doses")
	for location, want := range map[string]string{
		"/base/readings/a520": "base_a520", "/base/readings": "base", "/doses_ml/3": "doses", "/base/readings/extra/0/nm": "base", "": "", "/elsewhere": "",
	} {
		if got := p.field(location); got != want {
			t.Errorf("field(%q) = %q, want %q", location, got, want)
		}
	}
}
