package calc

import (
	"strings"
	"sync"
	"testing"
)

// TestDecodeAndCalculationsRefuseAlike: a request made in Go, which no schema
// has seen, is refused by the calculation itself.
func TestDecodeAndCalculationsRefuseAlike(t *testing.T) {
	zero, text := 0.0, "w1"
	readings := &Readings{A420: 0.1, A520: 0.1, A620: 0.1}
	for _, row := range []struct {
		name, location string
		ask            func() error
	}{
		{"no wine", "/wine", func() error { _, err := Colour(ColourRequest{}); return err }},
		{"stored wine", "/wine/id", func() error { _, err := Colour(ColourRequest{Wine: Wine{ID: &text}}); return err }},
		{"path of 0", "/wine/readings/path_mm", func() error {
			_, err := Colour(ColourRequest{Wine: Wine{Readings: &Readings{A420: 0.1, A520: 0.1, A620: 0.1, PathMM: &zero}}})
			return err
		}},
		{"unknown light", "/view/illuminant", func() error {
			_, err := Colour(ColourRequest{Wine: Wine{Readings: readings}, View: &View{Illuminant: "X"}})
			return err
		}},
		{"unknown observer", "/view/observer", func() error {
			_, err := Colour(ColourRequest{Wine: Wine{Readings: readings}, View: &View{Observer: "3"}})
			return err
		}},
		{"no wines", "/wines", func() error { _, err := Blend(BlendRequest{Fractions: []float64{1}}); return err }},
		{"no rungs", "/doses_ml", func() error {
			_, err := Ladder(LadderRequest{Base: Wine{Readings: readings}, Addition: Dosed{Wine{Readings: readings}}, BaseML: 100, DosesML: []float64{}})
			return err
		}},
		{"no base", "/base_ml", func() error {
			_, err := LadderFigure(LadderRequest{Base: Wine{Readings: readings}, Addition: Dosed{Wine{Readings: readings}}, DosesML: []float64{1}}, "x", nil)
			return err
		}},
		{"no target", "/target", func() error {
			_, err := Match(MatchRequest{Wines: []Wine{{Readings: readings}, {Readings: readings}}})
			return err
		}},
		{"no dose", "/dose_ml_per_100ml", func() error { _, err := Scale(ScaleRequest{}); return err }},
		{"no spec", "/spec", func() error { _, err := Check(CheckRequest{Wine: Wine{Readings: readings}}); return err }},
	} {
		t.Run(row.name, func(t *testing.T) {
			p := AsProblem(row.ask())
			if p == nil {
				t.Fatal("no problem")
			}
			for _, f := range p.Errors {
				if f.Location == row.location {
					return
				}
			}
			t.Errorf("no fault at %s in %+v", row.location, p.Errors)
		})
	}
}

// TestMergeLeavesOutRepeats: what was named at a place is not named again above
// or below it.
func TestMergeLeavesOutRepeats(t *testing.T) {
	known := Faults{list: []Fault{{Location: "/a/1"}, {Location: "/b"}}}
	known.merge(Faults{list: []Fault{{Location: "/a"}, {Location: "/a/1"}, {Location: "/a/1/x"}, {Location: "/b/0"}, {Location: "/bc"}, {Location: "/a/10"}}})
	var got []string
	for _, f := range known.list[2:] {
		got = append(got, f.Location)
	}
	if want := "/bc /a/10"; strings.Join(got, " ") != want {
		t.Errorf("merge added %v, want %s", got, want)
	}
}

// TestDecodeAtOnce: requests are read concurrently.
func TestDecodeAtOnce(t *testing.T) {
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			if _, err := Decode[LadderRequest]([]byte(ExampleLadder)); err != nil {
				t.Error(err)
			}
			if _, err := Decode[MatchRequest]([]byte(`{"wines":[1]}`)); AsProblem(err) == nil {
				t.Error("a faulty request passed")
			}
		})
	}
	all.Wait()
}
