package jcampdx

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"
)

func readers(text string, err error) io.Reader {
	return io.MultiReader(strings.NewReader(text), iotest.ErrReader(err))
}

// TestRejected: each row spoils a good file (lines 1 to 11 are the labels, 12
// and on the data) and must be told with its line.
func TestRejected(t *testing.T) {
	good := file("400", "408", 9, "1", "400@JJJ", "403CJJJ", "406FJJ", "408H")
	one(t, good)
	for _, c := range []struct {
		name, old, new string
		line           int
		want           string
	}{
		{"title", "##TITLE= test\n", "", 1, "##TITLE= must be its first label"},
		{"type missing", "##DATA TYPE= UV/VIS SPECTRUM\n", "", 10, "##DATA TYPE= is missing"},
		{"type", "UV/VIS SPECTRUM", "INFRARED SPECTRUM", 3, `"INFRARED SPECTRUM": a UV/VIS SPECTRUM is needed`},
		{"XUNITS", "NANOMETERS", "ANGSTROM", 4, "NANOMETERS, MICROMETERS and 1/CM are read"},
		{"XUNITS missing", "##XUNITS= NANOMETERS\n", "", 10, "##XUNITS= is missing"},
		{"YUNITS", "ABSORBANCE", "ARBITRARY UNITS", 5, "values without a known scale"},
		{"YUNITS unknown", "ABSORBANCE", "VOLTS", 5, `"VOLTS": ABSORBANCE and TRANSMITTANCE are read`},
		{"YUNITS missing", "##YUNITS= ABSORBANCE\n", "", 10, "##YUNITS= is missing"},
		{"XFACTOR missing", "##XFACTOR= 1\n", "", 10, "##XFACTOR= is missing"},
		{"YFACTOR missing", "##YFACTOR= 1\n", "", 10, "##YFACTOR= is missing"},
		{"YFACTOR 0", "##YFACTOR= 1", "##YFACTOR= 0", 7, "a factor above 0"},
		{"YFACTOR text", "##YFACTOR= 1", "##YFACTOR= one", 7, "a number is needed"},
		{"YFACTOR infinite", "##YFACTOR= 1", "##YFACTOR= 1e999", 7, "a number is needed"},
		{"FIRSTX missing", "##FIRSTX= 400\n", "", 10, "##FIRSTX= is missing"},
		{"LASTX missing", "##LASTX= 408\n", "", 10, "##LASTX= is missing"},
		{"NPOINTS missing", "##NPOINTS= 9\n", "", 10, "##NPOINTS= is missing"},
		{"NPOINTS", "##NPOINTS= 9", "##NPOINTS= 8.5", 10, "a whole number"},
		{"NPOINTS wrong", "##LASTX= 408\n##NPOINTS= 9", "##LASTX= 409\n##NPOINTS= 10", 10, "##NPOINTS= says 10, but 9 points were found up to line 16"},
		{"NPOINTS too many", "##NPOINTS= 9", "##NPOINTS= 100001", 10, "at most 100000 points"},
		{"twice", "##NPOINTS= 9", "##NPOINTS= 9\n##NPOINTS= 10", 11, "stands twice"},
		{"comma in FIRSTX", "##FIRSTX= 400", "##FIRSTX= 400,0", 8, "decimals with a point"},
		{"FIRSTX", "##FIRSTX= 400", "##FIRSTX= 300", 12, "the line starts at 400"},
		{"LASTX", "##LASTX= 408", "##LASTX= 800", 13, "abscissa check"},
		{"LASTX equals", "##LASTX= 408", "##LASTX= 400", 9, "equals ##FIRSTX="},
		{"DELTAX", "##NPOINTS= 9", "##DELTAX= 2\n##NPOINTS= 9", 10, "##DELTAX= is 2"},
		{"zero", "##FIRSTX= 400\n##LASTX= 408", "##FIRSTX= 0\n##LASTX= 8", 12, "abscissa check"},
		{"lost ordinate", "400@JJJ", "400@JJ", 13, "ordinates lost before it: 1"},
		{"ordinate too many", "406FJJ", "406F@JJ", 15, "ordinates too many before it: 1"},
		{"ordinate check", "403CJJJ", "403CJJK", 14, "ordinate check: the line before ends at 7, but this one repeats it as 6"},
		{"missing check", "408H", "408?", 15, "must repeat the last one"},
		{"starts with DIF", "400@JJJ", "400JJJ", 12, "starts with a difference"},
		{"starts with DUP", "400@JJJ", "400S@JJJ", 12, "starts with a DUP count"},
		{"DIF after ?", "400@JJJ", "400@?JJ", 12, "nothing to count it from"},
		{"decimals in SQZ", "400@JJJ", "400@J.5JJ", 12, "must be whole"},
		{"decimal comma", "400@JJJ", "400 0,0 1,0 2,0 3,0", 12, "decimal comma"},
		{"decimal comma of X", "400@JJJ", "400,5 0 1 2 3", 12, "decimal comma"},
		{"letters", "400@JJJ", "400@JJÄ", 12, "is no number"},
		{"no abscissa", "400@JJJ", "@JJJ", 12, "must start with an abscissa"},
		{"no ordinate", "408H", "408", 15, "no ordinate follows the abscissa"},
		{"two points", "400@JJJ", "400 1.2.3", 12, "two decimal points"},
		{"too large", "400@JJJ", "400 1E+999", 12, "too large"},
		{"long", "400@JJJ", "400A123456789012345", 12, "more than 15 digits"},
		{"form", "(X++(Y..Y))", "(X++(R..R))", 11, "(X++(Y..Y)) and (XY..XY) are read"},
		{"no data", "##XYDATA= (X++(Y..Y))\n400@JJJ\n403CJJJ\n406FJJ\n408H\n", "", 11, "holds no data"},
		{"empty data", "400@JJJ\n403CJJJ\n406FJJ\n408H\n", "", 11, "no ordinate follows the label"},
		{"second table", "##END=", "##XYDATA= (X++(Y..Y))\n400 1\n##END=", 16, "second data table"},
		{"peak table", "##XYDATA= (X++(Y..Y))", "##PEAK TABLE= (XY..XY)", 11, "a peak table"},
		{"NTUPLES", "##XUNITS=", "##NTUPLES= UV\n##VAR_NAME= a, b\n##XUNITS=", 4, "NTUPLES"},
		{"NTUPLES class", "##XUNITS=", "##DATA CLASS= NTUPLES\n##XUNITS=", 4, "NTUPLES"},
		{"structure", "##JCAMP-DX= 4.24", "##JCAMP-CS= 3.7", 2, "chemical structure"},
		{"no END", "##END=\n", "", 15, "ends before ##END="},
		{"next title", "##END=\n", "##TITLE= next\n", 16, "starts before ##END="},
		{"no equals sign", "##XUNITS= NANOMETERS", "##XUNITS= NANOMETERS\n## remark", 5, "no equals sign"},
		{"all missing", "400@JJJ\n403CJJJ\n406FJJ\n408H", "400?Z\n408?", 11, "all 9 ordinates are missing"},
		{"bomb", "408H", "408HS999999999", 15, "more than 100000 points"},
	} {
		if !strings.Contains(good, c.old) {
			t.Fatalf("%s: the good file has no %q", c.name, c.old)
		}
		blocks, err := Parse(strings.NewReader(strings.Replace(good, c.old, c.new, 1)))
		if err != nil || len(blocks) == 0 {
			t.Errorf("%s: %d blocks, %v", c.name, len(blocks), err)
			continue
		}
		b := blocks[0]
		if !hasFault(b, c.line, c.want) || b.NM != nil || b.Ordinates != nil {
			t.Errorf("%s: want line %d %q, got %v", c.name, c.line, c.want, b.Faults)
		}
	}
}

func hasFault(b Block, line int, want string) bool {
	for _, f := range b.Faults {
		if f.Line == line && strings.Contains(f.Message, want) {
			return true
		}
	}
	return false
}

// TestRejectedPairs spoils a file of pairs.
func TestRejectedPairs(t *testing.T) {
	pairs := func(n int, data string) string {
		return fmt.Sprintf("##TITLE= p\n##JCAMP-DX= 5.01\n##DATA TYPE= UV-VIS SPECTRUM\n##XUNITS= MICROMETERS\n##YUNITS= A\n##FIRSTX= .4\n##LASTX= .6\n##NPOINTS= %d\n##XYPOINTS= (XY..XY)\n%s\n##END=\n", n, data)
	}
	for _, data := range []string{".4 1\n.5 2\n.6 3", ".4, 1; .5, 2\n.6, 3", ".4,1.0 .5,2.0 .6,3.0", "0.4 1 0.5 2 0.6 3.0E0"} {
		b := one(t, pairs(3, data))
		if b.NM[0] != 400 || b.NM[2] != 600 || b.Ordinates[1] != 2 {
			t.Errorf("%q: %v %v", data, b.NM, b.Ordinates)
		}
	}
	for _, c := range []struct {
		data string
		line int
		want string
	}{
		{".4 1\n.5\n.6 3", 11, "a line of 1 numbers"},
		{".4 1\n.5 x\n.6 3", 11, `the ordinate "x"`},
		{".4 1\nNaN 2\n.6 3", 11, `the abscissa "NaN"`},
		{".4 1\n.5 0x1p4\n.6 3", 11, "a number is needed"},
		{".4 1\n.4 2\n.6 3", 11, "stands twice"},
		{".4 1\n.6 2\n.5 3", 12, "must all ascend or all descend"},
		{".4 1\n0,5 2\n.6 3", 11, "decimal comma"},
		{".4 1\n.5 2,0\n.6 3", 11, "decimal comma"},
		{".4 1\n.5 2", 8, "##NPOINTS= says 3, but 2"},
		{".3 1\n.5 2\n.6 3", 6, "##FIRSTX= says 0.4, but the data have 0.3"},
		{".4 1\n.5 2\n.7 3", 7, "##LASTX= says 0.6, but the data have 0.7"},
		{"-.4 1\n.5 2\n.6 3", 6, "##FIRSTX="},
	} {
		blocks, err := Parse(strings.NewReader(pairs(3, c.data)))
		if err != nil || len(blocks) != 1 || !hasFault(blocks[0], c.line, c.want) {
			t.Errorf("%q: want line %d %q, got %v, %v", c.data, c.line, c.want, blocks, err)
		}
	}
}

// TestAllFaults: what is wrong in one block is told at once, in the order of
// the lines, each with the title.
func TestAllFaults(t *testing.T) {
	text := strings.NewReplacer("ABSORBANCE", "REFLECTANCE", "##NPOINTS= 9", "##NPOINTS= 9\n##DELTAX= 3").
		Replace(file("400", "408", 9, "0", "400@JJJ", "403DJJJ", "406FJJ", "409H"))
	blocks, _ := Parse(strings.NewReader(text))
	var lines []int
	for _, f := range blocks[0].Faults {
		lines = append(lines, f.Line)
		if f.Title != "test" {
			t.Errorf("%v has no title", f)
		}
	}
	if fmt.Sprint(lines) != "[5 7 11 14 15 16]" {
		t.Errorf("lines %v: %v", lines, blocks[0].Faults)
	}
	bad := strings.Repeat("400 !\n", 50)
	blocks, _ = Parse(strings.NewReader(file("400", "408", 9, "1", bad)))
	if len(blocks[0].Faults) != MaxFaults || codes(blocks[0].Warnings) != "faults_cut" {
		t.Errorf("%d faults, %s", len(blocks[0].Faults), codes(blocks[0].Warnings))
	}
}

// TestLimits: blocks, points in all, and lines that are too long, each without
// losing the blocks before.
func TestLimits(t *testing.T) {
	small := file("400", "402", 3, "1", "400 1 2 3")
	blocks, err := Parse(strings.NewReader(strings.Repeat(small, MaxBlocks+1)))
	if len(blocks) != MaxBlocks || err == nil || !strings.Contains(err.Error(), "more than 10000 blocks") {
		t.Errorf("%d blocks, %v", len(blocks), err)
	}
	wide := file("400", "500", MaxPoints, "1", "400AS00000")
	blocks, err = Parse(strings.NewReader(strings.Repeat(wide, 51) + small))
	if err != nil || len(blocks) != 52 || blocks[49].Faults.Err() != nil || len(blocks[49].NM) != MaxPoints {
		t.Fatalf("%d blocks, %v", len(blocks), err)
	}
	for _, b := range blocks[50:] {
		if err := b.Faults.Err(); err == nil || !strings.Contains(err.Error(), "more than 5000000 points in all") {
			t.Errorf("past the limit: %v", err)
		}
	}
	long := strings.Replace(small, "##XUNITS", "##COMMENT= "+strings.Repeat("x", MaxLineBytes)+"\n##XUNITS", 1)
	blocks, err = Parse(strings.NewReader(small + long + small))
	if err != nil || len(blocks) != 3 || !hasFault(blocks[1], 17, "longer than 1048576 bytes") || blocks[2].Faults.Err() != nil {
		t.Errorf("long line: %d blocks, %v", len(blocks), err)
	}
	title := strings.Replace(small, "##TITLE= test", "##TITLE= "+strings.Repeat("é", 5000), 1)
	if b := one(t, title); len(b.Title) > 4096 || strings.Trim(b.Title, "é") != "" || codes(b.Warnings) != "text_cut" {
		t.Errorf("long title: %d bytes, %s", len(b.Title), codes(b.Warnings))
	}
	if _, err := Parse(bytes.NewReader(bytes.Repeat([]byte{0}, 3<<20))); err == nil {
		t.Error("three MiB of nothing were taken for a file")
	}
}
