package pages_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image/png"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// TestWineLooks holds the colours at depths and lights, and the spectrum, against the
// interface's answers about the same wine.
func TestWineLooks(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	wine, _ := add(t, s, record.WineFields{Name: "Red <7>", Kind: record.Red}, record.Reading{Measurement: readings(0.243, 0.412, 0.069, 1)})
	at := "/wines/" + wine.ID
	tree, said := opened(t, h, at)
	says(t, said, "At other depths and under other lights", "tasting glass, 50 mL", "Spectrum", "The band is two standard uncertainties either way (k = 2)", "As read, brought to 10 mm")
	var tables [][]string
	for _, lamp := range []string{"D65", "A", "FL11", "LED-B3"} {
		rows := rowsUnder(tree, lampName(lamp))
		if len(rows) != 7 {
			t.Fatalf("%s: %d rows, want a heading and 6 depths: %q", lamp, len(rows), rows)
		}
		tables = append(tables, rows)
		for i, depth := range []float64{1, 5, 10, 20, calc.GlassDepthMM, 100} {
			body := fmt.Sprintf(`{"wine": {"id": %q}, "view": {"illuminant": %q, "path_mm": %g}}`, wine.ID, lamp, depth)
			r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420/v1/colour", strings.NewReader(body))
			r.Header.Set("Content-Type", "application/json")
			w := httptest.NewRecorder()
			h.ServeHTTP(w, r)
			var answer calc.ColourResponse
			if err := json.Unmarshal(w.Body.Bytes(), &answer); err != nil || w.Code != http.StatusOK {
				t.Fatalf("%d, %v", w.Code, err)
			}
			c := answer.Colour
			row := rows[i+1]
			want := []string{*c.SRGB, fmt.Sprintf("%g", depth), fmt.Sprintf("%.1f ± ", c.CIELAB.L), minus(fmt.Sprintf("%.1f ± ", c.CIELAB.A)), minus(fmt.Sprintf("%.1f ± ", c.CIELAB.B))}
			if !*c.InSRGBGamut {
				want = append(want, "clipped")
			}
			for _, cell := range want {
				cell = strings.TrimPrefix(cell, "−0.0 ") // a page writes it without the sign
				if !strings.Contains(row, cell) {
					t.Errorf("%s, %g mm: the row has no %q: %s", lamp, depth, cell, row)
				}
			}
		}
	}
	if strings.Join(tables[0], "") == strings.Join(tables[1], "") {
		t.Error("daylight and lamp are one")
	}
	for _, name := range []string{"spectrum", "history"} {
		svg := get(t, h, at+"/"+name+".svg")
		if body := svg.Body.String(); svg.Code != http.StatusOK || svg.Header().Get("Content-Type") != "image/svg+xml" || !strings.Contains(body, "Red &lt;7&gt;") || strings.Contains(body, ` style="`) {
			t.Errorf("%s.svg: %d %q %.300s", name, svg.Code, svg.Header(), body)
		}
		picture := get(t, h, at+"/"+name+".png")
		if _, err := png.Decode(bytes.NewReader(picture.Body.Bytes())); err != nil {
			t.Errorf("%s.png: %d, %v", name, picture.Code, err)
		}
	}

	unread, _ := add(t, s, record.WineFields{Name: "Not read", Kind: record.Other})
	if _, said := opened(t, h, "/wines/"+unread.ID); strings.Contains(said, "Spectrum") || strings.Contains(said, "The colour over time") {
		t.Error("of a wine that nothing was read of there are pictures")
	}
	for _, address := range []string{"/wines/" + unread.ID + "/spectrum.svg", "/wines/" + unread.ID + "/history.png", "/wines/0192f000-0000-7000-8000-000000000000/spectrum.svg", at + "/spectrum"} {
		if w := get(t, h, address); w.Code != http.StatusNotFound {
			t.Errorf("GET %s = %d, want 404", address, w.Code)
		}
	}
}

// lampName is a light as the pages call it.
func lampName(lamp string) string {
	return map[string]string{"D65": "D65, daylight", "A": "A, incandescent lamp", "FL11": "FL11, three-band fluorescent tube", "LED-B3": "LED-B3, neutral white LED"}[lamp]
}

// TestWineHistory: each reading is there with its own colour, superseded ones too;
// archived ones are counted.
func TestWineHistory(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	at := func(month time.Month) record.Circumstances {
		taken := record.At(time.Date(2026, month, 3, 9, 30, 0, 0, time.UTC))
		return record.Circumstances{TakenAt: &taken}
	}
	wine, read := add(t, s, record.WineFields{Name: "Tank 4", Kind: record.Rose},
		record.Reading{Measurement: readings(0.142, 0.118, 0.021, 10), Circumstances: at(2)},
		record.Reading{Measurement: readings(0.150, 0.110, 0.022, 10), Circumstances: at(5)},
		record.Reading{Measurement: readings(0.300, 0.300, 0.100, 10), Circumstances: at(6)},
	)
	if _, err := s.AddReading(t.Context(), wine.ID, record.Reading{Measurement: readings(0.143, 0.117, 0.021, 10), Supersedes: read[0].ID, Reason: "misread"}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.ArchiveReading(t.Context(), read[2].ID, "another wine's"); err != nil {
		t.Fatal(err)
	}
	tree, said := opened(t, h, "/wines/"+wine.ID)
	says(t, said, "The colour over time", "Archived ones are left out: 1.", "3 readings, from 2026-02-03 to 2026-05-03. Superseded and drawn open: 1. Left out: 1 archived.")
	rows := rowsUnder(tree, "The readings in numbers")
	if len(rows) != 4 {
		t.Fatalf("%d rows: %q", len(rows), rows)
	}
	for i, want := range []string{"2026-05-03 09:30 UTC 0.282 ± 0.003 1.36 ± ", "2026-02-03 09:30 UTC 0.281 ± 0.003 1.22 ± ", "2026-02-03 09:30 UTC Superseded 0.281 ± 0.003 1.20 ± "} {
		if !strings.Contains(rows[i+1], want) {
			t.Errorf("row %d is %q, want %q in it", i+1, rows[i+1], want)
		}
	}
}
