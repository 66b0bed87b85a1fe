package hook

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// TestMain lets the test's own program be the command that is told.
func TestMain(m *testing.M) {
	if len(os.Args) > 1 && strings.HasPrefix(os.Args[1], "told-") {
		os.Exit(told(os.Args[1], os.Args[2:]))
	}
	os.Exit(m.Run())
}

func told(how string, args []string) int {
	switch how {
	case "told-wait":
		time.Sleep(time.Minute)
	case "told-fail":
		fmt.Fprintln(os.Stderr, "nobody is there", strings.Repeat("x", 2*mostSaid))
		return 3
	case "told-keep", "told-slow":
		if how == "told-slow" {
			for { // until the file is there
				if _, err := os.Stat(args[1]); err == nil {
					break
				}
				time.Sleep(5 * time.Millisecond)
			}
		}
		event, err := io.ReadAll(os.Stdin)
		if err != nil {
			return 1
		}
		f, err := os.OpenFile(args[0], os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
		if err != nil {
			return 1
		}
		if _, err := f.Write(event); err != nil || f.Close() != nil {
			return 1
		}
	}
	return 0
}

type event struct {
	Who string
	N   int
}

func hook(t *testing.T, most int, within time.Duration, args ...string) (*Hook, *bytes.Buffer) {
	t.Helper()
	var log bytes.Buffer
	return begin(append([]string{os.Args[0]}, args...), most, within, slog.New(slog.NewTextHandler(&log, nil))), &log
}

func closed(t *testing.T, h *Hook) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	if err := h.Close(ctx); err != nil {
		t.Fatal(err)
	}
}

func kept(t *testing.T, file string) (out []event) {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		var e event
		if err := json.Unmarshal(lines.Bytes(), &e); err != nil {
			t.Fatalf("%q: %v", lines.Text(), err)
		}
		out = append(out, e)
	}
	return out
}

// TestTellAtOnce: many tell at once, each event is told, and those of one teller
// in its order; all of it in the order of InOrder.
func TestTellAtOnce(t *testing.T) {
	file := filepath.Join(t.TempDir(), "told")
	h, _ := hook(t, mostWaiting, commandWithin, "told-keep", file)
	var want []event
	var all sync.WaitGroup
	for i := range 5 {
		all.Go(func() {
			for n := range 4 {
				err := h.InOrder(func() error {
					e := event{fmt.Sprintf("%d; touch x $(y) `z`", i), n}
					want = append(want, e)
					h.Tell(e)
					return nil
				})
				if err != nil {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	closed(t, h)
	if got := kept(t, file); fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("told %v\nwant %v", got, want)
	}
	if c := h.Counts(); c != (Counts{Done: 20}) {
		t.Errorf("%+v", c)
	}
}

// TestFullQueue: telling never waits, and what does not fit is dropped, counted
// and logged; the rest is told in its order.
func TestFullQueue(t *testing.T) {
	dir := t.TempDir()
	file, go_ := filepath.Join(dir, "told"), filepath.Join(dir, "go")
	h, log := hook(t, 2, commandWithin, "told-slow", file, go_)
	h.Tell(event{"a", 0})
	for h.Counts().Waiting > 0 { // until the command has the first
		time.Sleep(time.Millisecond)
	}
	for n := 1; n < 6; n++ {
		h.Tell(event{"a", n})
	}
	if c := h.Counts(); c != (Counts{Dropped: 3, Waiting: 2}) {
		t.Errorf("%+v, want 3 dropped and 2 waiting", c)
	}
	if err := os.WriteFile(go_, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	closed(t, h)
	if got := kept(t, file); fmt.Sprint(got) != "[{a 0} {a 1} {a 2}]" {
		t.Errorf("told %v", got)
	}
	if n := strings.Count(log.String(), "queue is full"); n != 3 || !strings.Contains(log.String(), `N\":5`) {
		t.Errorf("the log names %d drops: %s", n, log)
	}
	h.Tell(event{"late", 0})
	if c := h.Counts(); c.Dropped != 4 {
		t.Errorf("after the end: %+v", c)
	}
}

// TestFailures: a command that fails or hangs is counted and logged, and the next
// event is told all the same.
func TestFailures(t *testing.T) {
	h, log := hook(t, 9, commandWithin, "told-fail")
	h.Tell(event{"a", 1})
	h.Tell(event{"a", 2})
	closed(t, h)
	if c := h.Counts(); c != (Counts{Failed: 2}) {
		t.Errorf("%+v", c)
	}
	if got := log.String(); !strings.Contains(got, "exit status 3") || !strings.Contains(got, "nobody is there") || len(got) > 2*mostSaid+2000 {
		t.Errorf("the log has %d bytes: %.300s", len(got), got)
	}
	h, log = hook(t, 9, 50*time.Millisecond, "told-wait")
	h.Tell(event{"a", 1})
	closed(t, h)
	if c := h.Counts(); c != (Counts{Failed: 1}) || !strings.Contains(log.String(), "stopped after 50ms") {
		t.Errorf("%+v: %s", c, log)
	}
}

// TestCloseGivesUp: an end that cannot wait says what was not told.
func TestCloseGivesUp(t *testing.T) {
	h, _ := hook(t, 9, 300*time.Millisecond, "told-wait")
	h.Tell(event{"a", 1})
	h.Tell(event{"a", 2})
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Millisecond)
	defer cancel()
	if err := h.Close(ctx); err == nil || !strings.Contains(err.Error(), "not told") {
		t.Errorf("%v", err)
	}
	closed(t, h)
}

// TestNew: what cannot be run is said at the start.
func TestNew(t *testing.T) {
	log := slog.New(slog.DiscardHandler)
	for command, want := range map[string]string{"": "no command", "  ": "no command", "no-such-program-of-ours -x": "not found"} {
		if _, err := New(command, log); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", command, err, want)
		}
	}
	h, err := New(os.Args[0]+" told-fail a;b", log)
	if err != nil || len(h.command) != 3 || h.command[2] != "a;b" {
		t.Fatalf("%v, %v", h, err)
	}
	closed(t, h)
	var none *Hook
	none.Tell(event{})
	if err := none.InOrder(func() error { return nil }); err != nil || none.Counts() != (Counts{}) || none.Close(context.Background()) != nil {
		t.Error("a nil hook does something")
	}
}
