package jcampdx

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"pourpath/colour"
)

func codes(ws []colour.Warning) string {
	var out []string
	for _, w := range ws {
		out = append(out, w.Code)
	}
	return strings.Join(out, " ")
}

// TestWineScan reads the sample file; its figures were written by the sums of
// bands that are told in it.
func TestWineScan(t *testing.T) {
	b := open(t, "testdata/wine_scan.dx")[0]
	if err := b.Faults.Err(); err != nil {
		t.Fatal(err)
	}
	at := func(nm float64) float64 { return b.Ordinates[slices.Index(b.NM, nm)] }
	for nm, want := range map[float64]float64{380: 0.4562, 420: 0.3951, 520: 0.7190, 620: 0.1063, 780: 0.0120} {
		if math.Abs(at(nm)-want) > 1e-12 {
			t.Errorf("%g at %g nm, want %g", at(nm), nm, want)
		}
	}
	when := time.Date(2024, 10, 3, 7, 41, 7, 0, time.UTC)
	if len(b.NM) != 401 || b.PathMM != 10 || b.Quantity != Absorbance || !b.Measured.Equal(when) || b.Line != 1 ||
		b.DataClass != "XYDATA" || b.Concentrations != "undiluted" || b.Version != "5.01" || len(b.Warnings) != 0 {
		t.Errorf("%+v", b)
	}
}

// TestCompound reads a LINK block of four: one bad block costs no other.
func TestCompound(t *testing.T) {
	blocks := open(t, "testdata/compound.dx")
	if len(blocks) != 4 {
		t.Fatalf("%d blocks, want 4", len(blocks))
	}
	for i, want := range []struct {
		line     int
		quantity Quantity
		nm, y    []float64
		codes    string
	}{
		{5, Absorbance, []float64{400, 450, 500, 550, 600, 650, 700}, []float64{0.3, 0.4, 0.5, 0.46, 0.06, 0.03, 0.02}, "path_unit"},
		{25, TransmittancePercent, []float64{400, 600, 700}, []float64{31.6, 79.4, 95.5}, "transmittance_scale missing_ordinates"},
		{36, NoQuantity, nil, nil, ""},
		{46, TransmittancePercent, []float64{400, 500, 1e7 / 15000.}, []float64{32, 80, 95}, ""},
	} {
		b := blocks[i]
		close := func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }
		if b.Line != want.line || b.Quantity != want.quantity || codes(b.Warnings) != want.codes ||
			!slices.EqualFunc(b.NM, want.nm, close) || !slices.EqualFunc(b.Ordinates, want.y, close) {
			t.Errorf("block %d: %+v", i, b)
		}
		if (len(b.Faults) > 0) != (want.nm == nil) {
			t.Errorf("block %d: faults %v", i, b.Faults)
		}
	}
	if f := blocks[2].Faults; len(f) != 1 || f[0].Line != 40 || f[0].Title != "C, reflected light" || !strings.Contains(f[0].Message, "REFLECTANCE") {
		t.Errorf("faults %v", f)
	}
	if m := blocks[1].Warnings[1].Message; !strings.Contains(m, "500 nm (line 33)") {
		t.Errorf("the missing ordinate is not placed: %s", m)
	}
}

// TestSameFile: line ends, a byte order mark, the way labels are written and
// comments do not change what is read.
func TestSameFile(t *testing.T) {
	plain := file("400", "402", 3, "0.01", "400 1 2 3")
	want := one(t, plain)
	for name, text := range map[string]string{
		"CRLF":        strings.ReplaceAll(plain, "\n", "\r\n"),
		"CR":          strings.ReplaceAll(plain, "\n", "\r"),
		"BOM":         "\xef\xbb\xbf" + plain,
		"no last end": strings.TrimSuffix(plain, "\n"),
		"labels":      strings.NewReplacer("##NPOINTS", "##n_Points ", "##DATA TYPE", "##Data-Type", "##FIRSTX", " ##First/X").Replace(plain),
		"comments":    strings.Replace(plain, "##XYDATA= (X++(Y..Y))", "$$ a comment\n##= one more\n##$PRIVATE= a\nb\n##.OTHER= c\nd\n##COMMENT= e\n##xy_data = ( X++(Y..Y) ) $$ form\n\n$$ AFFN", 1),
		"spelt units": strings.Replace(plain, "NANOMETERS", "Nanometres", 1),
		"bracket":     strings.Replace(plain, "(X++(Y..Y))", "(X++(Y..Y)", 1),
		"commas":      strings.Replace(plain, "400 1 2 3", "400, 1, 2, 3", 1),
		"junk before": "made by an instrument\n" + plain,
	} {
		b := one(t, text)
		if !slices.Equal(b.NM, want.NM) || !slices.Equal(b.Ordinates, want.Ordinates) || b.DataType != want.DataType {
			t.Errorf("%s: %+v", name, b)
		}
	}
	slow, err := Parse(iotest.OneByteReader(strings.NewReader(strings.ReplaceAll(plain, "\n", "\r\n"))))
	if err != nil || !slices.Equal(slow[0].Ordinates, want.Ordinates) {
		t.Errorf("byte by byte: %v, %v", slow, err)
	}
}

// TestDescription reads dates, path lengths and texts.
func TestDescription(t *testing.T) {
	with := func(lines string) Block {
		return one(t, strings.Replace(file("400", "402", 3, "1", "400 1 2 3"), "##XUNITS", lines+"\n##XUNITS", 1))
	}
	for _, c := range []struct{ lines, date, measured, codes string }{
		{"##LONGDATE= 2000/09/28 14:24:38 +0100", "2000/09/28 14:24:38 +0100", "2000-09-28T14:24:38+01:00", ""},
		{"##LONG DATE= 2000/09/28 14:24:38.25", "2000/09/28 14:24:38.25", "2000-09-28T14:24:38Z", ""},
		{"##DATE= 96/11/04\n##TIME= 18:07:10.00", "96/11/04 18:07:10.00", "1996-11-04T18:07:10Z", ""},
		{"##TIME= 10:40:41\n##DATE= 81/ 1/ 3", "81/ 1/ 3 10:40:41", "1981-01-03T10:40:41Z", ""},
		{"##DATE= 2024-10-03", "2024-10-03", "2024-10-03T00:00:00Z", ""},
		{"##DATE= 03/10/2024", "03/10/2024", "0001-01-01T00:00:00Z", "date_unread"},
	} {
		b := with(c.lines)
		if b.Date != c.date || b.Measured.Format(time.RFC3339) != c.measured || codes(b.Warnings) != c.codes {
			t.Errorf("%s: %q, %v, %s", c.lines, b.Date, b.Measured, codes(b.Warnings))
		}
	}
	for _, c := range []struct {
		text  string
		mm    float64
		codes string
	}{
		{"1", 10, "path_unit"}, {"0.1 cm", 1, ""}, {"2 mm", 2, ""}, {"10mm.", 10, ""}, {"500 um", 0.5, ""},
		{"1 CENTIMETRE", 10, ""}, {"one", 0, "path_unread"}, {"0,5 cm", 0, "path_unread"}, {"-1 mm", 0, "path_unread"}, {"2 inches", 0, "path_unread"},
	} {
		b := with("##PATHLENGTH= " + c.text)
		if math.Abs(b.PathMM-c.mm) > 1e-12 || b.PathLength != c.text || codes(b.Warnings) != c.codes {
			t.Errorf("path %q: %g mm, %s", c.text, b.PathMM, codes(b.Warnings))
		}
	}
	b := with("##OWNER= nobody\n##ORIGIN= cellar\n##SPECTROMETER/DATA SYSTEM= bench\n  instrument\n##CONCENTRATIONS= 1:5 \xb0")
	if b.Origin != "cellar" || b.Instrument != "bench\n  instrument" || b.Concentrations != "1:5 °" {
		t.Errorf("%+v", b)
	}
}

// TestTransmittance: a fraction and per cent come out in per cent.
func TestTransmittance(t *testing.T) {
	for _, c := range []struct {
		unit, data string
		want       []float64
		codes      string
	}{
		{"TRANSMITTANCE", "400 0.5 1 1.5", []float64{50, 100, 150}, ""},
		{"TRANSMITTANCE", "400 0.5 1 1.51", []float64{0.5, 1, 1.51}, "transmittance_scale"},
		{"% Transmittance", "400 0.5 1 1.2", []float64{0.5, 1, 1.2}, ""},
		{"%T", "400 50 100 99", []float64{50, 100, 99}, ""},
	} {
		b := one(t, strings.Replace(file("400", "402", 3, "1", c.data), "ABSORBANCE", c.unit, 1))
		if b.Quantity != TransmittancePercent || !slices.Equal(b.Ordinates, c.want) || codes(b.Warnings) != c.codes {
			t.Errorf("%s %s: %v %v %s", c.unit, c.data, b.Quantity, b.Ordinates, codes(b.Warnings))
		}
	}
}

// TestFileErrors: what is wrong with the file comes beside its blocks.
func TestFileErrors(t *testing.T) {
	good := file("400", "402", 3, "1", "400 1 2 3")
	for _, c := range []struct {
		name, text string
		blocks     int
		want       string
	}{
		{"empty", "", 0, "no JCAMP-DX file"},
		{"CSV", "nm,A\n400,0.1\n", 0, "no JCAMP-DX file"},
		{"UTF-16", "\xff\xfe#\x00#\x00", 0, "line 1: the file is in UTF-16"},
		{"lost block", "##TITLE= set\n##DATA TYPE= LINK\n##BLOCKS= 4\n" + good + good + "##END=", 2, "##BLOCKS= says 4, but 2 blocks were found"},
		{"deep", strings.Repeat("##TITLE= set\n##DATA TYPE= LINK\n", 9), 0, "more than 7 deep"},
		{"ends too many", good + "##END=\n##END=\n", 1, ""},
		{"BLOCKS counts the LINK block", "##TITLE= set\n##BLOCKS= 3\n" + good + good + "##END=", 2, ""},
		{"one after another", good + good, 2, ""},
	} {
		blocks, err := Parse(strings.NewReader(c.text))
		if len(blocks) != c.blocks || (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %d blocks, %v", c.name, len(blocks), err)
		}
	}
	broken := errors.New("unplugged")
	blocks, err := Parse(readers(good+"##TITLE= cut\n", broken))
	if !errors.Is(err, broken) || len(blocks) != 2 || blocks[0].Faults.Err() != nil || blocks[1].Faults.Err() == nil {
		t.Errorf("a failing reader: %d blocks, %v", len(blocks), err)
	}
}
