package sheet_test

import (
	"strings"
	"testing"

	"pourpath/reports/sheet"
)

// TestJudgeSheetsTellNothing: what judges hold has no dose and no glass; each has a
// page with the codes in that judge's order and the standing cautions.
func TestJudgeSheetsTellNothing(t *testing.T) {
	pages := pagesOf(t, pdfOf(t, judgeSheets()))
	if len(pages) != 2 {
		t.Fatalf("%d pages for two judges", len(pages))
	}
	for i, page := range pages {
		page = flat(page)
		at := 0
		for _, code := range seats[i].Codes {
			next := strings.Index(page[at:], code)
			if next < 0 {
				t.Errorf("page %d: %s does not follow in the order %v", i+1, code, seats[i].Codes)
				break
			}
			at += next
		}
		for _, want := range []string{asked.Question, "1 to 4", "1 is the one that you like most", "ISO 11037", "sulphites", "under age", "Judge: " + seats[i].Name} {
			if !strings.Contains(page, want) {
				t.Errorf("page %d does not say %q", i+1, want)
			}
		}
		for _, secret := range []string{"mL per 100", "% of the blend", "Dose", seats[1-i].Name} {
			if strings.Contains(page, secret) {
				t.Errorf("page %d tells %q", i+1, secret)
			}
		}
	}
	scores := flat(strings.Join(pagesOf(t, pdfOf(t, scoreSheets())), "\n"))
	if !strings.Contains(scores, "a score from 0 to 10: the deeper its colour, the higher") {
		t.Errorf("scores: %s", scores)
	}
}

// TestPanelDocumentsSay: the leader's list says on each page that it is not for
// judges, labels have each judge's codes, and a report has both conventions.
func TestPanelDocumentsSay(t *testing.T) {
	for i, page := range pagesOf(t, pdfOf(t, pouring())) {
		if !strings.Contains(flat(page), "NOT FOR JUDGES") {
			t.Errorf("page %d of the pouring list does not say whom it is not for", i+1)
		}
	}
	cut := flat(strings.Join(pagesOf(t, pdfOf(t, labels())), "\n"))
	if n := strings.Count(cut, "938"); n != len(seats) {
		t.Errorf("code 938 stands on %d labels, want %d", n, len(seats))
	}
	report := flat(strings.Join(pagesOf(t, pdfOf(t, judged(t))), "\n"))
	for _, want := range []string{
		"The glasses differ (p < 0.001, Friedman's test, exact). More of the addition is put first (p = 0.012, Page's test, exact).",
		"9.8 mL per 100 mL of base · 8.9 % of the blend", "95 % interval: 8.1 to 11.4 mL", "A – C, A – D", "W = 0.61", "about 86 of 100 people", "Judge 11",
		"No difference was found (p = 0.310, Durbin's test, by simulation)", "none can be told from these answers", "less than 80 % of the time",
	} {
		if !strings.Contains(report, want) {
			t.Errorf("the report does not say %q", want)
		}
	}
}

// TestPanelDocumentsRefuse: what is missing is named with its place.
func TestPanelDocumentsRefuse(t *testing.T) {
	noCode := labels()
	noCode.Judges = []sheet.PanelJudge{{Name: "Ada", Codes: []string{" "}}}
	noMost := judgeSheets()
	noMost.Most = "best"
	noGlass := pouring()
	noGlass.Glasses = []sheet.PouringRow{{Code: "412"}}
	risk := judged(t)
	risk.Panels[0].P = 1.5
	for want, p := range map[string]printable{
		"judge 1: code 1": noCode, `most: "best"`: noMost, "glass 1: label": noGlass, "panel 1: probabilities": risk,
	} {
		if err := p.WritePDF(new(strings.Builder), nil); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}
