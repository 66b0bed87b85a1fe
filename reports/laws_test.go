package reports_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image/png"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"

	"pourpath/colour/cie"
	"pourpath/colour/difference"
	"pourpath/reports"

	"rsc.io/pdf"
)

// svgText are the contents of an SVG's <text> elements, in order. It fails
// where the drawing is not well-formed XML.
func svgText(t *testing.T, svg []byte) []string {
	t.Helper()
	var texts []string
	d := xml.NewDecoder(bytes.NewReader(svg))
	in := false
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return texts
		}
		if err != nil {
			t.Fatalf("not well-formed: %v", err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			in = e.Name.Local == "text"
		case xml.EndElement:
			in = false
		case xml.CharData:
			if in {
				texts = append(texts, string(e))
			}
		}
	}
}

var shown = regexp.MustCompile(`(?s)\(((?:\\.|[^\\)])*)\) Tj`)

// pdfText is the text of a PDF's page, whose strings are UTF-16 as its fonts'
// ToUnicode tables say. It fails where a font is not embedded or has no table.
func pdfText(t *testing.T, raw []byte) string {
	t.Helper()
	doc, err := pdf.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		t.Fatal(err)
	}
	page := doc.Page(1)
	for _, name := range page.Fonts() {
		font := page.Font(name).V
		file := font.Key("DescendantFonts").Index(0).Key("FontDescriptor").Key("FontFile2")
		if font.Key("ToUnicode").IsNull() || file.IsNull() {
			t.Errorf("font %s is not embedded as text", font.Key("BaseFont"))
		}
	}
	content, err := io.ReadAll(page.V.Key("Contents").Reader())
	if err != nil {
		t.Fatal(err)
	}
	var units []uint16
	for _, m := range shown.FindAllSubmatch(content, -1) {
		s := regexp.MustCompile(`(?s)\\(.)`).ReplaceAllFunc(m[1], func(e []byte) []byte {
			if e[1] == 'r' {
				return []byte{'\r'}
			}
			return e[1:]
		})
		for i := 0; i+1 < len(s); i += 2 {
			units = append(units, uint16(s[i])<<8|uint16(s[i+1]))
		}
	}
	return string(utf16.Decode(units))
}

func count(texts []string, s string) int {
	n := 0
	for _, t := range texts {
		if t == s {
			n++
		}
	}
	return n
}

// awkward are the figures that a plain drawing would stumble over.
func awkward(t *testing.T) map[string]reports.LadderFigure {
	t.Helper()
	full := realistic(t)
	view := cie.OIV()
	same := full
	same.Rungs, same.Curve = nil, nil
	for range 5 {
		same.Rungs = append(same.Rungs, full.Rungs[3])
		same.Curve = append(same.Curve, full.Curve[60])
	}
	many := full
	many.Rungs = rungs(t, 50, evenly(0, 40, 2000)...)
	far := full
	target := *full.Target
	target.Lab.L, target.Lab.A = 20, -300
	far.Target = &target
	wide := full
	wide.Target = &reports.TargetMark{Lab: full.Target.Lab, Tolerance: 500}
	intensity := full
	intensity.Target = nil
	nearest := *full.Nearest
	nearest.DeltaE00 = math.NaN()
	intensity.Nearest = &nearest
	beyond := full
	nearest2 := *full.Nearest
	nearest2.Interval95 = &[2]float64{0, 1e6}
	beyond.Nearest, beyond.Nominal, beyond.Acceptable = &nearest2, &[2]float64{0, 1e6}, nil
	clear := cie.Lab{L: 100, View: view}
	return map[string]reports.LadderFigure{
		"full":               full,
		"empty":              {View: view},
		"one rung":           {View: view, Rungs: full.Rungs[4:5]},
		"rung of dose 0":     {View: view, Rungs: full.Rungs[:1]},
		"target alone":       {View: view, Target: full.Target},
		"no target":          {View: view, Rungs: full.Rungs, Curve: full.Curve},
		"predicted alone":    {View: view, Predicted: full.Predicted},
		"curve alone":        {View: view, Curve: full.Curve},
		"one point":          {View: view, Curve: full.Curve[:1]},
		"measured alone":     {View: view, Measured: full.Measured},
		"clear water":        {View: view, Curve: []reports.PathPoint{{Lab: clear}, {DoseMLPer100ML: 10, Lab: clear}}, Target: &reports.TargetMark{Lab: clear}},
		"all the same":       same,
		"2,000 rungs":        many,
		"target far off":     far,
		"tolerance 500":      wide,
		"intensity and tint": intensity,
		"interval beyond":    beyond,
		"no swatches":        {View: view, Rungs: []reports.RungMark{{Lab: clear}, {DoseML: 1, DoseMLPer100ML: 1, Lab: full.Target.Lab}}},
		"largest values": {View: view, Rungs: []reports.RungMark{
			{Lab: cie.Lab{L: -1000, A: -1000, B: 1000, View: view}},
			{DoseML: 1e6, DoseMLPer100ML: 1e6, Lab: cie.Lab{L: 1000, A: 1000, B: -1000, View: view}}}},
		"names": {View: view, Title: `<b>"Rosé" & Co</b>` + "\x00\x1b\n\xff\U0001F377", Base: strings.Repeat("W", 500), Addition: strings.Repeat("very long ", 49), Version: "]]>"},
	}
}

// Whatever a figure lacks, it draws: well-formed, one page, of the stated width,
// every number finite and every mark on the page.
func TestAwkwardFiguresDraw(t *testing.T) {
	for name, f := range awkward(t) {
		t.Run(name, func(t *testing.T) {
			checkSVG(t, drawn(t, f, reports.LadderFigure.WriteSVG))
			picture := drawn(t, f, reports.LadderFigure.WritePNG)
			if !bytes.Contains(picture, []byte("pHYs\x00\x00\x2e\x23\x00\x00\x2e\x23\x01")) { // 11811 a metre
				t.Error("PNG does not say that it has 300 dots per inch")
			}
			raster, err := png.Decode(bytes.NewReader(picture))
			if err != nil {
				t.Fatal(err)
			}
			if got := raster.Bounds().Dx(); got != 2126 { // 180 mm at 300 dots per inch
				t.Errorf("PNG is %d pixels wide, want 2126", got)
			}
			raw := drawn(t, f, reports.LadderFigure.WritePDF)
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

var (
	pathData = regexp.MustCompile(` d="([^"]*)"`)
	pair     = regexp.MustCompile(`[MLA]?(-?[0-9.e+-]+),(-?[0-9.e+-]+)`)
	pageSize = regexp.MustCompile(`viewBox="0 0 ([0-9.]+) ([0-9.]+)"`)
	textAt   = regexp.MustCompile(`<text x="([^"]+)" y="([^"]+)"`)
)

func checkSVG(t *testing.T, svg []byte) {
	t.Helper()
	if len(svgText(t, svg)) < 10 {
		t.Error("fewer than 10 texts: a figure names its axes and conditions as text")
	}
	for _, bad := range []string{"NaN", "Inf"} {
		if regexp.MustCompile(`[0-9,">: -]` + bad).Match(svg) {
			t.Errorf("a number is %s", bad)
		}
	}
	size := pageSize.FindSubmatch(svg)
	if size == nil {
		t.Fatal("no viewBox")
	}
	w, h := parse(t, size[1]), parse(t, size[2])
	onPage := func(x, y float64) {
		t.Helper()
		const slack = 0.5 // points: half a stroke
		if !(x >= -slack && x <= w+slack && y >= -slack && y <= h+slack) {
			t.Errorf("something is drawn at (%g, %g), off the page of %g by %g", x, y, w, h)
		}
	}
	for _, d := range pathData.FindAllSubmatch(svg, -1) {
		if bytes.ContainsRune(d[1], 'A') {
			d[1] = regexp.MustCompile(`A[^ ]+ 0 [01] [01] `).ReplaceAll(d[1], []byte("L"))
		}
		for _, p := range pair.FindAllSubmatch(d[1], -1) {
			onPage(parse(t, p[1]), parse(t, p[2]))
		}
	}
	for _, p := range textAt.FindAllSubmatch(svg, -1) {
		onPage(parse(t, p[1]), -parse(t, p[2]))
	}
}

func parse(t *testing.T, b []byte) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(string(b), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Whatever base a glass has, a rung is labelled in the convention of its swatch, per 100 mL
// of base, to 0.01 mL at most: each dose is there twice, and no mL into the glass.
func TestEveryRungIsLabelledInOneConvention(t *testing.T) {
	f := realistic(t)
	f.Rungs = rungs(t, 40, 1.3, 3.9, 6.7, 11.12345, 16.9)
	texts := svgText(t, drawn(t, f, reports.LadderFigure.WriteSVG))
	for ml, want := range map[string]int{"1.3": 2, "3.9": 2, "6.7": 2, "11.12": 2, "16.9": 2, "0.52": 0, "1.56": 0, "2.68": 0, "11.123": 0, "6.76": 0} {
		if n := count(texts, ml); n != want {
			t.Errorf("%q is written %d times, want %d", ml, n, want)
		}
	}
	if count(texts, "rung, mL per 100 mL") != 1 {
		t.Error("the legend does not name the convention")
	}
}

// A rung whose colour is not known for the screen keeps its circle; a figure
// without any such colour has no strip.
func TestNoSwatchesNoStrip(t *testing.T) {
	with := svgText(t, drawn(t, awkward(t)["one rung"], reports.LadderFigure.WriteSVG))
	without := svgText(t, drawn(t, awkward(t)["no swatches"], reports.LadderFigure.WriteSVG))
	if count(with, "10 mm deep") != 1 || count(without, "10 mm deep") != 0 {
		t.Errorf("the strip is there %d and %d times, want 1 and 0", count(with, "10 mm deep"), count(without, "10 mm deep"))
	}
}

// With 2,000 rungs not all can be shown, and the legend says so.
func TestManyRungsSaySo(t *testing.T) {
	texts := svgText(t, drawn(t, awkward(t)["2,000 rungs"], reports.LadderFigure.WriteSVG))
	said := false
	for _, s := range texts {
		said = said || strings.Contains(s, "of 2000 shown")
	}
	if !said {
		t.Error("the legend does not say how many of 2000 rungs are shown")
	}
}

// The words that keep a reader from misjudging the picture.
func TestFigureSaysWhatItHoldsFor(t *testing.T) {
	f := realistic(t)
	f.Conditions = "Measured at 20 °C"
	svg := strings.Join(svgText(t, drawn(t, f, reports.LadderFigure.WriteSVG)), " ")
	page := pdfText(t, drawn(t, f, reports.LadderFigure.WritePDF))
	squeeze := strings.NewReplacer(" ", "")
	for _, want := range []string{"illuminant D65, 10° observer, 10 mm of wine", "10 mm and 55 mm deep", "mL added per 100 mL of base", "Measured at 20 °C.",
		"9.5 mL per 100 mL = 8.7 % of the blend", "CIEDE2000", "print is no colour reference", "out of the sRGB gamut", "Pourpath 0.1.0",
		"Rosé", "ΔE", "the nearest point's", "probability ≥ 0.95", "(− greener, + redder)"} {
		if !strings.Contains(squeeze.Replace(svg), squeeze.Replace(want)) {
			t.Errorf("the SVG does not say %q", want)
		}
		if !strings.Contains(squeeze.Replace(page), squeeze.Replace(want)) {
			t.Errorf("the PDF does not say %q", want)
		}
	}
}

func TestFaultsAreNamed(t *testing.T) {
	nan := math.NaN()
	other := cie.View{Illuminant: "A", Observer: "2", DepthMM: 10}
	for _, tt := range []struct {
		name  string
		spoil func(*reports.LadderFigure)
		want  []string
	}{
		{"no view", func(f *reports.LadderFigure) { f.View = cie.View{} }, []string{"view", "illuminant"}},
		{"NaN colour", func(f *reports.LadderFigure) { f.Curve[3].Lab.A = nan }, []string{"curve point 3 colour", "NaN"}},
		{"infinite colour", func(f *reports.LadderFigure) { f.Rungs[2].Lab.L = math.Inf(1) }, []string{"rung 2 colour", "+Inf"}},
		{"NaN ΔE00", func(f *reports.LadderFigure) { f.Predicted[0].DeltaE00 = nan }, []string{"predicted point 0 ΔE00"}},
		{"NaN uncertainty", func(f *reports.LadderFigure) { f.Measured[1].U[2] = nan }, []string{"measured blend 1 uncertainty"}},
		{"negative uncertainty", func(f *reports.LadderFigure) { f.Curve[0].U[0] = -1 }, []string{"curve point 0 uncertainty", "-1"}},
		{"negative dose", func(f *reports.LadderFigure) { f.Rungs[0].DoseML = -0.5 }, []string{"rung 0 dose", "-0.5"}},
		{"falling doses", func(f *reports.LadderFigure) { f.Rungs[5].DoseMLPer100ML = 1 }, []string{"rung 5 dose", "rising"}},
		{"falling curve", func(f *reports.LadderFigure) { f.Curve[9].DoseMLPer100ML = 0 }, []string{"curve point 9 dose", "rising"}},
		{"other view", func(f *reports.LadderFigure) { f.Target.Lab.View = other }, []string{"target colour", "A/2°", "D65/10°"}},
		{"tolerance", func(f *reports.LadderFigure) { f.Target.Tolerance = nan }, []string{"target tolerance"}},
		{"interval", func(f *reports.LadderFigure) { f.Nearest.Interval95 = &[2]float64{3, 2} }, []string{"95 % interval", "lower dose first"}},
		{"range", func(f *reports.LadderFigure) { f.Acceptable = &[2]float64{nan, 2} }, []string{"acceptable doses"}},
		{"swatch", func(f *reports.LadderFigure) { f.Rungs[1].Swatch.InGlass.Hex = "pink" }, []string{"rung 1 swatch", `"pink"`, "#rrggbb"}},
		{"glass", func(f *reports.LadderFigure) { f.GlassDepthMM = math.Inf(1) }, []string{"glass depth"}},
		{"long name", func(f *reports.LadderFigure) { f.Title = strings.Repeat("x", 501) }, []string{"title", "501", "500"}},
		{"two at once", func(f *reports.LadderFigure) { f.HeldMLPer100ML = nan; f.Nearest.DoseMLPer100ML = nan }, []string{"held in the base", "nearest dose"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			f := realistic(t)
			tt.spoil(&f)
			for _, format := range formats {
				var b bytes.Buffer
				err := format.write(f, &b)
				if err == nil {
					t.Fatalf("%s: no error", format.name)
				}
				if b.Len() > 0 {
					t.Errorf("%s: wrote %d bytes of a figure at fault", format.name, b.Len())
				}
				for _, w := range tt.want {
					if !strings.Contains(err.Error(), w) {
						t.Errorf("%s: error %q does not say %q", format.name, err, w)
					}
				}
			}
		})
	}
}

type broken struct{}

var errBroken = errors.New("disk full")

func (broken) Write([]byte) (int, error) { return 0, errBroken }

func TestWriterFaultIsReported(t *testing.T) {
	for _, format := range formats {
		if err := format.write(realistic(t), broken{}); !errors.Is(err, errBroken) {
			t.Errorf("%s: error is %v, want the writer's", format.name, err)
		}
	}
}

// What is left unexplained is the ΔE00 of each measured blend from the path at its
// dose, here worked anew from the marks.
func TestFigureSaysWhatIsLeft(t *testing.T) {
	f := realistic(t)
	least, most := math.Inf(1), 0.0
	for _, m := range f.Measured {
		d := difference.DeltaE00(m.OnPath.L, m.OnPath.A, m.OnPath.B, m.Lab.L, m.Lab.A, m.Lab.B)
		least, most = min(least, d), max(most, d)
	}
	want := fmt.Sprintf("%.1f to %.1f unexplained; before recalibration", least, most)
	squeeze := strings.NewReplacer(" ", "")
	text := func() string {
		return squeeze.Replace(strings.Join(svgText(t, drawn(t, f, reports.LadderFigure.WriteSVG)), ""))
	}
	if all := text(); !strings.Contains(all, squeeze.Replace(want)) || !strings.Contains(all, "leftunexplained") {
		t.Errorf("the figure does not say %q: %s", want, all)
	}
	for i := range f.Measured {
		f.Measured[i].OnPath = nil
	}
	if strings.Contains(text(), "unexplained") {
		t.Error("the figure tells of what is not known")
	}
}
