package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"time"
)

// asProgram makes the test binary the program itself, so that it can be killed.
const asProgram = "POURPATH_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		os.Exit(run(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
	}
	os.Exit(m.Run())
}

// serving is the program in a process of its own.
type serving struct {
	process *exec.Cmd
	address string
	log     *bytes.Buffer
}

// serveIn starts the program as a service in a process, by way of the words
// before it.
func serveIn(t *testing.T, before []string, args ...string) *serving {
	t.Helper()
	words := append(append(before, os.Args[0], "serve", "--listen", "127.0.0.1:0"), args...)
	s := &serving{process: exec.Command(words[0], words[1:]...), log: new(bytes.Buffer)}
	s.process.Env = append(os.Environ(), asProgram+"=1")
	s.process.Stderr = s.log
	out, err := s.process.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := s.process.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if m := regexp.MustCompile(`serves on (http://\S+?)/ `).FindStringSubmatch(lines.Text()); m != nil {
			s.address = m[1]
			return s
		}
	}
	s.kill()
	t.Fatalf("%v did not start: %s", words, s.log)
	return nil
}

// kill ends the process at once, as a power cut would, and waits for it.
func (s *serving) kill() {
	_ = s.process.Process.Kill() // it may have ended by itself
	_ = s.process.Wait()         // with the signal as its error
}

// answer is what came of a request.
type answer struct {
	status  int
	headers http.Header
	body    map[string]any
}

func (a answer) id() string { id, _ := a.body["id"].(string); return id }

// ask sends a request; a connection that broke is an error.
func ask(method, url, contentType string, body io.Reader) (answer, error) {
	request, err := http.NewRequestWithContext(context.Background(), method, url, body)
	if err != nil {
		return answer{}, err
	}
	if contentType != "" {
		request.Header.Set("Content-Type", contentType)
	}
	client := http.Client{Timeout: time.Minute}
	response, err := client.Do(request)
	if err != nil {
		return answer{}, err
	}
	defer response.Body.Close()
	a := answer{status: response.StatusCode, headers: response.Header}
	text, err := io.ReadAll(response.Body)
	if err != nil {
		return a, err
	}
	if err := json.Unmarshal(text, &a.body); err != nil {
		return a, fmt.Errorf("%s %s: %d: %.200s: %w", method, url, a.status, text, err)
	}
	return a, nil
}

func (s *serving) post(path, body string) (answer, error) {
	return ask(http.MethodPost, s.address+path, "application/json", strings.NewReader(body))
}

// upload sends a file.
func (s *serving) upload(name, content string) (answer, error) {
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	part, err := form.CreateFormFile("file", name)
	if err != nil {
		return answer{}, err
	}
	if _, err := io.WriteString(part, content); err != nil {
		return answer{}, err
	}
	if err := form.Close(); err != nil {
		return answer{}, err
	}
	return ask(http.MethodPost, s.address+"/v1/imports", form.FormDataContentType(), &body)
}

// csvOf is a file with n readings that no other file with another mark has.
func csvOf(mark, n int) string {
	var text strings.Builder
	text.WriteString("name,a420,a520,a620,path_mm\n")
	for i := range n {
		fmt.Fprintf(&text, "Tank %d,0.%06d,0.118,0.021,10\n", i%7, mark*1000+i+1)
	}
	return text.String()
}
