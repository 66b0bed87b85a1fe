package labfile_test

import (
	"bytes"
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"
	"unicode/utf8"

	"pourpath/api/labfile"
)

// made is a file that is made as it is read: head, then filler without end.
type made struct {
	head string
	size int64
	fill func(at int64) byte
}

func (m made) ReadAt(p []byte, at int64) (int, error) {
	for i := range p {
		switch pos := at + int64(i); {
		case pos >= m.size:
			return i, io.EOF
		case pos < int64(len(m.head)):
			p[i] = m.head[pos]
		default:
			p[i] = m.fill(pos)
		}
	}
	return len(p), nil
}

const header = "name,a420,a520,a620,path_mm\nAube,0.1,0.2,0.1,10\n"

func TestTooMuch(t *testing.T) {
	x := func(int64) byte { return 'x' }
	const size = labfile.MaxBytes
	for name, c := range map[string]struct {
		file made
		want string
	}{
		"a line of 2 GiB":                {made{"", size, x}, "longer than 1048576 bytes"},
		"a line of 2 GiB after a header": {made{header, size, x}, "row 3 the row is longer"},
		"a quote of 2 GiB":               {made{header + "\"", size, func(at int64) byte { return "abc\n"[at%4] }}, "row 3 a quotation mark"},
		"separators of 2 GiB":            {made{header, size, func(int64) byte { return ',' }}, "row 3 the row is longer"},
		"more than 2 GiB":                {made{header, size + 1, x}, "split it"},
	} {
		t.Run(name, func(t *testing.T) {
			before := inUse()
			if got := refusal(t, c.file, c.file.size, labfile.Options{}); !strings.Contains(got, c.want) {
				t.Error(got)
			}
			if grown := inUse() - before; grown > 100<<20 {
				t.Errorf("the heap grew by %d MB", grown>>20)
			}
		})
	}
}

// inUse is how much memory the heap has from the system, which does not shrink
// at once.
func inUse() int64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapSys - m.HeapReleased) //nolint:gosec // far below 2^63
}

func TestTooManyColumns(t *testing.T) {
	wide := strings.TrimSuffix(strings.Repeat("c,", 10_000), ",")
	data := "name,a420,a520,a620\nAube,0.1,0.2,0.1\n" + wide + "\nBrume,0.1,0.2,0.1\n"
	_, all := entries(t, []byte(data), "x.csv", labfile.Options{})
	if len(all) != 3 || len(all[1].Faults) != 1 || !strings.Contains(all[1].Faults[0].Message, "more than 5000 columns") || len(all[2].Faults) > 0 {
		t.Errorf("%d entries, %+v", len(all), all[1].Faults)
	}
	data = "name,a420,a520,a620," + wide + "\nAube,0.1,0.2,0.1," + wide + "\n"
	if got := refusal(t, strings.NewReader(data), int64(len(data)), labfile.Options{}); !strings.Contains(got, "more than 5000 columns") {
		t.Error(got)
	}
}

func TestLongCells(t *testing.T) {
	long := strings.Repeat("é", 201)
	huge := strings.Repeat("x", labfile.MaxCellBytes+1)
	data := "name,a420,a520,a620,instrument,notes\n" +
		long + ",0.1,0.2,0.1,,\nAube,0.1,0.2,0.1," + long + ",\nBrume,0.1,0.2,0.1,," + huge + "\nFonte,0.1,0.2,0.1,,\n\x00,0.1,0.2,0.1,,\n"
	data = strings.TrimSuffix(data, "\x00,0.1,0.2,0.1,,\n")
	_, all := entries(t, []byte(data), "x.csv", labfile.Options{})
	for i, want := range []string{"longer than 200 characters", "longer than 200 characters", "longer than 32768 bytes", ""} {
		got := ""
		if len(all[i].Faults) > 0 {
			got = all[i].Faults[0].Message
		}
		if !strings.Contains(got, want) || (want == "") != (got == "") {
			t.Errorf("row %d: %q", all[i].Row, got)
		}
	}
}

func TestBaseName(t *testing.T) {
	for in, want := range map[string]string{
		"../../x": "x", `C:\x`: "x", `C:\lab\run 1.csv`: "run 1.csv", "a/b/c.xlsx": "c.xlsx", "": "file", "..": "file", "/": "file", "C:": "file",
		"a\x00b\n\u202Ec.csv": "abc.csv", "\xff.csv": "\uFFFD.csv",
	} {
		if got := labfile.BaseName(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
	if n := utf8.RuneCountInString(labfile.BaseName(strings.Repeat("é", 500))); n != 200 {
		t.Error(n)
	}
}

// TestOpenWines writes the rows of many wines so that they lie far apart.
func TestOpenWines(t *testing.T) {
	write := func(wines int) []byte {
		var b bytes.Buffer
		b.WriteString("name,nm,absorbance,path_mm\n")
		for _, nm := range []int{420, 520, 620} {
			for i := range wines {
				fmt.Fprintf(&b, "Wine %d,%d,0.%d,10\n", i, nm, nm)
			}
		}
		return b.Bytes()
	}
	_, all := entries(t, write(labfile.MaxOpenWines), "x.csv", labfile.Options{})
	for i, e := range all {
		if len(e.Faults) > 0 || e.Row != i+2 {
			t.Fatalf("%+v", e)
		}
	}
	_, all = entries(t, write(labfile.MaxOpenWines+1), "x.csv", labfile.Options{})
	told := 0
	for _, e := range all {
		if len(e.Faults) > 0 && strings.Contains(e.Faults[0].Message, "at most 1000 wines") {
			told++
		}
	}
	if told == 0 {
		t.Error("nothing is said of wines that lie too far apart")
	}
}

// TestMemory reads a million rows, made as they are read.
func TestMemory(t *testing.T) {
	const rows = 1_000_000
	line := "Wine,red,T1,2025,0.312,0.402,0.101,1,2026-11-25T14:30:00Z,UV-1\n"
	head := "name,kind,lot,vintage,a420,a520,a620,path_mm,taken_at,instrument\n"
	file := made{head, int64(len(head) + rows*len(line)), func(at int64) byte { return line[(at-int64(len(head)))%int64(len(line))] }}
	before, most := inUse(), int64(0)
	f, err := labfile.Open(file, file.size, "x.csv", labfile.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer closed(t, f)
	n := 0
	for e, err := range f.Entries() {
		if err != nil || len(e.Faults) > 0 {
			t.Fatal(e, err)
		}
		if n++; n%100_000 == 0 {
			most = max(most, inUse()-before)
		}
	}
	if n != rows || most > 60<<20 {
		t.Errorf("%d rows, the heap grew by %d MB", n, most>>20)
	}
	t.Logf("the heap grew by %d MB", most>>20)
}
