package pages_test

import (
	"net/http"
	"strconv"
	"strings"
	"sync"
	"testing"
)

// TestPagesAtOnce opens pages and presses at the bench from several browsers at
// once: nothing is lost, and each is answered. Run with -race.
func TestPagesAtOnce(t *testing.T) {
	t.Parallel()
	h, records := withRecords(t, true)
	fill(t, records)
	at := demoTrial(t, h)
	const browsers = 4
	var wait sync.WaitGroup
	for who := range browsers {
		wait.Go(func() {
			for i, address := range []string{"/", "/wines", at, at + "?plan=closing", at + "/ladder.svg", "/trials"} {
				if w := get(t, h, address); w.Code != http.StatusOK {
					t.Errorf("%s: status %d", address, w.Code)
				}
				if w := pressed(t, h, at+"/pours", "glass", "B", "volume_ml", "0.5", "key", strconv.Itoa(10*who+i)); w != http.StatusSeeOther {
					t.Errorf("a pour: status %d", w)
				}
			}
		})
	}
	wait.Wait()
	if said := text(parse(t, get(t, h, at+"?glass=B").Body.String())); !strings.Contains(said, "Glass B 12 mL poured in all") {
		t.Errorf("24 pours of 0.5 mL are not 12 mL: %.300s", said)
	}
}

// pressed is the status that a form of the bench is answered with.
func pressed(t *testing.T, h http.Handler, address string, pairs ...string) int {
	t.Helper()
	return sendForm(t, h, address, fields(pairs...)).Code
}
