package api

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
)

// TestStatementPapers: a statement, and a draft, as a page and as PDF, for what a
// sample may be known by and a specification may ask; their figures are those of
// the record.
func TestStatementPapers(t *testing.T) {
	r := newRecorder(t)
	r.add("/v1/instrument-checks", `{"instrument": "S2", "kind": "filter", "points": [{"nm": 520, "certified": 0.5, "limit": 0.01, "reading": 0.6}], "checked_at": "2026-01-01"}`)
	const target = `"target": {"cielab": {"L": 87, "a": 13, "b": 5}}`
	var nm, transmittance []string
	for at := 400; at <= 700; at += 10 {
		nm = append(nm, fmt.Sprint(at))
		transmittance = append(transmittance, fmt.Sprint(60+(at-400)/10))
	}
	scan := fmt.Sprintf(`{"spectrum": {"nm": [%s], "transmittance_percent": [%s], "path_mm": 10}, "stage": "middle", "bottle": "2400"}`, strings.Join(nm, ","), strings.Join(transmittance, ","))
	for _, c := range []struct {
		name, spec, sample string
		says               []string
	}{
		{"guarded", `{"name": "House", ` + target + `, "tolerance": {"delta_e_00": 30}, "rule": "guarded", "approved_by": "Bea", "reading_method": {"source": "readings", "extra_nm": [460]}}`,
			`{"readings": {"a420": 0.196, "a520": 0.216, "a620": 0.043, "extra": [{"nm": 460, "absorbance": 0.150}]}, "state": {"free_so2_mg_per_l": 28, "filtered": true}, "analyst": "Ada"}`,
			[]string{"Within spec with probability above 0.99", "Absorbances at 420, 520, 620, 460 nm, 10 mm cell, undiluted", "free SO2 28 mg/L; filtered", "0.196", "House, version 1", "Bea", "absorbances at 420, 520, 620, 460 nm, 10 mm cell", "No check of the instrument is recorded", "Read by Ada"}},
		{"simple fail, hue through 0", `{"name": "House", "limits": {"h": [350, 5], "intensity": [0.2, 0.9]}}`,
			`{"readings": {"a420": 0.196, "a520": 0.216, "a620": 0.043}, "instrument": "S2"}`,
			[]string{"Outside spec at face value", "ABOVE the upper limit", "FAILED", "read 0.6, certified 0.5"}},
		{"open", `{"name": "House", ` + target + `, "tolerance": {"delta_e_00": 1.2}, "rule": "guarded"}`,
			`{"cielab": {"L": 87.20, "a": 13.9, "b": 5.3, "path_mm": 10, "illuminant": "D65", "observer": "10"}}`,
			[]string{"stated for 10 mm", "87.20", "the target of the specification"}},
		{"scan", `{"name": "House", "limits": {"blue_percent": [1, 30]}, "rule": "guarded", "max_risk": 0.01}`, scan,
			[]string{"Scan of transmittance from 400 to 700 nm, 31 values", "Middle of the run: 2400", "at least 0.99", "Transmittance at 420 nm"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			lot := r.lotOf(c.spec, `, "bottled_at": "2026-03-12"`)
			sample := r.add(lot+"/samples", c.sample)
			draft := r.printed(lot+"/statement", "text/html")
			for _, want := range append(c.says, "This is a draft: it was not issued", "It says nothing of safety", "12 March 2026") {
				if !strings.Contains(draft, want) {
					t.Errorf("the draft does not say %q", want)
				}
			}
			if strings.Contains(draft, "SHA-256") {
				t.Error("a draft has a checksum")
			}
			st := r.add(lot+"/statements", fmt.Sprintf(`{"issued_by": "Ada", "note": "first of the spring", "verdict": %q}`, sample["verdict_id"]))
			issued := r.printed(fmt.Sprintf("/v1/statements/%v?format=html", st["no"]), "*/*")
			for _, want := range append(c.says, text(st["sha256"]), "first of the spring", "confirms it", "<svg") {
				if !strings.Contains(issued, want) {
					t.Errorf("the statement does not say %q", want)
				}
			}
			for _, path := range []string{lot + "/statement", fmt.Sprintf("/v1/statements/%v", st["no"])} {
				if pdf := r.printed(path, "application/pdf"); !strings.HasPrefix(pdf, "%PDF-") || !strings.HasSuffix(strings.TrimSpace(pdf), "%%EOF") {
					t.Errorf("%s is no PDF: %.20q", path, pdf)
				}
			}
			if again := r.printed(fmt.Sprintf("/v1/statements/%v?format=html", st["no"]), "*/*"); again != issued {
				t.Error("printed again it is another page")
			}
		})
	}
	r.ask(422, call{method: "GET", path: "/v1/statements/1?format=xml"})
}

// printed is a document as it is answered.
func (r recorder) printed(path, accept string) string {
	r.t.Helper()
	w := do(r.service, call{method: "GET", path: path, header: map[string]string{"Accept": accept}})
	if w.Code != http.StatusOK || !strings.HasPrefix(w.Header().Get("Content-Disposition"), "inline; filename=") {
		r.t.Fatalf("%s = %d, %v: %s", path, w.Code, w.Header(), w.Body)
	}
	return w.Body.String()
}

// TestStatementMedia: the description of the interface lists every form that a
// statement is answered in.
func TestStatementMedia(t *testing.T) {
	r := newRecorder(t)
	described := r.get("/openapi.json")
	for _, path := range []string{"/v1/statements/{no}", "/v1/lots/{id}/statement"} {
		content := object(object(object(object(object(object(described["paths"])[path])["get"])["responses"])["200"])["content"])
		for _, media := range []string{"application/json", "application/pdf", "text/html"} {
			if object(content[media])["schema"] == nil {
				t.Errorf("%s: %s is not described", path, media)
			}
		}
	}
}
