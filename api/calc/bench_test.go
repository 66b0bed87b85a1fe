package calc

import (
	"encoding/json"
	"testing"
)

// BenchmarkLadder answers the longest ladder there is, from bytes to bytes.
func BenchmarkLadder(b *testing.B) {
	r, err := Decode[LadderRequest]([]byte(ExampleLadder))
	if err != nil {
		b.Fatal(err)
	}
	r.DosesML = make([]float64, 2000)
	for i := range r.DosesML {
		r.DosesML[i] = float64(i) / 100
	}
	data, err := json.Marshal(r)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		r, err := Decode[LadderRequest](data)
		if err != nil {
			b.Fatal(err)
		}
		a, err := Ladder(r)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := json.Marshal(a); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkColour answers the smallest question.
func BenchmarkColour(b *testing.B) {
	for b.Loop() {
		r, err := Decode[ColourRequest]([]byte(ExampleColour))
		if err != nil {
			b.Fatal(err)
		}
		if _, err := Colour(r); err != nil {
			b.Fatal(err)
		}
	}
}
