package release

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"html"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"gonum.org/v1/plot/cmpimg"

	"pourpath/api/bench"
	"pourpath/api/record"
	"pourpath/reports/sheet"
	"pourpath/reports/sheet/sheettest"
)

var update = flag.Bool("update", false, "write the golden documents anew; look at them before committing")

// issuedOnce is a statement as version 0.1.0 stored it: a later one prints the
// same of these bytes. Its checksum is that of sha256sum (GNU coreutils) over a
// line feed and the file.
func issuedOnce(t testing.TB) record.Statement {
	t.Helper()
	content, err := os.ReadFile("testdata/statement-1.json")
	if err != nil {
		t.Fatal(err)
	}
	return record.Statement{No: 1, LotID: "01", VerdictID: "02", SHA256: "a201becdb4d7829f10e2cce7f0351a83ba45e2bb9263fc5e04a306ce254b971f", Content: content}
}

// documentOf is a statement as a page and as PDF.
func documentOf(t testing.TB, st record.Statement) (paper sheet.Statement, html, pdf []byte) {
	t.Helper()
	paper, err := Paper(st, nil)
	if err != nil {
		t.Fatal(err)
	}
	var page, print bytes.Buffer
	if err := errors.Join(paper.WriteHTML(&page, nil, "/sheet.css"), paper.WritePDF(&print, nil)); err != nil {
		t.Fatal(err)
	}
	return paper, page.Bytes(), print.Bytes()
}

// TestPaperGolden: the documents in testdata were looked at page by page.
func TestPaperGolden(t *testing.T) {
	draft := issuedOnce(t)
	draft.Draft, draft.No, draft.SHA256 = true, 0, ""
	draft.Content = bytes.Replace(draft.Content, []byte(`"no":1,`), []byte(`"no":0,`), 1)
	for name, st := range map[string]record.Statement{"statement-1": issuedOnce(t), "draft": draft} {
		_, html, pdf := documentOf(t, st)
		for end, got := range map[string][]byte{".html": html, ".pdf": pdf} {
			file := filepath.Join("testdata", name+end)
			if *update {
				if err := os.WriteFile(file, got, 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatalf("%v (run with -update to write it)", err)
			}
			same := bytes.Equal(got, want)
			if end == ".pdf" {
				if same, err = cmpimg.Equal("pdf", got, want); err != nil {
					t.Fatal(err)
				}
			}
			if !same {
				t.Errorf("the document differs from %s", file)
			}
		}
	}
}

// TestPaperLater: a year and a version later the same statement prints the same
// bytes and says which version gave it; one that is issued then of the old verdict
// has its figures and names both versions.
func TestPaperLater(t *testing.T) {
	s, r := open(t)
	lot := lotWith(t, r, readings(0.142, 0.121, 0.021))
	first, err := r.Issue(t.Context(), lot.ID, record.StatementBody{IssuedBy: "Ada"})
	if err != nil {
		t.Fatal(err)
	}
	before, html, pdf := documentOf(t, first)
	later := New(s, bench.New(s), "2.0")
	again, err := later.Statement(t.Context(), lot.ID)
	if err != nil {
		t.Fatal(err)
	}
	after, htmlAfter, pdfAfter := documentOf(t, again)
	if !bytes.Equal(html, htmlAfter) || !bytes.Equal(pdf, pdfAfter) || after.Version != "Pourpath 1.0" {
		t.Errorf("printed by another version it is another document, by %s", after.Version)
	}
	second, err := later.Issue(t.Context(), lot.ID, record.StatementBody{IssuedBy: "Ada"})
	if err != nil {
		t.Fatal(err)
	}
	now, _, _ := documentOf(t, second)
	if now.Version != "Pourpath 2.0; the verdict was given by Pourpath 1.0" {
		t.Errorf("the versions are said as %q", now.Version)
	}
	if !reflect.DeepEqual(now.Parts, before.Parts) || now.Result != before.Result || now.Probability != before.Probability {
		t.Errorf("the figures became %+v", now)
	}
}

// TestPaperHasWhatIsStored: figures come from the content and are not computed
// anew, not even where they would come out otherwise.
func TestPaperHasWhatIsStored(t *testing.T) {
	st := issuedOnce(t)
	var content record.StatementContent
	if err := json.Unmarshal(st.Content, &content); err != nil {
		t.Fatal(err)
	}
	verdict := &content.Verdict
	verdict.Results[0].Value, verdict.Probability, verdict.Colour.CIELAB.L = pointerTo(1.2345), pointerTo(0.5432), 91.23
	changed, err := json.Marshal(content)
	if err != nil {
		t.Fatal(err)
	}
	st.Content, st.SHA256 = changed, record.Chained("", changed)
	paper, html, _ := documentOf(t, st)
	if paper.Parts[0].Value != 1.2345 || paper.Probability != 0.5432 || paper.Result.Lab.L != 91.23 {
		t.Errorf("the document has %v, %v, %v", paper.Parts[0].Value, paper.Probability, paper.Result.Lab.L)
	}
	if !bytes.Contains(html, []byte("within spec with probability 0.54")) || !bytes.Contains(html, []byte(st.SHA256)) {
		t.Error("the page does not have the stored probability or the checksum")
	}
}

// TestPaperDamaged: what is not what was issued has no document.
func TestPaperDamaged(t *testing.T) {
	for name, damage := range map[string]func(*record.Statement){
		"content":        func(st *record.Statement) { st.Content = bytes.Replace(st.Content, []byte("L-31"), []byte("L-32"), 1) },
		"checksum":       func(st *record.Statement) { st.SHA256 = strings.Repeat("0", 64) },
		"the one before": func(st *record.Statement) { st.Previous = strings.Repeat("0", 64) },
		"number":         func(st *record.Statement) { st.No = 2 },
	} {
		st := issuedOnce(t)
		damage(&st)
		if paper, err := Paper(st, nil); !errors.Is(err, record.ErrDamaged) {
			t.Errorf("%s: %v, %+v", name, err, paper)
		}
	}
	st := issuedOnce(t)
	st.Content = []byte("{")
	if _, err := Paper(st, nil); err == nil {
		t.Error("content that is no JSON has a document")
	}
}

// TestPaperInLanguages: a statement of long ago in another language has no English in it
// but what people wrote, and messages, which come by Say.
func TestPaperInLanguages(t *testing.T) {
	st := issuedOnce(t)
	var content record.StatementContent
	if err := json.Unmarshal(st.Content, &content); err != nil {
		t.Fatal(err)
	}
	given := []string{content.Note, content.IssuedBy, content.Lot.Name, content.Lot.Product, content.Spec.Name, content.Spec.ApprovedBy, content.Sample.Instrument, content.Sample.Bottle,
		content.Sample.Analyst, content.Sample.Blank, "Pourpath"}
	if d := content.Decision; d != nil {
		given = append(given, d.By, d.Reason)
	}
	for _, code := range []string{"fr", "es"} {
		texts, _ := sheet.In(code)
		texts.Figures.Say = func(string) (string, bool) { return "⟨⟩", true }
		paper, err := Paper(st, &texts)
		if err != nil {
			t.Fatal(err)
		}
		var page bytes.Buffer
		if err := errors.Join(paper.WriteHTML(&page, &texts, ""), paper.WritePDF(io.Discard, &texts)); err != nil {
			t.Fatal(err)
		}
		text := tags.ReplaceAllString(outside.ReplaceAllString(page.String(), ""), " ")
		if found := sheettest.English(html.UnescapeString(text), texts, given...); len(found) > 0 {
			t.Errorf("in %s it has the English %q", code, found)
		}
		if !strings.Contains(page.String(), "⟨⟩") {
			t.Errorf("%s: no message came by Say", code)
		}
	}
}

var (
	tags    = regexp.MustCompile(`<[^>]*>`)
	outside = regexp.MustCompile(`(?s)<style.*?</style>`)
)
