package sheet_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"pourpath/reports/sheet"
)

// flat is a text without its line breaks, which differ by format.
func flat(s string) string { return strings.Join(strings.Fields(s), " ") }

func TestEveryPageSaysWhatItHoldsFor(t *testing.T) {
	ofDoses := []string{"Rosé of the upper terrace, trial 3", "25 November 2026", "9.5 mL per 100 mL = 8.7 % of the blend", "print is no colour reference"}
	own := map[string][]string{
		"statement":      {"Lot B-26-018", "3 December 2026", "Statement 2026-0042 in the register", "SHA-256 9f86d081884c7d65", "k = 2"},
		"statement_open": {"Lot B-26-018", "3 December 2026", "Statement 2026-0043 in the register", "SHA-256 9f86d081884c7d65", "k = 2"},
	}
	for name, p := range documents(t) {
		says := own[name]
		if says == nil {
			says = ofDoses
		}
		pages := pagesOf(t, pdfOf(t, p))
		for i, page := range pages {
			page = flat(page)
			for _, want := range append([]string{"illuminant D65, 10° observer, 10 mm of wine", "Pourpath 0.1.0", fmt.Sprintf("Page %d of %d", i+1, len(pages))}, says...) {
				if !strings.Contains(page, want) {
					t.Errorf("%s, page %d does not say %q", name, i+1, want)
				}
			}
		}
	}
}

// What the documents must say, in both formats. 100 * 9.4 / 109.4 is 8.6 %;
// 2188 L are 2188 / 3.785411784 = 578.01 US gallons and 2188 / 4.54609 = 481.29
// imperial gallons, the factors as in the Units of Measurement Regulations 1995
// and NIST HB44.
func TestDocumentsSay(t *testing.T) {
	for _, c := range []struct {
		name string
		p    printable
		want []string
	}{
		{"bench", bench(t), []string{"Running total, mL", "Dose, mL per 100 mL base", "% of the blend", "A420", "A520", "A620", "Initials",
			"Never drink a sample that was treated for a reading (acetaldehyde, acid, bisulphite)", "20.0 ± 0.3", "16.7", "69.4", "± 1.2"}},
		{"trial", trial(t), []string{"UNDONE", "10.3 ± 0.1", "OUTLIER: flagged, not dropped", "repeat the next day",
			"Still to do: look again the next day.", "9.4 ± 0.2 mL per 100 mL of base · 8.6 % of the blend", "the deeper rung was too firm", "13.5", "of 20",
			"94 mL into a litre of base; 86 mL are in a litre of finished blend", "Counter-entry: takes entry 5 back", "At the chosen dose"}},
		{"order", order(t), []string{"BASE-LED, this order: 2000 L of base", "Blend-led, NOT this order", "578.01", "481.29", "21.880",
			"Add the first part, 90 % of the addition", "Measure out 172.0 L; 3 L of it stay in the line.", "≤ 19.0", "0.02 from the dose asked for",
			"dose ± 0.07 mL per 100 mL of base", "11.0", "tartrate crystals or a protein haze", "malolactic", "local code", "Signed"}},
		{"vessels", vessels(t), []string{"BLEND-LED, this order: 54 L of finished blend", "Carboy, no. 3", "1.4 L", "−0.1 to 2.9 L", "may have been passed already"}},
	} {
		pdf, page := flat(strings.Join(pagesOf(t, pdfOf(t, c.p)), "\n")), flat(textOf(t, htmlOf(t, c.p)))
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

func TestFinalCheckIsTold(t *testing.T) {
	done := sheet.FinalCheck{VolumeML: 250, Reading: colourAt(t, 9.4, 0.3), KeptCold: true, LookedAgain: true}
	small, unread := done, done
	small.VolumeML, unread.Reading = 249, nil
	for _, c := range []struct {
		name  string
		final *sheet.FinalCheck
		want  string
	}{
		{"not begun", nil, "Not done. Pour the chosen dose fresh, once, at 250 mL or more"},
		{"done", &done, "Done: the chosen dose was poured fresh, read, kept cold overnight and looked at again."},
		{"too small", &small, "Still to do: pour the chosen dose fresh at 250 mL or more."},
		{"unread", &unread, "Still to do: read it."},
	} {
		r := trial(t)
		r.Final = c.final
		if page := flat(textOf(t, htmlOf(t, r))); !strings.Contains(page, c.want) {
			t.Errorf("%s: the report does not say %q", c.name, c.want)
		}
	}
}

func TestLongTableRepeatsItsHead(t *testing.T) {
	r := trial(t)
	entry := r.Log[1]
	r.Log = nil
	for i := range 300 {
		entry.Time = fmt.Sprintf("entry-%d-", i)
		r.Log = append(r.Log, entry)
	}
	pages := pagesOf(t, pdfOf(t, r))
	whole := strings.Join(pages, "\n")
	for i := range 300 {
		if n := strings.Count(whole, fmt.Sprintf("entry-%d-", i)); n != 1 {
			t.Errorf("entry %d is there %d times: want once", i, n)
		}
	}
	for i, page := range pages {
		if strings.Contains(page, "entry-") && !strings.Contains(flat(page), "Running total, mL") {
			t.Errorf("page %d goes on with the log without its head", i+1)
		}
	}
}

func TestEmptyPartsAreLeftOut(t *testing.T) {
	plain := sheet.Wines{Base: sheet.Wine{Name: "white"}, Additions: []sheet.Wine{{Name: "red"}}}
	r := sheet.Trial{Head: head(), Wines: plain}
	r.Conditions, r.GlassDepthMM = "", 0
	page := textOf(t, htmlOf(t, r))
	for _, absent := range []string{"Pour log", "Measured against", "Notes and scores", "Choice", "Scale-up", "To note", "L*\n", "Lot", "Target", "55 mm"} {
		if strings.Contains(page, absent) {
			t.Errorf("a trial without it shows %q", absent)
		}
	}
	if pages := pagesOf(t, pdfOf(t, r)); len(pages) != 1 {
		t.Errorf("an empty report has %d pages: want 1", len(pages))
	}
}

// The table of the order adds up as it is read: base and addition are the blend.
func TestRecipesAddUpAsRead(t *testing.T) {
	rows := regexp.MustCompile(`([\d.]+)<br>([\d.]+)<br>([\d.]+)</td>`).FindAllStringSubmatch(string(htmlOf(t, vessels(t))), -1)
	if len(rows) != 5*4 {
		t.Fatalf("found %d volumes: want those of 5 recipes in 4 units", len(rows))
	}
	for _, r := range rows {
		var base, addition, blend float64
		if _, err := fmt.Sscan(r[1]+" "+r[2]+" "+r[3], &base, &addition, &blend); err != nil {
			t.Fatal(err)
		}
		_, decimals, _ := strings.Cut(r[3], ".")
		if last := math.Pow10(-len(decimals)); math.Abs(base+addition-blend) > 1.01*last {
			t.Errorf("%g + %g is not %g to the last digit", base, addition, blend)
		}
	}
}

func TestFaultsAreNamed(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		want string
		p    func() printable
	}{
		{"sheet: trial: is empty", func() printable { b := bench(t); b.Trial = " "; return b }},
		{"sheet: view: ", func() printable { b := bench(t); b.View.Observer = "3"; return b }},
		{"sheet: base volume: is 0", func() printable { b := bench(t); b.BaseML = 0; return b }},
		{"sheet: additions: there is none: want the one that is dosed", func() printable { b := bench(t); b.Additions = nil; return b }},
		{"sheet: plan row 4: volume: -2 is not a number from 0", func() printable { b := bench(t); b.Plan[3].VolumeML = -2; return b }},
		{"sheet: plan row 5: dose: uncertainty: NaN", func() printable { b := bench(t); b.Plan[4].Dose.U = nan; return b }},
		{"sheet: plan row 1: swatch: \"pink\" is not a colour", func() printable { b := bench(t); b.Plan[0].Swatch.At10MM.Hex = "pink"; return b }},
		{"sheet: plan row 1: deed: 7 is none", func() printable { b := bench(t); b.Plan[0].Deed = 7; return b }},
		{"sheet: tool 2: graduation: -1", func() printable { b := bench(t); b.Tools[1].GraduationML = -1; return b }},
		{"sheet: target: colour: holds for", func() printable {
			b := bench(t)
			k := *b.Target.Colour
			k.Lab.View.DepthMM = 50
			b.Target.Colour = &k
			return b
		}},
		{"sheet: log row 2: total: +Inf", func() printable { r := trial(t); r.Log[1].TotalML = math.Inf(1); return r }},
		{"sheet: measured row 1: minutes: -3", func() printable { r := trial(t); r.Measured[0].Minutes = ptr(-3); return r }},
		{"sheet: choice: interval: from 9 to 8: want the lower end first", func() printable { r := trial(t); r.Choice.Interval95 = &sheet.Interval{9, 8}; return r }},
		{"sheet: final check: volume: NaN", func() printable { r := trial(t); r.Final.VolumeML = nan; return r }},
		{"reports: curve point 3 dose: NaN", func() printable { r := trial(t); r.Figure.Curve[3].DoseMLPer100ML = nan; return r }},
		{"sheet: scale-up: vessel 1: recipe: base 2000 L and addition 188 L are not the blend's 2000 L", func() printable {
			r := trial(t)
			r.ScaleUp.Vessels[0].BlendL = 2000
			return r
		}},
		{"sheet: volumes: vessel 1: recipe: addition 188 L in base 2000 L is not the dose of 13 mL per 100 mL, which wants 260 L", func() printable {
			o := order(t)
			o.Volumes.Dose.MLPer100ML = 13
			return o
		}},
		{"sheet: volumes: first addition: 100 %", func() printable { o := order(t); o.Volumes.FirstPercent = 100; return o }},
		{"sheet: volumes: vessels: there is none", func() printable { o := order(t); o.Volumes.Vessels = nil; return o }},
		{"sheet: volumes: vessel 1: count: 0", func() printable { o := order(t); o.Volumes.Vessels[0].Count = 0; return o }},
		{"sheet: volumes: stock 2: litres: -1", func() printable { o := order(t); o.Volumes.Stocks[1].OnHandL = -1; return o }},
		{"sheet: trim: addition: NaN", func() printable { o := vessels(t); o.Trim.AdditionL = nan; return o }},
		{"sheet: conditions: 501 characters", func() printable { b := bench(t); b.Conditions = strings.Repeat("x", 501); return b }},
	} {
		p := c.p()
		var b bytes.Buffer
		for format, err := range map[string]error{"PDF": p.WritePDF(&b, nil), "HTML": p.WriteHTML(&b, nil, "")} {
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%s: error %v: want %q", format, err, c.want)
			}
		}
		if b.Len() > 0 {
			t.Errorf("%q: something was written", c.want)
		}
	}
}

func TestTextsAreChecked(t *testing.T) {
	var b bytes.Buffer
	for want, change := range map[string]func(*sheet.Texts){
		"sheet: texts: Bench.Plan is missing":                         func(x *sheet.Texts) { x.Bench.Plan = "" },
		"sheet: texts: Trial.Cautions is missing":                     func(x *sheet.Texts) { x.Trial.Cautions = nil },
		"sheet: texts: Order.Signatures 1 is missing":                 func(x *sheet.Texts) { x.Order.Signatures[0] = " " },
		"sheet: texts: Page has the values [no]: want [count no]":     func(x *sheet.Texts) { x.Page = "Seite {no}" },
		"sheet: texts: DoseLine has the values [Dosis dose share]: w": func(x *sheet.Texts) { x.DoseLine += "{Dosis}" },
	} {
		x := sheet.English()
		change(&x)
		if err := bench(t).WritePDF(&b, &x); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v: want %q", err, want)
		}
	}
	if b.Len() > 0 {
		t.Error("something was written")
	}
}

// Another language is another value: its words and its decimal mark.
func TestAnotherLanguage(t *testing.T) {
	x := sheet.English()
	x.Lang, x.Figures.DecimalMark, x.Bench.Name, x.Columns.Glass = "de", ",", "Probenblatt", "Glas"
	var b bytes.Buffer
	if err := bench(t).WriteHTML(&b, &x, styleAddress); err != nil {
		t.Fatal(err)
	}
	page := textOf(t, b.Bytes())
	for _, want := range []string{"Probenblatt", "\nGlas", "20,0 ± 0,3"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if !strings.Contains(b.String(), `<html lang="de">`) {
		t.Error("the page does not name its language")
	}
}

// Each class of width that a page uses has its rule.
// A page that stands by itself has its style in the address.
func TestStylesheetMayBeData(t *testing.T) {
	const style = "data:text/css;base64,Ym9keSB7fQ=="
	var page strings.Builder
	if err := order(t).WriteHTML(&page, nil, style); err != nil {
		t.Fatal(err)
	}
	if want := `<link rel="stylesheet" href="` + style + `">`; !strings.Contains(page.String(), want) {
		t.Errorf("the page does not link to %s", style)
	}
}

func TestStylesheetHasTheWidths(t *testing.T) {
	for name, p := range documents(t) {
		for _, m := range regexp.MustCompile(`<col class="(mm\d+)"`).FindAllStringSubmatch(string(htmlOf(t, p)), -1) {
			if !strings.Contains(sheet.Stylesheet(), "."+m[1]+" {") {
				t.Errorf("%s: no rule for %s", name, m[1])
			}
		}
	}
}

type broken struct{}

var errBroken = errors.New("disk full")

func (broken) Write([]byte) (int, error) { return 0, errBroken }

func TestWriterFaultIsReported(t *testing.T) {
	for name, p := range documents(t) {
		var w io.Writer = broken{}
		if err := p.WritePDF(w, nil); !errors.Is(err, errBroken) {
			t.Errorf("%s: PDF: error %v", name, err)
		}
		if err := p.WriteHTML(w, nil, ""); !errors.Is(err, errBroken) {
			t.Errorf("%s: HTML: error %v", name, err)
		}
	}
}

// A second addition that is held in the base counts in the blend: of 100 mL of
// base with 20 mL held in it and 10 mL dosed, 10 in 130 is 7.7 %.
func TestHeldAdditionCountsInTheBlend(t *testing.T) {
	b := bench(t)
	b.Additions = append(b.Additions, sheet.Wine{Name: "Barrel 9, pressed", HeldMLPer100ML: 20})
	b.Plan = []sheet.PlanRow{{Glass: "B", Deed: sheet.PourAddition, VolumeML: 10, TotalML: 10, Dose: sheet.Dose{MLPer100ML: 10, U: 0.1}}}
	page := textOf(t, htmlOf(t, b))
	for _, want := range []string{"\n10.0 ± 0.1\n7.7\n", "Held in the base: 20 mL per 100 mL of base", "9.5 mL per 100 mL = 7.3 % of the blend", "Doses are of addition 1 alone"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	b.Additions[0].HeldMLPer100ML = 5
	if err := b.WriteHTML(io.Discard, nil, ""); err == nil || !strings.Contains(err.Error(), "addition 1: held: 5 mL per 100 mL") {
		t.Errorf("no addition is dosed: %v", err)
	}
}

// A tank that is not mixed has no trim; one that was passed says how much base
// brings it back.
func TestTrimIsTold(t *testing.T) {
	for want, trim := range map[string]sheet.Trim{
		"the tank is not mixed, so no trim is given":                     {Dose: sheet.Dose{MLPer100ML: 8.5, U: 0.3}, NotMixed: true},
		"The target was passed: add nothing more.":                       {Dose: sheet.Dose{MLPer100ML: 9.9, U: 0.3}, Passed: true, BackL: ptr(9.3), BackInterval95: &sheet.Interval{2, 17}},
		"Base that brings it back 9.3 L Its 95 % interval 2.0 to 17.0 L": {Dose: sheet.Dose{MLPer100ML: 9.9, U: 0.3}, Passed: true, BackL: ptr(9.3), BackInterval95: &sheet.Interval{2, 17}},
	} {
		o := order(t)
		o.Trim = &trim
		if page := flat(strings.Join(pagesOf(t, pdfOf(t, o)), "\n")); !strings.Contains(page, want) {
			t.Errorf("the order does not say %q", want)
		}
	}
}
