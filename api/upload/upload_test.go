package upload

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"maps"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/textproto"
	"os"
	"strings"
	"testing"

	"pourpath/api/calc"
)

// part is one part of a form; a file where it has a file name.
type part struct{ field, file, content string }

// received sends a form over a connection, as deadlines need one, and looks at
// what was received before it is closed.
func received(t *testing.T, query string, parts []part, look func(*Upload, error)) {
	t.Helper()
	dir := t.TempDir()
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		up, err := Receive(w, r, dir)
		look(up, err)
		if err := up.Close(); err != nil {
			t.Error(err)
		}
	}))
	defer server.Close()
	post(t, server, query, parts)
	if left, err := os.ReadDir(dir); err != nil || len(left) > 0 {
		t.Errorf("left in the folder: %v, %v", left, err)
	}
}

// post sends a form.
func post(t *testing.T, server *httptest.Server, query string, parts []part) {
	t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for _, p := range parts {
		header := textproto.MIMEHeader{"Content-Disposition": {multipart.FileContentDisposition(p.field, p.file)}}
		to, err := w.CreatePart(header)
		if err == nil {
			_, err = io.WriteString(to, p.content)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, server.URL+"/"+query, &body)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", w.FormDataContentType())
	answer, err := server.Client().Do(r)
	if err != nil {
		t.Fatal(err)
	}
	answer.Body.Close()
}

func TestReceive(t *testing.T) {
	file := part{"file", "log.csv", "name;a420\n"}
	for _, c := range []struct {
		name    string
		query   string
		parts   []part
		fault   string // location and message of the first fault; none for success
		mapping map[string]string
		dry     bool
	}{
		{name: "file alone", parts: []part{file}},
		{name: "fields before the file", parts: []part{{"dry_run", "", "true"}, {"mapping", "", `{"E": "a420"}`}, file}, mapping: map[string]string{"E": "a420"}, dry: true},
		{name: "fields after the file", parts: []part{file, {"columns", "", "E=a420\r\n\r\nA = B = a520\n  left out =\n"}}, mapping: map[string]string{"E": "a420", "A = B": "a520", "left out": ""}},
		{name: "fields of the query", query: "?dry_run=1", parts: []part{file}, dry: true},
		{name: "form over query", query: "?dry_run=1", parts: []part{{"dry_run", "", "false"}, file}},
		{name: "empty file with a name", parts: []part{{"file", "empty.csv", ""}}},
		{name: "no file", parts: []part{{"sheet", "", "x"}}, fault: `/file the field "file" is missing`},
		{name: "none chosen", parts: []part{{"file", "", ""}}, fault: "/file no file was chosen"},
		{name: "two files", parts: []part{file, file}, fault: "/file two files"},
		{name: "corrections", parts: []part{file, {"corrections", "", `[{"row": 7, "column": "DO 520", "to": "0.142"}, {"row": 9, "leave_out": true}]`}, {"no_header", "", "true"}}},
		{name: "no corrections", parts: []part{file, {"corrections", "", `{"row": 7}`}}, fault: "/corrections want a JSON list such as"},
		{name: "an unknown part of a correction", parts: []part{file, {"corrections", "", `[{"row": 7, "cell": "DO 520"}]`}}, fault: "/corrections want a JSON list such as"},
		{name: "unknown field", parts: []part{{"shet", "", "x"}, file}, fault: "/shet unknown field; known here: file, sheet"},
		{name: "no truth", parts: []part{{"dry_run", "", "yes"}, file}, fault: "/dry_run want true or false"},
		{name: "no mapping", parts: []part{{"mapping", "", "E=a420"}, file}, fault: "/mapping want a JSON object"},
		{name: "no columns", parts: []part{{"columns", "", "E is a420"}, file}, fault: "/columns want a line HEADER=FIELD"},
		{name: "both", parts: []part{{"columns", "", "E=a420"}, {"mapping", "", "{}"}, file}, fault: "/columns columns and mapping stand together"},
	} {
		t.Run(c.name, func(t *testing.T) {
			received(t, c.query, c.parts, func(up *Upload, err error) {
				if c.fault != "" {
					p := calc.AsProblem(err)
					if p == nil || !strings.HasPrefix(p.Errors[0].Location+" "+p.Errors[0].Message, c.fault) {
						t.Errorf("error %v, want %q", err, c.fault)
					}
					return
				}
				if err != nil {
					t.Error(err)
					return
				}
				if c.name == "corrections" && (len(up.Corrections) != 2 || *up.Corrections[0].To != "0.142" || !up.Corrections[1].LeaveOut || !up.NoHeader) {
					t.Errorf("corrections %+v", up.Corrections)
				}
				if !maps.Equal(up.Mapping, c.mapping) || up.DryRun != c.dry {
					t.Errorf("mapping %v, dry run %t", up.Mapping, up.DryRun)
				}
				if content, err := io.ReadAll(up.file); err != nil || !strings.HasPrefix(file.content, string(content)) {
					t.Errorf("the file holds %q, %v", content, err)
				}
			})
		})
	}
}

// TestCutOff: why an upload ended tells what its sender can do.
func TestCutOff(t *testing.T) {
	for err, want := range map[error]error{
		&http.MaxBytesError{Limit: 1}:                       ErrTooLong,
		fmt.Errorf("multipart: %w", os.ErrDeadlineExceeded): ErrStopped,
		fmt.Errorf("multipart: %w", io.ErrUnexpectedEOF):    ErrCutOff,
		errors.New("read: connection reset by peer"):        ErrCutOff,
	} {
		if got := cutOff(err); !errors.Is(got, want) {
			t.Errorf("cutOff(%v) = %v, want %v", err, got, want)
		}
	}
}
