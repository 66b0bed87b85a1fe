package reports_test

import (
	"bytes"
	"fmt"
	"image/png"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"pourpath/colour/cie"
	"pourpath/colour/control"
	"pourpath/reports"

	"rsc.io/pdf"
)

// everyFormat are the three ways out of a drawing.
var everyFormat = []struct {
	name  string
	write func(*reports.Drawing, io.Writer) error
}{
	{"svg", (*reports.Drawing).WriteSVG},
	{"png", (*reports.Drawing).WritePNG},
	{"pdf", (*reports.Drawing).WritePDF},
}

func written(t testing.TB, f reports.Figure, write func(*reports.Drawing, io.Writer) error) []byte {
	t.Helper()
	d, err := f.Drawing()
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := write(d, &b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// said is the text of a figure, without its spaces, which a drawing sets by place.
func said(t *testing.T, f reports.Figure) string {
	t.Helper()
	return strings.ReplaceAll(strings.Join(svgText(t, written(t, f, (*reports.Drawing).WriteSVG)), ""), " ", "")
}

func squeezed(s string) string { return strings.ReplaceAll(s, " ", "") }

// awkwardCharts are figures at the ends of what is taken.
func awkwardCharts(t testing.TB) map[string]reports.Figure {
	all := individualsFigure(t, 40)
	e, together := ewmaFigure(t, 40), t2Figure(t, 40)
	all.EWMA, all.T2 = e.EWMA, together.T2
	far := individualsFigure(t, 40)
	far.Lots[10].Value = 1e8 // left out: beyond the panel
	far.Lower, far.Upper = ptr(-1e6), ptr(1e6)
	named := individualsFigure(t, 40)
	named.Title, named.Finding = `<b>"Rosé" & Co</b>`+"\x00\x1b\n\xff\U0001F377", strings.Repeat("W", 500)
	for i := range named.Lots {
		named.Lots[i].Name = strings.Repeat("very long ", 49)
	}
	out := planeFigure(40)
	for i := range 39 {
		out.Lots[i+1].LeftOut = true
	}
	alone := planeFigure(1)
	alone.Region, alone.Reference, alone.LowerL, alone.UpperL, alone.Lots[0].U = nil, nil, nil, nil, [3]float64{}
	apart := planeFigure(10)
	apart.Lots[9].Lab.L = 40 // no part of the ellipsoid has that L*
	wide := planeFigure(10)
	wide.Region.DeltaE00 = 60
	return map[string]reports.Figure{"all charts": all, "2,000 lots": individualsFigure(t, 2000), "2,000 averages": ewmaFigure(t, 2000),
		"2,000 together": t2Figure(t, 2000), "2,000 run": runFigure(t, 2000), "one run": runFigure(t, 1), "10 lots": individualsFigure(t, 10),
		"far off": far, "names": named, "plane of 2,000": planeFigure(2000), "plane of one": planeFigure(1), "bare plane": alone,
		"one counts": out, "off the region": apart, "wide region": wide, "tolerance": toleranceFigure()}
}

// Whatever is charted draws: well-formed, one page, of the stated width, every
// number finite and every mark on the page.
func TestAwkwardChartsDraw(t *testing.T) {
	for name, f := range awkwardCharts(t) {
		t.Run(name, func(t *testing.T) {
			checkSVG(t, written(t, f, (*reports.Drawing).WriteSVG))
			raster, err := png.Decode(bytes.NewReader(written(t, f, (*reports.Drawing).WritePNG)))
			if err != nil {
				t.Fatal(err)
			}
			if got := raster.Bounds().Dx(); got != 2126 { // 180 mm at 300 dots per inch
				t.Errorf("PNG is %d pixels wide, want 2126", got)
			}
			raw := written(t, f, (*reports.Drawing).WritePDF)
			doc, err := pdf.NewReader(bytes.NewReader(raw), int64(len(raw)))
			if err != nil {
				t.Fatal(err)
			}
			if doc.NumPage() != 1 {
				t.Errorf("PDF has %d pages, want 1", doc.NumPage())
			}
		})
	}
}

// Meaning is by word and shape: every ink of a chart is achromatic to the eye (no
// channel further than 16 of 255 from the others), so it reads in grey.
func TestChartsReadInGrey(t *testing.T) {
	inks := regexp.MustCompile(`#([0-9A-F]{2})([0-9A-F]{2})([0-9A-F]{2})`)
	for name, f := range awkwardCharts(t) {
		found := inks.FindAllSubmatch(written(t, f, (*reports.Drawing).WriteSVG), -1)
		if len(found) < 5 {
			t.Fatalf("%s: only %d inks found", name, len(found))
		}
		for _, m := range found {
			var r, g, b int
			if _, err := fmt.Sscanf(string(m[0]), "#%02X%02X%02X", &r, &g, &b); err != nil {
				t.Fatal(err)
			}
			if max(r, g, b)-min(r, g, b) > 16 {
				t.Errorf("%s: %s is a colour", name, m[0])
			}
		}
	}
}

// Each signal is said in words by its rule, and its number stands at the mark and
// in the words.
func TestSignalsAreSaid(t *testing.T) {
	f := individualsFigure(t, 40)
	all := append(append([]control.Signal{}, f.Individuals.Signals...), f.Individuals.Ranges.Signals...)
	if len(all) < 2 || len(all) > 12 {
		t.Fatalf("%d signals: the test wants 2 to 12", len(all))
	}
	text := said(t, f)
	for _, s := range all {
		if want := squeezed(fmt.Sprintf("no. %d, %s: %s.", s.At+1, f.Lots[s.At].Name, s.Rule.Name())); !strings.Contains(text, want) {
			t.Errorf("the figure does not say %q", want)
		}
	}
	texts := svgText(t, written(t, f, (*reports.Drawing).WriteSVG))
	for i := range all {
		if n := count(texts, fmt.Sprint(i+1)); n < 2 {
			t.Errorf("the number %d is written %d times: want it at the mark and in the words", i+1, n)
		}
	}
}

func TestChartsSay(t *testing.T) {
	for _, c := range []struct {
		name string
		f    reports.Figure
		want []string
	}{
		{"individuals", individualsFigure(t, 40), []string{"40 lots, B-26-001 to B-26-040; 1 left out.", "from the first 23 lots", "spec, upper 16.00", "upper action", "lower warning",
			"mean", "Left out: no. 11, B-26-011 (cell was fogged).", "Specification: from 12.6 to 16; 0 of 39 lots outside at face value", "ISO 7870-2", "D65, 10° observer", "Pourpath 0.1.0", "base period"}},
		{"signals of many", individualsFigure(t, 2000), []string{"The newest 12 of"}},
		{"EWMA", ewmaFigure(t, 40), []string{"Running average (EWMA): a*, weight of the newest lot 0.2", "weighted running average beyond its action limit", "ISO 7870-6"}},
		{"T²", t2Figure(t, 40), []string{"Hotelling's T² of L*, a* and b*", "false alarm in 370 lots"}},
		{"run plot", runFigure(t, 40), []string{"No limits are drawn", "median", "Within spec with probability 0.99: lot B-26-040."}},
		{"plane", planeFigure(40), []string{"Newest lot, B-26-040: L* 83.0 ± 0.3", "(k = 2)", "before the newest 30, off the path", "left out", "the newest lot's L*, 83.0", "ΔE00 1.5 from the reference",
			"limits of a* and b*", "ellipsoid of the approved lots", "illuminant D65, 10° observer, 10 mm of wine", "tolerance 1.5"}},
		{"off the region", awkwardCharts(t)["off the region"], []string{"Not drawn: ellipsoid of the approved lots, which no colour of that L* meets"}},
		{"wide region", awkwardCharts(t)["wide region"], []string{"Not drawn: ΔE00 60 from the reference, as ΔE00 does not reach it in every direction", "The limit of the specification at 60 is so far off"}},
		{"far limits", awkwardCharts(t)["far off"], []string{"The limit of the specification at 1000000 is so far off that it is not drawn."}},
		{"tolerance", toleranceFigure(), []string{"1.2 (95 %: 0.7 to 1.8)", "within, beyond warning", "probability 0.83", "probability > 0.99", "below, at face value", "probability < 0.01", "14.9 ± 0.4 (k = 2)"}},
	} {
		text := said(t, c.f)
		page := squeezed(pdfText(t, written(t, c.f, (*reports.Drawing).WritePDF)))
		for _, want := range c.want {
			if !strings.Contains(text, squeezed(want)) {
				t.Errorf("%s: the SVG does not say %q", c.name, want)
			}
			if !strings.Contains(page, squeezed(want)) {
				t.Errorf("%s: the PDF does not say %q", c.name, want)
			}
		}
	}
}

func TestProbabilityIsNeverCertain(t *testing.T) {
	for p, want := range map[float64]string{0: "< 0.01", 0.0049: "< 0.01", 0.005: "0.01", 0.5: "0.50", 0.9949: "0.99", 0.995: "> 0.99", 1: "> 0.99"} {
		if got := reports.Probability(p); got != want {
			t.Errorf("Probability(%g) = %q, want %q", p, got, want)
		}
	}
}

func TestChartFaultsAreNamed(t *testing.T) {
	nan := math.NaN()
	chart := func(spoil func(*reports.ChartFigure)) reports.Figure {
		f := individualsFigure(t, 40)
		spoil(&f)
		return f
	}
	plane := func(spoil func(*reports.LotPlaneFigure)) reports.Figure {
		f := planeFigure(10)
		spoil(&f)
		return f
	}
	tolerance := func(spoil func(*reports.PartMark)) reports.Figure {
		f := toleranceFigure()
		spoil(&f.Parts[1])
		return f
	}
	for want, f := range map[string]reports.Figure{
		"lots: there is none":         chart(func(f *reports.ChartFigure) { f.Lots = nil }),
		"lots: 2001: want at most":    chart(func(f *reports.ChartFigure) { f.Lots = make([]reports.ChartLot, 2001) }),
		"charts: there is none":       chart(func(f *reports.ChartFigure) { f.Individuals = nil }),
		"quantity: is empty":          chart(func(f *reports.ChartFigure) { f.Quantity = "" }),
		"lot 3: value: NaN":           chart(func(f *reports.ChartFigure) { f.Lots[3].Value = nan }),
		"the chart is of another":     chart(func(f *reports.ChartFigure) { f.Lots[3].Value++ }),
		"lower 16 and upper 12.6":     chart(func(f *reports.ChartFigure) { f.Lower, f.Upper = f.Upper, f.Lower }),
		"individuals: lot 0 after":    chart(func(f *reports.ChartFigure) { f.Individuals.Kept[5] = 0 }),
		"moving ranges: 3: want 38":   chart(func(f *reports.ChartFigure) { f.Individuals.Ranges.Values = make([]float64, 3) }),
		"signal 0: lot 10 is not on":  chart(func(f *reports.ChartFigure) { f.Individuals.Signals[0].At = 10 }),
		"limits of individuals: +Inf": chart(func(f *reports.ChartFigure) { f.Individuals.Limits.UpperAction = math.Inf(1) }),
		"a run plot has no limits": chart(func(f *reports.ChartFigure) {
			run := runFigure(t, 40)
			f.Individuals, f.RunPlot, f.Lots = nil, run.RunPlot, run.Lots
		}),
		"title: 501 characters":            plane(func(f *reports.LotPlaneFigure) { f.Title = strings.Repeat("x", 501) }),
		"view: ":                           plane(func(f *reports.LotPlaneFigure) { f.View = cie.View{} }),
		"lot 2 colour: holds for":          plane(func(f *reports.LotPlaneFigure) { f.Lots[2].Lab.View.DepthMM = 50 }),
		"lot 2 uncertainty: -1":            plane(func(f *reports.LotPlaneFigure) { f.Lots[2].U[1] = -1 }),
		"region: reference: there is none": plane(func(f *reports.LotPlaneFigure) { f.Region.Reference = nil }),
		"lots: all 10 are left out": plane(func(f *reports.LotPlaneFigure) {
			for i := range f.Lots {
				f.Lots[i].LeftOut = true
			}
		}),
		"region: a*: from 2 to 1":              plane(func(f *reports.LotPlaneFigure) { f.Region.A = &[2]float64{2, 1} }),
		"region: covariance of the ellipsoid":  plane(func(f *reports.LotPlaneFigure) { f.Region.Ellipsoid.Covariance[1][1] = -1 }),
		"region: limit of the ellipsoid: 0":    plane(func(f *reports.LotPlaneFigure) { f.Region.Ellipsoid.Limit = 0 }),
		"parts: there is none":                 reports.ToleranceFigure{},
		"part 1: quantity: is empty":           tolerance(func(p *reports.PartMark) { p.Quantity = " " }),
		"part 1: value: NaN":                   tolerance(func(p *reports.PartMark) { p.Value = nan }),
		"part 1: limits: from 15.6 to 12":      tolerance(func(p *reports.PartMark) { p.Lower, p.Upper = p.Upper, 12 }),
		"part 1: limits: from -Inf to +Inf":    tolerance(func(p *reports.PartMark) { p.Lower, p.Upper = math.Inf(-1), math.Inf(1) }),
		"part 1: probability: 1.5":             tolerance(func(p *reports.PartMark) { p.Probability = ptr(1.5) }),
		"part 1: 95 % interval: from 3 to 2":   tolerance(func(p *reports.PartMark) { p.Interval95 = &[2]float64{3, 2} }),
		"part 1: warning limits: from 3 to 2:": tolerance(func(p *reports.PartMark) { p.Warning = &[2]float64{3, 2} }),
	} {
		if _, err := f.Drawing(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v: want %q", err, want)
		}
	}
}
