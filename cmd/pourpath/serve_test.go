package main

import (
	"bufio"
	"context"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"pourpath/api/calc"
)

// started runs a command that serves and returns its address, its first lines,
// and what ends it and gives its exit status.
func started(t *testing.T, args ...string) (address, told string, stop func() int) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	t.Cleanup(cancel)
	read, write := io.Pipe()
	ended := make(chan int, 1)
	go func() {
		ended <- run(ctx, args, strings.NewReader(""), write, io.Discard)
		if err := write.Close(); err != nil {
			t.Error(err)
		}
	}()
	lines := bufio.NewScanner(read)
	for lines.Scan() {
		told += lines.Text() + "\n"
		if m := regexp.MustCompile(`serves on (https?://\S+?)/ `).FindStringSubmatch(told); m != nil {
			go func() { _, _ = io.Copy(io.Discard, read) }() // what else it tells must not keep it waiting
			return m[1], told, func() int {
				cancel()
				select {
				case exit := <-ended:
					return exit
				case <-time.After(20 * time.Second):
					t.Fatal("the service did not end")
				}
				return -1
			}
		}
	}
	t.Fatalf("pourpath %v ended with %d: %s", args, <-ended, told)
	return "", "", nil
}

func get(t *testing.T, url string) (int, string) {
	t.Helper()
	r, err := http.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	body, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return r.StatusCode, string(body)
}

// TestServe: port 0 takes a free one and tells it, the folder is made, and being
// asked to stop is no failure.
func TestServe(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "cellar")
	address, _, stop := started(t, "serve", "--listen", "localhost:0", "--data", dir)
	if status, body := get(t, address+"/readyz"); status != http.StatusOK {
		t.Errorf("GET /readyz = %d %s", status, body)
	}
	r, err := http.Post(address+"/v1/scale", "application/json", strings.NewReader(calc.ExampleScale))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	if r.StatusCode != http.StatusOK {
		t.Errorf("POST /v1/scale = %d", r.StatusCode)
	}
	if exit := stop(); exit != 0 {
		t.Errorf("exit %d after being asked to stop, want 0", exit)
	}
	if c, err := net.Dial("tcp", strings.TrimPrefix(address, "http://")); err == nil {
		t.Error("the service listens after its end", c.Close())
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 2 || left[0].Name() != "records.lock" || left[1].Name() != "records.sqlite" {
		t.Errorf("the data folder holds %v, %v; want the database, all in one file", left, err)
	}
}

// TestServeOnVerdict: the command is told of a verdict that is given through the
// service, and one that cannot be run is refused before anything is served.
func TestServeOnVerdict(t *testing.T) {
	got := pourpath("", "serve", "--listen", "127.0.0.1:0", "--data", t.TempDir(), "--on-verdict", "no-such-program-of-ours")
	if got.exit != 2 || !strings.Contains(got.err, "--on-verdict") || !strings.Contains(got.err, "not found") {
		t.Errorf("%+v, want exit 2", got)
	}
	file := filepath.Join(t.TempDir(), "told")
	address, _, stop := started(t, "serve", "--listen", "127.0.0.1:0", "--data", t.TempDir(), "--on-verdict", "tee -a "+file)
	post := func(path, body string) (id string) {
		r, err := http.Post(address+path, "application/json", strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		var answer struct {
			ID string `json:"id"`
		}
		if err := json.NewDecoder(r.Body).Decode(&answer); err != nil || r.StatusCode != http.StatusCreated {
			t.Fatalf("%s: status %d, %v", path, r.StatusCode, err)
		}
		return answer.ID
	}
	spec := post("/v1/specs", `{"limits": {"L": [50, 100]}}`)
	lot := post("/v1/lots", `{"name": "L-31", "spec": "`+spec+`"}`)
	post("/v1/lots/"+lot+"/samples", `{"readings": {"a420": 0.2, "a520": 0.2, "a620": 0.05}}`)
	if exit := stop(); exit != 0 {
		t.Errorf("exit %d", exit)
	}
	told, err := os.ReadFile(file)
	if err != nil || !strings.Contains(string(told), `"event":"verdict"`) || !strings.Contains(string(told), `"before":null,"after":"pass"`) {
		t.Errorf("told %s, %v", told, err)
	}
}

func TestServeOnATakenPort(t *testing.T) {
	address, _, stop := started(t, "serve", "--listen", "127.0.0.1:0", "--data", t.TempDir())
	got := pourpath("", "serve", "--listen", strings.TrimPrefix(address, "http://"), "--data", t.TempDir())
	if got.exit != 1 || !strings.Contains(got.err, "in use") {
		t.Errorf("%+v, want exit 1", got)
	}
	if exit := stop(); exit != 0 {
		t.Errorf("exit %d", exit)
	}
}

// TestDemo: the invented cellar is there while it is served, its requests work,
// and nothing of it is left.
func TestDemo(t *testing.T) {
	address, told, stop := started(t, "demo")
	m := regexp.MustCompile(`pourpath ladder -f (\S+)`).FindStringSubmatch(told)
	if m == nil {
		t.Fatalf("no request to try in %q", told)
	}
	if got := pourpath("", "ladder", "-f", m[1]); got.exit != 0 {
		t.Errorf("the demonstration's ladder is refused: %s", got.err)
	}
	if status, page := get(t, address+"/"); status != http.StatusOK || !strings.Contains(page, "<html") {
		t.Errorf("GET / = %d %.200s", status, page)
	}
	if exit := stop(); exit != 0 {
		t.Errorf("exit %d", exit)
	}
	if _, err := os.Stat(filepath.Dir(m[1])); !os.IsNotExist(err) {
		t.Errorf("the temporary folder is left behind: %v", err)
	}
}
