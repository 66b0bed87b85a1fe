package upload

import (
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// waited sends a form to an empty folder of waiting files.
func waited(t *testing.T, w *Waiting, parts []part) (keys []string, err error) {
	t.Helper()
	server := httptest.NewServer(http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) { keys, err = w.Receive(rw, r) }))
	defer server.Close()
	post(t, server, "", parts)
	return keys, err
}

func newWaiting(t *testing.T) *Waiting {
	t.Helper()
	w := NewWaiting(t.TempDir())
	if list, err := w.List(); err != nil || list != nil {
		t.Errorf("before anything came: %v, %v", list, err)
	}
	if err := os.Mkdir(w.dir, 0o700); err != nil {
		t.Fatal(err)
	}
	return w
}

func TestWaitingReceives(t *testing.T) {
	file := part{"file", "log.csv", "name;a420\n"}
	for _, c := range []struct {
		name  string
		parts []part
		names []string
		fault string
	}{
		{name: "a file", parts: []part{file, {"cells", "", " \r\n"}}, names: []string{"log.csv"}},
		{name: "a name without end", parts: []part{{"file", strings.Repeat("log", 1e6), "x"}}, names: []string{strings.Repeat("log", 1e6)[:200]}},
		{name: "several", parts: []part{file, {"file", "next.csv", "x"}}, names: []string{"log.csv", "next.csv"}},
		{name: "cells", parts: []part{{"file", "", ""}, {"cells", "", "name\ta420"}}, names: []string{"pasted cells"}},
		{name: "an empty file with a name", parts: []part{{"file", "empty.csv", ""}}, names: []string{"empty.csv"}},
		{name: "nothing", parts: []part{{"file", "", ""}, {"cells", "", ""}}, fault: "/file there is nothing to read"},
		{name: "too much pasted", parts: []part{{"cells", "", strings.Repeat("x", mostPasted+1)}}, fault: "/cells more was pasted than is taken"},
		{name: "as many as wait", parts: slices.Repeat([]part{file}, mostWaiting), names: slices.Repeat([]string{"log.csv"}, mostWaiting)},
		{name: "too many", parts: slices.Repeat([]part{file}, mostWaiting+1), fault: "/file up to 20 files are taken at a time: the first 20 wait, and log.csv"},
		{name: "unknown field", parts: []part{file, {"dry_run", "", "true"}}, fault: "/dry_run unknown field"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := newWaiting(t)
			keys, err := waited(t, w, c.parts)
			if c.fault != "" {
				if p := calc.AsProblem(err); p == nil || !strings.HasPrefix(p.Errors[0].Location+" "+p.Errors[0].Message, c.fault) {
					t.Errorf("%v, want %q", err, c.fault)
				}
				return
			}
			if err != nil || len(keys) != len(c.names) {
				t.Fatalf("%v, %v", keys, err)
			}
			for i, key := range keys {
				d, content, err := w.Open(key)
				if err != nil || d.Name != c.names[i] {
					t.Fatalf("%+v, %v, want %s", d, err, c.names[i])
				}
				text, err := io.ReadAll(content)
				if err != nil || int64(len(text)) != d.Bytes {
					t.Errorf("%q, %v", text, err)
				}
				content.Close()
			}
		})
	}
}

// TestWaitingMakesRoom: what is sent at once never puts a part of itself away, and what
// else made room for it is told with it.
func TestWaitingMakesRoom(t *testing.T) {
	w := newWaiting(t)
	w.bytes = 100
	names := func() (list []string) {
		t.Helper()
		drafts, err := w.List()
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range drafts {
			list = append(list, d.Name)
		}
		slices.Sort(list)
		return list
	}
	some := strings.Repeat("x", 40)
	if keys, err := waited(t, w, []part{{"file", "old.csv", some}, {"file", "older.csv", some}}); err != nil || len(keys) != 2 {
		t.Fatal(keys, err)
	}
	keys, err := waited(t, w, []part{{"file", "a.csv", some}, {"file", "b.csv", some}})
	if err != nil || !slices.Equal(names(), []string{"a.csv", "b.csv"}) {
		t.Fatalf("%v, %q wait", err, names())
	}
	d, content, err := w.Open(keys[0])
	if err != nil || len(d.MadeRoom) != 2 || !slices.Contains(d.MadeRoom, "old.csv") || !slices.Contains(d.MadeRoom, "older.csv") {
		t.Errorf("%v, told is %q", err, d.MadeRoom)
	}
	content.Close()
	keys, err = waited(t, w, []part{{"file", "c.csv", some}, {"file", "d.csv", some}, {"file", "e.csv", some}})
	if p := calc.AsProblem(err); p == nil || !strings.Contains(p.Errors[0].Message, "100 bytes that may wait: e.csv and what follows it were not taken") {
		t.Errorf("just over the bound: %v", err)
	}
	if len(keys) != 2 || !slices.Equal(names(), []string{"c.csv", "d.csv"}) {
		t.Errorf("%q wait, want the first two", names())
	}
	if left, err := filepath.Glob(filepath.Join(w.dir, ".upload-*")); err != nil || len(left) > 0 {
		t.Errorf("left: %v, %v", left, err)
	}
	if d, content, err := w.Open(keys[0]); err != nil || len(d.MadeRoom) != 2 {
		t.Errorf("%v, told is %q", err, d.MadeRoom)
	} else {
		content.Close()
	}
}

// TestWaitingIsBounded in count, size and age; what is put away is gone, and
// leaves nothing.
func TestWaitingIsBounded(t *testing.T) {
	w := newWaiting(t)
	now := time.Date(2026, 11, 26, 8, 0, 0, 0, time.UTC)
	w.now = func() time.Time { now = now.Add(time.Second); return now }
	put := func(size int64) string {
		t.Helper()
		file, err := os.CreateTemp(w.dir, ".upload-*")
		if err == nil {
			err = file.Truncate(size)
		}
		if err != nil {
			t.Fatal(err)
		}
		key, _, err := w.keep(file, Draft{Name: "x"})
		if err != nil {
			t.Fatal(err)
		}
		return key
	}
	first := put(1)
	for range mostWaiting {
		put(1)
	}
	if _, _, err := w.Open(first); !errors.Is(err, ErrGone) {
		t.Errorf("the oldest of too many: %v", err)
	}
	last := put(maxFileBytes - 1) // sparse
	if list, err := w.List(); err != nil || len(list) != 2 || list[0].Key != last {
		t.Errorf("beside a large one: %v, %v", list, err)
	}
	to := "0.1"
	if d, err := w.Change(last, func(d *Draft) { d.Corrections = []record.Correction{{Row: 3, Column: "A420", To: &to}} }); err != nil || len(d.Corrections) != 1 {
		t.Error(err)
	}
	if d, file, err := w.Open(last); err != nil || *d.Corrections[0].To != to {
		t.Errorf("%+v, %v", d, err)
	} else {
		file.Close()
	}
	now = now.Add(longestWait)
	if list, err := w.List(); err != nil || len(list) != 0 {
		t.Errorf("a day later: %v, %v", list, err)
	}
	key := put(1)
	for range 2 {
		if err := w.Remove(key); err != nil {
			t.Error(err)
		}
	}
	for _, bad := range []string{key, "", "../" + key, "x"} {
		if _, _, err := w.Open(bad); !errors.Is(err, ErrGone) {
			t.Errorf("%q: %v", bad, err)
		}
		if _, err := w.Change(bad, func(*Draft) {}); !errors.Is(err, ErrGone) {
			t.Errorf("%q: %v", bad, err)
		}
	}
	if left, err := filepath.Glob(filepath.Join(w.dir, "*")); err != nil || len(left) > 0 {
		t.Errorf("left: %v, %v", left, err)
	}
}

// TestWaitingAfterPowerLoss: a draft that is cut short takes its own file along, and
// no other.
func TestWaitingAfterPowerLoss(t *testing.T) {
	w := newWaiting(t)
	keys, err := waited(t, w, []part{{"file", "log.csv", "name;a420\n"}, {"file", "next.csv", "x"}})
	if err != nil || len(keys) != 2 {
		t.Fatal(keys, err)
	}
	for path, text := range map[string]string{w.draft(keys[0]): "", w.draft(keys[0]) + ".new": `{"na`} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if _, _, err := w.Open(keys[0]); !errors.Is(err, ErrGone) {
		t.Error(err)
	}
	if list, err := w.List(); err != nil || len(list) != 1 || list[0].Key != keys[1] {
		t.Errorf("%v, %v", list, err)
	}
	if left, err := filepath.Glob(filepath.Join(w.dir, "*")); err != nil || len(left) != 2 {
		t.Errorf("left: %v, %v", left, err)
	}
}
