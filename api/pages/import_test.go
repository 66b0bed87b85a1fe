package pages_test

import (
	"bytes"
	"encoding/json"
	"io"
	"maps"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/xuri/excelize/v2"
	"golang.org/x/net/html"

	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/api/store"
)

// cellarLog is a spreadsheet as a newcomer saves it: semicolons, decimal commas,
// a title, headers of another language, and two rows at fault.
const cellarLog = "Cellar log;;;;;\n;;;;;\nNom;Type;A420;A520;A620;Trajet (mm)\n" +
	"Rosé essai 1;rosé;0,196;0,216;0,043;10\nRouge fût 3;rouge;0,231;0,398;0,067;1\n" +
	"Blanc cuve 6;blanc;0,0x5;0,021;0,008;10\nBlanc cuve 7;blanc;7,5;0,021;0,008;10\n"

// form is an import as a browser sends it. A name of "" sends no file.
func form(t *testing.T, name, content string, fields map[string]string) (body *bytes.Buffer, contentType string) {
	t.Helper()
	body = new(bytes.Buffer)
	w := multipart.NewWriter(body)
	part, err := w.CreateFormFile("file", name)
	if err == nil {
		_, err = io.WriteString(part, content)
	}
	for field, value := range fields {
		if err == nil {
			err = w.WriteField(field, value)
		}
	}
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return body, w.FormDataContentType()
}

// send posts a form over a connection: an import sets deadlines.
func send(t *testing.T, h http.Handler, path, name, content string, fields map[string]string) (int, string) {
	t.Helper()
	server := httptest.NewServer(h)
	defer server.Close()
	body, contentType := form(t, name, content, fields)
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, server.URL+path, body)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", contentType)
	answer, err := server.Client().Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(text)
}

// lookedAt sends a file to the page and returns its preview.
func lookedAt(t *testing.T, h http.Handler, name, content string) (*html.Node, string) {
	t.Helper()
	got, page := send(t, h, "/import", name, content, nil)
	if got != http.StatusOK {
		t.Fatalf("POST /import = %d: %s", got, page)
	}
	tree := sound(t, h, page)
	return tree, spoken(tree)
}

// fieldsOfForm are the fields of the form at an address, as a browser would send
// them, but for its buttons.
func fieldsOfForm(tree *html.Node, class string) (action string, fields url.Values) {
	fields = url.Values{}
	for f := range tree.Descendants() {
		if f.Data != "form" || attribute(f, "class") != class {
			continue
		}
		action = attribute(f, "action")
		for n := range f.Descendants() {
			name := attribute(n, "name")
			switch {
			case n.Type != html.ElementNode || name == "":
			case n.Data == "input" && attribute(n, "type") == "checkbox":
				if has(n, "checked") {
					fields.Add(name, attribute(n, "value"))
				}
			case n.Data == "input":
				fields.Add(name, attribute(n, "value"))
			case n.Data == "select":
				for o := range n.Descendants() {
					if o.Data == "option" && has(o, "selected") {
						fields.Add(name, attribute(o, "value"))
					}
				}
			}
		}
	}
	return action, fields
}

func has(n *html.Node, name string) bool {
	return slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == name })
}

// sentDraft sends the form of a preview with some fields changed, follows where it
// leads, and returns the page and its address.
func sentDraft(t *testing.T, h http.Handler, tree *html.Node, do string, changed map[string][]string) (*html.Node, string, string) {
	t.Helper()
	action, fields := fieldsOfForm(tree, "draft")
	if action == "" {
		t.Fatal("the page has no form of a preview")
	}
	for name, values := range changed {
		fields[name] = values
	}
	fields.Set("do", do)
	r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420"+action, strings.NewReader(fields.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	to := w.Header().Get("Location")
	if w.Code == http.StatusSeeOther {
		w = get(t, h, to)
	}
	page := sound(t, h, w.Body.String())
	return page, spoken(page), to
}

// holding is the change of what one column of a preview holds.
func holding(tree *html.Node, key, field string) map[string][]string {
	_, fields := fieldsOfForm(tree, "draft")
	holds := slices.Clone(fields["holds"])
	holds[slices.Index(fields["column"], key)] = field
	return map[string][]string{"holds": holds}
}

func wineCount(t *testing.T, s *store.Store) int {
	t.Helper()
	list, err := s.Wines(t.Context(), record.Page{Limit: 100})
	if err != nil {
		t.Fatal(err)
	}
	return len(list)
}

// TestImportPage is the newcomer's way: a spreadsheet with decimal commas is looked
// at, one cell of it is mended in place, it goes in, and the wine is in the page.
func TestImportPage(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	tree, said := lookedAt(t, h, "log.csv", cellarLog)
	says(t, said, "What log.csv will become", "Nothing is stored yet", "Would be added 2", "With a problem 2", "New wines 2", "0.196", "new wine", "To look at: row 6 row 7",
		"this is not a number", "Bring in 2 readings")
	if n := wineCount(t, s); n != 0 {
		t.Fatalf("a look left %d wines", n)
	}
	if _, fields := fieldsOfForm(tree, "draft"); fields.Get("cell.6.A420") != "0,0x5" || fields.Get("cell.7.A420") != "7,5" {
		t.Errorf("the cells at fault are not fields: %v", fields)
	}

	tree, said, _ = sentDraft(t, h, tree, "look", map[string][]string{"cell.6.A420": {"0.05"}})
	says(t, said, "Would be added 3", "With a problem 1", "The file has 0,0x5.", "Cells mended: 1", "Bring in 3 readings")
	if _, fields := fieldsOfForm(tree, "draft"); fields.Get("cell.6.A420") != "0.05" {
		t.Errorf("what was typed is gone: %v", fields)
	}
	before, _, to := sentDraft(t, h, tree, "take", nil)
	if !strings.HasPrefix(to, "/imports/") {
		t.Fatalf("bringing in leads to %q: %s", to, spoken(before))
	}
	_, said, again := sentDraft(t, h, tree, "take", nil)
	if again != to {
		t.Errorf("pressed again it leads to %q, not %q", again, to)
	}
	says(t, said, "Part of the file is in the records", "log.csv, read as csv", "Added 3", "Already there 0", "Rejected 1", "New wines 3",
		"row 7", "Trajet (mm) path_mm its name", "The rejected rows are kept", "row 6 A420 0,0x5 0.05")
	rejected := get(t, h, hrefOf(before, "The rejected rows as a file"))
	if !strings.Contains(rejected.Body.String(), "Blanc cuve 7") || !strings.HasPrefix(rejected.Header().Get("Content-Type"), "text/csv") {
		t.Errorf("the rejected rows are %q", rejected.Body)
	}
	var kept record.Import
	if err := json.Unmarshal(get(t, h, "/v1"+to).Body.Bytes(), &kept); err != nil || len(kept.Corrections) != 1 {
		t.Fatalf("%v: %+v", err, kept)
	}
	if c := kept.Corrections[0]; c.Row != 6 || c.Column != "A420" || *c.From != "0,0x5" || *c.To != "0.05" {
		t.Errorf("corrected: %+v", c)
	}
	if file := get(t, h, "/v1"+to+"/file").Body.String(); file != cellarLog {
		t.Errorf("the file is kept as %q", file)
	}
	address := hrefOf(before, "Rosé essai 1")
	if !strings.HasPrefix(address, "/wines/") {
		t.Fatalf("the rosé is at %q", address)
	}
	_, one := opened(t, h, address)
	says(t, one, "Rosé essai 1", "Rosé", "0.196", "0.216", "0.043", "imported, row 4")
	_, list := opened(t, h, "/wines")
	says(t, list, "Rosé essai 1", "Rouge fût 3", "Blanc cuve 6")
	_, list = opened(t, h, "/imports")
	says(t, list, "log.csv", "Added")

	action, _ := fieldsOfForm(tree, "draft")
	if w := get(t, h, action); w.Code != http.StatusNotFound || !strings.Contains(w.Body.String(), "no longer kept") {
		t.Errorf("after it was brought in: %d %s", w.Code, w.Body)
	}
	tree, said = lookedAt(t, h, "log.csv", cellarLog)
	says(t, said, "Would be added 0", "Already there 2", "Keep the record of this file")
	_, said, _ = sentDraft(t, h, tree, "take", nil)
	says(t, said, "Nothing new was in this file", "Already there 2", "Rejected 2")
	tree, _ = lookedAt(t, h, "more.csv", cellarLog+"Tank 8;blanc;0,1;0,021;0,008;10\n")
	tree, _, _ = sentDraft(t, h, tree, "take", nil)
	there := hrefOf(tree, "This reading is there already.")
	if !strings.HasPrefix(there, "/readings/") {
		t.Fatalf("a reading that is there is at %q", there)
	}
	_, one = opened(t, h, there)
	says(t, one, "0.196", "Archive")
}

// TestImportSaysWhatIsRaw: readings that were understood are written as the language
// writes numbers, and a row at fault, which is shown as the file has it, says so.
func TestImportSaysWhatIsRaw(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	tree, _ := lookedAt(t, h, "log.csv", cellarLog)
	told := map[string]string{}
	for n := range tree.Descendants() {
		if n.Data == "tr" && strings.HasPrefix(attribute(n, "id"), "row-") {
			told[attribute(n, "id")] = text(n)
		}
	}
	for id, want := range map[string]struct {
		number string
		raw    bool
	}{"row-4": {"0.216", false}, "row-6": {"0,021", true}} {
		if got := told[id]; !strings.Contains(got, want.number) || strings.Contains(got, "values as the file has them") != want.raw {
			t.Errorf("%s says %q, want %s, as the file has it: %t", id, got, want.number, want.raw)
		}
	}
}

// TestImportMakesRoom tells on the page of a file which others were put away for it.
func TestImportMakesRoom(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	lookedAt(t, h, "first.csv", cellarLog)
	for range 19 {
		if _, said := lookedAt(t, h, "log.csv", cellarLog); strings.Contains(said, "put away") {
			t.Fatal("a file was put away though there is room")
		}
	}
	_, said := lookedAt(t, h, "last.csv", cellarLog)
	says(t, said, "Other files were put away", "These had waited longest", "first.csv")
}

// TestImportSameWords holds what the page says of rejected rows, and of a file
// that is not understood, against the API's words for the same file.
func TestImportSameWords(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	var answer record.Import
	_, body := send(t, h, "/v1/imports", "log.csv", cellarLog, map[string]string{"dry_run": "true"})
	if err := json.Unmarshal([]byte(body), &answer); err != nil || answer.Rejected != 2 {
		t.Fatalf("%v: %s", err, body)
	}
	_, said := lookedAt(t, h, "log.csv", cellarLog)
	for _, row := range answer.Rows {
		if row.Problem == nil {
			continue
		}
		for _, f := range row.Problem.Errors {
			says(t, said, f.Message)
		}
	}

	const unknown = "x;y\n1;2\n"
	var problem calc.Problem
	status, body := send(t, h, "/v1/imports", "odd.csv", unknown, nil)
	if err := json.Unmarshal([]byte(body), &problem); err != nil || status != http.StatusUnprocessableEntity || len(problem.Errors) == 0 {
		t.Fatalf("status %d, %v: %s", status, err, body)
	}
	_, said = lookedAt(t, h, "odd.csv", unknown)
	says(t, said, "odd.csv cannot be read yet", "Too little of this table is understood", "What do these columns hold?", "Put this file away")
	status, body = send(t, h, "/v1/imports", "odd.csv", "wine;absorbance (normalised);nm\nTank 1;0.5;420\n", nil)
	if err := json.Unmarshal([]byte(body), &problem); err != nil || status != http.StatusUnprocessableEntity {
		t.Fatalf("status %d, %v: %s", status, err, body)
	}
	_, said = lookedAt(t, h, "odd.csv", "wine;absorbance (normalised);nm\nTank 1;0.5;420\n")
	says(t, said, problem.Errors[0].Message)
	for name, c := range map[string]struct{ content, said string }{
		"empty.csv": {"", "the file is empty"}, "old.xls": {"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", "old Excel file"}, "page.pdf": {"%PDF-1.7", "this is a PDF"},
	} {
		_, said := lookedAt(t, h, name, c.content)
		says(t, said, name+" cannot be read yet", c.said)
	}
}

// TestImportColumns says what unknown columns hold, without typing; that is
// remembered once the file is in.
func TestImportColumns(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	const odd = "Probe;E1;E2;E3;Rest\nTank 9;0,1;0,05;0,01;x\n"
	tree, said := lookedAt(t, h, "odd.csv", odd)
	says(t, said, "odd.csv cannot be read yet", "What do these columns hold?", "0,05")
	for key, field := range map[string]string{"E1": "a420", "E2": "a520", "E3": "a620"} {
		tree, said, _ = sentDraft(t, h, tree, "look", holding(tree, key, field))
	}
	says(t, said, "What odd.csv will become", "Would be added 1", "Rest")
	_, said, _ = sentDraft(t, h, tree, "take", holding(tree, "Rest", ""))
	says(t, said, "The file is in the records", "E1 a420 a mapping", "Rest left out a mapping", "Tank 9")
	_, said = lookedAt(t, h, "next.csv", "Probe;E1;E2;E3;Rest\nTank 10;0,1;0,05;0,01;x\n")
	says(t, said, "What next.csv will become", "Would be added 1")
	if strings.Contains(said, "What do these columns hold?") {
		t.Error("what was said of the columns is asked again")
	}
}

// TestImportPasted pastes cells as spreadsheets put them on the clipboard.
func TestImportPasted(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		cells string
		wants []string
	}{
		"with a header":       {"Wine\tA420\tA520\tA620\r\nTank 1\t0,142\t0,118\t0,021\r\n", []string{"Read as tsv", "Would be added 1", "0.142"}},
		"without a header":    {"Tank 1\t0.142\t0.118\t0.021\t1\r\nTank 2\t0.2\t0.1\t0.01\t1\r\n", []string{"Would be added 2", "The first row is a reading already", "What do these columns hold?", "column A for name", "0.118"}},
		"semicolons":          {"Wine;A420;A520;A620\nTank 1;0,142;0,118;0,021", []string{"Would be added 1", "0.142"}},
		"commas, no header":   {"Tank 1,0.142,0.118,0.021", []string{"Would be added 1", "0.142"}},
		"a bad cell, no head": {"Tank 1\t0.142\tx\t0.021\nTank 2\t0.2\t0.1\t0.01\nTank 3\t0.2\t0.1\t0.02\n", []string{"Would be added 2", "With a problem 1", "this is not a number"}},
	} {
		t.Run(name, func(t *testing.T) {
			h, _ := withRecords(t, false)
			status, page := send(t, h, "/import", "", "", map[string]string{"cells": c.cells})
			if status != http.StatusOK {
				t.Fatalf("status %d: %s", status, page)
			}
			tree := sound(t, h, page)
			says(t, spoken(tree), append(c.wants, "What pasted cells will become")...)
			if strings.Contains(spoken(tree), "The first row is a reading already") {
				unread, said, _ := sentDraft(t, h, tree, "look", map[string][]string{"no_header": nil})
				says(t, said, "cannot be read yet", "The first row is a reading already")
				tree, said, _ = sentDraft(t, h, unread, "look", map[string][]string{"no_header": {"true"}})
				says(t, said, c.wants...)
			}
			_, said, to := sentDraft(t, h, tree, "take", nil)
			says(t, said, "in the records", "pasted cells")
			if file := get(t, h, "/v1"+to+"/file").Body.String(); file != c.cells {
				t.Errorf("the cells are kept as %q", file)
			}
		})
	}
}

func TestImportChoices(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	tree, _ := lookedAt(t, h, "log.csv", cellarLog)
	tree, said, _ := sentDraft(t, h, tree, "take", map[string][]string{"all_or_nothing": {"true"}})
	says(t, said, "row 6", "row 7", "Nothing was changed")
	if n := wineCount(t, s); n != 0 {
		t.Fatalf("all or nothing left %d wines", n)
	}
	if _, fields := fieldsOfForm(tree, "draft"); fields.Get("all_or_nothing") != "true" {
		t.Error("the choice is not kept")
	}

	// A row is left out, and taken in again.
	tree, said, _ = sentDraft(t, h, tree, "look", map[string][]string{"out": {"6", "7"}})
	says(t, said, "With a problem 0", "Left out on purpose", "row 6: Blanc cuve 6 | blanc | 0,0x5")
	tree, said, _ = sentDraft(t, h, tree, "look", map[string][]string{"out": {"7"}})
	says(t, said, "With a problem 1")
	_, said, to := sentDraft(t, h, tree, "take", map[string][]string{"out": {"6", "7"}, "all_or_nothing": {"true"}})
	says(t, said, "The file is in the records", "Added 2", "Rejected 0", "row 7 the whole row Blanc cuve 7", "left out on purpose")
	var kept record.Import
	if err := json.Unmarshal(get(t, h, "/v1"+to).Body.Bytes(), &kept); err != nil || len(kept.Corrections) != 2 || !kept.Corrections[1].LeaveOut {
		t.Errorf("%v: %+v", err, kept.Corrections)
	}

	status, page := send(t, h, "/import", "", "", map[string]string{"cells": " \n"})
	if status != http.StatusUnprocessableEntity || !strings.Contains(page, "there is nothing to read") {
		t.Errorf("nothing chosen: %d %s", status, page)
	}
	tree, _ = lookedAt(t, h, "log.csv", cellarLog)
	_, said, to = sentDraft(t, h, tree, "discard", nil)
	if to != "/import" || strings.Contains(said, "log.csv") {
		t.Errorf("put away, it leads to %q: %s", to, said)
	}
}

// TestImportUndo: an import is undone from its page, with a reason; once; and the
// same file comes in anew.
// TestImportTwoTabs: a form that another window has overtaken changes what was changed in
// it, and nothing else. One of a file that cannot be read at the time changes no rows.
func TestImportTwoTabs(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	first, _ := lookedAt(t, h, "log.csv", cellarLog)
	_, said, _ := sentDraft(t, h, first, "look", map[string][]string{"cell.6.A420": {"0,045"}, "out": {"4"}})
	says(t, said, "Would be added 2", "With a problem 1", "row 4:")
	second, said, _ := sentDraft(t, h, first, "look", map[string][]string{"cell.7.A420": {"0,055"}})
	says(t, said, "Would be added 3", "With a problem 0", "row 4:")

	unread, said, _ := sentDraft(t, h, second, "look", holding(second, "Nom", ""))
	says(t, said, "cannot be read yet")
	_, said, _ = sentDraft(t, h, unread, "look", holding(unread, "Nom", "name"))
	says(t, said, "Would be added 3", "With a problem 0", "row 4:")
}

// TestImportCellInTwoLines: a cell that a field of one line cannot show as it is, is not
// corrected by being shown.
func TestImportCellInTwoLines(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	tree, _ := lookedAt(t, h, "log.csv", "name,A420,A520,A620\nTank 1,\"0.1\n4\",0.1,0.1\n")
	_, fields := fieldsOfForm(tree, "draft")
	shown := fields.Get("cell.2.A420")
	if shown != "0.1\n4" {
		t.Fatalf("the field has %q", shown)
	}
	// As browsers send it.
	_, said, _ := sentDraft(t, h, tree, "look", map[string][]string{
		"cell.2.A420": {"0.14"}, "was.2.A420": {"0.1\r\n4"}, "shown.2.A420": {"0.1\r\n4"},
	})
	says(t, said, "Would be added 0", "With a problem 1")
}

func TestImportUndo(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	tree, _ := lookedAt(t, h, "log.csv", cellarLog)
	done, said, to := sentDraft(t, h, tree, "take", nil)
	says(t, said, "Undo this import", "Added 2")
	undo := func(tree *html.Node, reason string) (int, string, string) {
		t.Helper()
		action, fields := fieldsOfForm(tree, "asked")
		fields.Set("reason", reason)
		r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420"+action, strings.NewReader(fields.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		return w.Code, w.Header().Get("Location"), w.Body.String()
	}
	status, _, page := undo(done, " ")
	again := sound(t, h, page)
	if status != http.StatusUnprocessableEntity {
		t.Fatalf("without a reason: %d", status)
	}
	says(t, spoken(again), "say why the import is undone")
	for range 2 { // two tabs
		if status, leads, page := undo(done, "another winery's <file>"); status != http.StatusSeeOther || leads != to {
			t.Fatalf("%d, %q: %s", status, leads, page)
		}
	}
	_, said = opened(t, h, to)
	says(t, said, "This import was undone", "another winery's <file>", "Archived: readings, 2; wines, 2.")
	if strings.Contains(said, "Undo this import") {
		t.Error("it can be undone again")
	}
	_, said = opened(t, h, "/imports")
	says(t, said, "log.csv", "undone")
	if n := wineCount(t, s); n != 0 {
		t.Errorf("%d wines are left", n)
	}
	tree, said = lookedAt(t, h, "log.csv", cellarLog)
	says(t, said, "Would be added 2", "Already there 0")
	_, said, anew := sentDraft(t, h, tree, "take", nil)
	says(t, said, "Added 2")
	if anew == to {
		t.Error("the file that was brought in again is in the import that was undone")
	}
	for _, address := range []string{"/imports/x", "/imports/0192f000-0000-7000-8000-000000000000"} {
		if w := get(t, h, address); w.Code != http.StatusNotFound {
			t.Errorf("%s: %d", address, w.Code)
		}
	}
}

// TestImportTakenTogether: two tabs that bring the same file in at once make one
// import of it.
func TestImportTakenTogether(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	tree, _ := lookedAt(t, h, "log.csv", cellarLog)
	action, fields := fieldsOfForm(tree, "draft")
	fields.Set("do", "take")
	var wait sync.WaitGroup
	to := make([]string, 4)
	for i := range to {
		wait.Go(func() {
			r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:8420"+action, strings.NewReader(fields.Encode()))
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			w := httptest.NewRecorder()
			h.ServeHTTP(w, r)
			to[i] = w.Header().Get("Location")
		})
	}
	wait.Wait()
	if list, err := s.Imports(t.Context(), record.Page{Limit: 9}); err != nil || len(list) != 1 {
		t.Fatalf("%d imports, %v", len(list), err)
	}
	for _, one := range to {
		if !strings.HasPrefix(one, "/imports/") || one != to[0] {
			t.Errorf("they lead to %q", to)
		}
	}
}

// TestImportScans mends scans in columns, and one reading a row, in their own cells.
func TestImportScans(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		content string
		cells   map[string]string // as the file has them
		mended  map[string]string
	}{
		"scans in columns": {"nm;Tank 1;Tank 2\n420;0,1;0,2\n5x0;0,1;0,2\n620;0,1;0,2y\n",
			map[string]string{"cell.3.nm": "5x0", "cell.4.Tank 2": "0,2y"}, map[string]string{"cell.3.nm": "520", "cell.4.Tank 2": "0.2"}},
		"one reading a row": {"wine;nm;absorbance\nTank 1;420;0,1\nTank 1;520;0,x\nTank 1;620;0,1\nTank 2;420;0,1\nTank 2;520;0,1\nTank 2;620;0,1\n",
			map[string]string{"cell.3.absorbance": "0,x"}, map[string]string{"cell.3.absorbance": "0.2"}},
		"a name that two wines have": {"name;a420;a520;a620\nTwice;0,1;0,1;0,1\nOnce;0,1;0,1;0,1\n",
			map[string]string{"cell.2.name": "Twice"}, map[string]string{"cell.2.name": "Thrice"}},
	} {
		t.Run(name, func(t *testing.T) {
			h, s := withRecords(t, false)
			for _, lot := range []string{"A", "B"} {
				add(t, s, record.WineFields{Name: "Twice", Kind: record.White, Lot: lot})
			}
			tree, _ := lookedAt(t, h, "file.csv", c.content)
			_, fields := fieldsOfForm(tree, "draft")
			for cell, text := range c.cells {
				if fields.Get(cell) != text || len(fields[cell]) != 1 {
					t.Errorf("%s is %q, want %q once", cell, fields[cell], text)
				}
			}
			changed := map[string][]string{}
			for cell, text := range c.mended {
				changed[cell] = []string{text}
			}
			tree, said, _ := sentDraft(t, h, tree, "look", changed)
			says(t, said, "With a problem 0", "Would be added 2")
			if _, fields := fieldsOfForm(tree, "draft"); fields.Get(slices.Sorted(maps.Keys(c.mended))[0]) == "" {
				t.Error("what was mended cannot be mended again")
			}
			_, said, _ = sentDraft(t, h, tree, "take", nil)
			says(t, said, "The file is in the records", "Mended before it was brought in")
		})
	}
}

// TestImportSheets: another sheet of a workbook is chosen from those there are.
func TestImportSheets(t *testing.T) {
	t.Parallel()
	h, _ := withRecords(t, false)
	book := excelize.NewFile()
	for sheet, rows := range map[string][][]any{
		"Sheet1": {{"Cellar"}, {"nothing here"}},
		"Reds":   {{"name", "a420", "a520", "a620"}, {"Tank 9", 0.3, 0.4, 0.1}},
		"Rosés":  {{"name", "a420", "a520", "a620"}, {"Tank 4", 0.142, "0.118x", 0.021}},
	} {
		if sheet != "Sheet1" {
			if _, err := book.NewSheet(sheet); err != nil {
				t.Fatal(err)
			}
		}
		for i, row := range rows {
			if err := book.SetSheetRow(sheet, "A"+strconv.Itoa(i+1), &row); err != nil {
				t.Fatal(err)
			}
		}
	}
	var file bytes.Buffer
	if err := book.Write(&file); err != nil {
		t.Fatal(err)
	}
	tree, said := lookedAt(t, h, "book.xlsx", file.String())
	says(t, said, "cannot be read yet", "Rosés")
	tree, said, _ = sentDraft(t, h, tree, "look", map[string][]string{"sheet": {"Rosés"}})
	says(t, said, "What book.xlsx will become", "sheet Rosés, row 2", "With a problem 1")
	_, said, to := sentDraft(t, h, tree, "take", map[string][]string{"sheet": {"Reds"}})
	if says(t, said, "What book.xlsx will become", "sheet Reds, row 2"); !strings.HasPrefix(to, "/import/") {
		t.Errorf("a sheet that was not looked at was brought in: %s", to)
	}
	tree, _, _ = sentDraft(t, h, tree, "look", map[string][]string{"sheet": {"Rosés"}, "shown_sheet": {"Reds"}})
	_, said, _ = sentDraft(t, h, tree, "take", map[string][]string{"cell.2.a520": {"0.118"}})
	says(t, said, "The file is in the records", "row 2 a520 0.118x 0.118")
}

// TestImportIsGuarded: a form of another site and a body that is no form change
// nothing, and nothing of an upload is left in the folder.
func TestImportIsGuarded(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	body, contentType := form(t, "log.csv", cellarLog, nil)
	cut := body.String()[:body.Len()-60]
	for _, c := range []struct {
		name, contentType, origin, body string
		status                          int
		said                            string
	}{
		{"another site", contentType, "https://site.example", body.String(), http.StatusForbidden, "another site"},
		{"no form", "text/csv", "", cellarLog, http.StatusUnsupportedMediaType, "multipart/form-data"},
		{"cut off", contentType, "", cut, http.StatusBadRequest, "did not come to its end"},
	} {
		server := httptest.NewServer(h)
		r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, server.URL+"/import", strings.NewReader(c.body))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", c.contentType)
		if c.origin != "" {
			r.Header.Set("Origin", c.origin)
		}
		answer, err := server.Client().Do(r)
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(answer.Body)
		if err != nil || answer.StatusCode != c.status || !strings.Contains(string(text), c.said) {
			t.Errorf("%s: %d %v, want %d and %q: %s", c.name, answer.StatusCode, err, c.status, c.said, text)
		}
		answer.Body.Close()
		server.Close()
	}
	if list, err := s.Wines(t.Context(), record.Page{Limit: 10}); err != nil || len(list) != 0 {
		t.Errorf("%v, %v are there", list, err)
	}
	left, err := filepath.Glob(filepath.Join(s.Place(), "waiting", "*"))
	if _, statErr := os.Stat(s.Place()); err != nil || statErr != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v, %v", left, err, statErr)
	}
}
