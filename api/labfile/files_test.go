package labfile_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pourpath/api/calc"
	"pourpath/api/labfile"
	"pourpath/api/record"
)

var update = flag.Bool("update", false, "write the .want files anew")

// TestFiles reads every file of testdata/files and compares what comes out with
// the text beside it. A file NAME.map holds a mapping for NAME, as JSON.
func TestFiles(t *testing.T) {
	files, err := filepath.Glob("testdata/files/*")
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, file := range files {
		if ext := filepath.Ext(file); ext == ".want" || ext == ".map" {
			continue
		}
		n++
		t.Run(filepath.Base(file), func(t *testing.T) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			var o labfile.Options
			if mapping, err := os.ReadFile(file + ".map"); err == nil {
				if err := json.Unmarshal(mapping, &o.Mapping); err != nil {
					t.Fatal(err)
				}
			}
			got := told(t, data, filepath.Base(file), o)
			if *update {
				if err := os.WriteFile(file+".want", []byte(got), 0o600); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file + ".want")
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("got\n%s\nwant\n%s", got, want)
			}
		})
	}
	if n < 20 {
		t.Errorf("only %d files", n)
	}
}

// closed closes a file and holds it to that.
func closed(tb testing.TB, c io.Closer) {
	tb.Helper()
	if err := c.Close(); err != nil {
		tb.Error(err)
	}
}

// told puts a file into words.
func told(t *testing.T, data []byte, name string, o labfile.Options) string {
	var b strings.Builder
	f, err := labfile.Open(bytes.NewReader(data), int64(len(data)), name, o)
	if err != nil {
		tellProblem(&b, err)
		return b.String()
	}
	defer closed(t, f)
	fmt.Fprintf(&b, "%s, %s\n", f.Format(), f.Layout())
	for _, c := range f.Columns() {
		fmt.Fprintf(&b, "column %q: %s (%s)\n", c.Header, c.Field, c.By)
	}
	for e, err := range f.Entries() {
		if err != nil {
			tellProblem(&b, err)
			break
		}
		tell(&b, e)
	}
	for _, w := range f.Warnings() {
		fmt.Fprintf(&b, "file: %s: %s\n", w.Code, w.Message)
	}
	return b.String()
}

func tellProblem(b *strings.Builder, err error) {
	fmt.Fprintln(b, "refused")
	if p := calc.AsProblem(err); p != nil {
		for _, f := range p.Errors {
			fmt.Fprintf(b, "  %s: %s [%v]\n", f.Location, f.Message, f.Value)
		}
		return
	}
	fmt.Fprintln(b, " ", err)
}

func tell(b *strings.Builder, e record.Entry) {
	fmt.Fprintf(b, "%d %s: %s\n", e.Row, e.Place, compact(e.Wine))
	if len(e.Faults) == 0 {
		m := compact(e.Measurement)
		if e.Spectrum != nil {
			s := e.Spectrum
			y := s.Absorbance
			kind := "absorbance"
			if y == nil {
				y, kind = s.TransmittancePercent, "transmittance"
			}
			n := len(s.NM)
			s2 := *s
			s2.NM, s2.Absorbance, s2.TransmittancePercent = nil, nil, nil
			m = fmt.Sprintf("scan of %s, %d points, %g nm %g to %g nm %g %s", kind, n, s.NM[0], y[0], s.NM[n-1], y[n-1], compact(s2))
		}
		fmt.Fprintf(b, "  %s\n", m)
	}
	if c := compact(e.Circumstances); c != "{}" {
		fmt.Fprintf(b, "  %s\n", c)
	}
	for _, f := range e.Faults {
		fmt.Fprintf(b, "  fault at %s: %s [%v]\n", f.Location, f.Message, f.Value)
	}
	for _, w := range e.Warnings {
		fmt.Fprintf(b, "  %s: %s\n", w.Code, w.Message)
	}
}

func compact(v any) string {
	data, err := json.Marshal(v)
	if err != nil {
		return err.Error()
	}
	return string(data)
}
