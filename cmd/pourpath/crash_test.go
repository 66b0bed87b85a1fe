//go:build linux

package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"net/http"
	"sync"
	"testing"
	"time"

	"pourpath/api/record"
	"pourpath/api/store"
)

// acknowledged collects what the service has said is kept.
type acknowledged struct {
	sync.Mutex
	wines, readings, imports []string

	first chan struct{} // closed at the first of them
	once  sync.Once
}

// TestKilled ends the service at a random moment while wines, readings and
// files are sent to it, a hundred times over the same records: whatever was
// acknowledged is there, no file is half imported, and the store opens.
func TestKilled(t *testing.T) {
	const times, rows = 100, 60
	dir := t.TempDir()
	random := rand.New(rand.NewPCG(3, 4))
	told := 0
	for round := range times {
		s := serveIn(t, nil, "--data", dir)
		kept := acknowledged{first: make(chan struct{})}
		var wait sync.WaitGroup
		for worker := range 4 {
			wait.Go(func() { kept.keepSending(s, round*8+worker*2, rows) })
		}
		if round%4 > 0 { // in the others, perhaps before anything was kept
			select {
			case <-kept.first:
			case <-time.After(10 * time.Second):
			}
		}
		time.Sleep(time.Duration(random.IntN(100)) * time.Millisecond)
		s.kill()
		wait.Wait()
		told += len(kept.wines) + len(kept.readings) + len(kept.imports)
		kept.check(t, dir, rows, round%10 == 9)
		if t.Failed() {
			t.Fatalf("in round %d of %d", round, times)
		}
	}
	t.Logf("killed %d times; %d acknowledged records and files, all of them there", times, told)
	if told < times {
		t.Errorf("only %d acknowledgements: the test proves little", told)
	}
}

// keepSending sends until the service is gone.
func (k *acknowledged) keepSending(s *serving, mark, rows int) {
	for i := 0; ; i++ {
		wine, err := s.post("/v1/wines", fmt.Sprintf(`{"name": "by hand %d", "kind": "white", "readings": {"a420": 0.142, "a520": 0.118, "a620": 0.021}}`, mark))
		if err != nil {
			return
		}
		reading, readErr := s.post("/v1/wines/"+wine.id()+"/readings", `{"readings": {"a420": 0.15, "a520": 0.12, "a620": 0.02}}`)
		file, fileErr := s.upload("readings.csv", csvOf(mark*50+i, rows))
		k.Lock()
		if wine.status == http.StatusCreated {
			k.once.Do(func() { close(k.first) })
			k.wines = append(k.wines, wine.id())
		}
		if readErr == nil && reading.status == http.StatusCreated {
			k.readings = append(k.readings, reading.id())
		}
		if fileErr == nil && file.status == http.StatusCreated {
			k.imports = append(k.imports, file.id())
		}
		k.Unlock()
		if readErr != nil || fileErr != nil {
			return
		}
	}
}

// check looks whether all of it is there, and every import whole.
func (k *acknowledged) check(t *testing.T, dir string, rows int, verify bool) {
	t.Helper()
	ctx := context.Background()
	s, err := store.Open(ctx, store.Config{Dir: dir})
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}()
	for _, id := range k.wines {
		if _, err := s.Wine(ctx, id); err != nil {
			t.Errorf("acknowledged wine: %v", err)
		}
	}
	for _, id := range k.readings {
		if _, err := s.Reading(ctx, id); err != nil {
			t.Errorf("acknowledged reading: %v", err)
		}
	}
	for _, id := range k.imports {
		if _, err := s.FindImport(ctx, id); err != nil {
			t.Errorf("acknowledged import: %v", err)
		}
	}
	list, err := s.Imports(ctx, record.Page{Limit: 1000})
	if err != nil {
		t.Fatal(err)
	}
	for _, i := range list[max(0, len(list)-20):] {
		if found, err := s.ImportRows(ctx, i.ID, 0, record.Accepted, 1000); err != nil || len(found) != rows || i.Accepted != rows {
			t.Errorf("an import of %d readings holds %d of them, %v", i.Accepted, len(found), err)
		}
	}
	if !verify {
		return // takes longer than all else once there is much
	}
	if v, err := s.Verify(ctx); err != nil || len(v.Findings) > 0 {
		t.Errorf("verify: %v, %v", v.Findings, err)
	}
}
