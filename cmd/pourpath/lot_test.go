package main

import (
	"bytes"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"

	"pourpath/api"
	"pourpath/api/record"
	"pourpath/api/release"
	"pourpath/api/store"
)

// aDesk runs the commands of the release check on a store of its own.
type aDesk struct {
	t    *testing.T
	data string
}

func (d aDesk) run(in string, args ...string) result {
	d.t.Helper()
	return pourpath(in, append(append([]string{}, args...), "--data", d.data)...)
}

// does wants a command to succeed and to say something.
func (d aDesk) does(wanted []string, args ...string) string {
	d.t.Helper()
	got := d.run("", args...)
	if got.exit != 0 || got.err != "" {
		d.t.Fatalf("%v: exit %d, %s", args, got.exit, got.err)
	}
	for _, w := range wanted {
		if !strings.Contains(got.out, w) {
			d.t.Errorf("%v does not say %q; it says:\n%s", args, w, got.out)
		}
	}
	return got.out
}

// printed is what a command prints as JSON.
func printed[T any](d aDesk, args ...string) (out T) {
	d.t.Helper()
	got := d.run("", append(args, "--json")...)
	if err := json.Unmarshal([]byte(got.out), &out); err != nil || got.exit != 0 {
		d.t.Fatalf("%v: exit %d, %v: %s%s", args, got.exit, err, got.out, got.err)
	}
	return out
}

// The target's colour, as readings of the wine give it for three samples: near it,
// nearly as near, and far off.
var (
	houseSpec = []string{
		"--name", "House rosé", "--product", "House 750 mL", "--target-L", "84.2", "--target-a", "13.1", "--target-b", "8.4",
		"--delta-e-00", "4", "--limits-L", "80,90", "--warning-L", "82,88", "--rule", "guarded", "--reading-method", "cielab", "--reading-decimals", "2", "--approved-by", "Ada",
	}
	onTarget = []string{"--cielab-L", "84.20", "--cielab-a", "13.10", "--cielab-b", "8.40", "--cielab-path-mm", "10"}
	farOff   = []string{"--cielab-L", "89.00", "--cielab-a", "8.00", "--cielab-b", "3.00", "--cielab-path-mm", "10"}
)

func with(words []string, more ...[]string) []string {
	out := append([]string{}, words...)
	for _, m := range more {
		out = append(out, m...)
	}
	return out
}

// atHouse is a desk with a specification and a lot.
func atHouse(t *testing.T) aDesk {
	t.Helper()
	d := aDesk{t, t.TempDir()}
	d.does([]string{"Version 1, holds always, approved by Ada, for House 750 mL", "ΔE00", "at most 4", "L* from 80 to 90 (warning outside 82 to 88)", "A lot can pass"}, with([]string{"spec", "add"}, houseSpec)...)
	d.does([]string{"L-31", "version 1", "Bottled: 2025-11-2", "No sample was judged yet.", "Nothing was decided yet."},
		"lot", "add", "--name", "L-31", "--spec", "house rosé", "--bottled-at", "2025-11-20")
	return d
}

// TestReleaseByCommands goes from a specification to a released lot by commands
// alone, with the stop rule on the way: a newest sample outside says stop.
func TestReleaseByCommands(t *testing.T) {
	t.Parallel()
	d := atHouse(t)
	d.does([]string{"passed"}, "instrument", "add-check", "--instrument", "bench 2", "--kind", "blank", "--points", "certified=0,limit=0.002,reading=0.001", "--by", "Ada")
	d.does([]string{"Sample ", ", beginning", "Verdict: pass", "Bottling run: go on"}, with([]string{"lot", "sample", "L-31", "--stage", "beginning", "--instrument", "Bench 2", "--free-so2-mg-per-l", "28", "--filtered", "true", "--exit-verdict"}, onTarget)...)
	if got := d.run("", with([]string{"lot", "sample", "L-31", "--stage", "middle", "--exit-verdict"}, farOff)...); got.exit != exitFail || !strings.Contains(got.out, "Bottling run: STOP.") {
		t.Errorf("a sample outside: exit %d, %s%s", got.exit, got.out, got.err)
	}
	d.does([]string{"Verdict: fail"}, with([]string{"lot", "sample", "L-31", "--stage", "end"}, farOff)...)
	d.does([]string{"Bottling run: STOP. The newest sample (end) is outside"}, "lot", "run", "L-31")
	d.does([]string{"Held by Ada", "on 3 verdicts: read again"}, "lot", "decide", "L-31", "hold", "--by", "Ada", "--reason", "read again")
	if got := d.run("", "lot", "decide", "L-31", "release", "--by", "Ada"); got.exit != 2 || !strings.Contains(got.err, "/reason: the newest verdict on 2 of the lot's samples is no pass") {
		t.Errorf("a release without a reason: exit %d, %s", got.exit, got.err)
	}
	// A wider version passes all three: ΔE00 of the farthest is about 8 and its L* 4.8 off.
	wide := with(houseSpec)
	wide[11], wide[13], wide[15] = "30", "50,100", "51,99"
	d.does([]string{"Version 2"}, with([]string{"spec", "new-version", "House rosé", "--after-version", "1"}, wide)...)
	d.does([]string{"version 1  holds always", "version 2  holds from "}, "spec", "versions", "House rosé")
	d.does([]string{"3 judged, 2 changed. The verdicts before stay."}, "lot", "judge", "L-31", "--version", "2")
	d.does([]string{"Released by Ada", "on 3 verdicts"}, "lot", "decide", "L-31", "release", "--by", "Ada")
	d.does([]string{"Held by Ada", "Released by Ada"}, "lot", "decisions", "L-31")
	d.does([]string{"newest verdict", "beginning", "middle", "end", "Released by Ada"}, "lot", "show", "l-31")
	d.does([]string{"L-31  bottled 2025-11-2"}, "lot", "list")
	d.does([]string{"6 verdicts computed anew: 6 have the same figures, 0 differ."}, "verdicts", "verify")
	d.does([]string{"6 verdicts"}, "verdicts", "verify", "--lot", "L-31")
	if got := printed[itemsOf[record.Verdict]](d, "lot", "verdicts", "L-31"); len(got.Items) != 6 || got.Items[1].Verdict != "fail" || got.Items[4].Verdict != "pass" {
		t.Errorf("the verdicts: %+v", got.Items)
	}
	d.does(nil, "lot", "add", "--name", "L-32", "--product", "House 750 mL")
	d.does([]string{"Verdict: pass"}, with([]string{"lot", "sample", "L-32"}, onTarget)...)
	d.does([]string{"on one verdict"}, "lot", "decide", "L-32", "release", "--by", "Ada")
	d.does([]string{"Reference: the mean of 2 released lots", "Approved lots: 2"}, "spec", "add", "--name", "Next year", "--reference-lots", "L-31,L-32", "--delta-e-00", "9")
}

// TestReleaseJSONIsTheServices: --json prints what the service answers, letter by
// letter but for the space between.
func TestReleaseJSONIsTheServices(t *testing.T) {
	t.Parallel()
	d := atHouse(t)
	d.does(nil, with([]string{"lot", "sample", "L-31", "--stage", "beginning", "--instrument", "bench 2"}, onTarget)...)
	d.does(nil, "instrument", "add-check", "--instrument", "bench 2", "--kind", "blank", "--points", "certified=0,limit=0.002,reading=0.009", "--checked-at", "2026-01-01")
	d.does(nil, "lot", "decide", "L-31", "release", "--by", "Ada")
	lot := printed[release.LotAnswer](d, "lot", "show", "L-31")
	check := printed[itemsOf[record.InstrumentCheck]](d, "instrument", "list").Items[0]
	st, err := store.Open(t.Context(), store.Config{Dir: d.data})
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := st.Close(); err != nil {
			t.Error(err)
		}
	}()
	service, err := api.New(api.Config{Version: version, DataDir: d.data, Records: st, Log: slog.New(slog.DiscardHandler)})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		path, body string
		args       []string
	}{
		{"/v1/specs", "", []string{"spec", "list"}},
		{"/v1/specs/" + lot.Spec, "", []string{"spec", "show", "House rosé"}},
		{"/v1/specs/" + lot.Spec + "/versions", "", []string{"spec", "versions", "House rosé"}},
		{"/v1/lots", "", []string{"lot", "list"}},
		{"/v1/lots/" + lot.ID, "", []string{"lot", "show", "L-31"}},
		{"/v1/lots/" + lot.ID + "/run", "", []string{"lot", "run", lot.ID[:18]}},
		{"/v1/lots/" + lot.ID + "/verdicts", "", []string{"lot", "verdicts", "L-31"}},
		{"/v1/lots/" + lot.ID + "/decisions", "", []string{"lot", "decisions", "L-31"}},
		{"/v1/instrument-checks", "", []string{"instrument", "list"}},
		{"/v1/instrument-checks/" + check.ID, "", []string{"instrument", "show", check.ID}},
		{"/v1/verdicts/verify", `{}`, []string{"verdicts", "verify"}},
		{"/v1/feasibility", `{"spec":{"limits":{"L":[80,90]},"rule":"guarded","reading_method":{"source":"readings","path_mm":20}},"view":{"observer":"2"}}`,
			[]string{"spec", "feasibility", "--limits-L", "80,90", "--rule", "guarded", "--reading-method", "readings", "--reading-path-mm", "20", "--observer", "2"}},
	} {
		method, in := http.MethodGet, io.Reader(nil)
		if c.body != "" {
			method, in = http.MethodPost, strings.NewReader(c.body)
		}
		request := httptest.NewRequest(method, "http://127.0.0.1"+c.path, in)
		request.RemoteAddr = "127.0.0.1:40000"
		request.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		service.ServeHTTP(w, request)
		var want, got bytes.Buffer
		if err := json.Compact(&want, w.Body.Bytes()); err != nil || w.Code != http.StatusOK {
			t.Errorf("%s: %d, %v: %s", c.path, w.Code, err, w.Body)
			continue
		}
		shown := d.run("", append(c.args, "--json")...)
		if err := json.Compact(&got, []byte(shown.out)); err != nil || shown.exit != 0 || got.String() != want.String() {
			t.Errorf("%v: exit %d, %v, %s\n%s\nthe service answers\n%s", c.args, shown.exit, err, shown.err, got.String(), want.String())
		}
	}
}

// TestFeasibility: a tolerance that three readings are too coarse for is told before
// anything is measured, alike by spec add, spec show and spec feasibility; and how
// else to read helps.
func TestFeasibility(t *testing.T) {
	t.Parallel()
	d := aDesk{t, filepath.Join(t.TempDir(), "records")}
	tight := []string{"--target-L", "84.2", "--target-a", "13.1", "--target-b", "8.4", "--delta-e-00", "1", "--rule", "guarded", "--reading-method", "readings"}
	never := []string{"NO WINE CAN PASS", "if you scan from 380 to 780 nm", "it would pass from a tolerance of ΔE00 2."}
	d.does(never, with([]string{"spec", "feasibility"}, tight)...)
	d.does(never, with([]string{"spec", "add", "--name", "Tight"}, tight)...)
	d.does(never, "spec", "show", "Tight")
	d.does(never, "spec", "feasibility", "Tight")
	d.does([]string{"A lot can pass"}, "spec", "feasibility", "Tight", "--reading-method", "spectrum")
	d.does([]string{"A lot can pass"}, "spec", "feasibility", "Tight", "--delta-e-00", "5")
	body := d.does(nil, "spec", "show", "Tight", "--body")
	if got := d.run(body, "spec", "feasibility"); got.exit != 0 || !strings.Contains(got.out, never[0]) {
		t.Errorf("what show --body prints: exit %d, %s%s", got.exit, got.out, got.err)
	}
	if got := d.run(body, "spec", "new-version", "Tight", "--after-version", "1"); got.exit != 0 || !strings.Contains(got.out, "Version 2") {
		t.Errorf("what show --body prints as a version: exit %d, %s%s", got.exit, got.out, got.err)
	}
	d.does([]string{"How lots are read is not said"}, "spec", "add", "--name", "Loose", "--limits-L", "80,90")
}

// TestVerdictThatDiffers: one stored figure that is not found again ends the command
// with status 1, and is named with both.
func TestVerdictThatDiffers(t *testing.T) {
	t.Parallel()
	d := atHouse(t)
	d.does(nil, with([]string{"lot", "sample", "L-31"}, onTarget)...)
	wrong := printed[itemsOf[record.Verdict]](d, "lot", "verdicts", "L-31").Items[0]
	half := 0.5
	wrong.Probability = &half
	st, err := store.Open(t.Context(), store.Config{Dir: d.data})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := st.AddVerdicts(t.Context(), []record.Verdict{wrong}); err != nil {
		t.Fatal(err)
	}
	if err := st.Close(); err != nil {
		t.Fatal(err)
	}
	got := d.run("", "verdicts", "verify")
	for _, want := range []string{"2 verdicts computed anew: 1 have the same figures, 1 differ.", "/probability: stored 0.5, now 1"} {
		if got.exit != exitFailure || !strings.Contains(got.out, want) {
			t.Errorf("exit %d, %s%s, want %q", got.exit, got.out, got.err, want)
		}
	}
	if got := d.run("", "verdicts", "verify", "--json"); got.exit != exitFailure || !strings.Contains(got.out, `"location": "/probability"`) {
		t.Errorf("--json: exit %d, %s%s", got.exit, got.out, got.err)
	}
}
