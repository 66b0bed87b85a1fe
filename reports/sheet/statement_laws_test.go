package sheet_test

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"pourpath/colour/conform"
	"pourpath/reports"
	"pourpath/reports/sheet"
)

// What a statement must say, in both formats. 0.15 and 0.20 are the standard
// uncertainties, 0.30 and 0.40 twice them.
func TestStatementSays(t *testing.T) {
	for _, c := range []struct {
		name string
		s    sheet.Statement
		want []string
	}{
		{"pass", statement(t), []string{"Within spec with probability 0.99.", "Lot B-26-018", "Bottles 1, 2400 and 4800", "membrane filtered", "10 mm cell, undiluted",
			"passed; last checked 30 November 2026; due by 31 December 2026", "83.16 ± 0.15 ± 0.30 not limited", "13.76 ± 0.20 ± 0.40 12.8 15.6 within above 0.99", "95 %: 0.31 to 1.12",
			"Rosé of the upper terrace, version 3", "from 1 December 2026", "M. K.", "with a probability of at least 0.95", "max_risk", "0.05", "JCGM 106",
			"A. R., quality control", "2026-0042", strings.Repeat("9f86d081884c7d65", 4), "pourpath verify", "71 % of the variance", "Bottle 4800", "0.230",
			"Glass C of trial 3", "nothing of safety, sulphur dioxide, alcohol or allergens, nor of whether the blend and what its label claims are lawful", "Signed"}},
		{"open", undecided(t), []string{"Cannot tell with this measurement: within spec with probability 0.9496.", "What would settle it", "Read sample and reference four times each",
			"The check of the instrument was overdue", "OVERDUE; last checked", "beyond the warning limit of 1.1", "within, beyond the warning limit", "0.9496"}},
	} {
		pdf, page := flat(strings.Join(pagesOf(t, pdfOf(t, c.s)), "\n")), flat(textOf(t, htmlOf(t, c.s)))
		for _, want := range c.want {
			if !strings.Contains(page, want) {
				t.Errorf("%s: the page of HTML does not say %q", c.name, want)
			}
			if !strings.Contains(pdf, want) {
				t.Errorf("%s: the PDF does not say %q", c.name, want)
			}
		}
	}
}

// The verdict comes first, before any picture or number, and is never certain.
func TestVerdictIsASentence(t *testing.T) {
	for _, c := range []struct {
		rule        conform.Rule
		verdict     conform.Verdict
		probability float64
		value       float64 // of the ΔE00, limited to 1.5
		want        string
	}{
		{conform.Guarded, conform.Pass, 1, 0.6, "Within spec with probability above 0.99."},
		{conform.Guarded, conform.Pass, 0.95, 0.6, "Within spec with probability 0.95."},
		{conform.Guarded, conform.Inconclusive, 0.9496, 1.2, "Cannot tell with this measurement: within spec with probability 0.9496."},
		{conform.Guarded, conform.Inconclusive, 0.94999, 1.2, "within spec with probability 0.94999."},
		{conform.Guarded, conform.Inconclusive, 0.5, 1.5, "within spec with probability 0.50."},
		{conform.Guarded, conform.Inconclusive, 0.03, 1.9, "within spec with probability 0.03."},
		{conform.Guarded, conform.Fail, 0.0496, 2, "Outside spec with probability 0.9504."},
		{conform.Guarded, conform.Fail, 0, 9, "Outside spec with probability above 0.99."},
		{conform.Simple, conform.Pass, 0.62, 1.5, "Within spec at face value; the probability of being within is 0.62."},
		{conform.Simple, conform.Fail, 0.001, 1.6, "Outside spec at face value; the probability of being within is below 0.01."},
	} {
		s := statement(t)
		s.Rule, s.Verdict, s.Probability, s.Parts[0].Value = c.rule, c.verdict, c.probability, c.value
		page := string(htmlOf(t, s))
		at := strings.Index(page, c.want)
		if at < 0 {
			t.Errorf("%s, %s, %g: the page does not say %q", c.rule, c.verdict, c.probability, c.want)
			continue
		}
		if figure := strings.Index(page, "<figure>"); figure < at {
			t.Errorf("%s: a picture comes before the verdict", c.verdict)
		}
	}
}

// The three places of an instrument that a verdict cannot rest on are told before
// everything else.
func TestInstrumentIsWarnedOf(t *testing.T) {
	for state, want := range map[sheet.CheckState]string{
		sheet.CheckOverdue: "The check of the instrument was overdue", sheet.CheckFailed: "The instrument had failed its check", sheet.CheckUnknown: "No check of the instrument is recorded",
	} {
		s := statement(t)
		s.Instrument.State = state
		page := flat(textOf(t, htmlOf(t, s)))
		if at := strings.Index(page, want); at < 0 || at > strings.Index(page, "Result and limits") {
			t.Errorf("%s: the page does not say %q first", state, want)
		}
	}
	if strings.Contains(flat(textOf(t, htmlOf(t, statement(t)))), "To note") {
		t.Error("a statement without warnings has their heading")
	}
}

func TestStatementFaultsAreNamed(t *testing.T) {
	for want, spoil := range map[string]func(*sheet.Statement){
		"sheet: number: is empty":                                                func(s *sheet.Statement) { s.Number = "" },
		"sheet: checksum: \"abc\" is none":                                       func(s *sheet.Statement) { s.Checksum = "abc" },
		"sheet: number: 101 characters":                                          func(s *sheet.Statement) { s.Number = strings.Repeat("x", 101) },
		"sheet: part 3: quantity: \"a*\" comes twice":                            func(s *sheet.Statement) { s.Parts[2].Quantity = " a*" },
		"sheet: issued by: is empty":                                             func(s *sheet.Statement) { s.IssuedBy = " " },
		"sheet: date: is empty":                                                  func(s *sheet.Statement) { s.Issued = "" },
		"sheet: version: is empty":                                               func(s *sheet.Statement) { s.Version = "" },
		"sheet: lot: name: is empty":                                             func(s *sheet.Statement) { s.Lot.Name = "" },
		"sheet: method: is empty":                                                func(s *sheet.Statement) { s.Method = "" },
		"sheet: instrument: name: is empty":                                      func(s *sheet.Statement) { s.Instrument.Name = "" },
		"sheet: instrument: state: \"fine\"":                                     func(s *sheet.Statement) { s.Instrument.State = "fine" },
		"sheet: specification: version: is":                                      func(s *sheet.Statement) { s.Spec.Version = "" },
		"sheet: reading 2: value: NaN":                                           func(s *sheet.Statement) { s.Readings[1].Value = math.NaN() },
		"sheet: reading 1: decimals: 9":                                          func(s *sheet.Statement) { s.Readings[0].Decimals = 9 },
		"sheet: result: holds for":                                               func(s *sheet.Statement) { s.Result.Lab.View.DepthMM = 50 },
		"sheet: reference: name: is empty":                                       func(s *sheet.Statement) { s.Reference.Name = "" },
		"sheet: parts: there is none":                                            func(s *sheet.Statement) { s.Parts = nil },
		"reports: part 1: value: NaN":                                            func(s *sheet.Statement) { s.Parts[1].Value = math.NaN() },
		"sheet: probability: 1.2":                                                func(s *sheet.Statement) { s.Probability = 1.2 },
		"sheet: rule: \"coin\" is none":                                          func(s *sheet.Statement) { s.Rule = "coin" },
		"sheet: max_risk: 0.5: want":                                             func(s *sheet.Statement) { s.MaxRisk = 0.5 },
		"sheet: verdict: \"maybe\" is none":                                      func(s *sheet.Statement) { s.Verdict, s.Probability = "maybe", 0.5 },
		"\"pass\" with probability 0.94: guarded acceptance passes from 0.95 on": func(s *sheet.Statement) { s.Probability = 0.94 },
		"\"inconclusive\" with probability 0.991: guarded acceptance passes":     func(s *sheet.Statement) { s.Verdict = conform.Inconclusive },
		"\"fail\" with probability 0.3: guarded acceptance fails at 0.05":        func(s *sheet.Statement) { s.Verdict, s.Probability = conform.Fail, 0.3 },
		"\"fail\": simple acceptance passes where every":                         func(s *sheet.Statement) { s.Rule, s.Verdict = conform.Simple, conform.Fail },
		"\"pass\": simple acceptance passes where every":                         func(s *sheet.Statement) { s.Rule, s.Parts[1].Value = conform.Simple, 20 },
		"\"inconclusive\": simple acceptance passes or fails":                    func(s *sheet.Statement) { s.Rule, s.Verdict = conform.Simple, conform.Inconclusive },
		"reports: lots: there is none":                                           func(s *sheet.Statement) { s.Plane = &reports.LotPlaneFigure{View: s.View} },
	} {
		s := statement(t)
		spoil(&s)
		var b bytes.Buffer
		for format, err := range map[string]error{"PDF": s.WritePDF(&b, nil), "HTML": s.WriteHTML(&b, nil, "")} {
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%s: error %v: want %q", format, err, want)
			}
		}
		if b.Len() > 0 {
			t.Errorf("%q: something was written", want)
		}
	}
}

// As many limits as a figure takes fit on a page, above its foot.
func TestManyLimitsFit(t *testing.T) {
	s := statement(t)
	for len(s.Parts) < 14 {
		p := s.Parts[2]
		p.Quantity = fmt.Sprintf("share no. %d of a long name that takes two lines or more", len(s.Parts))
		s.Parts = append(s.Parts, p)
	}
	d, err := reports.ToleranceFigure{Title: "x", Parts: s.Parts}.Drawing()
	if err != nil {
		t.Fatal(err)
	}
	const body = 297 - 19 - 9 - 40 // mm of A4 beneath the running head and above a foot of ten lines
	d.DrawOn(reports.NewDocument(600, 850), func(highPt float64) (x, y float64) {
		if high := highPt / 72 * 25.4; high > body {
			t.Errorf("the figure is %.0f mm high: want at most %d", high, body)
		}
		return 0, 0
	})
	s.Parts = append(s.Parts, reports.PartMark{Quantity: "one more", Upper: 1, Lower: math.Inf(-1)})
	if err := s.WritePDF(io.Discard, nil); err == nil || !strings.Contains(err.Error(), "parts: 15: want at most 14") {
		t.Errorf("15 limits: %v", err)
	}
}

// A statement holds for one lot and one version; what is not known is left out.
func TestBareStatement(t *testing.T) {
	s := statement(t)
	s.Plane, s.Reference, s.Readings, s.Settle, s.Dominant = nil, nil, nil, nil, ""
	s.Lot, s.Spec = sheet.Lot{Name: s.Lot.Name}, sheet.SpecFact{Name: "Rosé", Version: "1"}
	page := flat(textOf(t, htmlOf(t, s)))
	for _, absent := range []string{"Readings", "Reference", "Valid", "Approved by", "Most of the uncertainty", "Bottled", "predecessors"} {
		if strings.Contains(page, absent) {
			t.Errorf("a statement without it shows %q", absent)
		}
	}
	if pages := pagesOf(t, pdfOf(t, s)); len(pages) > 2 {
		t.Errorf("a bare statement has %d pages: want at most 2", len(pages))
	}
}
