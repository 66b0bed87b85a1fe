package sheet_test

import (
	"bytes"
	"flag"
	"io"
	"maps"
	"os"
	"path/filepath"
	"testing"

	"pourpath/reports/sheet"

	"gonum.org/v1/plot/cmpimg"
)

var update = flag.Bool("update", false, "write the golden documents anew; look at them before committing")

// printable is what all documents have.
type printable interface {
	WritePDF(w io.Writer, texts *sheet.Texts) error
	WriteHTML(w io.Writer, texts *sheet.Texts, stylesheet string) error
}

const styleAddress = "/assets/sheet.css"

func pdfOf(t testing.TB, p printable) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := p.WritePDF(&b, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func htmlOf(t testing.TB, p printable) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := p.WriteHTML(&b, nil, styleAddress); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func documents(t testing.TB) map[string]printable {
	return map[string]printable{"bench": bench(t), "trial": trial(t), "order": order(t), "order_vessels": vessels(t),
		"statement": statement(t), "statement_open": undecided(t), "trial_panel": judged(t)}
}

// colourless are the documents that show no colour, and whose foot has no word of
// one.
func colourless() map[string]printable {
	return map[string]printable{"labels": labels(), "judges": judgeSheets(), "judges_scores": scoreSheets(), "pouring": pouring()}
}

// The documents in testdata were looked at page by page; a change shows here
// first. Pages of PDF are held against each other by what they set and where.
func TestGolden(t *testing.T) {
	all := documents(t)
	maps.Copy(all, colourless())
	all["trial_fr"] = translated{trial(t), sheet.French()}
	all["judges_fr"] = translated{judgeSheets(), sheet.French()}
	all["pouring_es"] = translated{pouring(), sheet.Spanish()}
	all["statement_es"] = translated{statement(t), sheet.Spanish()}
	for name, p := range all {
		for _, f := range []struct {
			format string
			made   []byte
			same   func(got, want []byte) (bool, error)
		}{
			{"pdf", pdfOf(t, p), func(got, want []byte) (bool, error) { return cmpimg.Equal("pdf", got, want) }},
			{"html", htmlOf(t, p), func(got, want []byte) (bool, error) { return bytes.Equal(got, want), nil }},
		} {
			t.Run(name+"."+f.format, func(t *testing.T) {
				file := filepath.Join("testdata", name+"."+f.format)
				if *update {
					if err := os.WriteFile(file, f.made, 0o644); err != nil {
						t.Fatal(err)
					}
				}
				want, err := os.ReadFile(file)
				if err != nil {
					t.Fatalf("%v (run with -update to write it)", err)
				}
				same, err := f.same(f.made, want)
				if err != nil {
					t.Fatal(err)
				}
				if !same {
					kept := filepath.Join(t.ArtifactDir(), filepath.Base(file))
					if err := os.WriteFile(kept, f.made, 0o644); err != nil {
						t.Error(err)
					}
					t.Errorf("differs from %s; -artifacts keeps the new one, %s", file, kept)
				}
			})
		}
	}
}

func TestSameInputSameBytes(t *testing.T) {
	all := documents(t)
	maps.Copy(all, colourless())
	for name, p := range all {
		if !bytes.Equal(pdfOf(t, p), pdfOf(t, p)) || !bytes.Equal(htmlOf(t, p), htmlOf(t, p)) {
			t.Errorf("%s: two writings of one input differ", name)
		}
	}
}
