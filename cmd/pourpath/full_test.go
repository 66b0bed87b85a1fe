//go:build linux

package main

import (
	"fmt"
	"net/http"
	"os"
	"strings"
	"testing"
)

// TestDiskFull fills a small disk: what does not fit is refused with 507 and a
// sentence, what was acknowledged is there, and when there is room again the
// service takes records without being started anew.
func TestDiskFull(t *testing.T) {
	dir := t.TempDir()
	// A disk of its own, seen by the service alone; who is not root becomes it in
	// a namespace.
	before := []string{"unshare", "--mount"}
	if os.Getuid() != 0 {
		before = append(before, "--user", "--map-root-user")
	}
	before = append(before, "sh", "-ec", `mount -t tmpfs -o size=6m none "$1"; head -c 3000000 /dev/zero > "$1/filler"; shift; exec "$@"`, "sh", dir)
	s := serveIn(t, before, "--data", dir)
	defer s.kill()

	var wines []string
	var refused answer
	for i := 0; refused.status == 0; i++ {
		a, err := s.post("/v1/wines", fmt.Sprintf(`{"name": "Tank %d", "kind": "white", "notes": %q}`, i, strings.Repeat("x", 9000)))
		switch {
		case err != nil:
			t.Fatal(err)
		case a.status == http.StatusCreated:
			wines = append(wines, a.id())
		default:
			refused = a
		}
		if i > 3000 {
			t.Fatal("the disk does not fill")
		}
	}
	isFull(t, refused)
	file, err := s.upload("readings.csv", csvOf(1, 60000))
	if err != nil {
		t.Fatal(err)
	}
	isFull(t, file)
	t.Logf("full after %d wines: %v", len(wines), refused.body["detail"])

	if err := os.Remove(fmt.Sprintf("/proc/%d/root%s/filler", s.process.Process.Pid, dir)); err != nil {
		t.Fatal(err)
	}
	again, err := s.post("/v1/wines", `{"name": "after", "kind": "white"}`)
	if err != nil || again.status != http.StatusCreated {
		t.Fatalf("with room again: %+v, %v", again, err)
	}
	for _, id := range append(wines, again.id()) {
		if a, err := ask(http.MethodGet, s.address+"/v1/wines/"+id, "", nil); err != nil || a.status != http.StatusOK {
			t.Fatalf("an acknowledged wine: %+v, %v", a, err)
		}
	}
}

func isFull(t *testing.T, a answer) {
	t.Helper()
	detail, _ := a.body["detail"].(string)
	if a.status != http.StatusInsufficientStorage || !strings.Contains(detail, "no room") {
		t.Errorf("%d %v, want 507 with a sentence", a.status, a.body)
	}
}
