package main

import (
	"os"
	"path/filepath"
	"testing"

	"gonum.org/v1/plot/cmpimg"
)

// TestReadmePicture proves that the picture in the README is the one that its
// command draws. Go run with -update draws it anew.
func TestReadmePicture(t *testing.T) {
	const kept = "../../testdata/examples/ladder.png"
	drawn := filepath.Join(t.TempDir(), "ladder.png")
	if *update {
		drawn = kept
	}
	if got := pourpath("", "ladder", "-f", "../../testdata/examples/ladder.json", "--plot", drawn); got.exit != 0 {
		t.Fatalf("exit %d: %s", got.exit, got.err)
	}
	got, err := os.ReadFile(drawn)
	if err != nil {
		t.Fatal(err)
	}
	want, err := os.ReadFile(kept)
	if err != nil {
		t.Fatal(err)
	}
	same, err := cmpimg.EqualApprox("png", got, want, 0.02)
	if err != nil || !same {
		t.Errorf("the picture differs from %s (error %v): look at both, then go test ./cmd/pourpath -update", kept, err)
	}
}
