package bench_test

import (
	"bytes"
	"html"
	"io"
	"regexp"
	"strings"
	"testing"

	"pourpath/api/bench"
	"pourpath/api/calc"
	"pourpath/api/record"
	"pourpath/reports/sheet"
	"pourpath/reports/sheet/sheettest"
)

// paper is any document.
type paper interface {
	WritePDF(w io.Writer, texts *sheet.Texts) error
	WriteHTML(w io.Writer, texts *sheet.Texts, stylesheet string) error
}

// papersIn are all documents of a trial that has gone through everything, and of one with
// a wine held in its base.
func papersIn(t *testing.T, p printer, whole, held string, texts *sheet.Texts) map[string]paper {
	t.Helper()
	b := p.In(texts)
	out := map[string]paper{}
	keep := func(name string, doc paper, err error) {
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		out[name] = doc
	}
	size := 2000.0
	order := bench.WorkOrderRequest{BaseL: &size, LossPercent: 1.5}
	report, err := b.Report(t.Context(), whole, &order)
	keep("report", report, err)
	workOrder, err := b.WorkOrder(t.Context(), whole, order)
	keep("work order", workOrder, err)
	workOrder, err = b.WorkOrder(t.Context(), held, bench.WorkOrderRequest{Bottles: &calc.Bottles{Count: 12000, ML: 187.5}})
	keep("work order of a mixture", workOrder, err)
	to, step, visible := 12.0, 2.0, 3.0
	plan, err := b.Sheet(t.Context(), whole, bench.TrialPlanRequest{Kind: bench.Even, ToML: &to, StepML: &step, Visible: &visible})
	keep("bench sheet", plan, err)
	plan, err = b.Sheet(t.Context(), held, bench.TrialPlanRequest{Kind: bench.Even, ToML: &to, StepML: &step})
	keep("bench sheet of a mixture", plan, err)
	return out
}

// TestPapersInLanguages: nothing on a paper is English but what people wrote and
// messages of the service, which come by Say.
func TestPapersInLanguages(t *testing.T) {
	p := newPrinter(t)
	whole := p.whole()
	held := p.begin(`{"base": ` + white + `, "addition": {"readings": {"a420": 0.231, "a520": 0.398, "a620": 0.067, "path_mm": 1, "dilution": 2}},
		"held": [{"wine": {"name": "Rosé", "readings": {"a420": 0.2, "a520": 0.25, "a620": 0.04}}, "dose_ml_per_100ml": 2.5}],
		"target": {"intensity": 0.5, "tint": 1.1}, "tools": [{"kind": "cylinder", "capacity_ml": 100, "graduation_ml": 1, "name": "Cylindre"}, {"kind": "spoon", "capacity_ml": 5, "name": "Cuillère"}], ` + around + `}`)
	add[record.PourBody](p, held, `{"at": "2026-11-25T14:05:00Z", "glass": "B", "volume_ml": 8}`)
	add[record.ChoiceBody](p, held, `{"glass": "B", "reasons": "x"}`)
	given := []string{"White base Young red First ladder syringe Ada Ben it went into no glass bright, a little short liking, 0 to 100 closest to the target liked best Rosé"}
	for code, months := range map[string]string{"fr": "novembre", "es": "noviembre"} {
		texts, _ := sheet.In(code)
		said := 0
		texts.Figures.Say = func(string) (string, bool) { said++; return "⟨⟩", true }
		all := &strings.Builder{}
		for name, doc := range papersIn(t, p, whole, held, &texts) {
			var page bytes.Buffer
			if err := doc.WriteHTML(&page, &texts, ""); err != nil {
				t.Fatal(err)
			}
			if err := doc.WritePDF(io.Discard, &texts); err != nil {
				t.Fatal(err)
			}
			text := html.UnescapeString(strings.Join(strings.Fields(tags.ReplaceAllString(withoutStyles.ReplaceAllString(page.String(), ""), " ")), " "))
			if found := sheettest.English(text, texts, given...); len(found) > 0 {
				t.Errorf("%s in %s has the English %q", name, code, found)
			}
			if found := pointed.FindAllString(text, -1); len(found) > 0 {
				t.Errorf("%s in %s has decimal points: %q", name, code, found)
			}
			all.WriteString(text)
		}
		if said == 0 {
			t.Errorf("%s: no message came by Say", code)
		}
		wants(t, all.String(), "25 "+map[string]string{"fr": "", "es": "de "}[code]+months, "⟨⟩")
	}
}

var (
	withoutStyles = regexp.MustCompile(`(?s)<(style|svg)[ >].*?</(style|svg)>`)
	pointed       = regexp.MustCompile(`[^\d.]\d+\.\d+[^\d.]`) // no version
)
