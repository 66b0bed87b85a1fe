package calc

import (
	"context"
	"slices"
	"testing"
)

// onShelf is a cellar of one wine.
type onShelf struct{ wine Wine }

func (s onShelf) StoredWine(context.Context, string) (StoredWine, error) {
	return StoredWine{Wine: s.wine, ReadingIDs: []string{"r1"}}, nil
}

func (s onShelf) StoredTarget(context.Context, string) (StoredTarget, error) {
	return StoredTarget{}, ErrNotStored
}

// TestHeldFaults names each fault of a held wine at its place.
func TestHeldFaults(t *testing.T) {
	t.Parallel()
	_, err := Decode[LadderRequest]([]byte(`{"base":{"readings":{"a420":0.1,"a520":0.03,"a620":0.01}},"addition":{"readings":{"a420":0.3,"a520":0.5,"a620":0.1,"path_mm":1}},
		"held":[{"wine":{"readings":{"a420":0.1,"a520":-1,"a620":0.01}},"dose_ml_per_100ml":-2},{"wine":{},"dose_ml_per_100ml":5}],"base_ml":100,"doses_ml":[0,5]}`))
	p := AsProblem(err)
	if p == nil {
		t.Fatalf("err = %v, want a problem", err)
	}
	var places []string
	for _, f := range p.Errors {
		places = append(places, f.Location)
	}
	for _, want := range []string{"/held/0/wine/readings/a520", "/held/0/dose_ml_per_100ml", "/held/1/wine"} {
		if !slices.Contains(places, want) {
			t.Errorf("no fault at %s; there are %q", want, places)
		}
	}
}

// TestHeldStored: a stored wine may be held, and the answer says which of its
// readings were used.
func TestHeldStored(t *testing.T) {
	t.Parallel()
	const with = `{"base":{"readings":{"a420":0.1,"a520":0.03,"a620":0.01}},"addition":{"readings":{"a420":0.3,"a520":0.5,"a620":0.1,"path_mm":1}},
		"held":[{"wine":{"id":"w9"},"dose_ml_per_100ml":5}],"base_ml":50,"doses_ml":[0,5]}`
	_, answer, err := Answer(t.Context(), []byte(with), onShelf{darkRed()}, Ladder)
	if err != nil {
		t.Fatal(err)
	}
	want := []ReadingsUsed{{Location: "/held/0/wine", Wine: "w9", Readings: []string{"r1"}}}
	if !slices.EqualFunc(answer.ReadingsUsed, want, func(a, b ReadingsUsed) bool {
		return a.Location == b.Location && a.Wine == b.Wine && slices.Equal(a.Readings, b.Readings)
	}) {
		t.Errorf("readings used %+v, want %+v", answer.ReadingsUsed, want)
	}
	// 5 mL in 50 mL of base with 2.5 mL held.
	if r := answer.Rungs[1]; r.DoseMLPer100ML != 10 || r.AdditionFraction != 10.0/115 {
		t.Errorf("dose %g, fraction %g, want 10 and %g", r.DoseMLPer100ML, r.AdditionFraction, 10.0/115)
	}
	// Base alone has the held wine in it.
	blend, err := Blend(BlendRequest{Wines: []Wine{{Readings: &Readings{A420: 0.1, A520: 0.03, A620: 0.01}}, darkRed()}, VolumesML: []float64{100, 5}})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := answer.Rungs[0].Colour.CIELAB, blend.Colour.CIELAB; got != want {
		t.Errorf("dose 0 has %v, the blend of base and held %v", got, want)
	}
}
