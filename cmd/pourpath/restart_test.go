//go:build restart

package main

import (
	"context"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"sync"
	"testing"
	"time"

	"pourpath/api/store"
)

// TestRestart restarts PostgreSQL under load: while it is gone requests are
// answered with 503 and when to ask again, then they work, without the service
// being started anew; what was acknowledged is there. The server is that of
// pg_virtualenv, and no other test may use it at the same time.
func TestRestart(t *testing.T) {
	const database = "postgres:///postgres"
	s := serveIn(t, nil, "--data", t.TempDir(), "--database", database)
	defer s.kill()

	ctx, stop := context.WithCancel(t.Context())
	var (
		lock     sync.Mutex
		kept     []string
		statuses = map[int]int{}
		wait     sync.WaitGroup
	)
	for worker := range 8 {
		wait.Go(func() {
			for i := 0; ctx.Err() == nil; i++ {
				a, err := s.post("/v1/wines", fmt.Sprintf(`{"name": "Tank %d-%d", "kind": "white", "readings": {"a420": 0.142, "a520": 0.118, "a620": 0.021}}`, worker, i))
				lock.Lock()
				statuses[a.status]++
				switch {
				case err != nil:
					t.Errorf("a request without an answer: %v", err)
				case a.status == http.StatusCreated:
					kept = append(kept, a.id())
				case a.status != http.StatusServiceUnavailable || a.headers.Get("Retry-After") == "":
					t.Errorf("%d %v, want 503 with Retry-After", a.status, a.body)
				}
				lock.Unlock()
				if a.status == http.StatusServiceUnavailable {
					time.Sleep(20 * time.Millisecond)
				}
			}
		})
	}
	for _, mode := range []string{"fast", "immediate", "immediate"} {
		time.Sleep(500 * time.Millisecond)
		restart := exec.Command("pg_ctlcluster", os.Getenv("PGVERSION"), "regress", "restart", "-m", mode)
		if out, err := restart.CombinedOutput(); err != nil {
			t.Fatalf("pg_ctlcluster: %v\n%s", err, out)
		}
	}
	time.Sleep(time.Second)
	stop()
	wait.Wait()

	t.Logf("answers by status: %v", statuses)
	if statuses[http.StatusServiceUnavailable] == 0 {
		t.Error("no request met the restart: the test proves nothing")
	}
	if a, err := s.post("/v1/wines", `{"name": "after", "kind": "white"}`); err != nil || a.status != http.StatusCreated {
		t.Errorf("after the restarts: %+v, %v", a, err)
	}
	records, err := store.Open(t.Context(), store.Config{URL: database})
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := records.Close(); err != nil {
			t.Error(err)
		}
	}()
	for _, id := range kept {
		if _, err := records.Wine(t.Context(), id); err != nil {
			t.Fatalf("an acknowledged wine: %v", err)
		}
	}
}
