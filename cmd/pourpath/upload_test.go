//go:build linux

package main

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"mime/multipart"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// mostMemory is what the service may have in memory at most while it refuses
// what no laboratory sends, in MiB; idle it has about 50.
const mostMemory = 200

// TestHostileFiles: each is refused within limits with a sentence, the memory of
// the service stays flat, nothing of it is kept, and the service goes on.
func TestHostileFiles(t *testing.T) {
	dir := t.TempDir()
	s := serveIn(t, nil, "--data", dir)
	defer s.kill()

	wide := "name," + strings.Repeat("x,", 10000) + "a420\n" + "Tank 1\n"
	for name, row := range map[string]struct {
		file    string
		content io.Reader
		words   string
	}{
		"zip bomb":          {"bomb.xlsx", bytes.NewReader(bomb(t)), ""},
		"a line of 64 MiB":  {"long.csv", io.MultiReader(strings.NewReader("name,a420,a520,a620\n"), io.LimitReader(endless('x'), 64<<20)), ""},
		"10,000 columns":    {"wide.csv", strings.NewReader(wide), "column"},
		"an empty file":     {"empty.csv", strings.NewReader(""), "empty"},
		"bytes of anything": {"noise.bin", io.LimitReader(endless(0), 1<<20), ""},
	} {
		t.Run(name, func(t *testing.T) {
			a, err := s.send(row.file, row.content)
			if err != nil || a.status != http.StatusUnprocessableEntity && a.status != http.StatusRequestEntityTooLarge && a.status != http.StatusCreated {
				t.Fatalf("%+v, %v, want a refusal", a, err)
			}
			if a.status == http.StatusCreated { // then its rows were refused one by one
				if n, _ := a.body["accepted"].(float64); n != 0 {
					t.Errorf("accepted %v", a.body)
				}
			}
			if !strings.Contains(strings.ToLower(fmt.Sprint(a.body)), row.words) {
				t.Errorf("%v does not speak of %q", a.body, row.words)
			}
		})
	}
	if top := s.mostMiB(t); top > mostMemory {
		t.Errorf("the service had up to %d MiB in memory, allowed are %d", top, mostMemory)
	} else {
		t.Logf("the service had up to %d MiB in memory", top)
	}
	s.hasNoUploads(t, dir)
}

// TestNameOfFile: a name with folders names no place of this machine.
func TestNameOfFile(t *testing.T) {
	dir := t.TempDir()
	s := serveIn(t, nil, "--data", dir)
	defer s.kill()
	a, err := s.send("../../x", strings.NewReader("name,a420,a520,a620\nTank 1,0.142,0.118,0.021\n"))
	if err != nil || a.status != http.StatusCreated || a.body["file_name"] != "x" {
		t.Errorf("%+v, %v, want the file under the name x", a, err)
	}
	if _, err := os.Stat(filepath.Join(dir, "..", "..", "x")); err == nil {
		t.Error("a file was written outside the data folder")
	}
}

// TestUploadCut: an upload whose sender goes away in the middle leaves nothing.
func TestUploadCut(t *testing.T) {
	dir := t.TempDir()
	s := serveIn(t, nil, "--data", dir)
	defer s.kill()
	at, err := url.Parse(s.address)
	if err != nil {
		t.Fatal(err)
	}
	for _, cut := range []int{0, 60, 200, 900} {
		connection, err := (&net.Dialer{}).DialContext(t.Context(), "tcp", at.Host)
		if err != nil {
			t.Fatal(err)
		}
		body := "--b\r\nContent-Disposition: form-data; name=\"file\"; filename=\"r.csv\"\r\n\r\n" + csvOf(1, 40)
		_, err = fmt.Fprintf(connection, "POST /v1/imports HTTP/1.1\r\nHost: %s\r\nContent-Type: multipart/form-data; boundary=b\r\nContent-Length: 5000\r\n\r\n%s", at.Host, body[:min(cut, len(body))])
		if err != nil {
			t.Fatal(err)
		}
		if err := connection.Close(); err != nil {
			t.Fatal(err)
		}
	}
	for name, body := range map[string]string{"without its end": "--b\r\nContent-Disposition: form-data; name=\"file\"; filename=\"r.csv\"\r\n\r\n" + csvOf(1, 40), "without a file": "--b--\r\n"} {
		a, err := ask(http.MethodPost, s.address+"/v1/imports", "multipart/form-data; boundary=b", strings.NewReader(body))
		if err != nil || a.status/100 != 4 {
			t.Errorf("%s: %+v, %v, want a refusal", name, a, err)
		}
	}
	list, err := ask(http.MethodGet, s.address+"/v1/imports", "", nil)
	items, isList := list.body["items"].([]any)
	if err != nil || !isList || len(items) != 0 {
		t.Errorf("imports: %+v, %v", list, err)
	}
	s.hasNoUploads(t, dir)
}

// hasNoUploads checks that no file that arrived is left behind.
func (s *serving) hasNoUploads(t *testing.T, dir string) {
	t.Helper()
	var left []string
	for range 50 { // a sender that went away is noticed a little later
		var err error
		if left, err = filepath.Glob(filepath.Join(dir, ".upload-*")); err != nil {
			t.Fatal(err)
		}
		if len(left) == 0 {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
	t.Errorf("left behind: %v", left)
}

// mostMiB is the most memory that the process has had.
func (s *serving) mostMiB(t *testing.T) (mib int) {
	t.Helper()
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.process.Process.Pid))
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(status)) {
		if kib, ok := strings.CutPrefix(line, "VmHWM:"); ok {
			if _, err := fmt.Sscan(kib, &mib); err != nil {
				t.Fatal(err)
			}
			return mib / 1024
		}
	}
	t.Fatal("the system does not tell")
	return 0
}

// send streams a file.
func (s *serving) send(name string, content io.Reader) (answer, error) {
	read, write := io.Pipe()
	form := multipart.NewWriter(write)
	go func() {
		part, err := form.CreateFormFile("file", name)
		if err == nil {
			_, err = io.Copy(part, content)
		}
		if err == nil {
			err = form.Close()
		}
		write.CloseWithError(err)
	}()
	return ask(http.MethodPost, s.address+"/v1/imports", form.FormDataContentType(), read)
}

// endless is one byte without end.
type endless byte

func (e endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(e)
	}
	return len(p), nil
}

// bomb is a workbook of some kilobytes whose sheet is a gigabyte of spaces.
func bomb(t *testing.T) []byte {
	t.Helper()
	var file bytes.Buffer
	w := zip.NewWriter(&file)
	parts := []struct{ name, text string }{
		{"[Content_Types].xml", `<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>`},
		{"_rels/.rels", `<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", `<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="a" sheetId="1" r:id="rId1"/></sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`},
	}
	for _, p := range parts {
		part, err := w.Create(p.name)
		if err == nil {
			_, err = io.WriteString(part, p.text)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	sheet, err := w.Create("xl/worksheets/sheet1.xml")
	if err == nil {
		_, err = io.Copy(sheet, io.LimitReader(endless(' '), 1<<30))
	}
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return file.Bytes()
}
