package pages_test

import (
	"bytes"
	"encoding/json"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"pourpath/api/calc"
	"pourpath/api/record"
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

// imported sends a file to the page and returns what the page says.
func imported(t *testing.T, h http.Handler, status int, name, content string, fields map[string]string) (*html.Node, string) {
	t.Helper()
	got, page := send(t, h, "/import", name, content, fields)
	if got != status {
		t.Fatalf("POST /import = %d, want %d: %s", got, status, page)
	}
	tree := sound(t, h, page)
	return tree, spoken(tree)
}

// TestImportPage is the newcomer's way: a spreadsheet with decimal commas goes
// in, and the wine is in the page.
func TestImportPage(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	_, said := imported(t, h, http.StatusOK, "log.csv", cellarLog, map[string]string{"dry_run": "true", "sheet": ""})
	says(t, said, "Dry run: this is what would happen", "Would be added 2", "Rejected 2", "Would be new wines 2", "Would be rejected", "Nothing was changed")
	if list, err := s.Wines(t.Context(), record.Page{Limit: 10}); err != nil || len(list) != 0 {
		t.Fatalf("a dry run left %v, %v", list, err)
	}

	tree, said := imported(t, h, http.StatusOK, "log.csv", cellarLog, nil)
	says(t, said, "Part of the file is in the records", "log.csv, read as csv", "Added 2", "Already there 0", "Rejected 2", "New wines 2",
		"row 6", "row 7", "Trajet (mm) path_mm its name", "The rejected rows are kept")
	rejected := get(t, h, hrefOf(tree, "The rejected rows as a file"))
	if !strings.Contains(rejected.Body.String(), "0,0x5") || !strings.HasPrefix(rejected.Header().Get("Content-Type"), "text/csv") {
		t.Errorf("the rejected rows are %q", rejected.Body)
	}
	address := hrefOf(tree, "Rosé essai 1")
	if !strings.HasPrefix(address, "/wines/") {
		t.Fatalf("the rosé is at %q", address)
	}
	_, one := opened(t, h, address)
	says(t, one, "Rosé essai 1", "Rosé", "0.196", "0.216", "0.043", "imported, row 4")
	_, list := opened(t, h, "/wines")
	says(t, list, "Rosé essai 1", "Rouge fût 3")

	_, said = imported(t, h, http.StatusOK, "log.csv", cellarLog, nil)
	says(t, said, "Nothing new was in this file", "Added 0", "Already there 2", "This reading is there already")
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
	_, said := imported(t, h, http.StatusOK, "log.csv", cellarLog, nil)
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
	tree, said := imported(t, h, http.StatusUnprocessableEntity, "odd.csv", unknown, map[string]string{"sheet": "Rosés", "all_or_nothing": "true", "columns": "x=name"})
	says(t, said, "The file was not taken", "odd.csv", "Nothing was changed", "x=name")
	tree2, said := imported(t, h, http.StatusUnprocessableEntity, "odd.csv", unknown, nil)
	for _, f := range problem.Errors {
		says(t, said, strings.Join(strings.Fields(f.Message), " "))
	}
	for want, tree := range map[string]*html.Node{"Rosés": tree, "": tree2} { // the form keeps what was chosen
		for n := range tree.Descendants() {
			checked := false
			for _, a := range n.Attr {
				checked = checked || a.Key == "checked"
			}
			switch attribute(n, "name") {
			case "sheet":
				if attribute(n, "value") != want {
					t.Errorf("sheet = %q, want %q", attribute(n, "value"), want)
				}
			case "all_or_nothing":
				if checked != (want != "") {
					t.Errorf("all or nothing is checked: %t", checked)
				}
			}
		}
	}
}

func TestImportChoices(t *testing.T) {
	t.Parallel()
	h, s := withRecords(t, false)
	_, said := imported(t, h, http.StatusUnprocessableEntity, "log.csv", cellarLog, map[string]string{"all_or_nothing": "true"})
	says(t, said, "All or nothing was asked for, so no reading of it was taken", "row 6", "row 7")
	if list, err := s.Wines(t.Context(), record.Page{Limit: 10}); err != nil || len(list) != 0 {
		t.Fatalf("all or nothing left %v, %v", list, err)
	}

	const odd = "Probe;E1;E2;E3\nTank 9;0,1;0,05;0,01\n"
	imported(t, h, http.StatusUnprocessableEntity, "odd.csv", odd, nil)
	_, said = imported(t, h, http.StatusOK, "odd.csv", odd, map[string]string{"columns": "Probe = name\r\nE1=a420\r\nE2=a520\r\n\r\nE3=a620\r\n"})
	says(t, said, "The file is in the records", "E1 a420 a mapping", "Tank 9")

	_, said = imported(t, h, http.StatusUnprocessableEntity, "odd.csv", odd, map[string]string{"columns": "E1 is A420"})
	says(t, said, "Columns (optional) : want a line HEADER=FIELD")
	_, said = imported(t, h, http.StatusUnprocessableEntity, "", "", nil)
	says(t, said, "File : no file was chosen")
	_, said = imported(t, h, http.StatusUnprocessableEntity, "log.csv", cellarLog, map[string]string{"dry_run": "perhaps"})
	says(t, said, "Dry run : want true or false")
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
	left, err := filepath.Glob(filepath.Join(s.Place(), ".upload-*"))
	if _, statErr := os.Stat(s.Place()); err != nil || statErr != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v, %v", left, err, statErr)
	}
}
