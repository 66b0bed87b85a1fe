package jcampdx

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
)

// file makes a block round the data lines, with the abscissas given.
func file(first, last string, points int, yFactor string, data ...string) string {
	return fmt.Sprintf("##TITLE= test\n##JCAMP-DX= 4.24\n##DATA TYPE= UV/VIS SPECTRUM\n##XUNITS= NANOMETERS\n##YUNITS= ABSORBANCE\n"+
		"##XFACTOR= 1\n##YFACTOR= %s\n##FIRSTX= %s\n##LASTX= %s\n##NPOINTS= %d\n##XYDATA= (X++(Y..Y))\n%s\n##END=\n",
		yFactor, first, last, points, strings.Join(data, "\n"))
}

// one parses a file that must hold one accepted block.
func one(t testing.TB, text string) Block {
	t.Helper()
	blocks, err := Parse(strings.NewReader(text))
	if err != nil || len(blocks) != 1 {
		t.Fatalf("%d blocks, error %v", len(blocks), err)
	}
	if err := blocks[0].Faults.Err(); err != nil {
		t.Fatal(err)
	}
	return blocks[0]
}

// TestTableVII decodes the standard's line of ten ordinates in each of its
// forms: McDonald and Wilks, Appl. Spectrosc. 42 (1988) 151, table VII.
func TestTableVII(t *testing.T) {
	want := []float64{1, 2, 3, 3, 2, 1, 0, -1, -2, -3}
	for _, c := range []struct{ form, line string }{
		{"FIX", "1 2 3 3 2 1 0 -1 -2 -3"},
		{"PAC", "1+2+3+3+2+1+0-1-2-3"},
		{"SQZ", "1BCCBA@abc"},
		{"DIF", "1JJ%jjjjjj"},
		{"DIFDUP", "1JT%jX"},
		{"mixed", "1 B+3C 2JTbjd"}, // ours: 2, J twice is 3 4, then -2, -3 and -4
	} {
		want := want
		if c.form == "mixed" {
			want = []float64{1, 2, 3, 3, 2, 3, 4, -2, -3, -4}
		}
		b := one(t, file("400", "409", 10, "1", "400 "+c.line))
		if !slices.Equal(b.Ordinates, want) {
			t.Errorf("%s: %v, want %v", c.form, b.Ordinates, want)
		}
	}
}

// published are the 53 ordinates of the example that the standard gives in all
// forms (McDonald and Wilks 1988, table VI) and that J. I. Baumbach et al.,
// Pure Appl. Chem. 73 (2001) 1765, give again with the abscissas 4 to 56.
var published = []float64{
	0, 0, 0, 0, 2, 4, 4, 4, 7, 5, 4, 4, 5, 5, 7, 10, 11, 11, 6, 5, 7, 6, 9, 9, 7, 10, 10,
	9, 10, 11, 12, 15, 16, 16, 14, 17, 38, 38, 35, 38, 42, 47, 54, 59, 66, 75, 78, 88, 96, 104, 110, 121, 128,
}

// TestPublishedSpectrum decodes both printings of that example: without
// compression over six lines, and in DIFDUP on one line with the ordinate
// check after it.
func TestPublishedSpectrum(t *testing.T) {
	const difdup = "@VKT%TLkj%J%KLJ%njKjL%kL%jJULJ%kLK1%lLMNPNPRLJ0QTOJ1P"
	for _, c := range []struct{ name, text string }{
		{"2001, no compression", file("4", "56", 53, "0.1",
			"4 0 0 0 0 2 4 4 4 7", "13 5 4 4 5 5 7 10 11 11", "22 6 5 7 6 9 9 7 10 10",
			"31 9 10 11 12 15 16 16 14 17", "40 38 38 35 38 42 47 54 59 66", "49 75 78 88 96 104 110 121 128")},
		{"2001, DIFDUP", file("4", "56", 53, "0.1", "4"+difdup, "56A28")},
		{"1988, DIFDUP", file("599.860", "700.158", 53, "0.1", "599.860"+difdup, "700.158A28")},
		{"ours, PAC and SQZ", file("4", "56", 53, "0.1",
			"4+0+0+0+0+2+4+4+4+7+5+4+4+5+5+7+10+11+11+6+5+7+6+9+9+7+10+10",
			"31IA0A1A2A5A6A6A4A7C8C8C5C8D2D7E4E9F6G5G8H8I6A04A10A21A28")},
	} {
		b := one(t, c.text)
		for i, y := range b.Ordinates {
			if math.Abs(y-published[i]/10) > 1e-12 {
				t.Errorf("%s: ordinate %d is %g, want %g", c.name, i+1, y, published[i]/10)
			}
		}
		if len(b.Ordinates) != len(published) {
			t.Errorf("%s: %d ordinates, want %d", c.name, len(b.Ordinates), len(published))
		}
	}
}

// TestPublishedChecks follows the ordinate checks over four lines that
// Baumbach et al. 2001 print of a longer DIFDUP spectrum (21, 23, ... points a
// line, abscissas in units of XFACTOR, LASTX 59.975 after 2400 points): each
// line must repeat the last ordinate of the one before, and each abscissa must
// be that of the repeated point.
func TestPublishedChecks(t *testing.T) {
	text := strings.Replace(file("0", "59.975", 2400, "0.01037643",
		"0D33k31J0844J6532N189j595k202m79K87J50R4r4k02m3J42m808j8005q458M14K093Q14",
		"273H75l8j74q4j41m8K64r9j27J22p5l3M3%J27m3j03J9k4N6R5m3j13%Q5O6r4j18N2J4%",
		"683D61J41q5m7o1Q5K3J0q5Q5j27n2J93l8J04j22r0M3P9j8Q0j13N6P5j17N2l3Rk3j23J79"), "##XFACTOR= 1", "##XFACTOR= 0.001830348", 1)
	blocks, err := Parse(strings.NewReader(text))
	if err != nil || len(blocks) != 1 {
		t.Fatalf("%d blocks, error %v", len(blocks), err)
	}
	// Only the count is wrong, since the rest of the spectrum is not printed.
	if f := blocks[0].Faults; len(f) != 1 || !strings.Contains(f[0].Message, "##NPOINTS= says 2400") {
		t.Errorf("faults %v, want that of NPOINTS only", f)
	}
}

func open(t testing.TB, name string) []Block {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	blocks, err := Parse(f)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return blocks
}

// TestMeasuredFile reads figures of a public compound file (testdata/README)
// whose ##MAXY= and ##MINY= give the ordinates at 700 nm and 350 nm, and whose
// ##FIRSTY= is wrong.
func TestMeasuredFile(t *testing.T) {
	blocks := open(t, "testdata/aquation.dx")
	if len(blocks) != 2 {
		t.Fatalf("%d blocks, want 2", len(blocks))
	}
	for i, want := range []struct{ at700, at350 float64 }{{-0.006136, 0.19}, {-0.009105, 0.17}} {
		b := blocks[i]
		n := len(b.NM)
		if b.Faults.Err() != nil || n != 176 || b.NM[0] != 350 || b.NM[n-1] != 700 || b.NM[1] != 352 {
			t.Fatalf("block %d: %d points, %v", i, n, b.Faults)
		}
		if math.Abs(b.Ordinates[n-1]-want.at700) > 0.5e-6 || math.Abs(b.Ordinates[0]-want.at350) > 0.01 {
			t.Errorf("block %d: %g at 700 nm and %g at 350 nm, want %g and %g", i, b.Ordinates[n-1], b.Ordinates[0], want.at700, want.at350)
		}
		if len(b.Warnings) != 1 || b.Warnings[0].Code != "first_y" {
			t.Errorf("block %d: warnings %v, want first_y", i, b.Warnings)
		}
	}
}
