package api

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

func TestExport(t *testing.T) {
	service := newTestService(t)
	document := served(t, service)
	if w := do(service, call{path: "/v1/wines", body: strings.Replace(exampleWine, "Tank 4", "=1+1", 1)}); w.Code != http.StatusCreated {
		t.Fatalf("%d: %s", w.Code, w.Body)
	}
	const xlsx = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
	for _, row := range []struct {
		path, accept string
		status       int
		form, file   string // of the answer
	}{
		{"/v1/export", "", 200, xlsx, "pourpath.xlsx"},
		{"/v1/export", "*/*", 200, xlsx, "pourpath.xlsx"},
		{"/v1/export?format=xlsx", "text/html", 200, xlsx, "pourpath.xlsx"},
		{"/v1/export/readings", "", 200, "text/csv", "pourpath-readings.csv"},
		{"/v1/export/readings", "text/html, */*;q=0.8", 200, "text/csv", "pourpath-readings.csv"},
		{"/v1/export/wines", xlsx, 200, xlsx, "pourpath-wines.xlsx"},
		{"/v1/export/spectra?format=csv", xlsx, 200, "text/csv", "pourpath-spectra.csv"},
		{"/v1/export/targets?format=xlsx", "", 200, xlsx, "pourpath-targets.xlsx"},
		{"/v1/export/imports", "", 200, "text/csv", "pourpath-imports.csv"},
		{"/v1/export?format=csv", "", 422, "", ""},
		{"/v1/export?format=pdf", "", 422, "", ""},
		{"/v1/export/readings?format=json", "", 422, "", ""},
		{"/v1/export/wine", "", 404, "", ""},
		{"/v1/export", "text/csv", 406, "", ""},
		{"/v1/export/wines", "application/json", 406, "", ""},
	} {
		t.Run(row.path+" "+row.accept, func(t *testing.T) {
			c := call{method: "GET", path: row.path, header: map[string]string{}}
			if row.accept != "" {
				c.header["Accept"] = row.accept
			}
			w := do(service, c)
			if w.Code != row.status {
				t.Fatalf("status %d, want %d: %.500s", w.Code, row.status, w.Body)
			}
			if row.status != http.StatusOK {
				if ok, errs := document.ValidateHttpResponse(c.request(), w.Result()); !ok && row.status != http.StatusNotFound {
					t.Error(errs)
				}
				problemOf(t, w)
				return
			}
			form, _, _ := strings.Cut(w.Header().Get("Content-Type"), ";")
			if got := w.Header().Get("Content-Disposition"); form != row.form || got != `attachment; filename="`+row.file+`"` {
				t.Errorf("%s, %s", form, got)
			}
			if form == xlsx {
				book, err := excelize.OpenReader(w.Body)
				if err != nil {
					t.Fatal(err)
				}
				if n := len(book.GetSheetList()); n != 1 && row.file != "pourpath.xlsx" || n == 0 {
					t.Errorf("%d sheets", n)
				}
				return
			}
			rows, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(w.Body.Bytes(), []byte("\ufeff")))).ReadAll()
			if err != nil || len(rows) == 0 {
				t.Fatal(err, rows)
			}
			if row.file == "pourpath-readings.csv" && (len(rows) != 2 || rows[1][0] != "'=1+1") {
				t.Errorf("rows %q", rows)
			}
		})
	}
}

// brokenLine is a connection that breaks after the first piece.
type brokenLine struct {
	*httptest.ResponseRecorder
	pieces int
}

func (b *brokenLine) Write(p []byte) (int, error) {
	if b.pieces++; b.pieces > 1 {
		return 0, errors.New("connection reset")
	}
	return b.ResponseRecorder.Write(p)
}

// TestExportThatBreaksOff: an answer that has begun and fails is broken off, so
// that nobody takes it for whole.
func TestExportThatBreaksOff(t *testing.T) {
	service := newTestService(t)
	for i := range 400 {
		body := fmt.Sprintf(`{"name": "wine %d", "kind": "red", "notes": %q}`, i, strings.Repeat("x", 500))
		if w := do(service, call{path: "/v1/wines", body: body}); w.Code != http.StatusCreated {
			t.Fatalf("%d: %s", w.Code, w.Body)
		}
	}
	defer func() {
		if fault, ok := recover().(error); !ok || !errors.Is(fault, http.ErrAbortHandler) {
			t.Errorf("the handler ended with %v, want %v", fault, http.ErrAbortHandler)
		}
	}()
	service.ServeHTTP(&brokenLine{ResponseRecorder: httptest.NewRecorder()}, call{method: "GET", path: "/v1/export/wines"}.request())
}
