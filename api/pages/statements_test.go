package pages_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pourpath/api"
	"pourpath/api/access"
	"pourpath/api/pages"
	"pourpath/api/store"
)

// issuedStatements adds a lot with a sample and issues so many statements about
// it. Its page is at /lots/ID.
func issuedStatements(t *testing.T, h http.Handler, n int) {
	t.Helper()
	send := func(path, body string) (answer struct{ ID string }) {
		t.Helper()
		r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420"+path, strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if err := json.Unmarshal(w.Body.Bytes(), &answer); err != nil || w.Code != http.StatusCreated {
			t.Fatalf("%s: status %d, %v: %.500s", path, w.Code, err, w.Body)
		}
		return answer
	}
	send("/v1/specs", `{"name": "House <2026>", "product": "Terrace & co", "target": {"cielab": {"L": 93, "a": 7, "b": 5}}, "tolerance": {"delta_e_00": 3}, "limits": {"L": [85, 97], "tint": [0.8, 1.5]}, "rule": "guarded", "approved_by": "Bea"}`)
	lot := send("/v1/lots", `{"name": "L<31>", "product": "Terrace & co", "bottled_at": "2026-03-12"}`)
	send("/v1/lots/"+lot.ID+"/samples", `{"readings": {"a420": 0.142, "a520": 0.121, "a620": 0.021}, "instrument": "S2", "analyst": "A. R."}`)
	for i := range n {
		send("/v1/lots/"+lot.ID+"/statements", fmt.Sprintf(`{"issued_by": "Ada & co", "note": "number %d is as it was issued"}`, i+1))
	}
}

// wordsOf is the text of a page with its spaces made one.
func wordsOf(t *testing.T, page string) string {
	t.Helper()
	return strings.Join(strings.Fields(text(parse(t, page))), " ")
}

// TestStatementsPage: the register from its newest statement back, over several
// pages, with what of it is confirmed.
func TestStatementsPage(t *testing.T) {
	h, _ := withRecords(t, false)
	if page := get(t, h, "/statements").Body.String(); !strings.Contains(page, "No statement has been issued yet") || strings.Contains(page, "Confirmed") {
		t.Errorf("without a statement:\n%s", page)
	}
	issuedStatements(t, h, 53)
	page := get(t, h, "/statements").Body.String()
	for _, want := range []string{"Statement 53", "L<31>", "within spec", "Ada & co", "Confirmed: statements 4 to 53 are as they were issued"} {
		if !strings.Contains(wordsOf(t, page), want) {
			t.Errorf("the register does not say %q", want)
		}
	}
	if strings.Contains(page, "<31>") || strings.Contains(page, " style=") || !strings.Contains(page, `href="/statements?before=4"`) {
		t.Error("a name became markup, there is an inline style, or no way to the older ones")
	}
	older := get(t, h, "/statements?before=4").Body.String()
	if got := wordsOf(t, older); !strings.Contains(got, "Confirmed: statements 1 to 3 are") || strings.Contains(got, "Statement 4 ") || !strings.Contains(older, `href="/statements?before=54"`) {
		t.Errorf("the older ones: %s", got)
	}
	if first := get(t, h, "/statements?before=54").Body.String(); strings.Count(first, "<th scope=\"row\"") != 50 {
		t.Error("the newest leaf has not 50 statements")
	}
	for _, address := range []string{"/statements?before=x", "/statements?before=-1", "/statements/x", "/statements/0", "/statements/54", "/statements/-1"} {
		if w := get(t, h, address); w.Code != http.StatusNotFound {
			t.Errorf("%s: status %d", address, w.Code)
		}
	}
}

// TestStatementPage: what a statement comes to, with its picture, the figures
// behind it, its place in the register and its documents.
func TestStatementPage(t *testing.T) {
	h, _ := withRecords(t, false)
	issuedStatements(t, h, 2)
	var st struct {
		SHA256   string `json:"sha256"`
		Previous string `json:"previous_sha256"`
	}
	if err := json.Unmarshal(get(t, h, "/v1/statements/2").Body.Bytes(), &st); err != nil {
		t.Fatal(err)
	}
	page := get(t, h, "/statements/2").Body.String()
	for _, want := range []string{
		"Statement 2: L<31>", "Within spec with probability", "Terrace & co · bottled 12 March 2026", "House <2026>, version 1 · approved by Bea", "Guarded acceptance",
		"Absorbances at 420, 520, 620 nm, 10 mm cell, undiluted", "Read by A. R.", "S2 · no check of it was recorded", "number 2 is as it was issued", "Ada & co", "Pourpath test",
		"follows the one before it", st.SHA256, st.Previous, "local codes and licensed practice decide", "> 0.999",
	} {
		if !strings.Contains(wordsOf(t, page), want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if strings.Count(page, "<svg") != 1 || strings.Contains(page, "<31>") || strings.Contains(page, " style=") || strings.Contains(page, "A. R..") {
		t.Error("there is no picture, a name became markup, or there is an inline style")
	}
	for _, form := range []string{"pdf", "html", "json"} {
		address := "/v1/statements/2?format=" + form
		if w := get(t, h, address); !strings.Contains(page, `href="`+address+`"`) || w.Code != http.StatusOK {
			t.Errorf("%s: status %d, or no way to it", address, w.Code)
		}
	}
	if first := wordsOf(t, get(t, h, "/statements/1").Body.String()); !strings.Contains(first, "the first of the register") || strings.Contains(first, "one before it") {
		t.Errorf("the first says %s", first)
	}
}

// TestStatementsPageDamaged: a statement whose bytes were changed in the store is
// told among the others, and has no document.
func TestStatementsPageDamaged(t *testing.T) {
	dir := t.TempDir()
	log := slog.New(slog.NewTextHandler(io.Discard, nil))
	serve := func() (http.Handler, *store.Store) {
		t.Helper()
		records, err := store.Open(t.Context(), store.Config{Dir: dir})
		if err != nil {
			t.Fatal(err)
		}
		p, err := pages.New(pages.Config{Version: "test", Records: records, DataDir: dir, Log: log})
		if err != nil {
			t.Fatal(err)
		}
		h, err := api.New(api.Config{Version: "test", DataDir: dir, Records: records, Log: log, Pages: p, Access: access.Config{Local: atTheMachine}})
		if err != nil {
			t.Fatal(err)
		}
		return h, records
	}
	h, records := serve()
	issuedStatements(t, h, 3)
	if err := records.Close(); err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.sqlite"))
	if err != nil || len(files) != 1 {
		t.Fatalf("%v, %v", files, err)
	}
	bytesOf, err := os.ReadFile(files[0])
	if err != nil {
		t.Fatal(err)
	}
	changed := bytes.Replace(bytesOf, []byte("number 2 is as it was"), []byte("number 2 is as it Was"), 1)
	if bytes.Equal(changed, bytesOf) {
		t.Fatal("the note is not in the file")
	}
	if err := os.WriteFile(files[0], changed, 0o600); err != nil {
		t.Fatal(err)
	}
	h, records = serve()
	defer func() {
		if err := records.Close(); err != nil {
			t.Error(err)
		}
	}()
	register := wordsOf(t, get(t, h, "/statements").Body.String())
	if !strings.Contains(register, "Statement 2: its SHA-256 does not fit") || strings.Contains(register, "Confirmed") || !strings.Contains(register, "Statement 3") {
		t.Errorf("the register says %s", register)
	}
	page := get(t, h, "/statements/2").Body.String()
	if !strings.Contains(page, "restore the last backup") || strings.Contains(page, "<svg") || strings.Contains(page, "Within spec") || strings.Contains(page, "format=pdf") {
		t.Errorf("the statement says %s", wordsOf(t, page))
	}
	if whole := get(t, h, "/statements/3"); whole.Code != http.StatusOK || !strings.Contains(whole.Body.String(), "<svg") {
		t.Errorf("the one after it: status %d", whole.Code)
	}
}
